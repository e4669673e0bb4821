"""What readings were rounded to as they were written down, seen from their last digits."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from jambwright.readings.reading import LENGTHS, Kind, Reading

STEPS_MM = (10.0, 5.0)
FEWEST = 5
"""So many figures, none of them off the step, show it: to the millimetre 1 set of 5 in 3000 would by chance
(0.2 to the power of 5)."""

WRITTEN = "the {what} look written to the nearest {step} mm: they are trusted less for it. Write millimetres."
WHAT = ("lengths", "levels, plumbs and bows")

MOST_OFF = 10
"""One figure in so many may be off the step: a slip of the pen, or one reading taken with more care."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """Steps that lengths and offsets were written to, mm."""

    lengths_mm: float = 1.0
    offsets_mm: float = 1.0

    def sigma_mm(self, kind: Kind) -> float:
        """Standard deviation that rounding adds; none to the millimetre, which the trust in a tool counts in.

        An error evenly spread over one step has the standard deviation step/√12 (textbook theory).

        >>> Written(lengths_mm=5.0).sigma_mm("width")
        1.44
        """
        step = self.lengths_mm if kind in LENGTHS else self.offsets_mm
        return step / math.sqrt(12.0) if step > 1.0 else 0.0

    @property
    def say(self) -> tuple[str, ...]:
        """In plain words; nothing when all is written to the millimetre."""
        return tuple(
            WRITTEN.format(what=what, step=f"{step:g}")
            for what, step in zip(WHAT, (self.lengths_mm, self.offsets_mm), strict=True)
            if step > 1.0
        )


TO_THE_MILLIMETRE = Written()


def written_to(readings: Iterable[Reading]) -> Written:
    """The step behind the figures of an opening or of a whole house; 1 where nothing shows a coarser one.

    Offsets of 0 show nothing: a straight edge reads 0 however finely it is read.
    """
    lengths: list[float] = []
    offsets: list[float] = []
    for reading in readings:
        if reading.how == "measured":
            (lengths if reading.kind in LENGTHS else offsets).extend(reading.values_mm)
    step = _step(lengths)
    # who writes lengths coarsely and has no offset off that step writes offsets so too
    habit = step if all(mm % step == 0 for mm in offsets) else 1.0
    return Written(lengths_mm=step, offsets_mm=max(habit, _step([mm for mm in offsets if mm])))


def written_to_in(openings: Iterable[Iterable[Reading]]) -> Written:
    """The step behind the first opening's figures: its own, or that of all openings of its house together."""
    first, *others = (list(readings) for readings in openings)
    own = written_to(first)
    house = written_to([*first, *(reading for other in others for reading in other)])
    return Written(
        lengths_mm=max(own.lengths_mm, house.lengths_mm), offsets_mm=max(own.offsets_mm, house.offsets_mm)
    )


def _step(figures: list[float]) -> float:
    for step in STEPS_MM:
        off = sum(mm % step != 0 for mm in figures)
        if len(figures) >= FEWEST and off * MOST_OFF <= len(figures):
            return step
    return 1.0
