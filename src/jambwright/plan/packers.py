"""Packers: the true gap at every packing point of a crooked opening, made up of common thicknesses."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

import shapely

from jambwright.basis.clause import Clause
from jambwright.basis.problems import Problem
from jambwright.basis.tables import table

Side = Literal["left", "right", "head", "bottom"]

OUTWARD: dict[Side, tuple[float, float]] = {
    "left": (-1.0, 0.0),
    "right": (1.0, 0.0),
    "head": (0.0, 1.0),
    "bottom": (0.0, -1.0),
}
REACH_MM = 400.0
"""How far out a gap is looked for; a frame this far from its wall is in the wrong opening."""
MOST_IN_A_STACK = 3
SNUG_MM = 0.25
"""A packer this much over the measured gap still goes in: readings are no better. House default."""
COMMON_PRACTICE = Clause("Common practice, no published source", "", "common practice, no published source")


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingPoint:
    """One place to pack: along the side from its bottom or left end, the gap there and what fills it."""

    side: Side
    at_mm: float
    gap_mm: float
    packers_mm: tuple[float, ...]
    why: str

    @property
    def packed_mm(self) -> float:
        """Total thickness of the stack."""
        return sum(self.packers_mm)


def thicknesses_mm() -> tuple[float, ...]:
    """Packer thicknesses in common use, thinnest first."""
    return tuple(sorted(table("packers").column("thickness_mm")))


def stack_for(gap_mm: float) -> tuple[float, ...]:
    """The fewest packers, at most three, that fill a gap best without forcing it; thickest first.

    >>> stack_for(4.6)
    (4.0,)
    >>> stack_for(13.2)
    (10.0, 3.0)
    >>> stack_for(0.4)
    ()
    """
    fitting = [s for s in _stacks() if sum(s) <= gap_mm + SNUG_MM]
    return max(fitting, key=lambda s: (sum(s), -len(s), s), default=())


@functools.cache
def _stacks() -> tuple[tuple[float, ...], ...]:
    thickest_first = tuple(reversed(thicknesses_mm()))
    return tuple(
        stack
        for count in range(1, MOST_IN_A_STACK + 1)
        for stack in itertools.combinations_with_replacement(thickest_first, count)
    )


def gap_at(boundary_mm: Sequence[tuple[float, float]], x_mm: float, y_mm: float, side: Side) -> float:
    """Distance from a point on the frame's edge straight out to the wall; negative when the wall is inside it.

    ``boundary_mm`` is the outline of the opening as a closed ring without its repeated first point.
    """
    dx, dy = OUTWARD[side]
    ring = shapely.LinearRing(boundary_mm)
    # start well inside the frame so that a wall that stands in the frame's place is found as a negative gap
    start = (x_mm - dx * REACH_MM / 4, y_mm - dy * REACH_MM / 4)
    ray = shapely.LineString([start, (x_mm + dx * REACH_MM, y_mm + dy * REACH_MM)])
    hits = shapely.get_coordinates(ring.intersection(ray))
    if not len(hits):
        return REACH_MM
    return float(min((hx - x_mm) * dx + (hy - y_mm) * dy for hx, hy in hits))


def packing_points(
    boundary_mm: Sequence[tuple[float, float]],
    *,
    frame_mm: tuple[float, float, float, float],
    wanted: Iterable[tuple[Side, float, str]],
) -> tuple[tuple[PackingPoint, ...], tuple[Problem, ...]]:
    """The gap and the packers at each wanted place of a frame ``(x, y, width, height)`` in the opening.

    Places of one side closer than a packer's width are packed once, with both reasons.
    """
    x, y, width, height = frame_mm
    points: list[PackingPoint] = []
    problems: list[Problem] = []
    for side, at, why in _merged(wanted):
        px, py = {
            "left": (x, y + at), "right": (x + width, y + at), "head": (x + at, y + height), "bottom": (x + at, y)
        }[side]  # fmt: skip
        gap = gap_at(boundary_mm, px, py, side)
        stack = stack_for(gap)
        points.append(PackingPoint(side=side, at_mm=at, gap_mm=gap, packers_mm=stack, why=why))
        left_open = gap - sum(stack)
        if gap < thicknesses_mm()[0] - SNUG_MM:
            problems.append(
                Problem(
                    f"packers.{side}", f"{side}, {at:.0f} mm along: only {gap:.1f} mm to pack.", "caution"
                )
            )
        elif left_open > 1.0:
            say = (
                f"{side}, {at:.0f} mm along: the gap of {gap:.1f} mm is more than {MOST_IN_A_STACK} packers fill; "
                "use a solid timber or plastic pad there."
            )
            problems.append(Problem(f"packers.{side}", say, "caution"))
    return tuple(points), tuple(problems)


def _merged(wanted: Iterable[tuple[Side, float, str]]) -> list[tuple[Side, float, str]]:
    width = table("packers").rows[0]["width_mm"]
    merged: list[tuple[Side, float, str]] = []
    for side, at, why in sorted(wanted):
        if merged and merged[-1][0] == side and at - merged[-1][1] < width:
            merged[-1] = (side, merged[-1][1], ", ".join(dict.fromkeys((*merged[-1][2].split(", "), why))))
        else:
            merged.append((side, at, why))
    return merged
