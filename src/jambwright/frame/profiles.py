"""Profile systems: the sections a frame is made of, as data that a maker's sheet can replace."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from jambwright.basis.clause import Clause
from jambwright.basis.tables import table
from jambwright.readings.wanted import UnitKind

FrameMaterial = Literal["pvcu", "aluminium", "timber", "steel", "grp"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProfileSystem:
    """One system. Faces are widths in elevation, mm; masses a metre, kg/m, with reinforcement."""

    name: str
    title: str
    material: FrameMaterial
    use: UnitKind
    frame_depth_mm: float
    frame_face_mm: float
    """Outer edge of the frame to the sight line of a fixed light."""
    sash_face_mm: float
    """Outer edge of the sash to its sight line."""
    bar_face_mm: float
    """Whole width of a mullion or transom."""
    rebate_depth_mm: float
    """Sight line to the bottom of the glazing rebate."""
    edge_clearance_mm: float
    """Glass edge to the bottom of the rebate."""
    sash_overlap_mm: float
    """How far a sash runs over the frame beyond the frame's sight line."""
    threshold_mm: float
    threshold_low_mm: float
    sill_seat_mm: float
    frame_kg_m: float
    sash_kg_m: float
    bar_kg_m: float
    hardware_kg: float
    reinforced: bool
    u_frame_w_m2k: float
    air_leakage_l50_m3_hm2: float
    """Through the closed unit at 50 Pa."""
    chamber_across_mm: float
    """Room for reinforcement in a bar, across the glass plane; 0 where there is none."""
    chamber_deep_mm: float
    bar_i_cm4: float
    """Second moment of a bare bar against wind."""
    source: Clause
    """Where its figures are from, with their grade."""

    @property
    def glass_cover_mm(self) -> float:
        """How far the glass edge lies behind the sight line."""
        return self.rebate_depth_mm - self.edge_clearance_mm


def profile_system(name: str) -> ProfileSystem:
    """The system of that name; ``BadInput`` names the known ones when there is none."""
    rows = table("profiles")
    row = dict(rows.find(profile=name))
    return ProfileSystem(
        name=row.pop("profile"),
        reinforced=bool(row.pop("steel_frame")),
        source=rows.source(rows.find(profile=name)),
        **row,
    )
