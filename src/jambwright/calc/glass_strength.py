"""Glass strength by name: one make-up under wind and climate together, or by leading and accompanying actions."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from pydantic import Field

from jambwright.basis import Problem, Working
from jambwright.basis.border import Positive, Strict
from jambwright.basis.problems import raise_if_any
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks.glass import (
    DECIDES,
    Factors,
    LoadCase,
    PaneSize,
    UnitCheck,
    check_unit,
    duration_of,
    given_cases,
    isochoric_pressure_pa,
    judged,
    note_factors,
)
from jambwright.checks.verdict import Word
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


class CavityActions(Strict):
    """Isochoric over-pressure of the cavity: what each would leave between rigid panes."""

    temperature_pa: float
    barometer_pa: float
    altitude_pa: float
    """Permanent."""


class Actions(Strict):
    """Actions as they occur, without factors."""

    wind_pa: float
    """On the outer pane. It is taken to blow either way."""
    cavity: CavityActions | None = None
    """Of a sealed unit."""


class GlassStrengthInput(Strict):
    """One make-up held on four edges, outside first, with `wind_pa` and `site`, or with `actions`."""

    width_mm: Positive
    height_mm: Positive
    panes: Annotated[list[PaneGiven], Field(min_length=1, max_length=5)]
    cavities_mm: Annotated[list[Positive], Field(max_length=4)] = []
    wind_pa: float | None = None
    """On the outer pane, + into the room."""
    site: SealedAgainst | None = None
    load_factor: Annotated[float, Field(ge=1, le=2)] = 1.0
    """On `wind_pa`, for strength. 1 takes it as the design value."""
    actions: Actions | None = None
    """Checked as C1 wind leads, C2 climate leads, C3 climate alone, C4 altitude alone."""
    factors: Factors | None = None
    """Set of load factors of the cases: `safe`, by which houses are planned, or `infill`."""

    @property
    def by_case(self) -> bool:
        """Whether leading and accompanying actions are asked for."""
        return bool(self.actions or self.factors)


class CaseAnswer(Answer):
    """One pane in one case."""

    load_pa: float
    """Design load, a magnitude."""
    stress_n_mm2: float
    use: float
    """Stress over design strength."""


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
    cases: dict[str, CaseAnswer] | None = None
    """By `C1` to `C4`, each in its worst direction; with `actions` or `factors`."""


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
    factors: Factors | None = None
    """The set taken; with `actions` or `factors`, as `verdict` and `why`."""
    verdict: Word | None = None
    why: str | None = None


def _problems(given: GlassStrengthInput) -> Iterator[Problem]:
    wanted = len(given.panes) - 1
    if len(given.cavities_mm) != wanted:
        yield Problem(
            "cavities_mm",
            f"cavities_mm: {len(given.panes)} panes have {wanted} cavities between them, "
            f"{len(given.cavities_mm)} given. Give one width for each.",
        )
    if given.site and not wanted:
        yield Problem("site", "site: single glass has no sealed cavity; leave it out.")
    if given.actions is None and given.wind_pa is None:
        yield Problem("wind_pa", "wind_pa is missing; give it, or the wind among the `actions`.")
    if given.by_case and "load_factor" in given.model_fields_set:
        yield Problem("load_factor", "load_factor: `factors` take its place; leave it out.")
    if given.actions:
        yield from _action_problems(given, given.actions)
    elif given.factors and wanted and not given.site:
        say = "site is missing; a sealed unit has its climate: give it, or the cavity among the `actions`."
        yield Problem("site", say)


def _action_problems(given: GlassStrengthInput, actions: Actions) -> Iterator[Problem]:
    if given.wind_pa not in (None, actions.wind_pa):
        yield Problem("wind_pa", "wind_pa: `actions` tell another wind; give it once.")
    if given.site:
        yield Problem("site", "site: the cavity among the `actions` takes its place; leave it out.")
    sealed = len(given.panes) > 1
    if actions.cavity and not sealed:
        yield Problem("actions.cavity", "actions.cavity: single glass has no sealed cavity; leave it out.")
    if sealed and not actions.cavity:
        say = "actions.cavity is missing; a sealed unit has its climate: give 0 for what does not act."
        yield Problem("actions.cavity", say)


def _unit(given: GlassStrengthInput) -> GlazingUnit:
    panes = tuple(Pane(thickness_mm=p.thickness_mm, kind=p.kind) for p in given.panes)
    return GlazingUnit(panes=panes, cavities=tuple(Cavity(gap_mm=gap) for gap in given.cavities_mm))


def _cavity(given: GlassStrengthInput) -> CavityActions:
    """What acts in the cavity, told one by one or by how its life differs from the day it was sealed."""
    if given.actions:
        return given.actions.cavity or CavityActions(temperature_pa=0, barometer_pa=0, altitude_pa=0)
    site = given.site or SealedAgainst()
    still = {"altitude_change_m": 0.0, "temperature_change_k": 0.0, "pressure_change_pa": 0.0}
    altitude, temperature, barometer = (
        float(isochoric_pressure_pa(**(still | {name: getattr(site, name)}))) for name in still
    )
    return CavityActions(temperature_pa=temperature, barometer_pa=barometer, altitude_pa=altitude)


def _cases(given: GlassStrengthInput, cavity: CavityActions) -> tuple[LoadCase, ...]:
    wind = given.actions.wind_pa if given.actions else given.wind_pa
    assert wind is not None
    if given.by_case:
        return given_cases(wind_pa=wind, **cavity.model_dump(), factors=given.factors or DECIDES)
    whole = sum(cavity.model_dump().values())
    together = LoadCase(
        name="wind and climate", kmod=duration_of("wind"), wind_pa=wind, wind_factor=given.load_factor,
        climate_pa=whole,
    )  # fmt: skip
    if not given.site:
        return (together,)
    return (
        together,
        LoadCase(name="climate", kmod=duration_of("daily_climate"), climate_pa=whole),
        LoadCase(name="altitude", kmod=duration_of("permanent"), altitude_pa=cavity.altitude_pa),
    )


def _strength(given: GlassStrengthInput, work: Working) -> GlassStrengthAnswer:
    raise_if_any(_problems(given))
    unit, cavity = _unit(given), _cavity(given)
    if given.site:
        work.step("p_0", isochoric_pressure_pa, **given.site.model_dump())
    if given.by_case:
        note_factors(work, given.factors or DECIDES)
    width, height = given.width_mm, given.height_mm
    check = check_unit(unit, width_mm=width, height_mm=height, cases=_cases(given, cavity), work=work)
    isochoric, factor = sum(cavity.model_dump().values()), float(check.unit_factor)
    more: dict[str, Any] = {"cavity_left_mm": float(check.cavity_left_mm)} if unit.cavities else {}
    if given.by_case:
        factors = given.factors or DECIDES
        found = judged(check, unit, PaneSize(width_mm=width, height_mm=height), factors=factors)
        more |= {"factors": factors, "verdict": found.word, "why": found.why}
    return GlassStrengthAnswer(
        panes=[_pane(check, number, by_case=given.by_case) for number, _ in enumerate(unit.panes)],
        unit_factor=factor,
        isochoric_pa=isochoric,
        cavity_pressure_pa=factor * isochoric,
        passes=bool(check.passes),
        **more,
    )


def _pane(check: UnitCheck, number: int, *, by_case: bool) -> PaneAnswer:
    pane = check.panes[number]
    plain = {name: float(getattr(pane, name)) for name in PaneAnswer.model_fields if name != "cases"}
    if not by_case:
        return PaneAnswer(**plain)
    cases = {}
    for name in dict.fromkeys(case.name for case in check.cases):
        found = check.in_case(name, number)
        cases[name] = CaseAnswer(load_pa=abs(found.load_pa), stress_n_mm2=found.stress_n_mm2, use=found.use)
    return PaneAnswer(**plain, cases=cases)


CALCULATIONS = (
    Calculation(
        name="glass-strength",
        summary="Stress and deflection of single, double or triple glass under wind and climate.",
        asks=GlassStrengthInput,
        answers=GlassStrengthAnswer,
        run=_strength,
        example={
            "width_mm": 1000,
            "height_mm": 1500,
            "panes": [{"thickness_mm": 4, "kind": "annealed"}, {"thickness_mm": 4, "kind": "annealed"}],
            "cavities_mm": [16],
            "actions": {
                "wind_pa": 863,
                "cavity": {"temperature_pa": -8500, "barometer_pa": -4000, "altitude_pa": 1200},
            },
            "factors": "safe",
        },
    ),
)
