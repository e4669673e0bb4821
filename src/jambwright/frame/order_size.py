"""The frame to order: the largest true rectangle in the outline with the wanted gaps, rounded down.

From readings, "the largest" is the largest that goes in with the wanted chance (``frame.chance``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jambwright.basis.problems import BadInput
from jambwright.basis.units import round_down_mm
from jambwright.frame.chance import (
    DRAWS_LOG2,
    FINE_ABOVE,
    FINE_DRAWS_LOG2,
    MAKER,
    ROUGH_DRAWS_LOG2,
    MakerTolerance,
    best_size,
    draw,
    governing,
    most_size,
)
from jambwright.opening import (
    SIDES,
    Gaps,
    Hole,
    Outline,
    Point,
    Prefer,
    Rectangle,
    Room,
    Side,
    gap_at,
    largest_rectangle,
    room_of,
)
from jambwright.opening.contacts import contacts, room_slopes, snug
from jambwright.opening.shape import Floats

STATIONS: Mapping[Side, tuple[str, str, str]] = {
    "left": ("bottom", "middle", "top"),
    "right": ("bottom", "middle", "top"),
    "head": ("left", "centre", "right"),
    "bottom": ("left", "centre", "right"),
}
"""Where the gap of each side is told."""

UNCAPPED = (float("inf"), float("inf"))


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
    probability_fits: float
    """Chance that it goes in with every wanted gap kept; 1 in an outline known exactly."""
    governs: str
    """Which parts of the outline most often bar a frame that does not go in."""
    rests_on: tuple[str, ...]
    """What was assumed instead of measured, in plain words."""

    @property
    def overall_height_mm(self) -> float:
        """With the sill."""
        return self.height_mm + self.sill_height_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """What reading one place a second time would add to width + height at the same chance."""

    kind: str
    at: str
    mm: float


def order_size(
    hole: Hole | Sequence[Point],
    *,
    gaps_mm: Gaps,
    sill_height_mm: float = 0.0,
    round_down_to_mm: float = 1.0,
    confidence: float = 0.99,
    prefer: Prefer = "area",
    at_most_mm: tuple[float, float] = UNCAPPED,
    ordered_mm: tuple[float, float] | None = None,
    widest_gaps_mm: Gaps | None = None,
    maker: MakerTolerance = MAKER,
    common_mm: float = 0.5,
) -> OrderSize:
    """Size, place and gaps of the frame to order.

    ``hole`` is known from readings, or a polygon taken as exact (then ``confidence`` and what follows it
    but ``prefer`` do not matter). The largest width + height is chosen; ``prefer`` decides between equals.
    ``at_most_mm`` caps the frame's width and height; ``ordered_mm`` are those of a frame already ordered, of
    which only place, gaps and chance are still to be told.
    ``widest_gaps_mm`` are the greatest gaps the joint allows. ``BadInput`` when nothing fits.
    """
    measured = None if isinstance(hole, Sequence) else hole
    room = room_of(hole) if isinstance(hole, Sequence) else hole.room()
    whole = largest_rectangle(room, gaps_mm, prefer)
    width, height = whole.width, whole.height
    probability, governs = 1.0, ""
    if measured:
        draws = draw(
            measured, room, gaps_mm, whole, widest=widest_gaps_mm, maker=maker, common_mm=common_mm,
            draws_log2=FINE_DRAWS_LOG2 if confidence > FINE_ABOVE else DRAWS_LOG2,
        )  # fmt: skip
        width, height, probability = best_size(draws, confidence, round_down_to_mm, sill_height_mm, prefer)
        governs = governing(draws, width, height)
    width = round_down_mm(min(width, at_most_mm[0]), round_down_to_mm)
    frame_height = round_down_mm(min(height - sill_height_mm, at_most_mm[1]), round_down_to_mm)
    if ordered_mm is not None:
        width, frame_height = ordered_mm
    if measured and (at_most_mm != UNCAPPED or ordered_mm is not None):
        probability = draws.probability(width, frame_height + sill_height_mm)
    if min(width, frame_height) <= 0:
        raise BadInput.one("sill_height_mm", _nothing_left(whole, sill_height_mm))
    overall = frame_height + sill_height_mm
    # anywhere in the largest rectangle keeps every gap; in its middle the spare is shared
    placed = Rectangle(
        whole.x + (whole.width - width) / 2, whole.y + (whole.height - overall) / 2, width, overall
    )
    return OrderSize(
        width_mm=width,
        height_mm=frame_height,
        sill_height_mm=sill_height_mm,
        place_mm=(placed.x, placed.y + sill_height_mm),
        gaps_mm=_gaps(room, placed, sill_height_mm),
        prefer=prefer,
        confidence=confidence,
        probability_fits=probability,
        governs=governs,
        rests_on=_rests_on(measured),
    )


def second_reading_gains(
    outline: Outline,
    *,
    gaps_mm: Gaps,
    confidence: float = 0.99,
    maker: MakerTolerance = MAKER,
    common_mm: float = 0.5,
) -> list[Gain]:
    """What a second reading of each place would gain, most first."""
    room = outline.room()
    whole = largest_rectangle(room, gaps_mm)

    mean, spread = outline.belief()

    def size(covariance: Floats) -> float:
        draws = draw(
            outline, room, gaps_mm, whole, maker=maker, common_mm=common_mm, belief=(mean, covariance),
            draws_log2=ROUGH_DRAWS_LOG2,
        )  # fmt: skip
        return most_size(draws, confidence)

    now = size(spread)
    _, slopes = outline.shape.observe([(r.kind, r.at) for r in outline.readings], outline.parameters)
    gains = []
    for r, slope in zip(outline.readings, slopes, strict=True):
        seen = spread @ slope
        after = spread - np.outer(seen, seen) / (r.sigma_mm**2 + float(slope @ seen))
        gains.append(Gain(kind=r.kind, at=r.at, mm=size(after) - now))
    return sorted(gains, key=lambda g: -g.mm)


def misread_effects(outline: Outline) -> dict[tuple[str, str], tuple[float, float]]:
    """What the largest misread that would go unnoticed does to the room for a frame: width, height, mm.

    The worst pair of contacts counts (external reliability). Readings that nothing checks are left out; so
    are all where the outline crosses itself.
    """
    if outline.crosses_itself:
        return {}
    room = outline.room()
    none = Gaps(left=0.0, right=0.0, head=0.0, bottom=0.0)
    slopes = room_slopes(outline.bends(), contacts(room, none, snug(room, none)))
    across = slopes["right"][:, None, :] - slopes["left"][None, :, :]
    up = slopes["head"][:, None, :] - slopes["bottom"][None, :, :]
    effects = {}
    for n, r in enumerate(outline.readings):
        if r.smallest_detectable_mm is not None:
            move = outline.fit.gain[:, n] * r.smallest_detectable_mm / r.sigma_mm
            effects[r.kind, r.at] = (float(np.abs(across @ move).max()), float(np.abs(up @ move).max()))
    return effects


def _nothing_left(whole: Rectangle, sill: float) -> str:
    return (
        f"No frame is left over: {whole.width:.0f} x {whole.height:.0f} mm of room at most, "
        f"{sill:g} mm of it sill. Check gaps and sill height."
    )


def _rests_on(hole: Hole | None) -> tuple[str, ...]:
    """What was assumed instead of measured."""
    if hole is None:
        return ()
    said = []
    if not hole.square_measured:
        said.append("Out of square was not measured: a wide margin for it is in the chance and the size.")
    if not hole.level_measured:
        said.append("No level or plumb was read: a wide margin for the lean is in the chance and the size.")
    return tuple(said)


def _gaps(room: Room, placed: Rectangle, sill: float) -> dict[Side, dict[str, float]]:
    frame = Rectangle(placed.x, placed.y + sill, placed.width, placed.height - sill)
    return {
        side: {
            name: gap_at(room, placed if side == "bottom" else frame, side, share)
            for name, share in zip(STATIONS[side], (0.0, 0.5, 1.0), strict=True)
        }
        for side in SIDES
    }
