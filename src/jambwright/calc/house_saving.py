"""Calculations by name: what new windows save in a year, as a range with its assumptions."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from jambwright.basis.border import NotNegative, Positive, Strict
from jambwright.basis.clause import Clause
from jambwright.basis.envelope import counted
from jambwright.basis.units import two_figures
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks.heat.climate import Climate, climate, degree_days_of_year
from jambwright.checks.heat.payback import (
    Heating,
    Range,
    co2_kg,
    fuel_kwh,
    heat_range,
    heating_of,
    payback_words,
    payback_years,
)
from jambwright.checks.heat.saving import (
    Glazed,
    House,
    Replacement,
    Saved,
    by_degree_days,
    by_months,
    degree_day_heat_kwh,
    stand_in,
    used_share,
    usual_house,
)
from jambwright.checks.heat.saving_words import assumptions
from jambwright.checks.heat.standing import standing_window
from jambwright.checks.heat.window_u import u_with_curtains_w_m2k
from jambwright.readings.survey import Facing, OldMaterial

Share = Annotated[float, Field(gt=0, le=1)]


class SideAsked(Strict):
    """A window before or after: its U, or what can be seen of an old one."""

    u_w_m2k: Annotated[float, Field(gt=0, le=10)] | None = None
    glazing: str | None = None
    """Old window of unknown make, such as `single` or `double_uncoated`; gives U and g."""
    material: OldMaterial = "timber"
    gas: Literal["air", "argon"] = "air"
    gap_mm: NotNegative = 12.0
    g: Share | None = None
    """Of the glass, at normal incidence."""
    glass_share: Share | None = None
    """Visible glass over the whole window."""
    air_leakage_l50_m3_hm2: NotNegative | None = None
    """At 50 Pa, m3 an hour and square metre of window."""

    @model_validator(mode="after")
    def _one_u(self) -> SideAsked:
        if (self.u_w_m2k is None) == (self.glazing is None):
            raise ValueError("give either u_w_m2k or glazing.")
        return self

    def side(self, *, curtains: bool) -> Glazed:
        """The window as the balance takes it."""
        u, g = self.u_w_m2k, self.g
        if self.glazing is not None:
            old = standing_window(
                glazing=self.glazing, material=self.material, gas=self.gas, gap_mm=self.gap_mm
            )
            u, g = old.u_w_m2k, g if g is not None else old.g
        assert u is not None
        return Glazed(
            u_w_m2k=float(u_with_curtains_w_m2k(u_w_m2k=u)) if curtains else u,
            g=g,
            glass_share=self.glass_share if self.glass_share is not None else stand_in("frame_factor"),
            air_leakage_l50_m3_hm2=self.air_leakage_l50_m3_hm2,
        )


class ChangeAsked(Strict):
    """One opening, or several alike as one area."""

    label: str = ""
    area_m2: Positive
    facing: Facing | None = None
    """Which way it looks; needed for the sun."""
    before: SideAsked
    after: SideAsked


class HeatingAsked(Strict):
    """How the house is heated."""

    kind: str = "gas_condensing"
    """A row of the table of heating kinds."""
    efficiency: Annotated[float, Field(gt=0, le=8)] | None = None
    """Heat out over fuel in: 0.84, or 2.8 for a heat pump."""


class SavingAsked(Strict):
    """The windows before and after, where the house stands, how it is heated, and prices as typed in."""

    openings: Annotated[list[ChangeAsked], counted("openings", 1)]
    region: str = "uk_average"
    degree_days: Positive | None = None
    """Of a year; from the region and base_c when left out."""
    base_c: Annotated[float, Field(ge=5, le=22)] = 15.5
    inside_c: Annotated[float, Field(ge=10, le=28)] | None = None
    """Mean of the heated house over day and night."""
    floor_area_m2: Positive | None = None
    curtains: bool = False
    """Curtains or blinds are drawn at night, before and after."""
    heating: HeatingAsked = HeatingAsked()
    price_per_kwh: NotNegative | None = None
    """Of the fuel, in your money."""
    cost: NotNegative | None = None
    """Of the whole work, in the same money."""


class WayLine(Answer):
    """A year's saving by one way of reckoning, kWh of heat."""

    fabric_kwh: float
    draught_kwh: float
    """Kept apart: less air through the closed windows."""
    lost_sun_kwh: float
    """Taken off: better glass lets in less sun."""
    heat_kwh: float
    fuel_kwh: float
    co2_kg: float


class RangeLine(Answer):
    """From low to high."""

    low: float
    likely: float
    high: float


