"""Constants of the heat formulas, from their tables, and the kind of figures the formulas take."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from jambwright.basis.tables import table

Array: TypeAlias = NDArray[np.float64]
Figures: TypeAlias = float | Array
"""A float, or an array of one shape for many openings at once."""


def plain(value: np.floating | Array) -> Figures:
    """An array of many stays an array; a single figure becomes a float."""
    return float(value) if np.ndim(value) == 0 else np.asarray(value)


def constant(name: str, *, of: str = "heat_constants") -> float:
    """One constant by name, from a table of names and values.

    >>> constant("inside_resistance")
    0.13
    """
    return table(of).value(name=name)
