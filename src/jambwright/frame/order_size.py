"""The frame to order: the largest true rectangle in the outline with the wanted gaps, rounded down.

From readings, "the largest" is the largest that goes in with the wanted chance (``frame.chance``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial

import numpy as np

from jambwright.basis.clause import Clause, clause
from jambwright.basis.problems import BadInput
from jambwright.basis.units import round_down_mm
from jambwright.basis.working import Working
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
    Belief,
    Gaps,
    Hole,
    Outline,
    Point,
    Prefer,
    Rectangle,
    Side,
    Space,
    gap_at,
    largest_rectangle,
    space_of,
)
from jambwright.opening.contacts import contacts, snug, space_slopes
from jambwright.opening.shape import Floats

STATIONS: Mapping[Side, tuple[str, str, str]] = {
    "left": ("bottom", "middle", "top"),
    "right": ("bottom", "middle", "top"),
    "head": ("left", "centre", "right"),
    "bottom": ("left", "centre", "right"),
}
"""Where the gap of each side is told."""

UNCAPPED = (float("inf"), float("inf"))
LARGEST = Clause("Largest true rectangle in the adjusted outline", "", "calculated")
CHANCE = Clause("Joint normal probability of all gaps", "", "calculated")
ORDERED = Clause("The order, as written in the readings file", "", "calculated")
ASKED = Clause("Joint asked for in the readings file", "", "calculated")


@clause(
    "Largest true rectangle in the adjusted outline", "with the joint wanted", unit="mm",
    formula="with joint = clear − joint − joint − sill", how="calculated",
)  # fmt: skip
def with_joint_mm(*, clear_mm: float, joint_mm: float, other_joint_mm: float, sill_height_mm: float) -> float:
    """What is left for the frame between two edges once joints and sill are taken off, mm.

    >>> with_joint_mm(clear_mm=1210.0, joint_mm=7.0, other_joint_mm=7.0, sill_height_mm=0.0)
    1196.0
    """
    return clear_mm - joint_mm - other_joint_mm - sill_height_mm


@clause(
    "Common practice", "frames are ordered in whole steps, rounded down", unit="mm",
    formula="min(with joint, likely, most), rounded down", how="common practice, no published source",
)  # fmt: skip
def to_order_mm(*, with_joint_mm: float, likely_mm: float, most_mm: float, step_mm: float) -> float:
    """The figure that is ordered, mm: the least of what fits, what likely fits and what may be, rounded down.

    >>> to_order_mm(with_joint_mm=1196.7, likely_mm=1195.2, most_mm=9999.0, step_mm=1.0)
    1195.0
    """
    return round_down_mm(min(with_joint_mm, likely_mm, most_mm), step_mm)


@clause("The frame on its sill", unit="mm", formula="height + sill", how="calculated")
def overall_height_mm(*, height_mm: float, sill_height_mm: float) -> float:
    """Height of frame and sill, mm.

    >>> overall_height_mm(height_mm=1007.0, sill_height_mm=30.0)
    1037.0
    """
    return height_mm + sill_height_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """The joint wanted between frame and hole, and where it is from."""

    gaps: Gaps
    source: Clause


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
    across: Working = field(default_factory=Working, compare=False)
    """The steps to the width."""
    up: Working = field(default_factory=Working, compare=False)
    """The steps to the height."""

    @property
    def overall_height_mm(self) -> float:
        """With the sill."""
        return overall_height_mm(height_mm=self.height_mm, sill_height_mm=self.sill_height_mm)


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
    joint: Joint | None = None,
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
    ``gaps_mm`` is what must be left at every point with that chance; ``joint`` the joint wanted on the adjusted
    outline, ``gaps_mm`` itself when left out. ``at_most_mm`` caps the frame's width and height; ``ordered_mm``
    are those of a frame already ordered, of which only place, gaps and chance are still to be told.
    ``widest_gaps_mm`` are the greatest gaps the joint allows. ``BadInput`` when nothing fits.
    """
    measured = None if isinstance(hole, Sequence) else hole
    space = space_of(hole) if isinstance(hole, Sequence) else hole.space()
    whole = largest_rectangle(space, gaps_mm, prefer)
    width, height = whole.width, whole.height
    probability, governs = 1.0, ""
    if measured:
        draws = draw(
            measured, space, gaps_mm, whole, widest=widest_gaps_mm, maker=maker, common_mm=common_mm,
            draws_log2=FINE_DRAWS_LOG2 if confidence > FINE_ABOVE else DRAWS_LOG2,
        )  # fmt: skip
        width, height, probability = best_size(draws, confidence, round_down_to_mm, sill_height_mm, prefer)
        governs = governing(draws, width, height)
    wanted = joint or Joint(gaps=gaps_mm, source=ASKED)
    nominal = largest_rectangle(space, wanted.gaps, prefer) if joint else whole
    told = partial(_sized, wanted, step=round_down_to_mm, governs=governs, confidence=confidence)
    across = told(("left", "right"), nominal=nominal.width, likely=width, most=at_most_mm[0])
    up = told(
        ("head", "bottom"), nominal=nominal.height, likely=height - sill_height_mm, most=at_most_mm[1],
        sill=sill_height_mm,
    )  # fmt: skip
    if ordered_mm is not None:
        for working, symbol, mm in ((across, "W", ordered_mm[0]), (up, "H", ordered_mm[1])):
            working.note(symbol, "as ordered already; it stays so", mm, "mm", ORDERED)
    width, frame_height = (float(working.steps[-1].value) for working in (across, up))
    if measured and (joint or at_most_mm != UNCAPPED or ordered_mm is not None):
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
        gaps_mm=_gaps(space, placed, sill_height_mm),
        prefer=prefer,
        confidence=confidence,
        probability_fits=probability,
        governs=governs,
        rests_on=_rests_on(measured),
        across=across,
        up=up,
    )


