"""Glass for every light of one frame: the wanted make-up where it holds, else the lightest that does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from jambwright.basis.problems import Problem
from jambwright.checks.declared import doubt
from jambwright.checks.glass import (
    DeclaredGlass,
    LoadCase,
    StockGlass,
    choose_glass,
    glass_verdict,
    order_cases,
    stock_glass,
)
from jambwright.checks.heat import unit_heat
from jambwright.checks.regulations.safety_glass import impact_class, usual_class
from jambwright.checks.rests import by_maker
from jambwright.checks.verdict import AGAINST, Verdict
from jambwright.checks.wind_on_house import OpeningWind
from jambwright.frame.glazing_unit import GlazingUnit, Pane
from jambwright.frame.layout import Layout, PlacedLight
from jambwright.readings.declared import Declared

AS_WARM = 1.02
"""A stronger make-up may lose this much U to the thicker glass."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassOfLights:
    """What to glaze each light with, whether it holds, and what was changed from the wanted."""

    glazing: Mapping[str, GlazingUnit | None]
    verdicts: tuple[Verdict, ...]
    changes: tuple[Problem, ...]
    doubts: tuple[Problem, ...] = ()
    """About what is declared of the glass."""


def glass_of_lights(
    layout: Layout,
    wanted: Mapping[str, GlazingUnit | None],
    *,
    wind: OpeningWind | None,
    altitude_m: float,
    declared: Declared | None = None,
) -> GlassOfLights:
    """Check the wanted glass of every light in wind and climate, and strengthen what does not hold.

    Nothing is checked while the wind is not known; where the maker declares what the glass bears, that decides.
    The works is taken to stand at sea level, so the house's altitude swells its sealed units.
    """
    if wind is None:
        return GlassOfLights(glazing=wanted, verdicts=(), changes=())
    cases = order_cases(in_pa=wind.in_pa, out_pa=wind.out_pa, altitude_change_m=altitude_m)
    vouched = _vouched(declared, wind)
    glazing = dict(wanted)
    verdicts: list[Verdict] = []
    changes: list[Problem] = []
    doubts: list[Problem] = []
    for light in layout.lights:
        unit = wanted[light.mark]
        if unit is None:
            continue
        verdict = _verdict(unit, light, cases, vouched)
        stronger = _stronger(unit, light, wind, altitude_m) if verdict.word in AGAINST else None
        if stronger:
            say = f"Light {light.mark}: {unit} does not hold in wind and climate; {stronger} is ordered instead."
            changes.append(Problem(f"glass.{light.mark}", say, "caution"))
            glazing[light.mark] = stronger
            verdict = _verdict(stronger, light, cases)
        if vouched:
            doubts += _doubts(vouched, _verdict(unit, light, cases))
        verdicts.append(verdict)
    return GlassOfLights(
        glazing=glazing, verdicts=tuple(verdicts), changes=tuple(changes), doubts=tuple(dict.fromkeys(doubts))
    )


def _doubts(vouched: DeclaredGlass, modelled: Verdict) -> Iterator[Problem]:
    """The wind it would bear by what is worked out, the climate taken to grow with it."""
    bears = vouched.wind_pa / max(float(modelled.found), 1e-9)
    yield from doubt("glass_wind_pa", declared=vouched.bears_pa, modelled=bears, by=vouched.by)


def _vouched(declared: Declared | None, wind: OpeningWind) -> DeclaredGlass | None:
    if declared is None or declared.glass_wind_pa is None:
        return None
    return DeclaredGlass(
        wind_pa=wind.governing_pa, bears_pa=declared.glass_wind_pa, rest=by_maker(declared), by=declared.by
    )


def _verdict(
    unit: GlazingUnit, light: PlacedLight, cases: tuple[LoadCase, ...], vouched: DeclaredGlass | None = None
) -> Verdict:
    glass = light.glass
    return glass_verdict(
        f"Light {light.mark}",
        unit,
        width_mm=glass.width_mm,
        height_mm=glass.height_mm,
        cases=cases,
        declared=vouched,
    )


def _stronger(
    unit: GlazingUnit, light: PlacedLight, wind: OpeningWind, altitude_m: float
) -> GlazingUnit | None:
    """The lightest of the stock with as many panes, no less safe and about as warm; ``None`` when none holds."""
    stock = [each for each in stock_glass() if len(each.unit.panes) == len(unit.panes)]
    found = choose_glass(
        width_mm=light.glass.width_mm,
        height_mm=light.glass.height_mm,
        in_pa=wind.in_pa,
        out_pa=wind.out_pa,
        altitude_change_m=altitude_m,
        class_outside=_impact(unit.panes[0]),
        class_inside=_impact(unit.panes[-1]),
        u_limit_w_m2k=AS_WARM * _u(unit),
        u_w_m2k={each.id: _u(each.unit) for each in stock},
        stock=stock,
    )
    place = int(found.chosen[0])
    return _of(found.stock, place)


def _of(stock: tuple[StockGlass, ...], place: int) -> GlazingUnit | None:
    return stock[place].unit if place >= 0 else None


def _impact(pane: Pane) -> int:
    """The EN 12600 class the wanted pane usually has, 0 for none: a stronger one must not be less safe."""
    usual = usual_class(pane.kind, pane.thickness_mm)
    found = impact_class(usual) if usual else None
    return found.height if found and found.mode != "A" and found.height else 0


def _u(unit: GlazingUnit) -> float:
    return float(unit_heat(unit).u_w_m2k)
