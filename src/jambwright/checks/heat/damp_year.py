"""Twelve months of glass, glass edge and frame: where water or mould may come, and what helps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from jambwright.basis.clause import Clause
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.basis.working import Working
from jambwright.checks.heat.climate import MONTHS, Climate
from jambwright.checks.heat.constants import Array, Figures, constant, plain
from jambwright.checks.heat.damp import (
    class_excess_pa,
    class_vapour_pa,
    dew_point_c,
    f_rsi_needed,
    f_rsi_of_u,
    humidity_percent,
    mould_free_c,
    saturation_pa,
    surface_c,
    vapour_pa,
)
from jambwright.checks.verdict import Rest, Rests, Verdict, settled

Months = NDArray[np.bool_]

SPOT_NAMES = {"glass": "middle of the glass", "edge": "glass edge", "frame": "frame"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ColdSpot:
    """A place on the room side of a unit and its temperature factor."""

    name: Literal["glass", "edge", "frame"]
    f_rsi: float
    source: Clause
    rest: Rest | None = None
    """What its temperature factor is by, where that is no plain calculation."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomClimate:
    """The air of a room: its temperature, and its humidity read (percent) or by class."""

    inside_c: float = 20.0
    inside_percent: float | None = None
    humidity_class: int = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotYear:
    """One place over January to December. Water is judged on the coldest day, mould on the month's mean."""

    spot: ColdSpot
    cold_day_c: Array
    inside_percent: Array
    """Humidity of the room on the coldest day."""
    dew_point_c: Array
    surface_c: Array
    needed: Array
    """The temperature factor that stays dry on the coldest day."""
    wet: Months
    mould: Months
    dry_up_to_percent: float
    """Room humidity at which this place stays dry on the year's coldest day."""

    @property
    def wet_months(self) -> tuple[str, ...]:
        """Names of the months with water on the coldest day."""
        return tuple(month for month, wet in zip(MONTHS, self.wet, strict=True) if wet)


def cold_spots(
    *,
    glass_u_w_m2k: float,
    frame_u_w_m2k: float,
    spacer: str,
    f_rsi_edge: float | None = None,
    rests: Rests = (),
) -> tuple[ColdSpot, ...]:
    """Middle of the glass and frame from their U, the edge as declared, else from the kind of spacer (a hint only).

    ``rests`` says, by ``glass``, ``edge`` and ``frame``, what those values are by.
    """
    edges = table("edge_cold_spots")
    edge = edges.find(spacer=spacer)
    of, how = dict(rests), edges.source(edge).how
    by_spacer = Rest(
        what="a rough edge value", how=how, ask="ask the glass maker for the edge's temperature factor"
    )
    if f_rsi_edge is None:
        rim = ColdSpot(name="edge", f_rsi=edge["f_rsi"], source=edges.source(edge), rest=by_spacer)
    else:
        rim = ColdSpot(name="edge", f_rsi=f_rsi_edge, source=f_rsi_of_u.source, rest=of.get("edge"))
    return (
        _of_u("glass", glass_u_w_m2k, of.get("glass")),
        rim,
        _of_u("frame", frame_u_w_m2k, of.get("frame")),
    )


def _of_u(name: Literal["glass", "frame"], u_w_m2k: float, rest: Rest | None) -> ColdSpot:
    f_rsi = float(f_rsi_of_u(u_w_m2k=u_w_m2k))
    return ColdSpot(name=name, f_rsi=f_rsi, source=f_rsi_of_u.source, rest=rest)


