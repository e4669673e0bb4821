"""Packers: the true gap at every packing point of a crooked opening, made up of common thicknesses."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from jambwright.basis.problems import Problem
from jambwright.basis.tables import table
from jambwright.opening import Rectangle, Room, Side, gap_at

Wanted = tuple[Side, float, str]
"""A place to pack: side, from its bottom or left end, and why."""

MOST_IN_A_STACK = 3
LEFT_OPEN_MM = 1.0
"""More than this behind a stack lets the frame move."""
SNUG_MM = 0.25
"""A packer this much over the measured gap still goes in: readings are no better. House default."""


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


def stack_for(gap_mm: float, carried_mm: Sequence[float] | None = None) -> tuple[float, ...]:
    """The fewest packers, at most three, that fill a gap best without forcing it; thickest first.

    ``carried_mm`` are the thicknesses the firm carries; those in common use when left out.

    >>> stack_for(4.6)
    (4.0,)
    >>> stack_for(13.2)
    (10.0, 3.0)
    >>> stack_for(0.4)
    ()
    """
    fitting = [s for s in _stacks(_thickest_first(carried_mm)) if sum(s) <= gap_mm + SNUG_MM]
    return max(fitting, key=lambda s: (sum(s), -len(s), s), default=())


def _thickest_first(carried_mm: Sequence[float] | None) -> tuple[float, ...]:
    return tuple(sorted(set(carried_mm or thicknesses_mm()), reverse=True))


@functools.cache
def _stacks(thickest_first: tuple[float, ...]) -> tuple[tuple[float, ...], ...]:
    return tuple(
        stack
        for count in range(1, MOST_IN_A_STACK + 1)
        for stack in itertools.combinations_with_replacement(thickest_first, count)
    )


def packing_points(
    room: Room,
    frame: Rectangle,
    wanted: Iterable[Wanted],
    *,
    sill_height_mm: float = 0.0,
    carried_mm: Sequence[float] | None = None,
) -> tuple[tuple[PackingPoint, ...], tuple[Problem, ...]]:
    """The gap and the packers at each wanted place of a frame that stands in a room.

    The bottom is packed under the sill where there is one. Places of one side closer than a packer's
    width are packed once, with both reasons.
    """
    points: list[PackingPoint] = []
    problems: list[Problem] = []
    thinnest, most = min(_thickest_first(carried_mm)), MOST_IN_A_STACK * max(_thickest_first(carried_mm))
    lowered = replace(frame, y=frame.y - sill_height_mm)
    for side, at, why in packed_once(wanted):
        run = frame.height if side in ("left", "right") else frame.width
        gap = gap_at(room, lowered if side == "bottom" else frame, side, at / run)
        stack = stack_for(gap, carried_mm)
        points.append(PackingPoint(side=side, at_mm=at, gap_mm=gap, packers_mm=stack, why=why))
        where = f"{side}, {at:.0f} mm along"
        if gap < thinnest - SNUG_MM:
            problems.append(Problem(f"packers.{side}", f"{where}: only {gap:.1f} mm to pack.", "caution"))
        elif gap - sum(stack) > LEFT_OPEN_MM:
            say = (
                f"{where}: the gap of {gap:.1f} mm is more than {MOST_IN_A_STACK} packers fill; "
                "use a solid timber or plastic pad there."
                if gap > most
                else f"{where}: the packers carried leave {gap - sum(stack):.1f} mm of the gap of {gap:.1f} mm "
                "open; carry thinner ones too."
            )
            problems.append(Problem(f"packers.{side}", say, "caution"))
    return tuple(points), tuple(problems)


def packed_once(wanted: Iterable[Wanted]) -> list[Wanted]:
    """Places of one side closer than a packer's width as one, at the first of them, with all reasons."""
    width = table("packers").rows[0]["width_mm"]
    merged: list[Wanted] = []
    for side, at, why in sorted(wanted):
        if merged and merged[-1][0] == side and at - merged[-1][1] < width:
            merged[-1] = (side, merged[-1][1], ", ".join(dict.fromkeys((*merged[-1][2].split(", "), why))))
        else:
            merged.append((side, at, why))
    return merged
