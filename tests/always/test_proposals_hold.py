"""Whatever house is surveyed: a proposal mends what it says and nothing gets worse; undo leaves no trace."""

from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from jambwright import job
from jambwright.checks.regulations import NATIONS
from jambwright.readings import places
from jambwright.readings.proposal import Change, Proposal, apply_proposal, asked, asked_of, undo_accepted
from jambwright.readings.survey_file import survey_from_tree
from made_up_houses import layouts, openings, surveys

GRAVE = ("refer", "unknown", "worse", "fails")
DAY = date(2026, 5, 4)


@st.composite
def houses(draw):
    """A made-up house with what the rules ask, low and high over the ground, in all nations."""
    tree = draw(surveys(count=2))
    tree["date_of_work"] = draw(st.dates(date(2024, 1, 1), date(2027, 1, 1))).isoformat()
    tree["site"]["nation"] = draw(st.sampled_from(NATIONS))
    tree["house"]["rooms"][0] |= {
        "use": draw(st.sampled_from(("bedroom", "living", "kitchen"))),
        "storey": 1,
        "floor_area_m2": draw(st.integers(4, 30)),
        "way_out": "open_stair",
    }
    for opening in tree["openings"]:
        opening |= {"sill_above_floor_mm": draw(st.integers(200, 1000)), "drop_outside_mm": 3000}
        opening["now"] = {"openers": 0, "vents_mm2": 0}
        opening["wanted"]["match"] = draw(st.sampled_from((None, "family")))
    return tree


def gravest(tree):
    words = {}
    for mark, verdicts in job.verdicts_by_opening(survey_from_tree(tree)).items():
        for each in verdicts:
            at = (mark, each.rule)
            words[at] = max(words.get(at, -1), GRAVE.index(each.word) if each.word in GRAVE else -1)
    return words


@given(houses())
@settings(max_examples=8, deadline=None)
def test_every_proposal_passes_when_planned_again_and_undo_leaves_the_same_tree(tree):
    survey, before = survey_from_tree(tree), gravest(tree)
    for mark, offered in job.proposals(survey).items():
        for each in offered:
            done = apply_proposal(tree, mark, each, on=DAY, by=None)
            after = gravest(done)
            assert all(after.get((mark, rule), -1) == -1 for rule in each.mends)
            assert all(before[mark, rule] >= GRAVE.index("worse") for rule in each.mends)
            assert all(word <= max(before.get(at, -1), -1) for at, word in after.items())
            assert undo_accepted(done, mark, 1) == tree
            assert asked(survey_from_tree(done).openings[_at(tree, mark)]) == asked(
                survey.openings[_at(tree, mark)]
            )


def _at(tree, mark):
    return [opening["id"] for opening in tree["openings"]].index(mark)


@given(openings(), layouts(1800, 1500), layouts(1800, 1500))
@settings(max_examples=100)
def test_any_change_of_what_is_wanted_is_taken_back_without_a_trace(opening, one, other):
    tree = {"openings": [opening]}
    start = tree
    for number, layout in enumerate((one, other), 1):
        wanted = tree["openings"][0]["wanted"] | {"layout": layout, "gap_mm": number}
        found = places.differences(tree["openings"][0]["wanted"], wanted, ("openings", "W1", "wanted"))
        changes = tuple(Change(place=places.text(path), value=value) for path, _, value in found)
        tree = apply_proposal(tree, "W1", Proposal(mends=("x",), changes=changes, say="x"), on=DAY, by=None)
        assert tree["openings"][0]["wanted"] == wanted
    assert asked_of(tree["openings"][0]) == opening["wanted"]
    assert undo_accepted(undo_accepted(tree, "W1", 2), "W1", 1) == start
