"""Proposals put into a readings file and taken back. What was asked for is never lost."""

import copy
from datetime import date

import pytest

from jambwright.basis.problems import BadInput
from jambwright.basis.tree import parse_tree
from jambwright.readings.proposal import (
    Change,
    Proposal,
    apply_proposal,
    asked,
    asked_of,
    numbered,
    undo_accepted,
)
from jambwright.readings.survey_file import survey_from_tree
from made_up_houses import readings

DAY = date(2026, 5, 4)
FACES = readings(1200, 1050, lean=1, level=1, taper=1, bow=1)
WIDER = Proposal(
    mends=("escape.width",),
    changes=(
        Change(place="/openings/W1/wanted/layout/across/0/mm", value=640),
        Change(place="/openings/W1/wanted/layout/across/1/vent_mm2", value=4000),
    ),
    say="light A: wider",
)
TALLER = Proposal(
    mends=(), changes=(Change(place="/openings/W1/wanted/layout/across/0/mm", value=700),), say="x"
)


def house(**opening):
    layout = {"across": [{"opens": "side_hung_left"}, {"opens": "fixed", "vent_mm2": 0}]}
    one = {"id": "W1", "room": "den", "outside": FACES, "wanted": {"layout": layout}} | opening
    return {"jambwright": 1, "site": {"label": "Invented"}, "openings": [one]}


def applied(tree, *proposals, by=None):
    for each in proposals:
        tree = apply_proposal(tree, "W1", each, on=DAY, by=by)
    return tree


def test_what_was_asked_is_kept_beside_what_is_ordered():
    tree = house()
    before = copy.deepcopy(tree)
    (opening,) = applied(tree, WIDER, by="Ada")["openings"]
    assert tree == before
    assert opening["wanted"]["layout"]["across"][0]["mm"] == 640
    assert opening["accepted"] == [
        {
            "on": "2026-05-04",
            "by": "Ada",
            "mends": ["escape.width"],
            "changes": [
                {"place": "/openings/W1/wanted/layout/across/0/mm", "value": 640},
                {"place": "/openings/W1/wanted/layout/across/1/vent_mm2", "was": 0, "value": 4000},
            ],
        }
    ]
    assert asked_of(opening) == before["openings"][0]["wanted"]


def test_undo_leaves_the_file_as_it_was():
    tree = house()
    assert undo_accepted(applied(tree, WIDER), "W1", 1) == tree


def test_undo_leaves_nothing_behind_where_nothing_was_wanted_yet():
    tree = house()
    del tree["openings"][0]["wanted"]
    change = Change(place="/openings/W1/wanted/layout/opens", value="top_hung")
    done = applied(tree, Proposal(mends=("x",), changes=(change,), say="opens"))
    assert done["openings"][0]["wanted"] == {"layout": {"opens": "top_hung"}}
    assert undo_accepted(done, "W1", 1) == tree
    assert asked_of(done["openings"][0]) is None
    assert asked(survey_from_tree(done).openings[0]) == survey_from_tree(tree).openings[0].wanted


def test_a_later_proposal_on_the_same_field_is_undone_first():
    tree = applied(house(), WIDER, TALLER)
    with pytest.raises(
        BadInput, match="W1 den: /openings/W1/wanted/layout/across/0/mm was changed again since"
    ):
        undo_accepted(tree, "W1", 1)
    assert undo_accepted(undo_accepted(tree, "W1", 2), "W1", 1) == house()


def test_what_someone_writes_by_hand_afterwards_counts_as_asked():
    (opening,) = applied(house(), WIDER)["openings"]
    opening["wanted"]["layout"]["across"][0]["mm"] = 500
    assert asked_of(opening)["layout"]["across"] == [
        {"opens": "side_hung_left", "mm": 500},
        {"opens": "fixed", "vent_mm2": 0},
    ]


def test_the_model_of_an_opening_tells_what_was_asked():
    survey = survey_from_tree(applied(house(), WIDER, TALLER))
    assert survey.openings[0].wanted.layout.across[0].mm == 700
    assert asked(survey.openings[0]) == survey_from_tree(house()).openings[0].wanted


@pytest.mark.parametrize("mark", ["ordered", "fitted", "finished"])
def test_what_is_ordered_is_not_changed(mark):
    with pytest.raises(BadInput, match="W1 den is ordered already"):
        applied(house(done=[mark]), WIDER)
    tree = applied(house(), WIDER)
    tree["openings"][0]["done"] = [mark]
    with pytest.raises(BadInput, match="W1 den is ordered already"):
        undo_accepted(tree, "W1", 1)


def test_only_what_is_wanted_in_that_opening_can_be_proposed():
    for place in ("/openings/W2/wanted/gap_mm", "/openings/W1/outside/width/top", "/site/label"):
        with pytest.raises(BadInput, match="is not among what is wanted in W1"):
            applied(house(), Proposal(mends=(), changes=(Change(place=place, value=1),), say="x"))


def test_what_is_not_there_is_told_by_name():
    with pytest.raises(BadInput, match=r"There is no opening W9; there are W1\."):
        apply_proposal(house(), "W9", WIDER, on=DAY, by=None)
    with pytest.raises(BadInput, match="no accepted proposal 1; none was accepted"):
        undo_accepted(house(), "W1", 1)
    with pytest.raises(BadInput, match="W1: there is no proposal 0; there are 1"):
        numbered({"W1": [WIDER]}, "W1", 0)
    with pytest.raises(BadInput, match="W2: there is no proposal 1; nothing is proposed for it"):
        numbered({"W1": [WIDER]}, "W2", 1)


def test_the_field_on_is_read_as_the_word_it_is():
    assert parse_tree("accepted: [{on: 2026-05-04, by: yes}]") == {
        "accepted": [{"on": "2026-05-04", "by": "yes"}]
    }
