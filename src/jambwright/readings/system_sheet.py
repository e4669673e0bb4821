"""A system sheet: what one maker's profiles, hinges and ventilators are, and what they take.

A firm puts its maker's sheet into the readings file, under ``defaults.systems``. What a sheet leaves open is said
where it was to be checked; it never counts as kept.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from jambwright.basis.border import Strict
from jambwright.basis.clause import Clause
from jambwright.basis.envelope import Name, Said

FrameMaterial = Literal["pvcu", "aluminium", "timber", "steel", "grp"]
SashKind = Literal[
    "fixed", "side_hung", "top_hung", "bottom_hung", "tilt_turn", "french_leaf", "door",
    "vertical_slider", "slider", "bi_fold", "reversible", "stable_leaf", "slab",
]  # fmt: skip
"""What hangs in a frame, in the words of a sheet; a fixed light by its glass."""
VentPlace = Literal["frame_head", "sash_head"]

Length = Annotated[float, Field(gt=0, le=6000)]
Least = Annotated[float, Field(ge=0, le=6000)]
Thickness = Annotated[float, Field(gt=0, le=500)]
Kilograms = Annotated[float, Field(gt=0, le=500)]


class Sections(Strict):
    """The sections a frame is made of. Faces are widths in elevation; masses with steel and gaskets."""

    frame_depth_mm: Annotated[float, Field(gt=0, le=400)] | None = None
    frame_face_mm: Annotated[float, Field(gt=0, le=400)] | None = None
    """Outer edge of the frame to the sight line of a fixed light."""
    sash_face_mm: Annotated[float, Field(gt=0, le=400)] | None = None
    """Outer edge of the sash to its sight line."""
    bar_face_mm: Annotated[float, Field(gt=0, le=400)] | None = None
    """Whole width of a mullion or transom."""
    rebate_depth_mm: Annotated[float, Field(gt=0, le=100)] | None = None
    """Sight line to the bottom of the glazing rebate."""
    edge_clearance_mm: Annotated[float, Field(ge=0, le=50)] | None = None
    """Glass edge to the bottom of the rebate."""
    sash_overlap_mm: Annotated[float, Field(ge=-20, le=50)] | None = None
    """How far a sash runs over the frame beyond the frame's sight line."""
    threshold_mm: Annotated[float, Field(ge=0, le=200)] | None = None
    threshold_low_mm: Annotated[float, Field(ge=0, le=200)] | None = None
    sill_seat_mm: Annotated[float, Field(ge=0, le=400)] | None = None
    """Depth of the sill that lies under the frame."""
    frame_kg_m: Annotated[float, Field(gt=0, le=50)] | None = None
    sash_kg_m: Annotated[float, Field(gt=0, le=50)] | None = None
    bar_kg_m: Annotated[float, Field(gt=0, le=50)] | None = None
    hardware_kg: Annotated[float, Field(ge=0, le=100)] | None = None
    """Of one sash."""
    steel_frame: bool | None = None
    """The outer frame holds steel."""
    u_frame_w_m2k: Annotated[float, Field(gt=0, le=10)] | None = None
    air_leakage_l50_m3_hm2: Annotated[float, Field(ge=0, le=100)] | None = None
    """Through the closed unit at 50 Pa."""
    chamber_across_mm: Annotated[float, Field(ge=0, le=200)] | None = None
    """Room for steel in a bar, across the glass plane; 0 where there is none."""
    chamber_deep_mm: Annotated[float, Field(ge=0, le=200)] | None = None
    bar_i_cm4: Annotated[float, Field(gt=0, le=10000)] | None = None
    """Second moment of a bare bar against wind."""


class MeetingStiles(Strict):
    """One stile of a pair that meets without a mullion."""

    i_cm4: Annotated[float, Field(gt=0, le=10000)]
    """Second moment of a bare stile against wind."""
    across_mm: Annotated[float, Field(ge=0, le=200)] = 0.0
    """Room for steel; 0 where there is none."""
    deep_mm: Annotated[float, Field(ge=0, le=200)] = 0.0
    joined: bool
    """A lock or rebate joins the stiles at 800 mm or less, so that both carry the wind; else one carries all."""


