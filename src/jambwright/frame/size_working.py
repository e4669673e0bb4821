"""The steps from the adjusted outline to the size to order, for the report."""

from __future__ import annotations

from collections.abc import Mapping

from jambwright.basis.clause import Clause
from jambwright.basis.working import Working
from jambwright.frame.faces import EDGES, LEAST_LAP_MM, Lapped
from jambwright.frame.order_size import OrderSize
from jambwright.frame.sill import Sill

JOINT = Clause("Joint normal probability of all gaps", "", "calculated")
BEHIND = Clause(
    "Common practice",
    "frame behind the nibs of a rebated reveal, in from inside",
    "common practice, no published source",
)
LARGEST = Clause("Largest rectangle by linear programming", "", "calculated")


def size_working(size: OrderSize, laps: Lapped | None = None) -> Working:
    """Width, height and the chance that the frame goes in with them; behind nibs, what it laps."""
    work = Working()
    _chance(work, size)
    _width(work, size)
    _height(work, size)
    if laps:
        _wider(work, laps)
        _higher(work, laps)
        _laps(work, laps)
    return work


def lengths_working(size: OrderSize, laps: Lapped | None = None) -> Mapping[str, Working]:
    """The steps to each length of the frame by its name; the last step of each gives the length."""
    width, height, overall = Working(), Working(), Working()
    for work in (width, height):
        _chance(work, size)
        if laps:
            (_wider if work is width else _higher)(work, laps)
            _laps(work, laps)
    _width(width, size)
    _height(height, size)
    overall.note(
        "H + sill", "height of the frame and of the sill under it", size.overall_height_mm, "mm", LARGEST,
        height_mm=size.height_mm, sill_height_mm=size.sill_height_mm,
    )  # fmt: skip
    return {"width": width, "height": height, "overall_height": overall}


def sill_working(sill: Sill) -> Mapping[str, Working]:
    """The steps to the length and depth of a sill, by name."""
    length, depth = Working(), Working()
    relief, overhang, _ = sill.sources
    length.note(
        "l", "between the reveals, and the horn at each end", sill.length_mm, "mm", relief,
        reveal_length_mm=sill.reveal_length_mm, horn_mm=sill.notch_along_mm,
    )  # fmt: skip
    depth.note(
        "d", "a depth in stock, or as asked: the seat, and the nose with its drip clear of the wall",
        sill.depth_mm, "mm", overhang, nose_mm=sill.nose_past_wall_mm, drip_clear_mm=sill.drip_clear_mm,
    )  # fmt: skip
    return {"length": length, "depth": depth}


def _chance(work: Working, size: OrderSize) -> None:
    work.note("P", "chance that every gap is kept", size.probability_fits, "", JOINT, wanted=size.confidence)


def _width(work: Working, size: OrderSize) -> None:
    work.note("W", "largest width with that chance, rounded down", size.width_mm, "mm", LARGEST)


def _height(work: Working, size: OrderSize) -> None:
    work.note(
        "H", "largest height with that chance less the sill, rounded down", size.height_mm, "mm", LARGEST,
        sill_height_mm=size.sill_height_mm,
    )  # fmt: skip


def _wider(work: Working, laps: Lapped) -> None:
    work.note("W - W_o", "wider than a true frame in the hole seen from outside", laps.wider_mm, "mm", BEHIND)


def _higher(work: Working, laps: Lapped) -> None:
    work.note("H - H_o", "higher, with its sill", laps.higher_mm, "mm", BEHIND)


def _laps(work: Working, laps: Lapped) -> None:
    for side, lap in laps.laps_mm.items():
        work.note(
            f"lap {EDGES[side]}", "nib over the frame at its ends and middle; the frame stands behind it",
            list(lap), "mm", BEHIND, least_mm=LEAST_LAP_MM,
        )  # fmt: skip
