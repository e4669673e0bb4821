"""What is wanted in an opening: the layout of its lights and what each of them is."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag

from jambwright.basis.border import Strict
from jambwright.basis.envelope import Name, counted, within
from jambwright.readings.declared import Declared
from jambwright.readings.specified import Specified
from jambwright.readings.ways import Opens

Colour = Literal["white", "dark"]
UnitKind = Literal["window", "door"]
SillEnds = Literal["horns", "flush"]
Horns = Literal["none", "planted", "run_through"]
BalanceKind = Literal["spiral", "spiral_tilt", "cords"]
"""`spiral_tilt` lets the sash tilt into the room, so that its outer face is cleaned from inside."""


class Part(Strict):
    """What every part of a layout has: its size along the split it sits in."""

    share: Annotated[float, within("share")] = 1.0
    """Share of what the parts with fixed sizes leave over."""
    mm: Annotated[float, within("part_mm")] | None = None
    """Fixed size, from the frame's outer edge or a bar's centre line to the next."""


class Light(Part):
    """One light: fixed or opening, glass or panel."""

    opens: Opens = "fixed"
    swing: Literal["out", "in"] = "out"
    """Which way an opening light or door moves."""
    leaf: Literal["sash", "door"] | None = None
    """A door leaf or a window sash; when left out, a side-hung light of a door frame is a door leaf."""
    infill: Literal["glass", "panel"] = "glass"
    glass: Name | None = None
    """Make-up of this light when it differs from the opening's."""
    obscure: bool = False
    vent_mm2: Annotated[float, within("vent_mm2")] = 0.0
    """Equivalent area of the background ventilator in this light's head, 0 for none."""
    handle_height_mm: Annotated[float, within("handle_height_mm")] | None = None
    """Handle above the bottom of the sash."""
    open_angle_deg: Annotated[float, Field(gt=0, le=180)] | None = None
    """How far the stay lets it open."""
    hinge: Name | None = None
    """A hinge or stay by its name on the system's sheet; the first there that carries the sash when left out."""
    obstruction_mm: Annotated[float, within("obstruction_mm")] | None = None
    """What hinge and sash leave blocked when fully open, off the maker's sheet; the usual when left out."""
    restrictor: bool | Literal["key", "fixed"] = False
    """Child-resistant: `true` is released without a key, `key` with one only, `fixed` not at all."""
    horns: Horns | None = None
    """Of the upper of two sliding sashes: `run_through` are its stiles cut longer, `planted` are put on; none when
    left out."""
    balance: BalanceKind | None = None
    """What carries sliding sashes; spiral balances when left out, and cords and weights in timber."""
    lower_sash_mm: Annotated[float, within("lower_sash_mm")] | None = None
    """Height of the lower of two sliding sashes; both show the same glass when left out."""
    lower_leaf_mm: Annotated[float, within("lower_leaf_mm")] | None = None
    """Height of the lower leaf of a stable door; 1000 mm when left out."""
    lower_infill: Literal["glass", "panel"] | None = None
    """Of the lower leaf of a stable door; a panel when left out."""
    fold_left: Annotated[int, within("fold_left")] | None = None
    """Leaves of a bi-fold set that fold to the left."""
    fold_right: Annotated[int, within("fold_right")] | None = None
    """Those that fold to the right; where neither is said all fold to the left, none wider than 900 mm."""
    slab_glass_width_mm: Annotated[float, within("slab_glass_width_mm")] | None = None
    """Glass seen of the light cut into a slab door; solid when left out."""
    slab_glass_height_mm: Annotated[float, within("slab_glass_height_mm")] | None = None


class Across(Part):
    """Parts side by side, from the left as seen from outside."""

    across: Annotated[list[LayoutNode], counted("parts", 1)]


class Down(Part):
    """Parts one under another, from the head down."""

    down: Annotated[list[LayoutNode], counted("parts", 1)]


def _branch(value: Any) -> str:
    def get(name: str) -> Any:
        return value.get(name) if isinstance(value, dict) else getattr(value, name, None)

    if get("across") is not None:
        return "Across"
    return "Down" if get("down") is not None else "Light"


LayoutNode = Annotated[
    Annotated[Light, Tag("Light")] | Annotated[Across, Tag("Across")] | Annotated[Down, Tag("Down")],
    Discriminator(_branch),
]

Across.model_rebuild()
Down.model_rebuild()


class SillWanted(Strict):
    """The frame sill under the window."""

    kind: Literal["frame_sill", "none"] = "frame_sill"
    ends: SillEnds = "horns"
    projection_mm: Annotated[float, within("projection_mm")] | None = None
    """Nominal projection; chosen from the stock so that the drip stands clear when left out."""
    horn_mm: Annotated[float, within("horn_mm")] = 50.0
    """How far each horn runs past the opening."""


class Wanted(Strict):
    """What is to go into the opening."""

    kind: UnitKind = "window"
    layout: LayoutNode = Light()
    profile: Name | None = None
    colour: Colour | None = None
    glass: Name | None = None
    sill: SillWanted | None = None
    gap_mm: Annotated[float, within("gap_mm")] | None = None
    """Joint wanted on every side; by material, colour and size when left out."""
    threshold: Literal["low", "standard"] = "standard"
    """Door threshold."""
    permanent_vent_mm2: Annotated[float, within("permanent_vent_mm2")] | None = None
    """Vent that can't be closed, for an appliance."""
    match: Name | None = None
    """Name of the family of openings that should get one size and one glass line."""
    line_up: Name | None = None
    """Mark of a neighbouring opening: the upper transom stands as far below the head as that one's."""
    declared: Declared | None = None
    """What the maker declares of this unit; it rules over what is worked out."""
    specified: Specified | None = None
    """Where it differs from what is usual in this house."""
    dropped_sash_mm: Annotated[float, within("dropped_sash_mm")] = 0.0
    """How far a sash is found to have dropped at the lock side; the blocks correct it."""