class HingeOnSheet(Strict):
    """A hinge or stay and what it carries."""

    name: Name
    most_kg: Kilograms | None = None
    least_mm: Least | None = None
    """Of the sash along the hinge's arm: the width of one hung at the side, the height of one hung at the top."""
    most_mm: Length | None = None
    open_angle_deg: Annotated[float, Field(gt=0, le=180)] | None = None
    obstruction_mm: Annotated[float, Field(ge=0, le=500)] | None = None
    """What it leaves blocked when fully open."""


class SashOnSheet(Strict):
    """Least and most of one kind of sash, and its hinges in the order in which they are taken."""

    kind: SashKind
    least_width_mm: Least | None = None
    most_width_mm: Length | None = None
    least_height_mm: Least | None = None
    most_height_mm: Length | None = None
    most_area_m2: Annotated[float, Field(gt=0, le=20)] | None = None
    least_ratio: Annotated[float, Field(ge=0, le=20)] | None = None
    """Width over height."""
    most_ratio: Annotated[float, Field(gt=0, le=20)] | None = None
    most_kg: Kilograms | None = None
    hinges: Annotated[list[HingeOnSheet], Field(max_length=40)] = []
    reinforced_over_mm: Length | None = None
    """Its longer side, from which the sash gets steel."""

    @property
    def lacking(self) -> tuple[str, ...]:
        """What should be limited and is not, in words."""
        carried = self.most_kg is not None or any(each.most_kg is not None for each in self.hinges)
        limited = {
            "width": self.most_width_mm is not None,
            "height": self.most_height_mm is not None,
            "mass": carried or self.kind == "fixed",
        }
        return tuple(name for name, known in limited.items() if not known)


class VentOnSheet(Strict):
    """A ventilator that the system takes, and where."""

    each_mm2: Annotated[float, Field(gt=0, le=50000)]
    """Equivalent area."""
    length_mm: Length
    ends_mm: Annotated[float, Field(ge=0, le=500)]
    """Straight head wanted beyond each end, to the corner or to the middle of a mullion."""
    place: VentPlace


class SystemSheet(Strict):
    """One system of one maker."""

    jambwright_system: Literal[1] = 1
    """Version of this layout."""
    name: Name
    """As `profile` of an opening calls it."""
    title: Said
    by: Said
    """The paper its figures are from: maker, title, issue."""
    invented: bool = False
    """Made up and no maker's; proves nothing."""
    like: Name | None = None
    """A system whose sections stand in for those left out here; what rests on them proves nothing."""
    material: FrameMaterial
    use: Literal["window", "door"]
    sections: Sections = Sections()
    stiles: MeetingStiles | None = None
    glass_mm: Annotated[list[Thickness], Field(max_length=40)] | None = None
    """Thicknesses of glass unit that beads and gaskets are made for."""
    glass_within_mm: Annotated[float, Field(ge=0, le=5)] = 0.5
    """How far a unit may be off one of them."""
    frame_reinforced_over_mm: Length | None = None
    """The longer side of the frame, from which it gets steel."""
    sill_depths_mm: Annotated[list[Thickness], Field(min_length=1, max_length=20)] | None = None
    """Sills that go under it; the usual stock when left out."""
    sashes: Annotated[list[SashOnSheet], Field(max_length=20)] = []
    vents: Annotated[list[VentOnSheet], Field(max_length=40)] | None = None
    """An empty list: it takes none. Left out: nothing is known."""

    @model_validator(mode="after")
    def _each_once(self) -> Self:
        named: list[tuple[str, list[str]]] = [("kind", [sash.kind for sash in self.sashes])]
        named += [("hinge", [hinge.name for hinge in sash.hinges]) for sash in self.sashes]
        for what, names in named:
            if twice := [name for name, count in Counter(names).items() if count > 1]:
                raise ValueError(f"the {what} `{twice[0]}` stands twice; keep one.")
        return self

    @property
    def source(self) -> Clause:
        """The sheet as printed beside what rests on it."""
        return Clause(self.by, "", "invented" if self.invented else "declared by the maker")

    def sash(self, kind: str) -> SashOnSheet | None:
        """What it says of one kind of sash; nothing where it is silent."""
        return next((each for each in self.sashes if each.kind == kind), None)


def missing_sections(sheet: SystemSheet) -> Sequence[str]:
    """Sections a sheet leaves to the system it is like."""
    return [name for name in Sections.model_fields if getattr(sheet.sections, name) is None]
