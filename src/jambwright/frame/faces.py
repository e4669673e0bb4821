"""An opening measured on both faces: brick outside, plaster inside. The frame must suit both.

A straight reveal: the frame stands in the outer opening, and the plaster returns on to it. A rebated reveal:
the frame stands behind the outer nibs, so it is larger than the hole seen from outside by what it laps behind
them, and it comes in past the plaster. How it is sized says ``opening.behind_nibs``; what it laps, and where
it clashes, is said here. Common practice, no published source; limits are house values.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from jambwright.basis.problems import Problem
from jambwright.frame.order_size import OrderSize
from jambwright.opening import (
    BehindNibs,
    Gaps,
    Outline,
    Point,
    Rectangle,
    Side,
    Space,
    largest_rectangle,
    reach,
)
from jambwright.opening.contacts import INWARD

SASH_CLEARANCE_MM = 10.0
"""Frame that must stay in sight for a sash to clear what laps on to the frame."""

LEAST_LAP_MM = 10.0
"""What a frame laps behind a nib at the least, to be sealed."""

CLOSER_LAP_MM = 25.0
"""What a frame covers of the cavity closer at the least (25 to 30 mm). From memory, medium."""

WIDEST_TRIM_MM = 20.0
"""A wider gap between frame and plaster wants making good rather than a trim."""

EDGES: Mapping[Side, str] = {
    "left": "left jamb",
    "right": "right jamb",
    "head": "head",
    "bottom": "sill",
}
PLASTERED: tuple[Side, ...] = ("left", "right", "head")
"""Sides where plaster laps on to the frame; the window board goes at the bottom."""

LEAST_EXCHANGED_MM = 100.0
"""Sets must differ by this before their widths and heights are taken as exchanged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reveal:
    """What stands round the frame, and what of the frame matters for it, mm."""

    frame_face_mm: float
    """Width of the outer frame seen square on."""
    frame_depth_mm: float
    set_back_mm: float
    outer_leaf_mm: float
    cavity_mm: float
    nibs: frozenset[Side] = frozenset()
    """Sides where the outer leaf laps in front of the frame."""
    opens_in: frozenset[Side] = frozenset()
    """Sides of the frame with a sash at them that opens inwards."""
    opens_out: frozenset[Side] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Lapped:
    """How a frame stands behind its nibs, mm."""

    laps_mm: Mapping[Side, tuple[float, float, float]]
    """How far the nib laps over the frame: at the ends and the middle of each side that has one."""
    wider_mm: float
    """Frame over the largest true frame that the hole seen from outside would let through."""
    higher_mm: float
    """The same of the height, the frame's sill counted."""

    @property
    def larger(self) -> str:
        """In words: ``38 mm wider and 13 mm higher``."""
        wide, high = round(self.wider_mm), round(self.higher_mm)
        return (
            f"{abs(wide)} mm {'wider' if wide >= 0 else 'narrower'} and "
            f"{abs(high)} mm {'higher' if high >= 0 else 'lower'}"
        )


def lapped(order: OrderSize, outside: Outline, nibs: frozenset[Side]) -> Lapped:
    """How a frame of this size and place stands behind the nibs of these sides."""
    frame, outer = Rectangle(*order.place_mm, order.width_mm, order.height_mm), outside.space()
    seen = largest_rectangle(outer, Gaps(left=0.0, right=0.0, head=0.0, bottom=0.0))
    return Lapped(
        laps_mm={side: _laps(outer, frame, side) for side in EDGES if side in nibs},
        wider_mm=order.width_mm - seen.width,
        higher_mm=order.overall_height_mm - seen.height,
    )


def unsealed(laps: Lapped) -> tuple[Problem, ...]:
    """Nibs that lap too little over the frame to be sealed; such a frame is not to be ordered."""
    return tuple(
        _caution(
            nib_field(side),
            f"The frame laps only {max(min(lap), 0.0):.0f} mm behind the nib at the {EDGES[side]}; it takes "
            f"{LEAST_LAP_MM:.0f} mm to seal it. Ask for a smaller gap, take the inner reveal back, or give the "
            "nib as 0 and seal it as a straight reveal.",
        )
        for side, lap in laps.laps_mm.items()
        if min(lap) < LEAST_LAP_MM
    )


def nib_field(side: Side) -> str:
    """Where the survey says the nib of a side."""
    return f"nibs.{'sill' if side == 'bottom' else side}"


@functools.lru_cache(maxsize=512)
def sight_gaps_mm(hole: BehindNibs, frame_face_mm: float) -> dict[Side, float]:
    """The least gap at each nib that leaves enough of the frame in sight for a sash to clear it.

    Negative where the inner reveal itself sees to that.
    """
    most_lap = frame_face_mm - SASH_CLEARANCE_MM
    return {side: max(hole.reveal_back_mm(side)) - most_lap for side in hole.nibs}


