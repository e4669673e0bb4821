"""Profile systems: the sections a frame is made of, off a system sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jambwright.basis.clause import Clause
from jambwright.readings.system_sheet import FrameMaterial, SystemSheet, missing_sections
from jambwright.readings.systems import system_sheet, whole_sections
from jambwright.readings.wanted import UnitKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Stiles:
    """One meeting stile of a pair."""

    i_cm4: float
    across_mm: float
    deep_mm: float
    joined: bool
    """Both stiles carry the wind together; else the slave leaf's alone."""


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
    like: str = ""
    """The shipped system whose panes, sashes and folding leaves stand in for its own; empty for none."""
    stiles: Stiles | None = None
    """Of a pair that meets without a mullion; ``None`` where the sheet says nothing of them."""

    @property
    def glass_cover_mm(self) -> float:
        """How far the glass edge lies behind the sight line."""
        return self.rebate_depth_mm - self.edge_clearance_mm


def profile_system(name: str, own: Sequence[SystemSheet] = ()) -> ProfileSystem:
    """The system of that name, the firm's ``own`` before a shipped one; ``BadInput`` names the known ones."""
    sheet = system_sheet(name, own)
    sections = whole_sections(sheet).model_dump()
    stiles = sheet.stiles
    return ProfileSystem(
        name=sheet.name,
        title=sheet.title,
        material=sheet.material,
        use=sheet.use,
        reinforced=sections.pop("steel_frame"),
        source=_source(sheet),
        like=sheet.like or "",
        stiles=Stiles(**stiles.model_dump()) if stiles else None,
        **sections,
    )


def _source(sheet: SystemSheet) -> Clause:
    """As weak as what stands in for the sections that the sheet leaves out."""
    if missing_sections(sheet) and not sheet.invented:
        return Clause(f"{sheet.by}; what it leaves out as {sheet.like}", "", "invented")
    return sheet.source
