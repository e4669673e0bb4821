"""Ranges of the figures that go into formulas, and single figures out of arrays."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from jambwright.basis import Problem
from jambwright.basis.figures import Figures, Floats

__all__ = ["HAIR", "Figures", "Floats", "one_or_all", "outside"]

HAIR = 1e-9
"""What sums in floating point may be out by: a figure this near its limit meets it."""


def outside(field: str, given: Figures, low: float, high: float, unit: str, remedy: str) -> Iterator[Problem]:
    """A problem when any figure lies outside ``low`` to ``high`` (ends belong), naming the first that does.

    >>> [p.say for p in outside("height_m", [3.0, 400.0], 0, 200, "m", "Ask an engineer.")]
    ['height_m: 400 m is outside 0 to 200 m. Ask an engineer.']
    """
    figures = np.asarray(given, dtype=float).ravel()
    wrong = figures[~((figures >= low) & (figures <= high))]
    if wrong.size:
        span = f"{low:g} to {high:g} {unit}".rstrip()
        yield Problem(field, f"{field}: {wrong[0]:g} {unit}".rstrip() + f" is outside {span}. {remedy}")


def one_or_all(array: Figures) -> Figures:
    """A plain figure for a single one, the array as it is otherwise."""
    return np.asarray(array)[()]
