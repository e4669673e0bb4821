"""Whatever house is surveyed: every opening is told, nothing missing passes, and what is offered passes."""

from datetime import date

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from jambwright import job
from jambwright.basis.problems import BadInput, raise_if_any
from jambwright.checks.regulations import NATIONS, check_opening
from jambwright.checks.rules_on_house import rules_on_house
from jambwright.checks.survey_facts import Framed
from jambwright.plan.sizing import size_house
from jambwright.readings.survey_file import survey_from_tree
from made_up_houses import surveys

WORST = ("fails", "worse")
HEIGHTS = ("escape.bottom", "guarding.height", "safety_glass.window")


@st.composite
def houses(draw):
    """A made-up house with what the rules ask, now and then something of it left out."""
    tree = draw(surveys(count=2))
    tree["date_of_work"] = draw(st.dates(date(2023, 1, 1), date(2028, 1, 1))).isoformat()
    tree["site"]["nation"] = draw(st.sampled_from(NATIONS))
    tree["house"]["rooms"][0] |= {
        "use": draw(st.sampled_from(("living", "bedroom", "kitchen", "bathroom"))),
        "floor_area_m2": draw(st.none() | st.integers(4, 30)),
        "way_out": draw(st.sampled_from((None, "hall", "open_stair", "other_room"))),
    }
    for opening in tree["openings"]:
        opening["sill_above_floor_mm"] = draw(st.none() | st.integers(0, 1400))
        opening["drop_outside_mm"] = draw(st.none() | st.integers(0, 6000))
    return survey_from_tree(tree)


def framed(survey):
    """Frames and heat of every opening, without the fitting."""
    try:
        sized, bad = size_house(survey)
        raise_if_any(bad)
        return [
            Framed(
                opening=each.opening,
                frame=each.frame,
                heat=job.opening_heat(survey.site, each.opening, each.frame),
            )
            for each in sized
        ]
    except BadInput:
        assume(False)


@given(houses())
@settings(max_examples=25, deadline=None)
def test_every_opening_is_told_and_what_is_offered_passes(survey):
    frames = framed(survey)
    rules = rules_on_house(survey, frames)
    assert set(rules.openings) == {opening.id for opening in survey.openings}
    for found in rules.openings.values():
        assert found.verdicts
        beyond = {v.rule for v in found.remedies.beyond}
        for choice in found.remedies.choices:
            left = {v.rule for v in check_opening(choice.facts) if v.word in WORST}
            assert left <= beyond
        mended = {v.rule for v in found.verdicts if v.word in WORST} - beyond
        assert not mended or found.remedies.choices


@given(houses())
@settings(max_examples=15, deadline=None)
def test_a_height_that_was_not_measured_never_passes(survey):
    openings = [o.model_copy(update={"sill_above_floor_mm": None}) for o in survey.openings]
    survey = survey.model_copy(update={"openings": openings})
    for found in rules_on_house(survey, framed(survey)).openings.values():
        for verdict in found.verdicts:
            if verdict.rule in HEIGHTS:
                assert verdict.word == "unknown", verdict
