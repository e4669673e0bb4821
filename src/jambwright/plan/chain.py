"""What one opening's plan was worked out from besides its verdicts: readings and size judged, wind and heat found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from jambwright.basis.clause import Clause
from jambwright.basis.working import Working
from jambwright.checks.delivered import delivery_verdicts
from jambwright.checks.heat import USUAL_EDGE, FrameHeat, unit_heat
from jambwright.checks.opening_heat import heat_as_ordered
from jambwright.checks.size_fits import held_verdict, ordered_verdict, readings_verdict, size_verdict
from jambwright.checks.specification import specification_verdicts
from jambwright.checks.structure import lintel_verdict, seen_verdicts
from jambwright.checks.verdict import Verdict
from jambwright.checks.wind import classes_wanted
from jambwright.checks.wind_on_house import wind_on_opening
from jambwright.plan.house import OpeningPlan
from jambwright.readings.survey import Survey


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What was worked out where there is nothing to judge."""

    about: Literal["wind", "heat"]
    say: tuple[str, ...]
    source: Clause | None = None
    workings: Mapping[str, Working] = field(default_factory=dict)
    """By what they work out."""


def checks_of(plan: OpeningPlan) -> tuple[Verdict, ...]:
    """Every check of one opening in the order of the way: readings, size, structure, then strength, joints, damp.

    What is found of the unit once it is delivered comes last.
    """
    opening = plan.opening
    return (
        *_sized(plan),
        lintel_verdict(opening),
        *seen_verdicts(opening),
        *specification_verdicts(plan.frame, opening.wanted.specified),
        *plan.verdicts,
        *delivery_verdicts(opening, plan.frame),
    )


def found_of(survey: Survey, plan: OpeningPlan) -> tuple[Found, ...]:
    """Wind, where it is known, and heat."""
    return (*_wind(survey, plan), _heat(plan))


def _sized(plan: OpeningPlan) -> Iterator[Verdict]:
    """Of the readings, both faces where the reveal is rebated, and of the size."""
    read = plan.read
    yield readings_verdict(plan.outline, plan.advice)
    if read.inside and read.inside_advice:
        yield readings_verdict(read.inside, read.inside_advice, "Inside")
    yield from (held_verdict(held) for held in read.held)
    size = size_verdict(plan.frame.size, plan.lapped)
    yield replace(size, word="unknown", why=f"Once measured it may be: {size.why}") if read.held else size
    yield from ordered_verdict(plan.opening, plan.frame.size)


def _wind(survey: Survey, plan: OpeningPlan) -> Iterator[Found]:
    wind = plan.wind
    if wind is None:
        return
    classes, work = classes_wanted(wind.governing_pa, survey.site.nation), Working()
    wind_on_opening(survey, plan.opening, wind.area_m2, work)
    yield Found(
        about="wind",
        say=(
            f"The wind pushes in with {wind.in_pa:.0f} Pa and pulls out with {-wind.out_pa:.0f} Pa (zone "
            f"{wind.zone_out} of the wall).",
            f"Order at least wind class {classes.wind}, water class {classes.water}, air class {classes.air}; "
            f"exposure category {classes.category}.",
        ),
        source=classes.source,
        workings={"net pressure": work},
    )


def _index_words(unit: FrameHeat) -> str:
    """Index and band of a window; a door has neither."""
    if unit.band is None:
        return ""
    near = "" if unit.band.sure else f", or {unit.band.or_else} when the index is rounded"
    return f"; energy index {unit.index_kwh_m2:+.0f} kWh/m² a year, band {unit.band.band}{near}"


def _heat(plan: OpeningPlan) -> Found:
    unit, frame = plan.heat.unit, plan.frame
    glass: dict[str, Working] = {}
    for make_up in dict.fromkeys(filter(None, frame.glazing.values())):
        unit_heat(make_up, coating=USUAL_EDGE.coating, work=glass.setdefault(f"glass {make_up}", Working()))
    work = Working()
    heat_as_ordered(plan.opening, frame, work)
    return Found(
        about="heat",
        say=(
            f"U {unit.real.u_w_m2k:.2f} W/m²K at its own size, {unit.reference.u_w_m2k:.2f} at the reference "
            f"size{_index_words(unit)}.",
        ),
        source=next(step.source for step in work if step.symbol in ("EI", "U_w reference")),
        workings={**glass, "whole unit": work},
    )
