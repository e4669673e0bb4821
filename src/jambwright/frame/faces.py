"""An opening measured on both faces: brick outside, plaster inside. The frame must suit both.

A straight reveal: the frame stands in the outer opening, and the plaster returns on to it. A rebated reveal:
the frame stands behind the outer nibs, so it is larger than the hole seen from outside by what it laps behind
them, and it comes in past the plaster. Common practice, no published source; limits are house values.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from jambwright.basis.problems import Problem
from jambwright.frame.order_size import OrderSize, order_size
from jambwright.opening import Gaps, Outline, Point, Rectangle, Room, Side, reach

SASH_CLEARANCE_MM = 10.0
"""Frame that must stay in sight for a sash to clear what laps on to the frame."""

LEAST_LAP_MM = 10.0
"""What a frame laps behind a nib at the least, to be sealed."""

CLOSER_LAP_MM = 25.0
"""What a frame covers of the cavity closer at the least (25 to 30 mm). From memory, medium."""

WIDEST_TRIM_MM = 20.0
"""A wider gap between frame and plaster wants making good rather than a trim."""

LAPPED: Mapping[Side, str] = {"left": "left jamb", "right": "right jamb", "head": "head"}
"""Sides where nibs and plaster lap on to the frame; the window board or sill goes at the bottom."""

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
    rebate_mm: float = 0.0
    """How far the outer nibs stand in front of the frame; 0 for a straight reveal."""
    opens_in: bool = False
    opens_out: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BothFaces:
    """The frame that suits both faces as well as it can, and where they clash."""

    order: OrderSize
    clashes: tuple[Problem, ...]


def order_between(
    outside: Outline,
    inside: Outline | None,
    reveal: Reveal,
    *,
    gaps_mm: Gaps,
    inside_at_mm: Point | None = None,
    **wanted: Any,
) -> BothFaces:
    """Size the frame in the outer opening (behind its nibs where there are any) and look for clashes.

    ``inside_at_mm`` is the bottom left of the inner outline seen from the outer one's; when it was not
    measured the two are taken as centred on each other. ``wanted`` goes to ``order_size``.
    """
    order = order_size(outside, gaps_mm=behind_nibs(gaps_mm, reveal.rebate_mm), **wanted)
    return BothFaces(order=order, clashes=clashes(order, outside, inside, reveal, inside_at_mm=inside_at_mm))


def clashes(
    order: OrderSize,
    outside: Outline,
    inside: Outline | None,
    reveal: Reveal,
    *,
    inside_at_mm: Point | None = None,
) -> tuple[Problem, ...]:
    """Where a frame of this size clashes with what stands round it."""
    frame = Rectangle(*order.place_mm, order.width_mm, order.height_mm)
    found = [*_closer(reveal), *_nibs(outside.room(), frame, reveal)]
    if inside is not None:
        room = _moved(inside.room(), inside_at_mm or _centred_on(outside, inside))
        found += [*_exchanged(outside, inside), *_plaster(room, frame, reveal)]
    return tuple(found)


def behind_nibs(gaps_mm: Gaps, rebate_mm: float) -> Gaps:
    """Gaps to the seen opening when the frame stands behind nibs at jambs and head (negative: it laps)."""
    return Gaps(
        left=gaps_mm.left - rebate_mm,
        right=gaps_mm.right - rebate_mm,
        head=gaps_mm.head - rebate_mm,
        bottom=gaps_mm.bottom,
    )


def _closer(reveal: Reveal) -> Iterator[Problem]:
    reaches = reveal.set_back_mm + reveal.frame_depth_mm
    wanted = reveal.outer_leaf_mm + CLOSER_LAP_MM
    if reveal.cavity_mm > 0 and reaches < wanted:
        yield _caution(
            "set_back_mm",
            f"The frame's back stands {reaches:.0f} mm behind the wall face; to cover the cavity closer by "
            f"{CLOSER_LAP_MM:.0f} mm it should stand {wanted:.0f} mm. Set the frame back further.",
        )


def _nibs(outer: Room, frame: Rectangle, reveal: Reveal) -> Iterator[Problem]:
    """Behind nibs the frame must lap enough to be sealed and little enough for its sashes to clear."""
    if reveal.rebate_mm <= 0:
        return
    for side in LAPPED:
        laps = _laps(outer, frame, side)
        if min(laps) < LEAST_LAP_MM:
            yield _caution(
                "reveal_rebate_mm",
                f"The frame laps only {min(laps):.0f} mm behind the nib at the {LAPPED[side]}; it takes "
                f"{LEAST_LAP_MM:.0f} mm to seal it. Order it larger, or add a trim.",
            )
        if reveal.opens_out:
            yield from _hidden(max(laps), reveal, "nib", LAPPED[side], "reveal_rebate_mm")


def _plaster(inner: Room, frame: Rectangle, reveal: Reveal) -> Iterator[Problem]:
    """Plaster lapping on to the frame, too far from it, or too tight for a frame that comes in past it."""
    for side, edge in LAPPED.items():
        laps = _laps(inner, frame, side)
        if max(laps) > 0 and reveal.rebate_mm > 0:
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
        if reveal.opens_in:
            yield from _hidden(max(laps), reveal, "plaster", edge, "inside")
        if -min(laps) > WIDEST_TRIM_MM:
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


def _laps(room: Room, frame: Rectangle, side: Side) -> list[float]:
    """How far an outline's side stands over the frame at ends and middle, from the frame's edge inwards."""
    if side == "head":
        top = frame.y + frame.height
        return [top - reach(room, side, frame.x + share * frame.width) for share in (0.0, 0.5, 1.0)]
    own, inward = (frame.x, 1.0) if side == "left" else (frame.x + frame.width, -1.0)
    return [inward * (reach(room, side, frame.y + share * frame.height) - own) for share in (0.0, 0.5, 1.0)]


def _caution(field: str, say: str) -> Problem:
    return Problem(field, say, "caution")


def _moved(room: Room, by: Point) -> Room:
    return Room(points=tuple((x + by[0], y + by[1]) for x, y in room.points), sides=room.sides)


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
