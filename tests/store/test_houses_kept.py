import json

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jambwright.basis.problems import BadInput
from jambwright.basis.tree import parse_tree
from jambwright.store import (
    NotThere,
    Outdated,
    add_house,
    house_lines,
    new_tree,
    plain,
    read_house,
    remove_house,
    replace,
    restore_house,
    to_yaml,
)
from survey_trees import TREE, tree


def in_order(value):
    """Text that differs when fields, their order or a figure's form differ."""
    return json.dumps(value)


def test_a_survey_comes_back_as_it_was_put_in_with_its_fields_in_order(store):
    house = add_house(store, TREE)
    kept = read_house(store, house)
    assert in_order(kept.tree) == in_order(TREE)
    assert in_order(parse_tree(to_yaml(kept.tree))) == in_order(TREE)


def test_a_date_in_yaml_and_the_same_date_in_json_are_one_tree(store):
    text = yaml.safe_dump(TREE | {"date_of_work": "2026-05-04"}).replace("'2026-05-04'", "2026-05-04")
    given_tree = parse_tree(text)
    house = add_house(store, given_tree)
    assert read_house(store, house).tree == plain(given_tree)
    assert read_house(store, house).tree["date_of_work"] == "2026-05-04"


def test_a_house_can_be_kept_before_anything_was_measured(store):
    house = add_house(store, new_tree("2 Example Row (invented)"))
    [line] = house_lines(store)
    assert (line.id, line.label, line.openings) == (house, "2 Example Row (invented)", 0)


@pytest.mark.parametrize(
    ("spoilt", "field"),
    [
        pytest.param({"hosue": {}}, "hosue", id="unknown field"),
        pytest.param({"site": {}}, "site.label", id="no label"),
        pytest.param(
            {"openings": [{"id": "W1", "room": "x", "outside": {}}] * 2}, "openings", id="mark twice"
        ),
        pytest.param(
            {"openings": [{"id": "W 1", "room": "x", "outside": {}}]}, "openings.0.id", id="bad mark"
        ),
    ],
)
def test_a_survey_with_a_fault_is_refused_and_nothing_is_kept(store, spoilt, field):
    with pytest.raises(BadInput) as bad:
        add_house(store, tree(**spoilt))
    assert field in [p.field for p in bad.value.problems]
    assert house_lines(store) == []


def test_a_removed_house_is_off_the_list_and_can_be_put_back(store):
    house = add_house(store, TREE)
    remove_house(store, house)
    assert house_lines(store) == []
    with pytest.raises(NotThere):
        read_house(store, house)
    restore_house(store, house)
    assert read_house(store, house).tree == TREE


def test_replacing_a_whole_survey_is_kept_as_one_change_a_field(store):
    house = add_house(store, TREE)
    new = tree(note="Other note")
    new["openings"][0]["outside"]["width"]["bottom"] = 1208
    new["openings"].append({"id": "W3", "room": "Kitchen", "outside": {}})
    del new["tools"][0]["accuracy_class"]
    after, changes = replace(store, house, new, who="Ada", at="2026-03-02T10:00:00Z", device="desk")
    assert in_order(read_house(store, house).tree) == in_order(new)
    assert after.version == 2
    assert {c.path for c in changes} == {
        "/note",
        "/openings/W1/outside/width/bottom",
        "/openings/W3",
        "/tools/red tape/accuracy_class",
    }
    assert after.marks == {"W1": 2, "W2": 1, "W3": 2}


def test_replacing_an_outdated_version_is_refused(store):
    house = add_house(store, TREE)
    replace(store, house, tree(note="a"), who="Ada", at="", device="", version=1)
    with pytest.raises(Outdated):
        replace(store, house, tree(note="b"), who="Bo", at="", device="", version=1)
    assert read_house(store, house).tree["note"] == "a"


TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=30)
FIGURES = st.one_of(
    st.integers(300, 3000), st.floats(300, 3000), st.lists(st.integers(300, 3000), min_size=1, max_size=3)
)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    notes=st.lists(TEXTS, min_size=1, max_size=4),
    label=TEXTS,
    figure=FIGURES,
)
def test_any_text_and_figure_survive_store_and_yaml(store, notes, label, figure):
    openings = [
        {"note": note, "id": f"W{n}", "room": "r", "outside": {"width": {"top": figure}}}
        for n, note in enumerate(notes)
    ]
    survey = {"openings": openings, "jambwright": 1, "site": {"label": label}}
    house = add_house(store, survey)
    kept = read_house(store, house).tree
    assert in_order(kept) == in_order(survey)
    assert in_order(parse_tree(to_yaml(kept))) == in_order(survey)
