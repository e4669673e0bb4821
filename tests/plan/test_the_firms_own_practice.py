"""One key each for what a firm does its own way, followed from the readings to the plan. Houses are invented."""

import json
from collections import Counter
from datetime import date

import pytest

from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text
from jambwright.checks.gates import stopped
from jambwright.plan.buying import plan_buying
from jambwright.plan.crew.jobs import jobs_of
from jambwright.plan.crew.work import Crew
from jambwright.plan.house import HousePlan
from jambwright.plan.packers import stack_for
from jambwright.plan.price import price_house
from jambwright.plan.prices import read_prices
from jambwright.plan.quantities import quantities
from jambwright.readings.survey import Survey
from jambwright.readings.survey_file import read_survey
from made_up_houses import readings


def survey(defaults: dict[str, object], **wanted: object) -> Survey:
    opening = {
        "id": "W1", "room": "room", "lintel": {"kind": "concrete", "may_drill": True}, "set_back_mm": 16,
        "outside": readings(1200, 1100, 0, 0, 0, 0), "wanted": wanted,
    }  # fmt: skip
    return read_survey(json.dumps({
        "jambwright": 1,
        "site": {"label": "Invented", "distance_to_sea_km": 40, "wind_map_speed_ms": 22},
        "house": {"breadth_m": 6, "depth_m": 8, "height_m": 7, "rooms": [{"name": "room", "use": "living"}]},
        "defaults": {"sill": {"kind": "none"}} | defaults,
        "openings": [opening],
    }))  # fmt: skip


def planned(defaults: dict[str, object], **wanted: object) -> HousePlan:
    return job.plan_house(survey(defaults, **wanted))


def size(plan: HousePlan) -> tuple[float, float]:
    frame = plan.openings[0].frame
    return frame.width_mm, frame.height_mm


def test_the_firms_joint_sets_the_size_of_every_frame_that_asks_for_none() -> None:
    """A true opening of 1200 x 1100 less 9 mm a side."""
    assert size(planned({"joint_mm": 9})) == (1182, 1082)
    assert size(planned({"joint_mm": 12})) == (1176, 1076)
    assert size(planned({"joint_mm": 9}, gap_mm=12)) == size(planned({}, gap_mm=12)) == (1176, 1076)
    gaps = planned({"joint_mm": 9}).openings[0].frame.size.gaps_mm
    assert all(mm == pytest.approx(9, abs=1) for side in gaps.values() for mm in side.values())


def test_under_a_sill_there_is_room_for_its_packers_whatever_the_joint() -> None:
    usual, own = (planned(d | {"sill": {"kind": "frame_sill"}}) for d in ({}, {"joint_mm": 9}))
    bottom = [min(plan.openings[0].frame.size.gaps_mm["bottom"].values()) for plan in (usual, own)]
    assert bottom[0] == pytest.approx(bottom[1], abs=0.01)


def test_only_packers_that_the_firm_carries_are_planned_and_taken_along() -> None:
    own = planned({"packers_mm": [3, 2, 12], "joint_mm": 8}).openings[0]
    used = {mm for point in own.fitting.packers for mm in point.packers_mm}
    assert used == {3, 2}
    assert all(point.packers_mm == (3, 3, 2) for point in own.fitting.packers)
    taken = Counter({q.size: q.amount for q in quantities(own) if q.item == "packer"})
    assert taken == {"2 mm": len(own.fitting.packers), "3 mm": 2 * len(own.fitting.packers)}


def test_packers_too_coarse_for_the_gap_are_told() -> None:
    plan = planned({"packers_mm": [5], "joint_mm": 8}).openings[0]
    assert stack_for(8.0, [5]) == (5,)
    assert any("carry thinner ones" in p.say for p in plan.fitting.problems)


