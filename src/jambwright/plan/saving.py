"""What the new windows save the house in a year, against what stands there now."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace

from jambwright.basis.tables import table
from jambwright.checks.heat import (
    Climate,
    Glazed,
    Heating,
    House,
    Range,
    Replacement,
    Saved,
    area_weighted,
    by_degree_days,
    by_months,
    degree_days_of_year,
    heat_range,
    heating_of,
    payback_words,
    standing_now,
    usual_house,
)
from jambwright.checks.heat.saving import stand_in
from jambwright.checks.heat.saving_words import assumptions
from jambwright.checks.heat.solar import window_g
from jambwright.checks.opening_heat import climate_of
from jambwright.checks.wind.classes import air_leakage_m3_hm2
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.plan.options import AS_ORDERED
from jambwright.readings.survey import Facing, Survey

AROUND: tuple[Facing, ...] = (
    "north", "north_east", "east", "south_east", "south", "south_west", "west", "north_west",
)  # fmt: skip
EIGHTHS = {"front": 0, "right": 6, "back": 4, "left": 2}
"""Eighths of a turn from the front's facing, clockwise from above; left and right as seen from the front."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseSaving:
    """Before and after, by two ways of reckoning; a modelled estimate, never a promise."""

    area_m2: float
    before_u_w_m2k: float
    after_u_w_m2k: float
    ways: Mapping[str, Saved]
    """By degree days and by months; draughts apart, not in these."""
    heat_kwh: Range
    draught_kwh: tuple[float, float]
    """Heat that less draught may save beside, least and most of both ways, the old leakage taken."""
    heating: Heating | None
    fuel_kwh: Range | None
    co2_kg: Range | None
    money: Range | None
    cost: float | None
    payback: str | None
    assumptions: tuple[str, ...]
    missing: tuple[str, ...]
    """What must be given for the lines left out."""


def house_saving(house: HousePlan) -> HouseSaving | None:
    """The saving of the whole work; ``None`` where no old glazing was looked at."""
    known = [(plan, before) for plan in house.openings if (before := _before(plan))]
    if not known:
        return None
    survey = house.survey
    region = climate_of(survey.site)
    changes = [_change(survey, plan, before) for plan, before in known]
    rest, days = _rest_of_house(survey), degree_days_of_year(region)
    ways = _both_ways(changes, region, days, rest)
    leaky = _both_ways(
        [_with_draught(c, p) for c, (p, _) in zip(changes, known, strict=True)], region, days, rest
    )
    draughts = [saved.draught_kwh for saved in leaky.values()]
    heat = heat_range(list(ways.values()))
    return _priced(
        HouseSaving(
            area_m2=sum(c.area_m2 for c in changes),
            before_u_w_m2k=_mean_u(changes, [c.before for c in changes]),
            after_u_w_m2k=_mean_u(changes, [c.after for c in changes]),
            ways=ways,
            heat_kwh=heat,
            draught_kwh=(min(draughts), max(draughts)),
            heating=None, fuel_kwh=None, co2_kg=None, money=None, cost=None, payback=None,
            assumptions=(),
            missing=tuple(_missing(survey, {plan.opening.id for plan, _ in known}, house)),
        ),
        survey, changes, region, rest,
    )  # fmt: skip


def _priced(
    saving: HouseSaving, survey: Survey, changes: Sequence[Replacement], region: Climate, rest: House
) -> HouseSaving:
    """With fuel, carbon and money as far as the survey says how the house is heated."""
    now = survey.house.heating
    kind = now.kind if now else "gas_condensing"
    heating = heating_of(kind, efficiency=now.efficiency if now else None)
    said = assumptions(
        changes, region, rest, heating if now else None, heating_kind=kind.replace("_", " "),
        degree_days="base 15.5 °C", draughts_apart=True,
    )  # fmt: skip
    said += [
        "Old windows: U and g by what can be seen of glass and frame, as in the SAP tables; panels of doors "
        "are left out, their old U is not known.",
        f"Draughts stand apart and in no sum: the old leakage is taken as {_old_leakage():.0f} m3/(h m2) at "
        "50 Pa (air class 1 of EN 12207), not measured; an old window may be better or far worse.",
    ]
    if not now:
        return replace(saving, assumptions=tuple(said))
    fuel = saving.heat_kwh.times(1 / heating.efficiency)
    money = fuel.times(now.price_per_kwh) if now.price_per_kwh is not None else None
    cost = survey.house.quotes.get(AS_ORDERED)
    return replace(
        saving,
        heating=heating,
        fuel_kwh=fuel,
        co2_kg=fuel.times(heating.co2_kg_kwh),
        money=money,
        cost=cost,
        payback=payback_words(cost, money) if money and cost is not None else None,
        assumptions=tuple(said),
    )


