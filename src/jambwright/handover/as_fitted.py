"""A frame as it was left, judged by what was planned: its joints and its fixings.

Limits are those of the packaged tables: the joint by material, colour and size, the least joint anywhere, and
the fixings planned. For level, plumb and diagonals of a fitted window no published limit was found (those of
``fitted_limits`` are for facade units and doors), so they are set beside the plan and not judged.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from jambwright.basis.clause import Clause
from jambwright.basis.tables import table
from jambwright.basis.units import show_mm
from jambwright.checks.movement import rests_of_gap
from jambwright.checks.verdict import Verdict, Word, settled
from jambwright.frame.movement import MovementGap, movement_gap
from jambwright.frame.order_size import STATIONS
from jambwright.readings import ReadingSet
from jambwright.readings.fitted import AsFitted
from jambwright.readings.system_sheet import FrameMaterial
from jambwright.readings.wanted import Colour
from jambwright.record import EDGES, OpeningRecord, Side

MOVES = Clause("Movement of the frame by heat", "", "calculated")
PLACED = Clause("Rules of corner and centre distances, and the wind", "", "calculated")
OFFSETS = (("level", "sill"), ("level", "head"), ("plumb", "left"), ("plumb", "right"))
DIAGONALS = ("rising", "falling")

Gaps = Mapping[Side, Mapping[str, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered:
    """What of a plan a fitted frame is held against, mm."""

    width_mm: float
    height_mm: float
    material: FrameMaterial
    colour: Colour
    gaps_mm: Gaps
    """By side and place along it."""
    fixings: int
    glass: Mapping[str, str]
    """Make-up by light; panels left out."""

    @classmethod
    def of(cls, opening: OpeningRecord) -> Ordered:
        """As the plan has it."""
        chosen = opening.frame.chosen
        return cls(
            width_mm=opening.order.width.value,
            height_mm=opening.order.height.value,
            material=chosen.profile.material,
            colour=chosen.colour,
            gaps_mm=opening.frame.size.gaps_mm,
            fixings=opening.fitting.fixings.count,
            glass={mark: each.make_up for mark, each in opening.glass.items() if each.make_up},
        )

    @property
    def diagonal_mm(self) -> float:
        """Of a frame that is square."""
        return math.hypot(self.width_mm, self.height_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What was read of a fitted frame; ``None`` where it was not."""

    offsets_mm: Mapping[tuple[str, str], float]
    """Level and plumb by kind and place; a true frame has none."""
    diagonals_mm: Mapping[str, float]
    diagonals_differ_mm: float | None
    gaps_mm: Gaps


def beside(kept: AsFitted) -> Beside:
    """The readings of a fitted frame as figures, those that were not taken left out."""
    read = _read(kept.outside)
    diagonals = {at: read["diagonal", at] for at in DIAGONALS if ("diagonal", at) in read}
    return Beside(
        offsets_mm={place: read[place] for place in OFFSETS if place in read},
        diagonals_mm=diagonals,
        diagonals_differ_mm=abs(diagonals["rising"] - diagonals["falling"]) if len(diagonals) == 2 else None,
        gaps_mm={side: gaps for side in STATIONS if (gaps := _gaps(kept, side))},
    )


def judged(kept: AsFitted, ordered: Ordered | None) -> tuple[Verdict, ...]:
    """What is out of its limits and what is good; without a plan only the least joint is judged."""
    return (*_joints(kept, ordered), *_fixings(kept, ordered))


def _read(outside: ReadingSet) -> dict[tuple[str, str], float]:
    return {(r.kind, r.at): r.mm for r in outside.readings()}


def _gaps(kept: AsFitted, side: Side) -> dict[str, float]:
    read = getattr(kept.gaps_mm, side)
    return {at: mm for at in STATIONS[side] if (mm := getattr(read, at)) is not None}


def _joints(kept: AsFitted, ordered: Ordered | None) -> Iterator[Verdict]:
    for side, gaps in beside(kept).gaps_mm.items():
        wanted, source = _wanted(ordered, side) if ordered else (None, MOVES)
        yield _joint(side, gaps, wanted, source)


def _wanted(ordered: Ordered, side: Side) -> tuple[MovementGap, Clause]:
    """The joint of the frame as ordered, by the length that moves towards it."""
    length = ordered.width_mm if side in ("left", "right") else ordered.height_mm
    wanted = movement_gap(material=ordered.material, colour=ordered.colour, length_mm=length)
    joints = table("movement_gaps")
    published = joints.source(joints.find(material=ordered.material, colour=ordered.colour))
    return wanted, published if wanted.governs == "published table" else MOVES


def _joint(side: Side, gaps: Mapping[str, float], wanted: MovementGap | None, source: Clause) -> Verdict:
    rows = table("joint_rules")
    anywhere = rows.find(rule="least_anywhere_mm")
    tight, wide = min(gaps, key=lambda at: gaps[at]), max(gaps, key=lambda at: gaps[at])

    def verdict(word: Word, at: str, why: str, limit: float, source: Clause) -> Verdict:
        found = gaps[at]
        return settled(
            rule=f"fitted.gap.{side}", asks=f"Gap at the {EDGES[side]}", word=word,
            why=f"{show_mm(found)} mm ({at}): {why.format(limit=show_mm(limit))}",
            found=found, limit=limit, unit="mm", source=source,
            rests_on=rests_of_gap(wanted) if wanted else (),
        )  # fmt: skip

    if gaps[tight] < anywhere["value"]:
        return verdict("fails", tight, CLOSES, anywhere["value"], rows.source(anywhere))
    if wanted is None:
        return verdict("meets", tight, NOT_PLANNED, anywhere["value"], rows.source(anywhere))
    if gaps[tight] < wanted.gap_per_side_mm:
        return verdict("advise", tight, TIGHT, wanted.gap_per_side_mm, source)
    # under the sill the packers make the joint, whatever the table of joints says
    if side != "bottom" and gaps[wide] > wanted.gap_most_mm:
        return verdict("advise", wide, WIDE, wanted.gap_most_mm, source)
    return verdict("meets", tight, GOOD, wanted.gap_per_side_mm, source)


CLOSES = (
    "under the {limit} mm that must be left anywhere; the frame can't grow. Set it over or ease the wall."
)
NOT_PLANNED = "enough to move. The joint for this frame is judged once the house is planned."
TIGHT = "under the {limit} mm joint for this frame. Watch it in hot weather; seal on the surface."
WIDE = "wider than the {limit} mm joint for this frame. Back it, and cover it with a trim."
GOOD = "the tightest place, within the joint for this frame."


def _fixings(kept: AsFitted, ordered: Ordered | None) -> Iterator[Verdict]:
    if kept.fixings is None or ordered is None:
        return
    lacking = ordered.fixings - kept.fixings
    few = f"{lacking} fewer than planned. Put them in where the fit sheet shows them."
    yield Verdict(
        rule="fitted.fixings",
        asks="Fixings driven",
        word="fails" if lacking > 0 else "meets",
        why=few if lacking > 0 else "As many as planned, or more.",
        found=kept.fixings,
        limit=ordered.fixings,
        source=PLACED,
    )
