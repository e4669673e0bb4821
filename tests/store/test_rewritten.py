"""A readings file written anew: comments, order and style stay, values are those wanted."""

import copy

import pytest

from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.store import rewritten

TEXT = """\
# A house by the sea
jambwright: 1
site: {label: Sea View}   # invented
house:
  storeys: 2
openings:
- id: W1   # over the door
  done: [ordered, cut]
  outside:
    # read twice
    width: {bottom: 1210, top: [1209, 1210]}
- id: W2
  accepted:
  - on: 2026-05-04
    by: "Ada"
"""


def test_a_file_with_the_same_values_is_the_same_file():
    demo = read_text("demo_house.yaml")
    assert rewritten(demo, parse_tree(demo)) == demo


def test_only_the_lines_that_differ_are_changed():
    tree = parse_tree(TEXT)
    tree["openings"][0]["outside"]["width"]["top"][1] = 1212
    tree["openings"][0]["note"] = "läuft"
    old, new = TEXT.splitlines(), rewritten(TEXT, tree).splitlines()
    assert [line for line in new if line not in old] == [
        "    width: {bottom: 1210, top: [1209, 1212]}",
        "  note: läuft",
    ]
    assert [line for line in old if line not in new] == ["    width: {bottom: 1210, top: [1209, 1210]}"]


@pytest.mark.parametrize(
    "change",
    [
        pytest.param(lambda t: t["openings"].pop(), id="opening gone"),
        pytest.param(lambda t: t["openings"].append({"id": "W3", "outside": {}}), id="opening added"),
        pytest.param(lambda t: t["openings"][0]["done"].pop(0), id="shorter list"),
        pytest.param(lambda t: t["openings"][1]["accepted"].append({"on": "2026-05-05"}), id="another accepted"),
        pytest.param(lambda t: t["openings"][1].pop("accepted"), id="none accepted"),
        pytest.param(lambda t: t["house"].update(storeys=True), id="another kind of value"),
        pytest.param(lambda t: t["site"].update(label={"a": [1, {"b": None}]}), id="a tree for a word"),
        pytest.param(lambda t: t.update(note="on", more="2026-05-04", third="1e3"), id="words like values"),
    ],
)  # fmt: skip
def test_whatever_is_changed_reads_back_with_comments_kept(change):
    tree = copy.deepcopy(parse_tree(TEXT))
    change(tree)
    again = rewritten(TEXT, tree)
    assert parse_tree(again) == tree
    for comment in ("# A house by the sea", "# invented", "# over the door", "# read twice"):
        assert comment in again


def test_a_json_file_stays_json():
    assert rewritten('{"a": 1, "b": "x"}', {"a": 2, "b": "x"}) == '{\n "a": 2,\n "b": "x"\n}\n'


def test_a_yes_of_the_readings_file_is_not_lost():
    text = "house:\n  children: yes # two\n  listed: no\n"
    tree = parse_tree(text)
    assert parse_tree(rewritten(text, tree)) == tree == {"house": {"children": "yes", "listed": "no"}}
    assert "# two" in rewritten(text, tree)
