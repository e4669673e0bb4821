"""From heat saved to fuel, carbon and money, as a range, with its assumptions and a plain word on payback."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from jambwright.basis.clause import clause
from jambwright.basis.tables import table
from jambwright.basis.units import two_figures
from jambwright.checks.heat.constants import Figures
from jambwright.checks.heat.saving import Saved, stand_in


@dataclass(frozen=True, slots=True, kw_only=True)
class Heating:
    """How the house is heated."""

    fuel: str
    efficiency: float
    co2_kg_kwh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """Never a single figure."""

    low: float
    likely: float
    high: float

    def times(self, factor: float) -> Range:
        """The range in another unit; the factor is not negative."""
        return Range(low=self.low * factor, likely=self.likely * factor, high=self.high * factor)


def heating_of(kind: str, *, efficiency: float | None = None) -> Heating:
    """A kind of heating, with its usual efficiency unless one is given. Raises ``BadInput``."""
    row = table("heating_kinds").find(heating=kind)
    carbon = table("fuel_carbon").find(fuel=row["fuel"])
    used = efficiency if efficiency is not None else row["efficiency"]
    return Heating(fuel=row["fuel"], efficiency=used, co2_kg_kwh=carbon["co2_kg_kwh"])


@clause("Fuel for heat", unit="kWh/year", formula="fuel = heat / efficiency", how="calculated")
def fuel_kwh(*, heat_kwh: Figures, efficiency: Figures) -> Figures:
    """Fuel that gives the heat.

    >>> fuel_kwh(heat_kwh=3222.5, efficiency=0.84)
    3836.3
    """
    return heat_kwh / efficiency


@clause("Carbon of fuel", unit="kg/year", formula="CO₂ = fuel × factor", how="calculated")
def co2_kg(*, fuel_kwh: Figures, co2_kg_kwh: Figures) -> Figures:
    """Carbon dioxide of the fuel."""
    return fuel_kwh * co2_kg_kwh


def doubt_shares() -> tuple[float, float]:
    """Root-sum-square of the doubts, down and up: comfort taking only lowers a saving.

    >>> doubt_shares()
    (0.313, 0.275)
    """
    rows = table("saving_doubts").rows
    up = math.sqrt(sum(row["share"] ** 2 for row in rows if row["sides"] == "both"))
    return math.sqrt(sum(row["share"] ** 2 for row in rows)), up


def heat_range(ways: Sequence[Saved]) -> Range:
    """The heat saved by several ways of reckoning, widened by the doubts."""
    down, up = doubt_shares()
    values = [way.heat_kwh for way in ways]
    ends = [value * factor for value in values for factor in (1 - down, 1 + up)]
    return Range(low=min(ends), likely=sum(values) / len(values), high=max(ends))


def payback_years(cost: float, money_a_year: Range) -> tuple[float | None, float | None]:
    """Years until the bills have paid the cost, at best and at worst; ``None`` when they never do."""

    def years(money: float) -> float | None:
        return cost / money if money > 0 else None

    return years(money_a_year.high), years(money_a_year.low)


def payback_words(cost: float, money_a_year: Range) -> str:
    """The payback said plainly."""
    best, worst = payback_years(cost, money_a_year)
    life = stand_in("window_life_years")
    if best is None:
        return "The bills will not pay for this work; there may be other good reasons for it."
    span = (
        f"{two_figures(best)} to {two_figures(worst)} years"
        if worst
        else f"at least {two_figures(best)} years"
    )
    say = f"At today's prices the bills alone take {span} to pay for the work."
    if worst is None or worst > life:
        say += (
            f" New windows last about {life:.0f} years, so do not count on the saving alone: comfort, noise, "
            "safety and looks come with it."
        )
    return say
