"""Intervals, proportions and scores of few observations: floats or arrays of one shape in, the same out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from jambwright.basis.clause import Clause, clause

Floats = NDArray[np.float64]
LEVEL = 0.95
"""Of every interval that is told."""
SATTERTHWAITE = Clause("Satterthwaite, Biometrics Bulletin 2 (1946)", "", "from memory, high")


@clause(
    "Chi-square interval of a sample variance (Davies and Goldsmith 1972, chapter 4)", unit="mm",
    formula="√(f s² / χ²(f)) at 97.5 % and 2.5 %", how="from memory, medium",
)  # fmt: skip
def sd_interval(*, sd: ArrayLike, dof: ArrayLike, level: float = LEVEL) -> tuple[Floats, Floats]:
    """Both ends of the interval of a standard deviation that was found with so many degrees of freedom.

    >>> [round(float(end**2), 4) for end in sd_interval(sd=1.2, dof=9)]
    [0.6813, 4.7993]
    """
    sd, dof = np.asarray(sd, float), np.asarray(dof, float)
    tail = (1 - level) / 2
    root = np.sqrt(dof)
    return sd * root / np.sqrt(special.chdtri(dof, tail)), sd * root / np.sqrt(special.chdtri(dof, 1 - tail))


@clause("Student's t", unit="", formula="t(f) at 97.5 %", how="from memory, high")
def student(*, dof: ArrayLike, level: float = LEVEL) -> Floats:
    """How many standard errors an interval reaches to each side.

    >>> round(float(student(dof=18)), 4)
    2.1009
    """
    return np.asarray(special.stdtrit(np.asarray(dof, float), (1 + level) / 2), float)


def joined_dof(parts: Floats, dof: Floats) -> Floats:
    """Degrees of freedom of a sum of independent variance estimates ``parts`` (..., g) with ``dof`` (..., g) each.

    >>> round(float(joined_dof(np.array([11271.5 / 5, -2451.25 / 5]), np.array([5, 25]))), 3)
    3.032
    """
    return np.asarray(np.sum(parts, -1) ** 2 / np.sum(parts**2 / dof, -1), float)


@clause(
    "Clopper and Pearson, Biometrika 26 (1934)", unit="",
    formula="beta quantiles (2.5 %; k, n-k+1) and (97.5 %; k+1, n-k)", how="from memory, high",
)  # fmt: skip
def exact_share(*, good: ArrayLike, of: ArrayLike, level: float = LEVEL) -> tuple[Floats, Floats]:
    """Interval of a share that never holds the truth less often than it says.

    >>> [round(float(end), 4) for end in exact_share(good=1, of=29)]
    [0.0009, 0.1776]
    """
    k, n = np.asarray(good, float), np.asarray(of, float)
    tail = (1 - level) / 2
    low = special.betaincinv(np.maximum(k, 0.5), n - k + 1, tail)
    high = special.betaincinv(k + 1, np.maximum(n - k, 0.5), 1 - tail)
    return np.where(k > 0, low, 0.0), np.where(k < n, high, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Brier:
    """The mean square of stated chance minus what came, and what it is made of."""

    score: float
    """0 is perfect."""
    reliability: float
    """What chances that did not come true cost."""
    resolution: float
    """What telling openings apart gained."""
    uncertainty: float
    """The score of always stating the share that came true."""
    within: float
    """What is lost by taking chances of one class together; 0 where they are alike."""


def brier(stated: Floats, came_true: Floats, classes: NDArray[np.int64]) -> Brier:
    """Score of chances (n,) of what came true or not (n,), split by classes (n,).

    Source: Brier, Monthly Weather Review 78 (1950); the split: Murphy, J. Appl. Meteorology 12 (1973); what taking
    unlike chances together loses: Stephenson et al., Weather and Forecasting 23 (2008). From memory, high.
    """
    _, of = np.unique(classes, return_inverse=True)
    n = np.bincount(of)
    p, o = np.bincount(of, stated) / n, np.bincount(of, came_true) / n
    share, mean = n / n.sum(), float(np.mean(came_true))
    score = float(np.mean((stated - came_true) ** 2))
    reliability = float(np.sum(share * (p - o) ** 2))
    resolution, uncertainty = float(np.sum(share * (o - mean) ** 2)), mean * (1 - mean)
    return Brier(
        score=score, reliability=reliability, resolution=resolution, uncertainty=uncertainty,
        within=score - (reliability - resolution + uncertainty),
    )  # fmt: skip
