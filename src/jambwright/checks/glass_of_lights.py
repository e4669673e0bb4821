"""The glass of every light of one frame as it was asked for: whether it holds, and what would where it does not.

No glass is changed here: what is proposed waits for a person's yes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from jambwright.basis.problems import Problem
from jambwright.checks.declared import doubt
from jambwright.checks.glass import (
    DECIDES,
    MILDER,
    DeclaredGlass,
    LoadCase,
    check_unit,
    glass_verdict,
    order_cases,
    stronger_make_ups,
)
from jambwright.checks.rests import by_maker
from jambwright.checks.verdict import AGAINST, Verdict
from jambwright.checks.wind_on_house import OpeningWind
from jambwright.frame.glazing_unit import GlazingUnit
from jambwright.frame.layout import Layout, PlacedLight
from jambwright.readings.declared import Declared

WORKS = " from works at sea level"
_CLIMATE = (
    "{unit} holds in the wind, but by sums its climate alone may break it. Have the glass maker confirm "
    "it, or see the calculations for what to order."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassOfLights:
    """Verdicts on the glass asked for, and what would hold in its place."""

    verdicts: tuple[Verdict, ...]
    proposed: Mapping[str, GlazingUnit]
    """Stronger make-ups by light mark; each keeps every property asked for."""
    remarks: tuple[Problem, ...]
    """What is advised, and where nothing in stock would hold."""


def glass_of_lights(
    layout: Layout,
    asked: Mapping[str, GlazingUnit | None],
    *,
    wind: OpeningWind | None,
    altitude_m: float,
    declared: Declared | None = None,
) -> GlassOfLights:
    """Check the glass asked for in every light in wind and climate, and look for stronger where it does not hold.

    Nothing is checked while the wind is not known; where the maker declares what the glass bears, that decides.
    The works is taken to stand at sea level, so the house's altitude swells its sealed units.
    """
    if wind is None:
        return GlassOfLights(verdicts=(), proposed={}, remarks=())
    cases, milder = (
        order_cases(in_pa=wind.in_pa, out_pa=wind.out_pa, altitude_change_m=altitude_m, factors=factors)
        for factors in (DECIDES, MILDER)
    )
    vouched = _vouched(declared, wind)
    verdicts: list[Verdict] = []
    proposed: dict[str, GlazingUnit] = {}
    remarks: list[Problem] = []
    for light in layout.lights:
        unit = asked[light.mark]
        if unit is None:
            continue
        verdict = glass_verdict(
            unit, width_mm=light.glass.width_mm, height_mm=light.glass.height_mm, cases=cases,
            milder=milder, patterned=light.wanted.obscure, light=light.mark, works=WORKS,
        )  # fmt: skip
        by_climate = verdict.word == "advise" and not float(verdict.found) <= 1
        if vouched and not by_climate:  # a figure for the wind says nothing of the climate
            remarks += _doubts(vouched, light, float(verdict.found))
            verdict = vouched.verdict(verdict)
        verdicts.append(verdict)
        if by_climate:
            remarks.append(_remark(light, f"Light {light.mark}: {_CLIMATE.format(unit=unit)}"))
        if verdict.word in AGAINST:
            tried = stronger_make_ups(unit)
            stronger = next((each for each in tried if _holds(each, light, cases)), None)
            if stronger:
                proposed[light.mark] = stronger
            else:
                remarks.append(_remark(light, _none_holds(unit, light, tried)))
    return GlassOfLights(verdicts=tuple(verdicts), proposed=proposed, remarks=tuple(remarks))


def _vouched(declared: Declared | None, wind: OpeningWind) -> DeclaredGlass | None:
    if declared is None or declared.glass_wind_pa is None:
        return None
    return DeclaredGlass(
        wind_pa=wind.governing_pa, bears_pa=declared.glass_wind_pa, rest=by_maker(declared), by=declared.by
    )


def _doubts(vouched: DeclaredGlass, light: PlacedLight, used: float) -> Iterator[Problem]:
    """The wind it would bear by what is worked out, the climate taken to grow with it."""
    yield from doubt(
        "glass_wind_pa", declared=vouched.bears_pa, modelled=vouched.wind_pa / max(used, 1e-9), by=vouched.by,
        of=f"light {light.mark}, ",
    )  # fmt: skip


def _holds(unit: GlazingUnit, light: PlacedLight, cases: tuple[LoadCase, ...]) -> bool:
    glass = light.glass
    return bool(
        check_unit(
            unit, width_mm=glass.width_mm, height_mm=glass.height_mm, cases=cases,
            patterned=light.wanted.obscure,
        ).passes
    )  # fmt: skip


def _none_holds(unit: GlazingUnit, light: PlacedLight, tried: tuple[GlazingUnit, ...]) -> str:
    span = f", {tried[0]} to {tried[-1]}," if tried else ""
    return (
        f"Light {light.mark}: {unit} does not hold in wind and climate, and none of {len(tried)} stronger "
        f"make-ups{span} that keep all that was asked for does either. Choose other glass, divide the light, or "
        "ask the glass maker."
    )


def _remark(light: PlacedLight, say: str) -> Problem:
    return Problem(f"glass.{light.mark}", say, "caution")
