"""The frame to order: the largest true rectangle in the outline with the wanted gaps, rounded down."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from jambwright.basis.problems import BadInput
from jambwright.basis.units import round_down_mm
from jambwright.opening import Outline
from jambwright.opening.largest import (
    Gaps,
    Point,
    Prefer,
    Rectangle,
    Room,
    centred,
    gap_at,
    largest_rectangle,
    room_of,
)
from jambwright.opening.shape import SIDES, Side

STATIONS: Mapping[Side, tuple[str, str, str]] = {
    "left": ("bottom", "middle", "top"),
    "right": ("bottom", "middle", "top"),
    "head": ("left", "centre", "right"),
    "bottom": ("left", "centre", "right"),
}
"""Where the gap of each side is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderSize:
    """What to order and where it stands in the opening, mm, viewed from outside."""

    width_mm: float
    height_mm: float
    """Without the sill under it."""
    sill_height_mm: float
    place_mm: Point
    """The frame's bottom left (its sill is below)."""
    gaps_mm: Mapping[Side, Mapping[str, float]]
    """At the corners and middle of each side; the bottom gap is the one under the sill."""
    prefer: Prefer
    confidence: float
    """The chance that was wanted."""
    probability_fits: float | None
    """Chance that it goes in with every wanted gap kept; 1 in an outline known exactly."""

    @property
    def overall_height_mm(self) -> float:
        """With the sill."""
        return self.height_mm + self.sill_height_mm


def order_size(
    outline: Outline | Sequence[Point],
    *,
    gaps_mm: Gaps,
    sill_height_mm: float = 0.0,
    round_down_to_mm: float = 1.0,
    confidence: float = 0.99,
    prefer: Prefer = "area",
) -> OrderSize:
    """Size, place and gaps of the frame to order.

    ``outline`` is an adjusted outline, or a polygon taken as exact. The largest width + height is chosen;
    ``prefer`` decides between equals. ``BadInput`` when nothing fits.
    """
    exact = not isinstance(outline, Outline)
    room = room_of(outline) if not isinstance(outline, Outline) else room_in(outline)
    whole = largest_rectangle(room, gaps_mm, prefer)
    width = round_down_mm(whole.width, round_down_to_mm)
    height = round_down_mm(whole.height - sill_height_mm, round_down_to_mm)
    if min(width, height) <= 0:
        raise BadInput.one(
            "sill_height_mm",
            f"No frame is left over: {whole.width:.0f} x {whole.height:.0f} mm of room, "
            f"{sill_height_mm:g} mm of it sill. Check gaps and sill height.",
        )
    placed = centred(room, gaps_mm, whole, width, height + sill_height_mm)
    return OrderSize(
        width_mm=width,
        height_mm=height,
        sill_height_mm=sill_height_mm,
        place_mm=(placed.x, placed.y + sill_height_mm),
        gaps_mm=_gaps(room, placed, sill_height_mm),
        prefer=prefer,
        confidence=confidence,
        probability_fits=1.0 if exact else None,
    )


def room_in(outline: Outline) -> Room:
    """The adjusted outline as a room for a frame."""
    return Room(points=tuple(outline.boundary()), sides=outline.shape.sides)


def _gaps(room: Room, placed: Rectangle, sill: float) -> dict[Side, dict[str, float]]:
    frame = Rectangle(x=placed.x, y=placed.y + sill, width=placed.width, height=placed.height - sill)
    return {
        side: {
            name: gap_at(room, placed if side == "bottom" else frame, side, share)
            for name, share in zip(STATIONS[side], (0.0, 0.5, 1.0), strict=True)
        }
        for side in SIDES
    }