@pytest.mark.parametrize("kind", ["plug_8", "plug_10", "screw_7_5"])
def test_the_kind_of_fixing_the_firm_carries_is_the_one_planned(kind: str) -> None:
    plan = planned({"fixing": {"kind": kind}}).openings[0]
    assert plan.fitting.fixing_plan.fixing.fixing == kind
    shown = {"plug_8": "8 mm nylon", "plug_10": "10 mm nylon", "screw_7_5": "7.5 mm direct"}[kind]
    screws = [q.size for q in quantities(plan) if q.item == "frame screw"]
    assert screws
    assert all(each.startswith(shown) for each in screws)


def test_a_kind_without_a_figure_in_the_wall_is_not_exchanged_for_another_in_silence() -> None:
    plan = planned({"fixing": {"kind": "plug_8", "substrate": "aerated_block"}}).openings[0]
    assert plan.fitting.fixing_plan.fixing is None
    verdict = plan.fitting.fixing_plan.verdict
    assert verdict.word == "unknown"
    assert "plug 8 in aerated_block" in verdict.why


def test_lugs_that_are_asked_for_are_planned_and_not_passed_by_the_figure_of_a_screw() -> None:
    screwed, lugged = (planned({"fixing": {"method": m}}).openings[0] for m in ("frame_screw", "lug"))
    assert {side.held_by for side in screwed.fitting.fixings} == {"screw"}
    assert {side.held_by for side in lugged.fitting.fixings} == {"lug"}
    items = {q.item: q.amount for q in quantities(lugged)}
    assert "frame screw" not in items
    assert items["lug"] == lugged.fitting.fixings.count
    verdict = lugged.fitting.fixing_plan.verdict
    assert verdict.word == "unknown"
    assert "lugs in brick" in verdict.why
    assert stopped(verdict, ()).stops == ("ordering", "work")


def test_a_declared_resistance_of_lugs_decides() -> None:
    by = {"by": "invented maker of lugs", "fixing_resistance_n": 900.0}
    verdict = planned({"fixing": {"method": "lug"}}, declared=by).openings[0].fitting.fixing_plan.verdict
    assert (verdict.word, verdict.limit) == ("meets", pytest.approx(600.0))


def test_the_firms_pace_stretches_the_crews_days_and_the_hours_of_the_estimate() -> None:
    first, prices = Crew(first_day=date(2026, 5, 4)), read_prices(read_text("demo_prices.yaml"))
    minutes, hours = {}, {}
    for pace in (0.5, 1.0, 2.0):
        plan = planned({"pace": pace})
        minutes[pace] = sum(j.minutes for j in jobs_of(plan, first))
        estimate = price_house(plan, plan_buying(plan.openings).whole, prices, days=1)
        lines = [line for part in estimate.parts for line in part.lines]
        hours[pace] = sum(float(line.quantity) for line in lines if line.kind == "labour")
    assert hours[2.0] == pytest.approx(2 * hours[1.0], abs=0.011)
    assert hours[0.5] == pytest.approx(hours[1.0] / 2, abs=0.011)
    assert minutes[0.5] < minutes[1.0] < minutes[2.0]
    assert minutes[2.0] == pytest.approx(2 * minutes[1.0], abs=5 * 13)


WRONG = {
    "joint_mm": (0, -3, 31, "wide"),
    "packers_mm": ([], [0], [-1], [51], [1] * 21),
    "pace": (0.4, 3.1, 0, "slow"),
}


@pytest.mark.parametrize(
    ("key", "value"), [(key, value) for key, values in WRONG.items() for value in values]
)
def test_what_can_be_no_practice_is_refused_by_name(key: str, value: object) -> None:
    with pytest.raises(BadInput, match=rf"defaults\.{key}"):
        survey({key: value})


def test_a_kind_of_fixing_that_is_unknown_is_refused_with_those_known() -> None:
    with pytest.raises(BadInput, match=r"defaults\.fixing\.kind: .*plug_8, plug_10"):
        survey({"fixing": {"kind": "nails"}})
