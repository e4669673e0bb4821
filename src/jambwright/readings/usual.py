"""What is usual in a house or a firm and taken for every opening that does not say otherwise."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, field_validator

from jambwright.basis.border import Strict
from jambwright.basis.envelope import Name, counted, within
from jambwright.basis.tables import table
from jambwright.readings.specified import Specified
from jambwright.readings.system_sheet import SystemSheet
from jambwright.readings.wanted import Colour, SillWanted

LeafMaterial = Literal[
    "brick", "concrete", "dense_block", "aerated_block", "perforated_brick", "stone", "timber", "none"
]


class Wall(Strict):
    """Build-up of the wall round an opening, outside to inside."""

    outer_leaf: LeafMaterial = "brick"
    outer_mm: Annotated[float, within("outer_mm")] = 102.5
    cavity_mm: Annotated[float, within("cavity_mm")] = 50.0
    inner_leaf: LeafMaterial = "dense_block"
    inner_mm: Annotated[float, within("inner_mm")] = 100.0
    plaster_mm: Annotated[float, within("plaster_mm")] = 13.0
    closer: Literal["insulated", "brick_return", "none", "unknown"] = "unknown"
    face: Literal["brick", "render", "stone", "cladding", "tile"] = "brick"
    reveal_rebate_mm: Annotated[float, within("reveal_rebate_mm")] = 0.0
    """How far the outer leaf laps in past the inner reveal at jambs and head, 0 for a straight reveal."""


class Fixing(Strict):
    """How frames are fixed."""

    method: Literal["frame_screw", "lug"] = "frame_screw"
    substrate: LeafMaterial | None = None
    """What the screw bites into; the outer leaf when left out."""
    kind: Name | None = None
    """The one kind of fixing the firm carries, a name of the table of fixings such as `plug_10`; left out, the kind
    that needs fewest is planned."""

    @field_validator("kind")
    @classmethod
    def _kind_known(cls, kind: str | None) -> str | None:
        known = table("fixing_kinds").column("fixing")
        if kind is not None and kind not in known:
            raise ValueError(f"`{kind}` is no kind of fixing here; known are {', '.join(known)}.")
        return kind


PackerThickness = Annotated[float, Field(ge=0.5, le=50)]


class Defaults(Strict):
    """Taken for every opening that does not say otherwise."""

    systems: Annotated[list[SystemSheet], counted("systems")] = []
    """The sheets of the firm's makers; one with the name of a shipped system takes its place."""
    profile: Name = "plain_70"
    colour: Colour = "white"
    glass: Name = "4-16Ar-4 low-e"
    sill: SillWanted = SillWanted()
    specified: Specified | None = None
    fixing: Fixing = Fixing()
    wall: Wall = Wall()
    set_back_mm: Annotated[float, within("set_back_mm")] = 30.0
    """Front of the frame behind the wall face. Common practice, no published source."""
    match_loses_mm: Annotated[float, within("match_loses_mm")] = 8.0
    """What a frame may lose in width or height so that a family of openings gets one size. House default."""
    joint_mm: Annotated[float, Field(gt=0, le=30)] | None = None
    """The firm's joint on each side of a frame whose opening sets no `gap_mm`; left out, by material, colour and
    size. Under a sill there is always room for its packers."""
    packers_mm: Annotated[list[PackerThickness], Field(min_length=1, max_length=20)] | None = None
    """Thicknesses of packer the firm carries; the usual ones when left out."""
    pace: Annotated[float, Field(ge=0.5, le=3)] = 1.0
    """The firm's hours over the usual ones: 1.2 for a fifth more."""
    tape: Name | None = None
    """Name of the tool most readings were taken with."""
