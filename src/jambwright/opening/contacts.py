"""Where a level-and-plumb frame would touch an outline, how far each side may go, and what gaps remain."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from jambwright.opening.largest import TOUCH_MM
from jambwright.opening.shape import SIDES, Floats, Side
from jambwright.opening.space import Gaps, Point, Rectangle, Space

ENDS: Mapping[Side, tuple[str, str, str]] = {
    "left": ("bottom", "top", "middle"),
    "right": ("bottom", "top", "middle"),
    "head": ("left", "right", "centre"),
    "bottom": ("left", "right", "centre"),
}
"""Names of a side's two ends and of what lies between."""

BETWEEN = 0.125
"""A point nearer to a jamb's half height than this is its middle, else it is at a quarter."""

INWARD: Mapping[Side, float] = {"left": 1.0, "right": -1.0, "bottom": 1.0, "head": -1.0}
"""Which way a side of the outline presses on a frame, along x for jambs and y for head and bottom."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """One point of the frame against one side of the outline."""

    side: Side
    at: str
    """Which part of the frame's side touches."""
    limit: float
    """Coordinate that this side of the frame may not pass."""
    pull: tuple[tuple[int, int, float], ...]
    """How the limit moves with the outline: vertex, axis, share."""

    def slope(self, bends: Floats) -> Floats:
        """Gradient of the limit by the outline's parameters; ``bends`` is the boundary's, (m, 2, u)."""
        return np.asarray(sum(share * bends[vertex, axis] for vertex, axis, share in self.pull))


def contacts(space: Space, gaps: Gaps, r: Rectangle) -> dict[Side, list[Contact]]:
    """The contacts of each side: at the frame's two corners and at the outline's points between them."""
    found: dict[Side, list[Contact]] = {}
    for side in SIDES:
        stations = (r.y, r.y + r.height) if _along(side) else (r.x, r.x + r.width)
        first, second, between = ENDS[side]
        found[side] = [
            _at_station(space, side, stations[0], gaps.of(side), first),
            _at_station(space, side, stations[1], gaps.of(side), second),
            *_at_points(space, side, stations, gaps.of(side), between),
        ]
    return found


def _along(side: Side) -> int:
    """The axis a side runs along: y for jambs, x for head and bottom."""
    return 1 if side in ("left", "right") else 0


def _at_points(
    space: Space, side: Side, stations: tuple[float, float], gap: float, name: str
) -> Iterator[Contact]:
    """Points of the outline between two edges of one side, where they lie along the frame."""
    axis = _along(side)
    before = space.sides[-1:] + space.sides[:-1]
    for n, (point, a, b) in enumerate(zip(space.points, before, space.sides, strict=True)):
        if a == b == side and stations[0] < point[axis] < stations[1]:
            share = (point[axis] - stations[0]) / (stations[1] - stations[0])
            yield Contact(
                side=side,
                at=_part(share, name) if _along(side) else name,
                limit=point[1 - axis] + INWARD[side] * gap,
                pull=((n, 1 - axis, 1.0),),
            )


def _part(share: float, between: str) -> str:
    """Which part of a jamb a share of the frame's height is."""
    if abs(share - 0.5) <= BETWEEN:
        return between
    return "lower quarter" if share < 0.5 else "upper quarter"


def _at_station(space: Space, side: Side, station: float, gap: float, name: str) -> Contact:
    """Where a side stands at a height (jambs) or at an x (head, bottom), moved in by a gap square to it."""
    axis = _along(side)
    best: Contact | None = None
    for n, a, b in _edges_at(space, side, station):
        along = b[axis] - a[axis]
        slope = (b[1 - axis] - a[1 - axis]) / along
        t = (station - a[axis]) / along
        limit = a[1 - axis] + slope * (station - a[axis]) + INWARD[side] * gap * math.hypot(1.0, slope)
        if best is None or INWARD[side] * (limit - best.limit) > 0:
            m = (n + 1) % len(space.points)
            pull = (
                (n, 1 - axis, 1 - t), (m, 1 - axis, t), (n, axis, -slope * (1 - t)), (m, axis, -slope * t),
            )  # fmt: skip
            best = Contact(side=side, at=name, limit=limit, pull=pull)
    assert best is not None  # _edges_at gives at least one edge of every side an outline has
    return best


def _edges_at(space: Space, side: Side, station: float) -> list[tuple[int, Point, Point]]:
    """The edges of a side that pass a station, or the nearest when it lies just beyond the side."""
    axis = _along(side)
    edges = [
        (max(min(a[axis], b[axis]) - station, station - max(a[axis], b[axis]), 0.0), n, a, b)
        for n, (a, b, s) in enumerate(space.edges())
        if s == side and a[axis] != b[axis]
    ]
    nearest = min(away for away, *_ in edges)
    return [(n, a, b) for away, n, a, b in edges if away <= nearest + 1e-9]


def touch(space: Space, side: Side, station: float) -> Contact:
    """The point of a side at a height (jambs) or an x (head, bottom), or at its near end."""
    return _at_station(space, side, station, 0.0, "")


def reach(space: Space, side: Side, station: float) -> float:
    """Where a side of the outline stands at a height (jambs) or an x (head, bottom), or at its near end."""
    return touch(space, side, station).limit


def gap_at(space: Space, r: Rectangle, side: Side, share: float) -> float:
    """Gap at a share of a side, from its bottom or left end: level at jambs, plumb at head and bottom.

    Measured to whatever part of the outline stands there.
    """
    axis = _along(side)
    start, length = (r.y, r.height) if axis else (r.x, r.width)
    own = {"left": r.x, "right": r.x + r.width, "bottom": r.y, "head": r.y + r.height}[side]
    station = start + share * length
    gaps = [
        INWARD[side] * (own - (a[1 - axis] + (b[1 - axis] - a[1 - axis]) * t))
        for a, b, _ in space.edges()
        if a[axis] != b[axis] and 0.0 <= (t := (station - a[axis]) / (b[axis] - a[axis])) <= 1.0
    ]
    return min((gap for gap in gaps if gap > -TOUCH_MM), default=0.0)


def bounds(space: Space, gaps: Gaps, r: Rectangle) -> tuple[float, float, float, float]:
    """The tightest limits: left, right, bottom, head."""
    c = contacts(space, gaps, r)
    return (
        max(k.limit for k in c["left"]),
        min(k.limit for k in c["right"]),
        max(k.limit for k in c["bottom"]),
        min(k.limit for k in c["head"]),
    )


def snug(space: Space, gaps: Gaps) -> Rectangle:
    """The rectangle that touches all four sides, found by closing in; the largest in a nearly true outline.

    Quick, for many openings; ``largest_rectangle`` is the exact search.
    """
    xs, ys = zip(*space.points, strict=True)
    r = Rectangle(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
    for _ in range(6):
        left, right, bottom, head = bounds(space, gaps, r)
        r = Rectangle(left, bottom, right - left, head - bottom)
    return r


def space_slopes(bends: Floats, found: Mapping[Side, list[Contact]]) -> dict[Side, Floats]:
    """Gradients of every contact's limit, (k, u) by side; ``bends`` is the boundary's, (m, 2, u)."""
    return {side: np.array([c.slope(bends) for c in listed]) for side, listed in found.items()}
