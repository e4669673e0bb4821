"""The hole as a closed outline, the gaps wanted in it, and the rectangle that stands in it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jambwright.basis.problems import BadInput
from jambwright.opening.shape import Side

Point = tuple[float, float]

MOST_POINTS = 200
SAME_MM = 1e-6
"""Points in turn nearer than this are one."""
FURTHEST_MM = 1e5
"""A corner further off than this is no corner of an opening: 100 m. House value."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gaps:
    """Gap wanted on each side, mm, square to the edge."""

    left: float
    right: float
    head: float
    bottom: float

    def of(self, side: Side) -> float:
        """The gap of one side."""
        return float(getattr(self, side))


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A level-and-plumb rectangle by its bottom left corner, mm."""

    x: float
    y: float
    width: float
    height: float

    @property
    def numbers(self) -> tuple[float, float, float, float]:
        """In order: x, y, width, height."""
        return self.x, self.y, self.width, self.height


@dataclass(frozen=True, slots=True, kw_only=True)
class Space:
    """A closed outline, anticlockwise, with the side each edge belongs to."""

    points: tuple[Point, ...]
    sides: tuple[Side, ...]

    def edges(self) -> Iterator[tuple[Point, Point, Side]]:
        """Edges from point to point."""
        return zip(self.points, self.points[1:] + self.points[:1], self.sides, strict=True)

    @property
    def goes_round_once(self) -> bool:
        """Whether each side is one run of edges, so that no part of the hole lies behind a side."""
        return sum(a != b for a, b in zip(self.sides, self.sides[1:] + self.sides[:1], strict=True)) == 4

    @property
    def crosses_itself(self) -> bool:
        """Whether misreads bend the outline so far that an edge runs against its turn or meets another."""
        from shapely.geometry import Polygon

        ahead: dict[Side, tuple[int, int]] = {
            "bottom": (0, 1),
            "right": (1, 1),
            "head": (0, -1),
            "left": (1, -1),
        }
        against = any(
            turn * (b[axis] - a[axis]) <= 0 for a, b, side in self.edges() for axis, turn in (ahead[side],)
        )
        return against or not Polygon(self.points).is_valid


def space_of(points: Sequence[Point]) -> Space:
    """Check a polygon and sort its edges to sides: jambs run steeper than 45 degrees.

    ``BadInput`` when it is no simple closed outline.
    """
    from shapely.geometry import Polygon

    corners = [(float(x), float(y)) for x, y in points]
    if not all(abs(value) <= FURTHEST_MM for corner in corners for value in corner):
        raise BadInput.one(
            "polygon_mm",
            f"polygon_mm: a corner lies more than {1e-3 * FURTHEST_MM:g} m from 0, 0, or is no number; "
            "give all corners in millimetres.",
        )
    ends = corners[1:] + corners[:1]
    corners = [
        corner for corner, after in zip(corners, ends, strict=True) if math.dist(corner, after) > SAME_MM
    ]
    if not 3 <= len(corners) <= MOST_POINTS:
        raise BadInput.one(
            "polygon_mm",
            f"polygon_mm: {len(corners)} points; an outline has 3 to {MOST_POINTS}.",
        )
    shape = Polygon(corners)
    if not shape.is_valid or shape.area <= SAME_MM:
        raise BadInput.one(
            "polygon_mm",
            "polygon_mm: the outline crosses or touches itself, or holds no area; give the corners in turn.",
        )
    if not shape.exterior.is_ccw:
        corners.reverse()
    ends = corners[1:] + corners[:1]
    return Space(points=tuple(corners), sides=tuple(_side(a, b) for a, b in zip(corners, ends, strict=True)))


def _side(a: Point, b: Point) -> Side:
    across, up = b[0] - a[0], b[1] - a[1]
    if abs(up) > abs(across):
        return "right" if up > 0 else "left"
    return "bottom" if across > 0 else "head"
