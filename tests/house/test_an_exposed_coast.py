"""The demo house moved to an exposed coast at 200 m: stronger glass proposed, more fixings, bars flagged, and why."""

import functools

import pytest

from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.plan.chain import checks_of
from jambwright.readings.asked import place_words
from jambwright.readings.survey_file import read_survey

COAST = {
    "altitude_m": 200.0, "distance_to_sea_km": 0.2, "distance_in_town_km": 0.0, "wind_map_speed_ms": 27.0,
}  # fmt: skip


@functools.cache
def houses():
    survey = read_survey(read_text("demo_house.yaml"))
    coast = survey.model_copy(update={"site": survey.site.model_copy(update=COAST)})
    return job.plan_house(survey), job.plan_house(coast)


def test_every_window_meets_more_wind():
    town, coast = houses()
    for here, there in zip(town.openings, coast.openings, strict=True):
        assert there.wind.governing_pa > 2 * here.wind.governing_pa


def glass(plan):
    return {v.part.mark: v for v in plan.verdicts if v.rule == "glass.strength"}


def test_glass_that_does_not_hold_fails_as_asked_and_stronger_is_proposed_not_ordered():
    town, coast = houses()
    assert not [v for plan in town.openings for v in glass(plan).values() if v.word == "fails"]
    for here, there in zip(town.openings, coast.openings, strict=True):
        assert there.frame.glazing == here.frame.glazing
    failing = {
        plan.opening.id for plan in coast.openings if "fails" in {v.word for v in glass(plan).values()}
    }
    assert {"W1", "W3"} <= failing
    kitchen = coast.openings[0]
    assert str(kitchen.frame.glazing["B"]) == "4-16Ar-4 low-e"
    found = glass(kitchen)["B"]
    assert found.word == "fails"
    assert found.working.steps
    assert str(kitchen.stronger_glass["B"]) == "4T-16Ar-4T low-e"


def test_every_light_that_fails_has_stronger_glass_proposed_or_is_told_of_with_those_advised():
    for plan in houses()[1].openings:
        # that recalled factors prove nothing is said in the verdict alone
        doubted = {
            light
            for light, v in glass(plan).items()
            if v.word == "fails" or "climate alone comes to" in v.why
        }
        told = {r.field.removeprefix("glass.") for r in plan.remarks if r.field.startswith("glass.")}
        assert doubted == told | set(plan.stronger_glass)
        assert not told & set(plan.stronger_glass)


def test_fixings_come_closer_and_none_carries_more_than_it_may_unless_told():
    town, coast = houses()
    assert sum(p.fitting.fixings.count for p in coast.openings) > sum(
        p.fitting.fixings.count for p in town.openings
    )
    for plan in coast.openings:
        found = plan.fitting.fixing_plan
        if found.verdict.word == "fails":
            assert any(p.field == "fixing_resistance_n" for p in plan.remarks), plan.name


def test_bars_get_stronger_steel_or_are_flagged():
    town, coast = houses()
    for here, there in zip(town.openings, coast.openings, strict=True):
        for bar, strong in zip(here.fitting.bars, there.fitting.bars, strict=True):
            if bar.reinforcement and strong.reinforcement:
                assert strong.reinforcement.ei_n_mm2 >= bar.reinforcement.ei_n_mm2
    door = next(plan for plan in coast.openings if plan.opening.id == "D1")
    assert [v.word for v in door.verdicts if v.rule == "members.deflection"] == ["fails"]


@pytest.mark.parametrize("field", ["wind_map_speed_ms", "distance_to_sea_km"])
def test_a_missing_wind_input_is_named_and_nothing_passes_in_silence(field):
    survey = read_survey(read_text("demo_house.yaml"))
    bare = survey.model_copy(update={"site": survey.site.model_copy(update={field: None})})
    house = job.plan_house(bare)
    plan = house.openings[0]
    unknown = [v for v in plan.verdicts if v.word == "unknown"]
    assert unknown[0].places == (f"/site/{field}",)
    assert place_words(("site", field))[1:] in unknown[0].why  # but for its capital
    assert not [
        v for v in plan.verdicts if v.rule.startswith(("glass.strength", "members.", "fixings.strength"))
    ]
    told = [v for v in checks_of(plan) if v.rule == "wind.known"]
    assert len(told) == 1


def test_the_bar_ends_full_when_the_last_paper_is_drawn():
    steps = []
    survey = read_survey(read_text("demo_house.yaml"))
    job.plan_and_print(survey, progress=lambda _, done, of: steps.append((done, of)))
    assert steps[-1][0] == steps[-1][1]
    assert [done for done, _ in steps] == list(range(1, len(steps) + 1))