def _missing(survey: Survey, counted: Set[str], house: HousePlan) -> list[str]:
    now, said = survey.house.heating, []
    if now is None:
        said.append("Fuel, carbon and money: say how the house is heated and give the price of the fuel.")
    elif now.price_per_kwh is None:
        said.append("Money: give the price of the fuel off the owner's bill.")
    if AS_ORDERED not in survey.house.quotes:
        said.append("Payback: give the price of the whole job as it is ordered.")
    if survey.house.front_faces is None:
        said.append(
            "Sun: say where the front looks; the new glass lets in a little less, which lowers the saving."
        )
    left_out = [plan.opening.id for plan in house.openings if plan.opening.id not in counted]
    if left_out:
        said.append(f"{', '.join(left_out)}: not counted; say what glazing stands there now.")
    return said


def _before(plan: OpeningPlan) -> Glazed | None:
    old = standing_now(plan.opening.now)
    if old is None or plan.heat.unit.real.glass_m2 == 0:
        return None
    return Glazed(u_w_m2k=old.u_w_m2k, g=old.g, glass_share=stand_in("frame_factor"))


def _change(survey: Survey, plan: OpeningPlan, before: Glazed) -> Replacement:
    """Panels are taken out of the area, by their share of the infill."""
    heat = plan.heat.unit.real
    share = heat.glass_share
    glazed = heat.glass_m2 / (heat.glass_m2 + heat.panels_m2)
    after = Glazed(
        u_w_m2k=heat.u_w_m2k,
        g=heat.g_window / float(window_g(g=1.0, glass_share=share)),
        glass_share=share / glazed,
    )
    return Replacement(
        area_m2=heat.area_m2 * glazed,
        before=before,
        after=after,
        facing=_facing(survey, plan),
    )


def _facing(survey: Survey, plan: OpeningPlan) -> Facing | None:
    front = survey.house.front_faces
    if front is None:
        return None
    return AROUND[(AROUND.index(front) + EIGHTHS[plan.opening.elevation]) % len(AROUND)]


def _with_draught(change: Replacement, plan: OpeningPlan) -> Replacement:
    tight = plan.frame.chosen.profile.air_leakage_l50_m3_hm2
    return replace(
        change,
        before=replace(change.before, air_leakage_l50_m3_hm2=_old_leakage()),
        after=replace(change.after, air_leakage_l50_m3_hm2=tight),
    )


def _old_leakage() -> float:
    """Leakage at 50 Pa of a window that just makes the least class of air tightness."""
    least = table("classes_air").find(**{"class": "1"})
    return float(air_leakage_m3_hm2(leakage_100_m3_hm2=least["leakage_m3_hm2"], pressure_pa=50.0))


def _rest_of_house(survey: Survey) -> House:
    """Rooms' floor areas added up where every room has one, else the usual."""
    floors = [room.floor_area_m2 for room in survey.house.rooms]
    known = [floor for floor in floors if floor is not None]
    return usual_house(floor_area_m2=sum(known) if known and len(known) == len(floors) else None)


def _both_ways(
    changes: Sequence[Replacement], region: Climate, degree_days_kd: float, rest: House
) -> dict[str, Saved]:
    return {
        "degree days": by_degree_days(changes, region, degree_days_kd=degree_days_kd),
        "months": by_months(changes, region, rest),
    }


def _mean_u(changes: Sequence[Replacement], sides: Sequence[Glazed]) -> float:
    return area_weighted(areas_m2=[c.area_m2 for c in changes], values=[side.u_w_m2k for side in sides])
