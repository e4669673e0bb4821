"""What new windows save in a year: by degree days, and by a monthly balance of the house with its sun."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jambwright.basis.clause import clause
from jambwright.basis.working import Working
from jambwright.checks.heat.climate import DAYS, HEATING_MONTHS, Climate, sun_on_wall_w_m2
from jambwright.checks.heat.constants import Array, Figures, constant, plain
from jambwright.checks.heat.energy_index import leakage_w_m2k
from jambwright.checks.heat.solar import window_g


def stand_in(name: str) -> float:
    """A stand-in for what was not given; the table says what it stands for."""
    return constant(name, of="saving_stand_ins")


@dataclass(frozen=True, slots=True, kw_only=True)
class Glazed:
    """A window as it was or as it comes. ``g`` or leakage ``None``: not known, so sun or draught is left out."""

    u_w_m2k: float
    g: float | None = None
    glass_share: float = 0.7
    air_leakage_l50_m3_hm2: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Replacement:
    """One opening, or several alike: area, facing, before and after."""

    area_m2: float
    before: Glazed
    after: Glazed
    facing: str | None = None
    name: str = ""
    """What it is called in the steps; its number when left out."""

    @property
    def sun_known(self) -> bool:
        """Both g-values and the facing are known."""
        return self.facing is not None and self.before.g is not None and self.after.g is not None

    @property
    def draught_known(self) -> bool:
        """Both leakages are known."""
        return None not in (self.before.air_leakage_l50_m3_hm2, self.after.air_leakage_l50_m3_hm2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """Heat saved in a year, kWh: through glass and frame, by less draught, and less sun let in."""

    fabric_kwh: float
    draught_kwh: float
    lost_sun_kwh: float

    @property
    def heat_kwh(self) -> float:
        """What is left of it."""
        return self.fabric_kwh + self.draught_kwh - self.lost_sun_kwh


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """The rest of the house, for the monthly balance."""

    floor_area_m2: float
    other_loss_w_k: float
    """Walls, roof, floor and air, all but the windows in question."""
    gains_w: float
    inside_c: float


def usual_house(*, floor_area_m2: float | None = None, inside_c: float | None = None) -> House:
    """A house of that floor area with stand-ins for all that is not known."""
    area = floor_area_m2 if floor_area_m2 is not None else stand_in("floor_area")
    return House(
        floor_area_m2=area,
        other_loss_w_k=area * stand_in("other_loss"),
        gains_w=area * stand_in("gains"),
        inside_c=inside_c if inside_c is not None else stand_in("inside"),
    )


@clause("CIBSE TM41", "heat loss by degree days", unit="kWh/year", formula="Q = ΔU A HDD 24 / 1000")
def degree_day_heat_kwh(*, u_drop_w_m2k: Figures, area_m2: Figures, degree_days_kd: Figures) -> Figures:
    """Heat saved in a year by a lower U.

    >>> degree_day_heat_kwh(u_drop_w_m2k=3.4, area_m2=18.0, degree_days_kd=2194.0)
    3222.5
    """
    return u_drop_w_m2k * area_m2 * degree_days_kd * 24 / 1000


@clause("SAP", "Table 6, average overshading", unit="kWh/year", formula="Q = Σ 0.9 A S g FF Z hours / 1000")
def sun_kwh(*, sun_w_m2: Array, days: Array, area_m2: Figures, g: Figures, glass_share: Figures) -> Figures:
    """Sun let in over some months (on the last axis)."""
    through = window_g(g=g, glass_share=glass_share) * area_m2 * constant("shading_factor")
    return plain(through * (sun_w_m2 * days).sum(axis=-1) * 24 / 1000)


@clause("EN ISO 13790:2008", "12.2.1.1", unit="-", formula="η = (1 − γ^a) / (1 − γ^(a+1)); a/(a+1) at γ = 1")
def used_share(*, gain_to_loss: Figures, exponent: Figures) -> Figures:
    """Share of gains that is of use in a month, from gains over losses."""
    ratio = np.asarray(gain_to_loss, dtype=np.float64)
    even = np.abs(ratio - 1) < 1e-9
    safe = np.where(even, 0.5, ratio)
    return plain(
        np.where(even, exponent / (exponent + 1), (1 - safe**exponent) / (1 - safe ** (exponent + 1)))
    )


def by_degree_days(
    changes: Sequence[Replacement], region: Climate, *, degree_days_kd: float, work: Working | None = None
) -> Saved:
    """Saving by degree days; lost sun counts in full from October to May, which is on the safe side.

    ``work`` takes the steps through fabric and draught.
    """
    work = work or Working()
    fabric = draught = lost = 0.0
    for number, change in enumerate(changes, start=1):
        before, after, of = change.before, change.after, change.name or str(number)
        size = {"area_m2": change.area_m2, "degree_days_kd": degree_days_kd}
        warmer = before.u_w_m2k - after.u_w_m2k
        fabric += float(work.step(f"Q fabric {of}", degree_day_heat_kwh, u_drop_w_m2k=warmer, **size))
        if change.draught_known:
            tighter = _leakage(before) - _leakage(after)
            draught += float(work.step(f"Q draught {of}", degree_day_heat_kwh, u_drop_w_m2k=tighter, **size))
        if change.sun_known:
            winter = DAYS * HEATING_MONTHS
            lost += float(
                np.sum(
                    _sun_months(change, before, region, winter) - _sun_months(change, after, region, winter)
                )
            )
    return Saved(fabric_kwh=fabric, draught_kwh=draught, lost_sun_kwh=lost)


def by_months(changes: Sequence[Replacement], region: Climate, house: House) -> Saved:
    """Saving as the house's need before less its need after, month by month with the sun (EN ISO 13790).

    The change is made in three steps, U, then leakage, then g, to tell the parts apart.
    """
    old = list(changes)
    insulated = [replace(c, before=replace(c.before, u_w_m2k=c.after.u_w_m2k)) for c in old]
    tight = [
        replace(c, before=replace(c.before, air_leakage_l50_m3_hm2=c.after.air_leakage_l50_m3_hm2))
        if c.draught_known
        else c
        for c in insulated
    ]
    shaded = [
        replace(c, before=replace(c.before, g=c.after.g, glass_share=c.after.glass_share))
        if c.sun_known
        else c
        for c in tight
    ]
    needs = [need_kwh(step, region, house) for step in (old, insulated, tight, shaded)]
    return Saved(
        fabric_kwh=needs[0] - needs[1], draught_kwh=needs[1] - needs[2], lost_sun_kwh=needs[3] - needs[2]
    )


def need_kwh(changes: Sequence[Replacement], region: Climate, house: House) -> float:
    """Heat a year of the house with the windows as they are before the change, kWh."""
    loss_w_k = house.other_loss_w_k + sum(
        c.area_m2 * (c.before.u_w_m2k + _leakage(c.before)) for c in changes
    )
    hours = DAYS * 24 / 1000
    loss = loss_w_k * np.maximum(house.inside_c - region.outside_c, 0.0) * hours
    gains = house.gains_w * hours
    for change in changes:
        if change.sun_known:
            gains = gains + _sun_months(change, change.before, region, DAYS)
    stored_h = stand_in("heat_capacity") * house.floor_area_m2 / 3.6 / loss_w_k
    exponent = 1 + stored_h / stand_in("time_constant")
    ratio = gains / np.where(loss > 0, loss, np.inf)
    need = loss - used_share(gain_to_loss=ratio, exponent=exponent) * gains
    return float(np.sum(np.where(loss > 0, np.maximum(need, 0.0), 0.0)))


def _leakage(side: Glazed) -> float:
    return float(leakage_w_m2k(air_leakage_l50_m3_hm2=side.air_leakage_l50_m3_hm2 or 0.0))


def _sun_months(change: Replacement, side: Glazed, region: Climate, days: Array) -> Array:
    assert change.facing is not None
    wall = sun_on_wall_w_m2(region, facing=change.facing)
    return np.asarray(
        sun_kwh(
            sun_w_m2=wall[:, None],
            days=days[:, None],
            area_m2=change.area_m2,
            g=side.g or 0.0,
            glass_share=side.glass_share,
        )
    )
