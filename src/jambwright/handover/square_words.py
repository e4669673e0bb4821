"""What to say about a frame that is to be brought square, and about what packers can't mend."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jambwright.basis.units import show_mm
from jambwright.handover.square_up import NEAR_MM, TOLD_MM, AsRead, SquareUp, fitted_limit

SAME_MM = 1.0
"""Jambs, or head and sill, that differ by more than this were not made or read alike. House default."""
NAMES = ("diagonals", "left jamb", "right jamb", "sill", "head")


def plumb_limit_mm(length_mm: float) -> float:
    """How far a member of that length may be out of plumb or level.

    >>> plumb_limit_mm(1200.0), plumb_limit_mm(2800.0)
    (1.8, 3.0)
    """
    return min(fitted_limit("plumb_level_mm_per_m") * length_mm / 1000, fitted_limit("plumb_level_most_mm"))


def square_words(read: AsRead, found: SquareUp) -> Iterator[str]:
    """What to do first, what the changes reach, and what they can't mend."""
    yield from _first(read, found)
    yield from _made_so(found)
    yield from _reached(read, found)
    yield from _twisted(found)


def _first(read: AsRead, found: SquareUp) -> Iterator[str]:
    if found.read_again:
        yield (
            f"Measure again before a packer is touched: the diagonals read are {show_mm(abs(found.misfit_mm or 0.0))} "
            "mm off what plumb and level make of them. If all readings stand, lay the frame flat and measure its "
            "diagonals: it was made out of square."
        )
    tilt = found.shift.tilt
    if not read.level_mm:
        high = f"{show_mm(abs(tilt))} mm {'low' if tilt > 0 else 'high'} at its right end"
        level = high if abs(tilt) >= NEAR_MM / 2 else "level"
        known = f" From plumb and diagonals it is {level}." if read.plumb_mm else ""
        yield f"The level of the sill was not read: level it first, then measure the diagonals again.{known}"
    elif abs(tilt) > TOLD_MM:
        yield "Ease the side packers and level the sill first; the frame turns with it. Then move the sides."


def _made_so(found: SquareUp) -> Iterator[str]:
    jambs = found.plumb_mm["right"] - found.plumb_mm["left"]
    rails = found.level_mm["head"] - found.level_mm["sill"]
    if abs(jambs) > SAME_MM:
        yield (
            f"The jambs lean {show_mm(abs(jambs))} mm apart: the head is that much "
            f"{'longer' if jambs > 0 else 'shorter'} than the sill, and packers can't mend it. Read both again; if "
            "they stand, a jamb is bent or the frame was made so."
        )
    if abs(rails) > SAME_MM:
        yield (
            f"Sill and head are {show_mm(abs(rails))} mm apart in level: one jamb is longer, or sill or head is bent, "
            "and packers can't mend it. Read both again."
        )


def _reached(read: AsRead, found: SquareUp) -> Iterator[str]:
    after = np.abs(found.after_mm)
    if found.reached:
        if not found.changes:
            yield f"Square, plumb and level within {show_mm(NEAR_MM)} mm as it stands: nothing to move."
        elif not found.read_again:
            yield f"These changes bring diagonals, plumb and level within {show_mm(NEAR_MM)} mm."
        return
    left = [f"{name} {mm:.1f} mm" for name, mm in zip(NAMES, after, strict=True) if mm > NEAR_MM]
    yield f"Still out after these changes: {', '.join(left)}."
    if found.shift.spent:
        places = ", ".join(f"{p.side} at {show_mm(p.at_mm)} mm" for p in found.shift.spent)
        yield (
            f"No more can be taken out of the packers {places}: ease the reveal there, or have the frame remade; never "
            "cut the frame."
        )
    plumb, level = plumb_limit_mm(read.height_mm), plumb_limit_mm(read.width_mm)
    limits = np.array([fitted_limit("diagonals_mm"), plumb, plumb, level, level])
    published = f"{show_mm(limits[0])} mm between diagonals, {plumb:.1f} mm plumb and {level:.1f} mm level"
    within = "within" if np.all(after <= limits + 1e-6) else "beyond"
    yield f"That is {within} the published limits for these lengths: {published}."


def _twisted(found: SquareUp) -> Iterator[str]:
    twist, limit = abs(found.twist_mm or 0.0), fitted_limit("twist_mm")
    if twist > TOLD_MM:
        yield (
            f"Twisted by {show_mm(twist)} mm, {'beyond' if twist > limit else 'within'} the published limit of "
            f"{show_mm(limit)} mm: strings across the corners are {show_mm(twist / 2)} mm apart. Side packers can't "
            "mend it; set the fixings in or out as listed."
        )