def clashes(
    order: OrderSize,
    outside: Outline,
    inside: Outline | None,
    reveal: Reveal,
    *,
    inside_at_mm: Point | None = None,
) -> tuple[Problem, ...]:
    """Where a frame of this size clashes with what stands round it.

    ``inside_at_mm`` is the bottom left of the inner outline seen from the outer one's; when it was not
    measured the two are taken as centred on each other.
    """
    frame = Rectangle(*order.place_mm, order.width_mm, order.height_mm)
    found = [*_closer(reveal), *_nibs(outside.space(), frame, reveal)]
    if inside is not None:
        space = _moved(inside.space(), inside_at_mm or _centred_on(outside, inside))
        found += [*_exchanged(outside, inside), *_plaster(space, frame, reveal)]
    return tuple(found)


def _closer(reveal: Reveal) -> Iterator[Problem]:
    reaches = reveal.set_back_mm + reveal.frame_depth_mm
    wanted = reveal.outer_leaf_mm + CLOSER_LAP_MM
    if reveal.cavity_mm > 0 and reaches < wanted:
        yield _caution(
            "set_back_mm",
            f"The frame's back stands {reaches:.0f} mm behind the wall face; to cover the cavity closer by "
            f"{CLOSER_LAP_MM:.0f} mm it should stand {wanted:.0f} mm. Set the frame back further.",
        )


def _nibs(outer: Space, frame: Rectangle, reveal: Reveal) -> Iterator[Problem]:
    """Nibs must lap little enough over the frame for its sashes to clear and its foot to drain."""
    for side in (side for side in EDGES if side in reveal.nibs):
        laps = _laps(outer, frame, side)
        if side in reveal.opens_out:
            yield from _hidden(max(laps), reveal, "nib", EDGES[side], nib_field(side))
        if side == "bottom" and max(laps) > 0:
            yield _caution(
                "nibs.sill",
                f"The upstand at the sill covers {max(laps):.0f} mm of the frame's foot and its drain slots: cut "
                "it back, or have the frame drained above it.",
            )


def _plaster(inner: Space, frame: Rectangle, reveal: Reveal) -> Iterator[Problem]:
    """Plaster lapping on to the frame, too far from it, or too tight for a frame that comes in past it."""
    for side in PLASTERED:
        edge, laps = EDGES[side], _laps(inner, frame, side)
        if max(laps) > 0 and reveal.nibs:
            yield _caution(
                "inside",
                f"The frame goes behind the nibs from inside, but the plaster at the {edge} stands "
                f"{max(laps):.0f} mm in its way. Take plaster off before fitting.",
            )
        elif max(laps) > 0:
            yield _caution(
                "inside",
                f"The plaster is smaller than the brick opening: it covers {max(laps):.0f} mm of the frame "
                f"at the {edge}.",
            )
        if side in reveal.opens_in:
            yield from _hidden(max(laps), reveal, "plaster", edge, "inside")
        if -min(laps) > WIDEST_TRIM_MM and side not in reveal.nibs:
            yield _caution(
                "inside",
                f"The plaster at the {edge} stays {-min(laps):.0f} mm short of the frame: make good; a trim "
                f"covers {WIDEST_TRIM_MM:.0f} mm.",
            )


def _hidden(lap: float, reveal: Reveal, what: str, edge: str, field: str) -> Iterator[Problem]:
    seen = reveal.frame_face_mm - lap
    if seen < SASH_CLEARANCE_MM:
        yield _caution(
            field,
            f"The {what} at the {edge} leaves {max(seen, 0.0):.0f} mm of the frame in sight; a sash opening "
            f"past it needs {SASH_CLEARANCE_MM:.0f} mm. Cut it back, or add a frame extension.",
        )


def _laps(space: Space, frame: Rectangle, side: Side) -> tuple[float, float, float]:
    """How far an outline's side stands over the frame at ends and middle, from the frame's edge inwards."""
    start, length = (frame.y, frame.height) if side in ("left", "right") else (frame.x, frame.width)
    own = {
        "left": frame.x,
        "right": frame.x + frame.width,
        "bottom": frame.y,
        "head": frame.y + frame.height,
    }[side]
    first, middle, last = (
        INWARD[side] * (reach(space, side, start + share * length) - own) for share in (0.0, 0.5, 1.0)
    )
    return first, middle, last


def _caution(field: str, say: str) -> Problem:
    return Problem(field, say, "caution")


def _moved(space: Space, by: Point) -> Space:
    return Space(points=tuple((x + by[0], y + by[1]) for x, y in space.points), sides=space.sides)


def _centred_on(outside: Outline, inside: Outline) -> Point:
    a, b = (_middle(o.boundary()) for o in (outside, inside))
    return a[0] - b[0], a[1] - b[1]


def _middle(points: list[Point]) -> Point:
    xs, ys = zip(*points, strict=True)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _exchanged(outside: Outline, inside: Outline) -> Iterator[Problem]:
    """Widths and heights of one whole set exchanged: no check within the set can see it."""
    (w, h), (v, g) = (_size(o.boundary()) for o in (outside, inside))
    if abs(w - v) + abs(h - g) > max(LEAST_EXCHANGED_MM, 4 * (abs(w - g) + abs(h - v))):
        yield _caution(
            "inside",
            f"Outside reads {w:.0f} wide by {h:.0f} high, inside {v:.0f} by {g:.0f}: one set has widths and "
            "heights exchanged? Measure one width again.",
        )


def _size(points: list[Point]) -> Point:
    xs, ys = zip(*points, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)
