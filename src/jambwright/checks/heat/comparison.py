"""Options for one opening side by side: heat, index, mass, sound, damp and cost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from jambwright.basis.clause import Clause
from jambwright.basis.tables import table
from jambwright.checks.heat.climate import Climate
from jambwright.checks.heat.damp_year import RoomClimate, cold_spots, spot_year
from jambwright.checks.heat.frame_heat import USUAL_EDGE, Edge, frame_heat
from jambwright.checks.heat.unit import unit_g, unit_heat
from jambwright.frame.glazing_unit import GlazingUnit, parse_glazing
from jambwright.frame.layout import lay_out
from jambwright.frame.profiles import ProfileSystem
from jambwright.readings.wanted import LayoutNode, UnitKind

SOUND_GAPS_MM = (6.0, 20.0)
"""Gap widths for which the sound table is used."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One way to do it."""

    name: str
    glass: str
    """Make-up, such as ``4-16Ar-4 low-e``."""
    profile: ProfileSystem
    edge: Edge = USUAL_EDGE
    air_leakage_l50_m3_hm2: float = 0.0
    cost: float | None = None
    units: Mapping[str, GlazingUnit | None] | None = None
    """By light mark, ``None`` for a panel, where the lights differ; else every light has ``glass``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionRow:
    """What one option gives; a value that no source supports is ``None``."""

    name: str
    glass: str
    glass_u_w_m2k: float
    glass_g: float
    u_w_m2k: float
    """At its own size, unrounded."""
    index_kwh_m2: float | None
    band: str | None
    """Index and band are for windows only."""
    band_sure: bool
    glass_kg: float
    sound_rw_db: float | None
    sound_source: Clause | None
    edge_wet_months: int
    """Months in which the glass edge may mist on the coldest day."""
    edge_dry_up_to_percent: float
    cost: float | None


def compare(
    options: Sequence[Option],
    *,
    layout: LayoutNode,
    width_mm: float,
    height_mm: float,
    region: Climate,
    air: RoomClimate,
    kind: UnitKind = "window",
    low_threshold: bool = False,
) -> list[OptionRow]:
    """The options for one opening, in the order given. Raises ``BadInput`` as layout and make-ups do."""
    return [_row(option, layout, width_mm, height_mm, region, air, kind, low_threshold) for option in options]


def _row(
    option: Option, wanted: LayoutNode, width_mm: float, height_mm: float, region: Climate, air: RoomClimate,
    kind: UnitKind, low: bool,
) -> OptionRow:  # fmt: skip
    unit = parse_glazing(option.glass)
    laid = lay_out(
        wanted, width_mm=width_mm, height_mm=height_mm, profile=option.profile, door=kind == "door", low=low
    )
    glazing: Mapping[str, GlazingUnit | None] = option.units or {
        light.mark: None if light.wanted.infill == "panel" else unit for light in laid.lights
    }
    heat = frame_heat(
        wanted, glazing, width_mm=width_mm, height_mm=height_mm, profile=option.profile, kind=kind,
        low_threshold=low, air_leakage_l50_m3_hm2=option.air_leakage_l50_m3_hm2, edge=option.edge,
    )  # fmt: skip
    glass_u = float(unit_heat(unit, coating=option.edge.coating).u_w_m2k)
    spots = cold_spots(
        glass_u_w_m2k=glass_u, frame_u_w_m2k=option.profile.u_frame_w_m2k, spacer=option.edge.spacer
    )
    edge = next(spot_year(spot, region, air) for spot in spots if spot.name == "edge")
    sound = sound_rw_db(unit)
    return OptionRow(
        name=option.name,
        glass=option.glass,
        glass_u_w_m2k=glass_u,
        glass_g=unit_g(unit, coating=option.edge.coating)[0],
        u_w_m2k=heat.real.u_w_m2k,
        index_kwh_m2=heat.index_kwh_m2,
        band=heat.band.band if heat.band else None,
        band_sure=heat.band is None or heat.band.sure,
        glass_kg=sum(
            light.glass.area_m2 * u.mass_kg_m2 for light in laid.lights if (u := glazing[light.mark])
        ),
        sound_rw_db=sound[0] if sound else None,
        sound_source=sound[1] if sound else None,
        edge_wet_months=len(edge.wet_months),
        edge_dry_up_to_percent=edge.dry_up_to_percent,
        cost=option.cost,
    )


def sound_rw_db(unit: GlazingUnit) -> tuple[float, Clause] | None:
    """Weighted sound reduction of the glass and its source; ``None`` when no table lists the make-up.

    Toughening and coatings do not change sound (EN 12758).

    >>> sound_rw_db(parse_glazing("6-16Ar-4 low-e"))[0]
    32.0
    """
    if any(not SOUND_GAPS_MM[0] <= cavity.gap_mm <= SOUND_GAPS_MM[1] for cavity in unit.cavities):
        return None
    panes = sorted((p.thickness_mm, "L" if p.kind == "laminated" else "") for p in unit.panes)
    make_up = "+".join(f"{thickness:g}{mark}" for thickness, mark in panes)
    sounds = table("glass_sound")
    row = next((row for row in sounds if row["make_up"] == make_up), None)
    return (row["rw_db"], sounds.source(row)) if row else None
