"""Fields of a survey by path: named items, items of plain lists, and what differs between two surveys."""

import copy

import pytest

from jambwright.basis.problems import BadInput
from jambwright.readings.places import differences, get, parse, put, text
from survey_trees import TREE

LAYOUT = {"across": [{"opens": "side_hung_left", "mm": 600}, {"down": [{"opens": "fixed"}, {"share": 2}]}]}
DEEP = "/openings/W1/wanted/layout/across/1/down/0/opens"


@pytest.fixture
def tree():
    made = copy.deepcopy(TREE)
    made["openings"][0]["wanted"]["layout"] = copy.deepcopy(LAYOUT)
    return made


def test_an_item_of_a_layout_is_reached_by_its_number(tree):
    assert get(tree, parse(DEEP)) == "fixed"
    assert get(tree, parse("/openings/W1/wanted/layout/across/0/mm")) == 600
    for nowhere in ("across/2/mm", "across/-1/mm", "across/00/mm", "across/one/mm", "down/0"):
        assert get(tree, parse(f"/openings/W1/wanted/layout/{nowhere}")) is None


def test_an_item_of_a_layout_is_changed_and_the_old_tree_stays(tree):
    before = copy.deepcopy(tree)
    changed = put(tree, parse(DEEP), "top_hung")
    assert get(changed, parse(DEEP)) == "top_hung"
    assert tree == before
    assert put(changed, parse(DEEP), "fixed") == tree


@pytest.mark.parametrize("place", ["across/2", "across/7/mm", "across/one/mm"])
def test_a_plain_list_grows_only_as_a_whole(tree, place):
    with pytest.raises(BadInput, match="change the whole list"):
        put(tree, parse(f"/openings/W1/wanted/layout/{place}"), {"opens": "fixed"})


def test_an_item_is_not_taken_out_of_a_plain_list(tree):
    with pytest.raises(BadInput, match="change the whole list"):
        put(tree, parse("/openings/W1/wanted/layout/across/0"), None)


def test_repeats_of_a_reading_are_kept_as_a_whole(tree):
    at = parse("/openings/W1/outside/width/middle/0")
    assert get(tree, at) is None
    with pytest.raises(BadInput, match="can't be inside a single value"):
        put(tree, at, 1300)


def test_layouts_of_one_shape_differ_by_field_and_others_as_a_whole(tree):
    changed = put(tree, parse(DEEP), "top_hung")
    assert [(text(path), old, new) for path, old, new in differences(tree, changed)] == [
        (DEEP, "fixed", "top_hung")
    ]
    longer = put(tree, parse("/openings/W1/wanted/layout/across"), [*LAYOUT["across"], {"opens": "fixed"}])
    assert [text(path) for path, _, _ in differences(tree, longer)] == ["/openings/W1/wanted/layout/across"]


def test_lists_of_single_values_differ_as_a_whole():
    old, new = ({"openings": [{"id": "W1", "done": [mark]}]} for mark in ("ordered", "fitted"))
    assert [text(path) for path, _, _ in differences(old, new)] == ["/openings/W1/done"]
