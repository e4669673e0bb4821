"""What was read and used once a frame stood in its opening: beside the survey, never part of it."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.basis.envelope import Day, within
from jambwright.readings.reading import ReadingSet

Gap = Annotated[float, within("fitted_gap_mm")]
Text = Annotated[str, Field(max_length=200)]


class GapsUp(Strict):
    """Gaps of a side that stands up, at the packers, mm."""

    bottom: Gap | None = None
    middle: Gap | None = None
    top: Gap | None = None


class GapsAlong(Strict):
    """Gaps of a side that lies along, at the packers, mm; left and right as seen from outside."""

    left: Gap | None = None
    centre: Gap | None = None
    right: Gap | None = None


class FittedGaps(Strict):
    """Gaps between frame and wall; the bottom one is under the sill."""

    left: GapsUp = GapsUp()
    right: GapsUp = GapsUp()
    head: GapsAlong = GapsAlong()
    bottom: GapsAlong = GapsAlong()


class AsFitted(Strict):
    """One frame as it was left."""

    outside: ReadingSet = ReadingSet()
    """Readings of the frame, seen from outside: its sides, diagonals, level and plumb."""
    gaps_mm: FittedGaps = FittedGaps()
    fixings: Annotated[int, within("fixings")] | None = None
    """How many were driven."""
    fixing_used: Text = ""
    foam_used: Text = ""
    sealant_used: Text = ""
    glass_marks: Text = ""
    """What is stamped in the corner of the glass."""
    on: Day | None = None
    by: Text = ""
    note: Annotated[str, Field(max_length=2000)] = ""
    plan: str | None = None
    """The plan it was fitted by."""
