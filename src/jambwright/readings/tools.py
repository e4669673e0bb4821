"""How far a reading can be trusted: the standard deviation of one reading by tool, kind and length."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from jambwright.readings.reading import LENGTHS, Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Trust:
    """Standard deviations (mm) of one reading, and of what stands in for a reading that was not taken."""

    tape_mm: float | Mapping[str, float] = 1.0
    """Of one length; or by kind (`width`, `height`, `diagonal`, `level`, `plumb`, `bow`)."""
    level_mm: float = 1.0
    """Of one level, plumb or bow."""
    bow_prior_mm: float = 3.0
    """Of a bow that was not read, about straight; 0 holds the edges straight."""
    unmeasured_mm: float = 10.0
    """Of the lean or level of an edge where neither was measured. Common practice, no published source."""

    def sigma_mm(self, reading: Reading) -> float:
        """Standard deviation of a reading: of the mean where it was repeated."""
        return self._once_mm(reading.kind) / math.sqrt(len(reading.values_mm))

    def _once_mm(self, kind: str) -> float:
        plain = 1.0 if isinstance(self.tape_mm, Mapping) else self.tape_mm
        by_kind = self.tape_mm if isinstance(self.tape_mm, Mapping) else {}
        return float(by_kind.get(kind, plain if kind in LENGTHS else self.level_mm))


USUAL = Trust()
"""A tape on a finished reveal, a level of one millimetre. Common practice, no published source."""