def _sized(
    joint: Joint, sides: tuple[Side, Side], *, nominal: float, likely: float, most: float, step: float,
    governs: str, confidence: float, sill: float = 0.0,
) -> Working:  # fmt: skip
    """The steps to one figure of the order, between two sides; the last gives it."""
    work = Working()
    one, other = (joint.gaps.of(side) for side in sides)
    clear = nominal + one + other
    work.note(
        f"clear, {' to '.join(sides)}", "between the adjusted edges that govern", clear, "mm", LARGEST,
        governs=governs,
    )  # fmt: skip
    for side, mm in zip(sides, (one, other), strict=True):
        work.note(f"joint {side}", "wanted", mm, "mm", joint.source)
    fits = work.step(
        "with joint", with_joint_mm, clear_mm=clear, joint_mm=one, other_joint_mm=other, sill_height_mm=sill
    )
    work.note("likely", "goes in with the chance wanted", likely, "mm", CHANCE, confidence=confidence)
    work.step(
        "W" if sides[0] == "left" else "H", to_order_mm, with_joint_mm=fits, likely_mm=likely,
        most_mm=min(most, fits), step_mm=step,
    )  # fmt: skip
    return work


def second_reading_gains(
    outline: Outline,
    *,
    gaps_mm: Gaps,
    confidence: float = 0.99,
    maker: MakerTolerance = MAKER,
    common_mm: float = 0.5,
) -> list[Gain]:
    """What a second reading of each place would gain, most first."""
    space = outline.space()
    whole = largest_rectangle(space, gaps_mm)

    known = outline.belief()
    mean, spread = known.mean, known.spread

    def size(covariance: Floats) -> float:
        draws = draw(
            outline, space, gaps_mm, whole, maker=maker, common_mm=common_mm, belief=Belief.alone(mean, covariance),
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
    """What the largest misread that would go unnoticed does to the space for a frame: width, height, mm.

    The worst pair of contacts counts (external reliability). Readings that nothing checks are left out; so
    are all where the outline crosses itself.
    """
    if outline.crosses_itself:
        return {}
    space = outline.space()
    none = Gaps(left=0.0, right=0.0, head=0.0, bottom=0.0)
    slopes = space_slopes(outline.bends(), contacts(space, none, snug(space, none)))
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


def _gaps(space: Space, placed: Rectangle, sill: float) -> dict[Side, dict[str, float]]:
    frame = Rectangle(placed.x, placed.y + sill, placed.width, placed.height - sill)
    return {
        side: {
            name: gap_at(space, placed if side == "bottom" else frame, side, share)
            for name, share in zip(STATIONS[side], (0.0, 0.5, 1.0), strict=True)
        }
        for side in SIDES
    }
