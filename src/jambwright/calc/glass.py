"""Glass by name: the lightest make-up that passes everything."""

from __future__ import annotations

from math import inf
from typing import Annotated, Literal

from pydantic import Field

from jambwright.basis import Working
from jambwright.basis.border import Positive, Strict
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks.glass import (
    DECIDES,
    GlassChoice,
    check_unit,
    choose_glass,
    note_factors,
    order_cases,
    stock_glass,
)
from jambwright.checks.heat import unit_heat
from jambwright.frame import GlazingUnit


class ChooseGlassInput(Strict):
    """A pane of glass and what it must stand; wind as it occurs, without load factor."""

    width_mm: Positive
    height_mm: Positive
    wind_in_pa: Annotated[float, Field(ge=0)]
    """Into the room."""
    wind_out_pa: Annotated[float, Field(le=0)] = 0.0
    """Out of the room, negative."""
    altitude_change_m: float = 0.0
    """House less works."""
    class_outside: Literal[0, 1, 2, 3] = 0
    """EN 12600 impact class wanted of the outer pane; 0 for none."""
    class_inside: Literal[0, 1, 2, 3] = 0
    u_limit_w_m2k: Positive | None = None
    """On the middle of the glass, by EN 673."""


class Candidate(Answer):
    """One make-up of the stock and what it fails on."""

    id: str
    make_up: str
    mass_kg_m2: float
    why_not: list[str]
    """Empty for the one chosen."""


class ChooseGlassAnswer(Answer):
    """The lightest make-up that passes, and why the lighter ones don't."""

    chosen: str | None
    """Stock id; none when nothing in stock passes."""
    make_up: str | None = None
    mass_kg_m2: float | None = None
    thickness_mm: float | None = None
    utilisation: float | None = None
    deflection_mm: float | None = None
    tried: list[Candidate]
    """In order of mass, up to the one chosen."""


def _choice(given: ChooseGlassInput) -> GlassChoice:
    stock = stock_glass()
    return choose_glass(
        width_mm=given.width_mm,
        height_mm=given.height_mm,
        in_pa=given.wind_in_pa,
        out_pa=given.wind_out_pa,
        altitude_change_m=given.altitude_change_m,
        class_outside=given.class_outside,
        class_inside=given.class_inside,
        u_limit_w_m2k=given.u_limit_w_m2k or inf,
        u_w_m2k={glass.id: float(unit_heat(glass.unit).u_w_m2k) for glass in stock},
        stock=stock,
    )


def _choose(given: ChooseGlassInput, work: Working) -> ChooseGlassAnswer:
    choice = _choice(given)
    at = int(choice.chosen[0])
    _note_check(work, given, choice.stock[at].unit)  # where none passes, of the heaviest
    tried = choice.stock if at < 0 else choice.stock[: at + 1]
    candidates = [
        Candidate(
            id=glass.id, make_up=str(glass.unit), mass_kg_m2=glass.unit.mass_kg_m2, why_not=choice.why_not(i)
        )
        for i, glass in enumerate(tried)
    ]
    if at < 0:
        return ChooseGlassAnswer(chosen=None, tried=candidates)
    glass, check = choice.stock[at], choice.checks[at]
    return ChooseGlassAnswer(
        chosen=glass.id,
        make_up=str(glass.unit),
        mass_kg_m2=glass.unit.mass_kg_m2,
        thickness_mm=glass.unit.thickness_mm,
        utilisation=float(check.utilisation[0]),
        deflection_mm=max(float(pane.deflection_mm[0]) for pane in check.panes),
        tried=candidates,
    )


def _note_check(work: Working, given: ChooseGlassInput, unit: GlazingUnit) -> None:
    """The steps of the check of one make-up out of the many checked at once."""
    cases = order_cases(
        in_pa=given.wind_in_pa, out_pa=given.wind_out_pa, altitude_change_m=given.altitude_change_m
    )
    note_factors(work, DECIDES)
    check_unit(unit, width_mm=given.width_mm, height_mm=given.height_mm, cases=cases, work=work)


CALCULATIONS = (
    Calculation(
        name="choose-glass",
        summary="The lightest make-up in stock that passes wind, climate, impact class and U-value.",
        asks=ChooseGlassInput,
        answers=ChooseGlassAnswer,
        run=_choose,
        example={
            "width_mm": 900,
            "height_mm": 1200,
            "wind_in_pa": 863,
            "wind_out_pa": -929,
            "altitude_change_m": 100,
            "class_inside": 3,
        },
    ),
)