class SavingAnswer(Answer):
    """A modelled estimate, never a promise."""

    degree_days: float
    by_degree_days: WayLine
    by_months: WayLine
    heat_kwh: RangeLine
    fuel_kwh: RangeLine
    co2_kg: RangeLine
    money: RangeLine | None = None
    payback_years: list[float | None] | None = None
    """At best and at worst; null when the bills never pay for it."""
    assumptions: list[str]
    say: list[str]


def _situation(asked: SavingAsked) -> tuple[list[Replacement], Climate, float, House, Heating]:
    region = climate(asked.region)
    changes = [
        Replacement(
            name=o.label,
            area_m2=o.area_m2,
            facing=o.facing,
            before=o.before.side(curtains=asked.curtains),
            after=o.after.side(curtains=asked.curtains),
        )
        for o in asked.openings
    ]
    days = (
        asked.degree_days
        if asked.degree_days is not None
        else degree_days_of_year(region, base_c=asked.base_c)
    )
    house = usual_house(floor_area_m2=asked.floor_area_m2, inside_c=asked.inside_c)
    return changes, region, days, house, heating_of(asked.heating.kind, efficiency=asked.heating.efficiency)


def _saving(asked: SavingAsked, work: Working) -> SavingAnswer:
    changes, region, days, house, heating = _situation(asked)
    work.note(
        "HDD", "year's degree days", days, "K day", region.source, region=asked.region, base_c=asked.base_c
    )
    ways = (
        by_degree_days(changes, region, degree_days_kd=days, work=work),
        by_months(changes, region, house),
    )
    heat = heat_range(ways)
    fuel = heat.times(1 / heating.efficiency)
    counted = f"typed in, {asked.degree_days:g}" if asked.degree_days else f"base {asked.base_c:g} °C"
    answer = SavingAnswer(
        degree_days=days,
        by_degree_days=_way(ways[0], heating, work, "degree days", degree_day_heat_kwh.source),
        by_months=_way(ways[1], heating, work, "months", used_share.source),
        heat_kwh=_range(heat),
        fuel_kwh=_range(fuel),
        co2_kg=_range(fuel.times(heating.co2_kg_kwh)),
        assumptions=assumptions(
            changes, region, house, heating, heating_kind=asked.heating.kind, degree_days=counted
        ),
        say=[
            f"The new windows save about {two_figures(fuel.low)} to {two_figures(fuel.high)} kWh of "
            f"{heating.fuel} a year. This is a modelled estimate, not a promise."
        ],
    )
    if asked.price_per_kwh is not None:
        money = fuel.times(asked.price_per_kwh)
        answer.money = _range(money)
        if asked.cost is not None:
            answer.payback_years = list(payback_years(asked.cost, money))
            answer.say.append(payback_words(asked.cost, money))
    return answer


def _way(saved: Saved, heating: Heating, work: Working, name: str, source: Clause) -> WayLine:
    work.note(
        f"Q by {name}", "fabric + draught − lost sun", saved.heat_kwh, "kWh/year", source,
        fabric_kwh=saved.fabric_kwh, draught_kwh=saved.draught_kwh, lost_sun_kwh=saved.lost_sun_kwh,
    )  # fmt: skip
    fuel = work.step(f"fuel by {name}", fuel_kwh, heat_kwh=saved.heat_kwh, efficiency=heating.efficiency)
    carbon = work.step(f"CO₂ by {name}", co2_kg, fuel_kwh=fuel, co2_kg_kwh=heating.co2_kg_kwh)
    return WayLine(
        fabric_kwh=saved.fabric_kwh,
        draught_kwh=saved.draught_kwh,
        lost_sun_kwh=saved.lost_sun_kwh,
        heat_kwh=saved.heat_kwh,
        fuel_kwh=float(fuel),
        co2_kg=float(carbon),
    )


def _range(values: Range) -> RangeLine:
    return RangeLine(low=values.low, likely=values.likely, high=values.high)


CALCULATIONS: tuple[Calculation[Any], ...] = (
    Calculation(
        name="house-saving",
        summary="what new windows save in a year, by two ways, as a range",
        asks=SavingAsked,
        answers=SavingAnswer,
        run=_saving,
        example={
            "region": "midlands",
            "openings": [
                {
                    "label": "front",
                    "area_m2": 6.0,
                    "facing": "south",
                    "before": {"glazing": "single", "material": "timber", "air_leakage_l50_m3_hm2": 20},
                    "after": {"u_w_m2k": 1.4, "g": 0.63, "air_leakage_l50_m3_hm2": 1},
                }
            ],
            "heating": {"kind": "gas_condensing"},
            "price_per_kwh": 0.07,
            "cost": 5200,
        },
    ),
)
