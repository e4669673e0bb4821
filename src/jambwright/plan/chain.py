"""The chain of one opening from its readings to damp: what was found at each step, whether it will do, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from jambwright.basis.clause import Clause
from jambwright.basis.working import Working
from jambwright.checks.heat.frame_working import frame_working, glass_of_frame_working
from jambwright.checks.size_fits import held_verdict, readings_verdict, size_verdict
from jambwright.checks.verdict import Verdict
from jambwright.checks.wind import classes_wanted
from jambwright.checks.wind_on_house import wind_working
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.readings.survey import Survey

TITLES: Mapping[str, str] = {
    "readings": "Readings",
    "size": "Size to order",
    "wind": "Wind",
    "glass": "Glass",
    "members": "Bars",
    "fixings.strength": "Fixings",
    "fixings.weight": "Weight",
    "movement": "Movement",
    "heat": "Heat",
    "condensation": "Damp",
    "": "Rules",
}
"""Links in order, by the beginning of the rules that belong to them; what fits no other is a rule of law."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """One step of the chain: verdicts, and what was found where there is nothing to judge."""

    title: str = ""
    found: tuple[str, ...] = ()
    source: Clause | None = None
    """Of what was found."""
    verdicts: tuple[Verdict, ...] = ()
    workings: Mapping[str, Working] = field(default_factory=dict)
    """Of what was found, by what they work out; a verdict carries its own."""


def chain(house: HousePlan, plan: OpeningPlan) -> tuple[Link, ...]:
    """The links of one opening that have something to say, in order.

    Of the rules of law those that were worked out or are not met; all of them have a paper of their own.
    """
    survey = house.survey
    judged: dict[str, list[Verdict]] = {start: [] for start in TITLES}
    for verdict in (*_sized(plan), *plan.verdicts):
        judged[_start(verdict.rule)].append(verdict)
    rules = house.rules_on(plan).verdicts
    judged[""] += [verdict for verdict in rules if verdict.working.steps or verdict.word != "meets"]
    said = {"wind": _wind(survey, plan), "heat": _heat(plan)}
    links = [
        replace(link, title=title, verdicts=(*link.verdicts, *judged[start]))
        for start, title in TITLES.items()
        for link in (said.get(start, Link()),)
    ]
    return tuple(link for link in links if link.verdicts or link.found)


def _sized(plan: OpeningPlan) -> Iterator[Verdict]:
    """Of the readings, both faces where the reveal is rebated, and of the size."""
    read = plan.read
    yield readings_verdict(plan.outline, plan.advice)
    if read.inside and read.inside_advice:
        yield readings_verdict(read.inside, read.inside_advice, "Inside")
    yield from (held_verdict(held) for held in read.held)
    size = size_verdict(plan.frame.size, plan.lapped)
    yield replace(size, word="unknown", why=f"Once measured it may be: {size.why}") if read.held else size


def _start(rule: str) -> str:
    return next(start for start in TITLES if rule == start or rule.startswith(f"{start}.") or not start)


def _wind(survey: Survey, plan: OpeningPlan) -> Link:
    wind = plan.wind
    if wind is None:
        return Link()
    classes = classes_wanted(wind.governing_pa, survey.site.nation)
    return Link(
        found=(
            f"The wind pushes in with {wind.in_pa:.0f} Pa and pulls out with {-wind.out_pa:.0f} Pa (zone "
            f"{wind.zone_out} of the wall).",
            f"Order at least wind class {classes.wind}, water class {classes.water}, air class {classes.air}; "
            f"exposure category {classes.category}.",
        ),
        source=classes.source,
        workings={"net pressure": wind_working(survey, plan.opening, wind)},
    )


def _heat(plan: OpeningPlan) -> Link:
    unit, frame = plan.heat.unit, plan.frame
    near = "" if unit.band.sure else f", or {unit.band.or_else} when the index is rounded"
    leakage = frame.chosen.profile.air_leakage_l50_m3_hm2
    work = frame_working(frame, unit, air_leakage_l50_m3_hm2=leakage)
    return Link(
        found=(
            f"U {unit.real.u_w_m2k:.2f} W/m²K at its own size, {unit.reference.u_w_m2k:.2f} at the reference size; "
            f"energy index {unit.index_kwh_m2:+.0f} kWh/m² a year, band {unit.band.band}{near}.",
        ),
        source=next(step.source for step in work if step.symbol == "EI"),
        workings={
            **{f"glass {make_up}": steps for make_up, steps in glass_of_frame_working(frame).items()},
            "whole unit": work,
        },
    )
