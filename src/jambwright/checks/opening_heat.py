"""Heat and damp of one frame as ordered, in the room it is for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from jambwright.basis.tables import table
from jambwright.basis.working import Working
from jambwright.checks.heat import (
    USUAL_EDGE,
    Climate,
    FrameHeat,
    RoomClimate,
    area_weighted,
    climate,
    cold_spots,
    condensation_verdicts,
    damp_advice,
    edge_of,
    ordered_heat,
    region_of_nation,
    spot_year,
    unit_heat,
)
from jambwright.checks.rests import by_maker, by_profile, by_sources
from jambwright.checks.verdict import Rests, Verdict
from jambwright.frame.frame import Frame
from jambwright.readings.declared import Declared
from jambwright.readings.survey import Opening, Site

NOTHING_DECLARED = Declared(by="no document")


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningHeat:
    """What one unit does for heat and damp."""

    unit: FrameHeat
    area_m2: float
    damp: tuple[Verdict, ...]
    advice: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseHeat:
    """All units together, weighted by area."""

    u_w_m2k: float
    index_kwh_m2: float | None
    """Mean of the windows; none where there are only doors. No band is given to a house."""


def opening_heat(site: Site, opening: Opening, frame: Frame) -> OpeningHeat:
    """U of a unit, index and band of a window, and whether its glass may mist in this climate and room air."""
    heat = heat_as_ordered(opening, frame)
    damp, advice = _damp(site, frame, opening.wanted.declared)
    return OpeningHeat(
        unit=heat, area_m2=frame.width_mm * frame.height_mm * 1e-6, damp=tuple(damp), advice=tuple(advice)
    )


def heat_as_ordered(opening: Opening, frame: Frame, work: Working | None = None) -> FrameHeat:
    """U of a unit, index and band of a window; ``work`` takes the steps from its infills."""
    leakage = frame.chosen.profile.air_leakage_l50_m3_hm2
    return ordered_heat(
        frame, opening.wanted, air_leakage_l50_m3_hm2=leakage, edge=edge_of(frame.chosen), work=work
    )


def house_heat(units: Sequence[OpeningHeat]) -> HouseHeat:
    """The house's units together."""
    return HouseHeat(
        u_w_m2k=area_weighted(
            areas_m2=[each.area_m2 for each in units], values=[each.unit.real.u_w_m2k for each in units]
        ),
        index_kwh_m2=windows_index_kwh_m2((each.area_m2, each.unit.index_kwh_m2) for each in units),
    )


def windows_index_kwh_m2(units: Iterable[tuple[float, float | None]]) -> float | None:
    """Mean index of the units that have one, from area and index of each.

    >>> windows_index_kwh_m2([(1.0, 2.0), (3.0, 6.0), (2.0, None)])
    5.0
    """
    rated = [(area, index) for area, index in units if index is not None]
    if not rated:
        return None
    return area_weighted(areas_m2=[area for area, _ in rated], values=[index for _, index in rated])


def room_air_of(site: Site) -> RoomClimate:
    """The air of the house's rooms, as its owner keeps it."""
    return RoomClimate(inside_c=site.indoor.temperature_c, humidity_class=site.indoor.humidity_class)


def climate_of(site: Site) -> Climate:
    """The climate the house stands in: of its region, else of its nation."""
    return climate(site.climate_region or region_of_nation(site.nation))


def _rests(frame: Frame, declared: Declared) -> Rests:
    """What the temperatures of glass, edge and frame are by."""
    coatings, maker = table("glass_coatings"), by_maker(declared)
    coated = any(unit.low_e for unit in frame.glazing.values() if unit)
    coating = coatings.source(coatings.find(coating=USUAL_EDGE.coating if coated else "none"))
    glass = by_sources(
        "a usual coating", coating, ask="ask the glass maker for its U-value", of_product=coated
    )
    profile = by_profile(frame.chosen.profile, ask="ask the profile maker for the frame's U-value")
    return (
        ("glass", maker if declared.u_glass_w_m2k else glass),
        ("edge", maker),
        ("frame", maker if declared.u_frame_w_m2k else profile),
    )


def _damp(site: Site, frame: Frame, declared: Declared | None) -> tuple[list[Verdict], list[str]]:
    """The coldest glass of the unit decides; a frame of panels alone has no glass to mist."""
    glass_us = [float(unit_heat(unit).u_w_m2k) for unit in frame.glazing.values() if unit]
    if not glass_us:
        return [], []
    air, region, spacer = room_air_of(site), climate_of(site), edge_of(frame.chosen).spacer
    given = declared or NOTHING_DECLARED
    spots = cold_spots(
        glass_u_w_m2k=given.u_glass_w_m2k or max(glass_us),
        frame_u_w_m2k=given.u_frame_w_m2k or frame.chosen.profile.u_frame_w_m2k,
        spacer=spacer,
        f_rsi_edge=given.f_rsi_edge,
        rests=_rests(frame, given),
    )
    years = [spot_year(spot, region, air) for spot in spots]
    return condensation_verdicts(years, region, air), damp_advice(years, spacer=spacer)
