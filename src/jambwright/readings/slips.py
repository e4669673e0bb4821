"""How a reading goes wrong: for a figure as written, what may have been meant. Arithmetic only."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jambwright.basis.tables import table
from jambwright.readings.reading import LENGTHS

Floats = NDArray[np.float64]

CHANCE_OF_SLIP = 0.01
"""Chance that one reading is wrong by more than its tape. Common practice, no published source: copying alone
spoils 0.0004 to 0.009 of figures (double and single entry, published); tape slips come on top."""

LEAST_SLIP_MM, MOST_SLIP_MM = 3.0, 1500.0
"""A slip of unknown size lies between these, every size ratio as likely as another."""

CASE_MM = (70.0, 85.0)
"""Length of a tape's case. From memory, medium."""
_CASE = tuple(float(mm) for mm in range(int(CASE_MM[0]), int(CASE_MM[1]) + 1))

ADDED: Mapping[str, tuple[float, ...]] = {
    "ten_or_hundred": (-100.0, -10.0, 10.0, 100.0),
    # started at the 50 or 100 mark and not taken off, or the case forgotten or added twice
    "wrong_end": (-100.0, -50.0, *_CASE, *(-mm for mm in _CASE)),
}
"""What is added to a figure as written, by slip."""

TIMES: Mapping[str, tuple[float, ...]] = {"unit": (10.0, 0.1, 25.4, 1 / 25.4), "sign": (-1.0,)}
"""What a figure as written is multiplied by; where that changes nothing the slip does not apply."""

PLACES_OF_TEN = (1.0, 10.0, 100.0, 1000.0, 10000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """One way of going wrong."""

    name: str
    share: float
    say: str


def slips_of(kind: str) -> list[Slip]:
    """The ways one kind of reading goes wrong, with shares that sum to 1."""
    group = "lengths" if kind in LENGTHS else "offsets"
    rows = [row for row in table("slips") if row["kinds"] in (group, "any")]
    total = sum(row["share"] for row in rows)
    return [Slip(name=row["slip"], share=row["share"] / total, say=row["say"]) for row in rows]


def meant(slip: str, written_mm: Floats) -> Floats:
    """What may have been meant by figures ``(...)``: ``(..., k)``, NaN where a slip does not apply.

    >>> meant("swapped", np.array(1120.0))
    array([  nan, 1210., 1102.])
    >>> meant("unit", np.array(121.0)).round(1)
    array([1210. ,   12.1, 3073.4,    4.8])
    """
    if slip in ADDED:
        return np.asarray(written_mm[..., None] + np.array(ADDED[slip]))
    if slip in TIMES:
        other = written_mm[..., None] * np.array(TIMES[slip])
        return np.where(other == written_mm[..., None], np.nan, other)
    return _MEANT[slip](written_mm)


def _swapped(written: Floats) -> Floats:
    """Neighbouring figures of a whole number of up to five."""
    found = []
    for ten in PLACES_OF_TEN[-3::-1]:
        low, high = (written // ten) % 10, (written // (ten * 10)) % 10
        other = written + (low - high) * ten * 10 + (high - low) * ten
        real = (low != high) & (written >= ten * 10) & (other > 0)
        found.append(np.where(real, other, np.nan))
    return np.stack(found, -1)


def _figure(written: Floats) -> Floats:
    """One figure too few: any figure put in anywhere; one too many: any figure taken out."""
    found = []
    for ten in PLACES_OF_TEN:
        high, low = written // ten, written % ten
        fits = (written >= ten) | (ten == 1.0)
        put_in = (high[..., None] * 10 + np.arange(10)) * ten + low[..., None]
        found.append(np.where(fits[..., None], put_in, np.nan))
        found.append(np.where(written >= 10 * ten, (high // 10) * ten + low, np.nan)[..., None])
    return np.concatenate(found, -1)


_MEANT: Mapping[str, Callable[[Floats], Floats]] = {
    "swapped": _swapped,
    "figure": _figure,
}
