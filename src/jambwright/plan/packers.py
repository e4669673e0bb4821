"""Packers: the true gap at every packing point of a crooked opening, made up of common thicknesses."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from jambwright.basis.problems import Problem
from jambwright.basis.tables import table
from jambwright.opening import Rectangle, Side, Space, gap_at

MOST_IN_A_STACK = 3
LEFT_OPEN_MM = 1.0
"""More than this behind a stack lets the frame move."""
SNUG_MM = 0.25
"""A packer this much over the measured gap still goes in: readings are no better. House default."""


Reason = Literal[
    "fixing", "corner", "mullion", "hinge", "lock_keep", "threshold", "balance", "meeting_rail", "sash_sill", "track"
]  # fmt: skip
"""Why a place is packed: by a fixing, bottom corner, mullion, hinge or keep, under a threshold between these, behind
a balance or box, at meeting rails, under the sill of a sliding sash, or at the track of a pane."""
CARRYING: frozenset[Reason] = frozenset({"corner", "mullion"})
"""Reasons of the places along the bottom that the weight stands on."""

Place = tuple[Side, float, tuple[Reason, ...]]
"""A place to pack: the side, millimetres along it, and why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingPoint:
    """One place to pack: along the side from its bottom or left end, the gap there and what fills it."""

    side: Side
    at_mm: float
    gap_mm: float
    packers_mm: tuple[float, ...]
    reasons: tuple[Reason, ...]


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
    space: Space,
    frame: Rectangle,
    wanted: Iterable[Place],
    *,
    sill_height_mm: float = 0.0,
    carried_mm: Sequence[float] | None = None,
) -> tuple[tuple[PackingPoint, ...], tuple[Problem, ...]]:
    """The gap and the packers at each wanted place of a frame that stands in a space.

    The bottom is packed under the sill where there is one. Places of one side closer than a packer's
    width are packed once, with all reasons.
    """
    points: list[PackingPoint] = []
    problems: list[Problem] = []
    thicknesses = _thickest_first(carried_mm)
    thinnest, most = thicknesses[-1], MOST_IN_A_STACK * thicknesses[0]
    lowered = replace(frame, y=frame.y - sill_height_mm)
    for side, at, reasons in packed_once(wanted):
        run = frame.height if side in ("left", "right") else frame.width
        gap = gap_at(space, lowered if side == "bottom" else frame, side, at / run)
        stack = stack_for(gap, carried_mm)
        points.append(PackingPoint(side=side, at_mm=at, gap_mm=gap, packers_mm=stack, reasons=reasons))
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


def packed_once(wanted: Iterable[Place]) -> list[Place]:
    """Places of one side closer than a packer's width as one, at the first of them, with all reasons."""
    width = table("packers").rows[0]["width_mm"]
    merged: list[Place] = []
    for side, at, reasons in sorted(wanted):
        if merged and merged[-1][0] == side and at - merged[-1][1] < width:
            _, first, before = merged[-1]
            merged[-1] = (side, first, tuple(dict.fromkeys((*before, *reasons))))
        else:
            merged.append((side, at, reasons))
    return merged
