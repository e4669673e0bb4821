"""Doubts that plain arithmetic raises, before any geometry: units mixed up, repeats that disagree."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from statistics import median

from jambwright.basis.problems import Problem
from jambwright.basis.units import show_mm
from jambwright.readings.reading import LENGTHS, Reading

FACTORS = (
    (0.1, "a tenth of", "centimetres"),
    (10.0, "ten times", "tenths of a millimetre"),
    (1 / 25.4, "a twenty-fifth of", "inches"),
)
NEAR = 0.03
"""How near to a factor counts: a crooked opening's readings differ by less than this share."""

REPEATS_APART_MM = 5.0
"""Two honest tape readings differ by more 4 times in 10 000, each good to 1 mm (calculated)."""

LEAST_LENGTH_MM = 150.0
"""No window or door is smaller. Common practice, no published source."""


def doubts(readings: Sequence[Reading]) -> list[Problem]:
    """Everything odd at first sight, each with what was read, what was expected and what to do."""
    return [*_units(readings), *_repeats(readings)]


def _units(readings: Sequence[Reading]) -> Iterator[Problem]:
    for kind in LENGTHS:
        same = [r for r in readings if r.kind == kind]
        for r in same:
            others = [o.mm for o in same if o is not r]
            factor = _factor(r.mm, median(others)) if others else None
            field = f"{r.kind}.{r.at}"
            if factor:
                share, words, unit = factor
                listed = ", ".join(show_mm(mm) for mm in others)
                yield Problem(
                    field,
                    f"{r.name} {show_mm(r.mm)} mm is {words} the other {kind}s ({listed}): given in {unit}? "
                    f"Write {r.mm / share:.0f}, or measure it again.",
                )
            elif 0 < r.mm < LEAST_LENGTH_MM and (not others or median(others) < LEAST_LENGTH_MM):
                yield Problem(
                    field,
                    f"{r.name} {show_mm(r.mm)} mm is under the {LEAST_LENGTH_MM:.0f} mm of any frame: given "
                    "in centimetres or inches? Write millimetres.",
                )


def _factor(mm: float, other: float) -> tuple[float, str, str] | None:
    near = (f for f in FACTORS if abs(mm / (other * f[0]) - 1) < NEAR)
    return next(near, None) if mm > 0 and other > 0 else None


def _repeats(readings: Sequence[Reading]) -> Iterator[Problem]:
    for r in readings:
        apart = max(r.values_mm) - min(r.values_mm)
        if apart > REPEATS_APART_MM:
            listed = ", ".join(show_mm(mm) for mm in r.values_mm)
            yield Problem(
                f"{r.kind}.{r.at}",
                f"{r.name} was read as {listed} mm, {show_mm(apart)} mm apart; read it once more.",
                "caution",
            )
