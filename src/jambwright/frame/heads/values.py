"""A shaped opening's head and joints, and the frame's outer edge in it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, TypedDict

from jambwright.basis.problems import BadInput

HeadKind = Literal[
    "segmental", "semicircular", "two_centred", "three_centred", "ellipse", "quarter_circle", "circle", "raked", "gable"
]  # fmt: skip

PARALLEL = "Geometry of parallel curves"
STATIONS = (0.0, 0.25, 0.5, 0.75, 0.875)
"""Of half the frame's span from its middle: closer where a head falls steeply."""
HAIR = 1e-6
WIDEN = "Make the joint at the sides at least that at the curve, or draw a shoulder."


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """An opening with its head, and the joints; mm."""

    kind: HeadKind
    span_mm: float
    rise_mm: float
    """Over the springing; of a raked head how much the higher side stands over the lower."""
    springing_mm: float
    """Over the opening's bottom; of a raked head the lower side, of a gable the eaves."""
    sides_mm: float
    curve_mm: float
    """Square to the head."""
    bottom_mm: float
    """Joint and sill under the frame."""
    radius_mm: float | None = None
    """Of a two-centred arch whose centres do not lie on the springing line."""
    small_radius_mm: float | None = None
    """Towards the springings of a three-centred arch."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameHead:
    """The frame's outer edge."""

    span_mm: float
    rise_mm: float
    jamb_mm: float
    """From the frame's bottom to where its head begins; 0 where it has no jamb."""
    overall_mm: float
    arc_mm: float
    """Along the whole head."""
    stays_arc: bool
    arc_each_mm: float | None = None
    """Of the two halves of a head that has a point."""
    radius_mm: float | None = None
    small_radius_mm: float | None = None
    shift_mm: float = 0.0
    """Of the springing, up."""
    stations_mm: tuple[tuple[float, float], ...] = ()
    """From midspan outwards, and over the frame's springing."""
    say: tuple[str, ...] = ()


def refuse(field: str, say: str) -> BadInput:
    """What can't be, by the field it is told with."""
    return BadInput.one(field, f"{field}: {say}")


class Sizes(TypedDict):
    """Of a frame, mm."""

    span_mm: float
    rise_mm: float
    jamb_mm: float
    overall_mm: float
    shift_mm: float


def over_springing(head: Head, *, shift: float, crown: float) -> Sizes:
    """Heights of a frame whose head begins ``shift`` over the opening's springing and ends at ``crown``."""
    return {
        "span_mm": head.span_mm - 2 * head.sides_mm,
        "rise_mm": crown - shift,
        "jamb_mm": head.springing_mm + shift - head.bottom_mm,
        "overall_mm": head.springing_mm + crown - head.bottom_mm,
        "shift_mm": shift,
    }


def stations(
    reach: float, springing: float, height: Callable[[float], float]
) -> tuple[tuple[float, float], ...]:
    """Points of the frame's head from midspan outwards, over its springing."""
    return tuple((share * reach, height(share * reach) - springing) for share in STATIONS)
