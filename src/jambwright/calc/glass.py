"""Glass by name: the strength of one make-up, and the lightest make-up that passes everything."""

from __future__ import annotations

from math import inf
from typing import Annotated, Literal

from pydantic import Field

from jambwright.basis import BadInput, Working
from jambwright.basis.border import Positive, Strict
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks.glass import (
    GlassChoice,
    LoadCase,
    check_unit,
    choose_glass,
    climate_case,
    isochoric_pressure_pa,
    order_cases,
    stock_glass,
    unit_working,
    wind_case,
)
from jambwright.checks.heat import unit_heat
from jambwright.frame import Cavity, GlazingUnit, Pane, PaneKind


class PaneGiven(Strict):
    """One pane, nominal thickness."""

    thickness_mm: Positive
    kind: PaneKind


class SealedAgainst(Strict):
    """How the unit's life differs from the day it was sealed."""

    altitude_change_m: float = 0.0
    """House less works."""
    temperature_change_k: float = 0.0
    """Of the gas in the cavity."""
    pressure_change_pa: float = 0.0
    """Of the barometer."""


class GlassStrengthInput(Strict):
    """One make-up held on four edges, outside first."""

    width_mm: Positive
    height_mm: Positive
    panes: Annotated[list[PaneGiven], Field(min_length=1)]
    cavities_mm: list[Positive] = []
    wind_pa: float
    """On the outer pane, + into the room."""
    site: SealedAgainst | None = None
    load_factor: Annotated[float, Field(ge=1, le=2)] = 1.0
    """On the wind, for strength. 1 takes `wind_pa` as the design value; orders are checked with 1.5."""


class PaneAnswer(Answer):
    """One pane in its governing case: all loads together, climate without wind, or altitude alone."""

    load_pa: float
    """Net, + into the room."""
    stress_n_mm2: float
    """Largest anywhere on the pane."""
    centre_stress_n_mm2: float
    design_strength_n_mm2: float
    deflection_mm: float
    deflection_limit_mm: float
    utilisation: float


class GlassStrengthAnswer(Answer):
    """Panes from outside. A single pane has no cavity: unit factor 1, cavity pressures 0."""

    panes: list[PaneAnswer]
    unit_factor: float
    """Of the cavity that keeps most of its isochoric pressure."""
    isochoric_pa: float
    """Over-pressure of a cavity between rigid panes."""
    cavity_pressure_pa: float
    """Over-pressure that climate leaves in the cavity: unit factor times isochoric pressure."""
    cavity_left_mm: float | None = None
    """Least width left at the centre of any cavity."""
    passes: bool


def _unit(given: GlassStrengthInput) -> GlazingUnit:
    wanted = len(given.panes) - 1
    if len(given.cavities_mm) != wanted:
        raise BadInput.one(
            "cavities_mm",
            f"cavities_mm: {len(given.panes)} panes have {wanted} cavities between them, "
            f"{len(given.cavities_mm)} given. Give one width for each.",
        )
    if given.site and not wanted:
        raise BadInput.one("site", "site: single glass has no sealed cavity; leave it out.")
    panes = tuple(Pane(thickness_mm=p.thickness_mm, kind=p.kind) for p in given.panes)
    return GlazingUnit(panes=panes, cavities=tuple(Cavity(gap_mm=gap) for gap in given.cavities_mm))


def _isochoric_pa(site: SealedAgainst | None) -> float:
    return float(isochoric_pressure_pa(**site.model_dump())) if site else 0.0


def _cases(given: GlassStrengthInput) -> list[LoadCase]:
    whole, factor = _isochoric_pa(given.site), given.load_factor
    cases = [wind_case(given.wind_pa, whole, name="wind and climate", factor=factor, climate=1.0)]
    if given.site:
        height = _isochoric_pa(SealedAgainst(altitude_change_m=given.site.altitude_change_m))
        cases += [
            climate_case(whole, name="climate", action="daily_climate", factor=1.0),
            climate_case(height, name="altitude", action="permanent", factor=1.0),
        ]
    return cases


def _strength(given: GlassStrengthInput) -> GlassStrengthAnswer:
    unit, isochoric = _unit(given), _isochoric_pa(given.site)
    check = check_unit(unit, width_mm=given.width_mm, height_mm=given.height_mm, cases=_cases(given))
    factor = float(check.unit_factor)
    found = GlassStrengthAnswer(
        panes=[
            PaneAnswer(**{name: float(getattr(pane, name)) for name in PaneAnswer.model_fields})
            for pane in check.panes
        ],
        unit_factor=factor,
        isochoric_pa=isochoric,
        cavity_pressure_pa=factor * isochoric,
        passes=bool(check.passes),
    )
    return (
        found.model_copy(update={"cavity_left_mm": float(check.cavity_left_mm)}) if unit.cavities else found
    )


def _strength_working(given: GlassStrengthInput) -> Working:
    unit, work = _unit(given), Working()
    if given.site:
        work.step("p_0", isochoric_pressure_pa, **given.site.model_dump())
    unit_working(work, unit, width_mm=given.width_mm, height_mm=given.height_mm, cases=_cases(given))
    return work


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


def _choose(given: ChooseGlassInput) -> ChooseGlassAnswer:
    choice = _choice(given)
    at = int(choice.chosen[0])
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


def _choose_working(given: ChooseGlassInput) -> Working:
    choice, work = _choice(given), Working()
    at = int(choice.chosen[0])
    unit = choice.stock[at].unit
    cases = order_cases(
        in_pa=given.wind_in_pa, out_pa=given.wind_out_pa, altitude_change_m=given.altitude_change_m
    )
    unit_working(work, unit, width_mm=given.width_mm, height_mm=given.height_mm, cases=cases)
    return work


CALCULATIONS = (
    Calculation(
        name="glass-strength",
        summary="Stress and deflection of single, double or triple glass under wind and climate.",
        asks=GlassStrengthInput,
        answers=GlassStrengthAnswer,
        run=_strength,
        working=_strength_working,
        example={
            "width_mm": 1000,
            "height_mm": 1500,
            "panes": [{"thickness_mm": 4, "kind": "annealed"}, {"thickness_mm": 4, "kind": "annealed"}],
            "cavities_mm": [16],
            "wind_pa": 863,
            "site": {"altitude_change_m": 100, "temperature_change_k": 20, "pressure_change_pa": -2000},
        },
    ),
    Calculation(
        name="choose-glass",
        summary="The lightest make-up in stock that passes wind, climate, impact class and U-value.",
        asks=ChooseGlassInput,
        answers=ChooseGlassAnswer,
        run=_choose,
        working=_choose_working,
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