def spot_year(spot: ColdSpot, region: Climate, air: RoomClimate) -> SpotYear:
    """One place through the year. Raises ``BadInput`` when the room would be wetter than air can be."""
    cold_c = region.outside_c - constant("cold_day_drop", of="vapour_constants")
    coldest = cold_days(spot, air, outside_c=cold_c, outside_percent=region.humidity_percent)
    on_mean_day = surface_c(inside_c=air.inside_c, outside_c=region.outside_c, f_rsi=spot.f_rsi)
    mean_pa = room_vapour_pa(air, outside_c=region.outside_c, outside_percent=region.humidity_percent)
    surface = np.asarray(coldest.surface_c)
    limit = humidity_percent(vapour_pa=saturation_pa(air_c=surface.min()), air_c=air.inside_c)
    return SpotYear(
        spot=spot,
        cold_day_c=cold_c,
        inside_percent=np.asarray(humidity_percent(vapour_pa=coldest.vapour_pa, air_c=air.inside_c)),
        dew_point_c=np.asarray(coldest.dew_point_c),
        surface_c=surface,
        needed=np.asarray(coldest.needed),
        wet=surface < coldest.dew_point_c,
        mould=np.asarray(on_mean_day < mould_free_c(vapour_pa=mean_pa)),
        dry_up_to_percent=float(min(limit, 100.0)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ColdDays:
    """One place on one cold day or many."""

    vapour_pa: Figures
    dew_point_c: Figures
    needed: Figures
    """The temperature factor that stays dry."""
    surface_c: Figures


def cold_days(
    spot: ColdSpot, air: RoomClimate, *, outside_c: Figures, outside_percent: Figures,
    work: Working | None = None,
) -> ColdDays:  # fmt: skip
    """One place on days of that outside air; ``work`` takes the steps of a single day."""
    work = work or Working()
    vapour = room_vapour_pa(air, outside_c=outside_c, outside_percent=outside_percent, work=work)
    dew = work.step("θ_dew", dew_point_c, vapour_pa=vapour)
    climate = {"inside_c": air.inside_c, "outside_c": outside_c}
    needed = work.step("f_Rsi needed", f_rsi_needed, surface_needed_c=dew, **climate)
    work.note("f_Rsi", f"of the {SPOT_NAMES[spot.name]}", spot.f_rsi, "-", spot.source)
    surface = work.step("θ_si", surface_c, f_rsi=spot.f_rsi, **climate)
    return ColdDays(vapour_pa=vapour, dew_point_c=dew, needed=needed, surface_c=surface)


def room_vapour_pa(
    air: RoomClimate, *, outside_c: Figures, outside_percent: Figures | None, work: Working | None = None
) -> Figures:
    """Vapour pressure of a room's air, as read or by its class from the air outside, Pa; one figure or many.

    ``work`` takes the steps. Raises ``BadInput`` where a class asks for more than the air can hold.
    """
    work = work or Working()
    if air.inside_percent is not None:
        read = work.step("p_i", vapour_pa, air_c=air.inside_c, humidity_percent=air.inside_percent)
        return plain(np.broadcast_to(read, np.shape(outside_c)))
    assert outside_percent is not None
    outside = work.step("p_e", vapour_pa, air_c=outside_c, humidity_percent=outside_percent)
    excess, source = class_excess_pa(air.humidity_class), table("humidity_classes").pedigree.source
    work.note("Δp", "upper limit of the class", excess, "Pa", source, humidity_class=air.humidity_class)
    inside = work.step("p_i", class_vapour_pa, outside_pa=outside, outside_c=outside_c, excess_pa=excess)
    if np.max(inside) > saturation_pa(air_c=air.inside_c):
        raise too_damp(air)
    return inside


def too_damp(air: RoomClimate) -> BadInput:
    """What is said of a room whose air can't hold the water of its class."""
    return BadInput.one(
        "inside_c",
        f"inside_c: at {air.inside_c:g} degC the air can't hold the water of humidity class "
        f"{air.humidity_class}; give a warmer room or a lower class.",
    )


def condensation_verdicts(years: Sequence[SpotYear], region: Climate, air: RoomClimate) -> list[Verdict]:
    """One verdict a place: ``meets``, or ``advise`` when water may stand there. Never graver."""
    return [
        settled(
            rule=f"condensation.{year.spot.name}",
            word="advise" if year.wet.any() else "meets",
            why=_sentence(year, air),
            found=year.spot.f_rsi,
            limit=float(year.needed.max()),
            unit="-",
            source=year.spot.source,
            rests_on=_rests_on(year, region, air),
            working=_worst_day(year, region, air),
        )
        for year in years
    ]


def _rests_on(year: SpotYear, region: Climate, air: RoomClimate) -> tuple[Rest, ...]:
    """The place's own value, and the air outside: not where the place stays dry however damp that is."""
    rests = () if year.spot.rest is None else (year.spot.rest,)
    if air.inside_percent is not None or _dry_in_any_air(year.spot, region, air):
        return rests
    outside = Rest(
        what="usual outside humidity",
        how=table("climate_humidity").pedigree.how,
        ask="read the room's humidity on a cold day",
    )
    return (*rests, outside)


def _dry_in_any_air(spot: ColdSpot, region: Climate, air: RoomClimate) -> bool:
    """Whether it stays dry though the air outside holds all the water it can."""
    try:
        return not spot_year(spot, replace(region, humidity_percent=np.full(12, 100.0)), air).wet.any()
    except BadInput:  # the room could not hold that water
        return False


def _worst_day(year: SpotYear, region: Climate, air: RoomClimate) -> Working:
    """The steps of the month that asks most of one place."""
    work, worst = Working(), int(np.argmax(year.needed))
    outside = float(year.cold_day_c[worst])
    work.note(
        "θ_e",
        f"coldest day, {MONTHS[worst].capitalize()}",
        outside,
        "degC",
        region.source,
        region=region.region,
    )
    humidity = float(region.humidity_percent[worst])
    cold_days(year.spot, air, outside_c=outside, outside_percent=humidity, work=work)
    return work


def months_in_words(wet: Months) -> str:
    """Runs of months, through the turn of the year: ``Oct to May``.

    >>> months_in_words(np.array([True, True] + [False] * 8 + [True, True]))
    'Nov to Feb'
    """
    if wet.all():
        return "all year"
    first_dry = int(np.argmin(wet))
    order = [(first_dry + step) % 12 for step in range(12)]
    starts = [m for m in order if wet[m] and not wet[m - 1]]
    ends = [m for m in order if wet[m] and not wet[(m + 1) % 12]]
    names = [month.capitalize() for month in MONTHS]
    runs = zip(starts, ends, strict=True)
    return ", ".join(names[a] if a == b else f"{names[a]} to {names[b]}" for a, b in runs)


def _sentence(year: SpotYear, air: RoomClimate) -> str:
    place = SPOT_NAMES[year.spot.name]
    room = f"a room at {air.inside_c:g} °C"
    room += (
        f" and {air.inside_percent:g} %"
        if air.inside_percent is not None
        else f" of humidity class {air.humidity_class}"
    )
    hint = "; the edge value is a rough one" if "low" in year.spot.source.how else ""
    if not year.wet.any():
        return f"The {place} should stay dry on the coldest days in {room}{hint}."
    months = months_in_words(year.wet)
    return (
        f"The {place} may mist on the coldest days ({months}) in {room}; it stays dry up to "
        f"{year.dry_up_to_percent:.0f} %{hint}."
    )


def damp_advice(years: Sequence[SpotYear], *, spacer: str) -> list[str]:
    """What helps, in the order of effort; an empty list when nothing is called for."""
    wet = [year for year in years if year.wet.any()]
    moulds = [SPOT_NAMES[year.spot.name] for year in years if year.mould.any()]
    advice = []
    if wet:
        limit = min(year.dry_up_to_percent for year in wet)
        advice += [
            f"Keep the room below about {limit:.0f} % on the coldest days: leave the vents open, run the fan when "
            "cooking or washing, dry laundry outside or with a window ajar.",
            "Keep a low steady heat in bedrooms, and a hand's width between curtain, blind or furniture and the glass.",
        ]
    if spacer == "normal" and any(year.spot.name == "edge" for year in wet):
        advice.append("Order a warm-edge spacer: the rim of the glass is the first place to mist.")
    if any(year.spot.name == "glass" for year in wet):
        advice.append("Better glass keeps its middle warm; the rim still depends on the spacer and the air.")
    if moulds:
        advice.append(
            f"Wipe water off the {' and the '.join(moulds)} when it stands there, so no mould can grow."
        )
    return advice
