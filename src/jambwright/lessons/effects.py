"""What several causes add to a difference: least squares whose groups of rows may scatter differently.

Estimates are those of ordinary least squares. Their trust follows from the scatter of each group by itself (one
group: the textbook case), with the degrees of freedom of Satterthwaite. Pure and vectorised: differences may have
leading axes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jambwright.basis.clause import Clause
from jambwright.lessons.statistics import Floats, joined_dof, student

Ints = NDArray[np.int64]
LEAST_SQUARES = Clause("Ordinary least squares, normal theory", "", "from memory, high")
LEAST_DOF = 4.0
"""A group with fewer degrees of freedom takes the scatter of all. House rule."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """Figures found, their standard errors and degrees of freedom, (..., k) each."""

    value: Floats
    error: Floats
    dof: Floats

    @property
    def interval(self) -> tuple[Floats, Floats]:
        """Both ends at 95 %."""
        reach = student(dof=self.dof) * self.error
        return self.value - reach, self.value + reach


@dataclass(frozen=True, slots=True, kw_only=True)
class Effects:
    """The fit of differences (..., n) to a design (n, p), the rows in g groups."""

    estimates: Floats
    """(..., p)"""
    residuals: Floats
    """(..., n): difference minus fitted."""
    free: Floats
    """(n,): share of a row's own error that shows in its residual."""
    variance: Floats
    """(..., g): of one row, by group."""
    dof: Floats
    """(g,) behind each."""
    parts: Floats
    """(g, p, p): what a unit variance of each group adds to the covariance."""
    groups: Ints
    """(n,)"""

    def combined(self, weights: Floats) -> Estimate:
        """Sums of the estimates by ``weights`` (k, p)."""
        each = np.einsum("kp,gpq,kq->kg", weights, self.parts, weights) * self.variance[..., None, :]
        return Estimate(
            value=self.estimates @ weights.T,
            error=np.sqrt(np.sum(each, -1)),
            dof=joined_dof(np.maximum(each, 1e-300), self.dof),
        )

    def outlying(self) -> Floats:
        """How far each row is off by the scatter of the others of its group, in their standard deviations, (..., n).

        Source: the externally studentised residual (Cook and Weisberg 1982; from memory, high).
        """
        free = np.maximum(self.free, 1e-9)
        f, variance = self.dof[self.groups], self.variance[..., self.groups]
        others = np.maximum(f * variance - self.residuals**2 / free, 0.0) / np.maximum(f - 1, 1e-9)
        off = np.abs(self.residuals) / np.sqrt(np.maximum(others * free, 1e-18))
        return np.where((self.free > 1e-6) & (f > 1), off, 0.0)


def fit_effects(differences: Floats, design: Floats, groups: Ints) -> Effects:
    """Fit ``differences`` (..., n) by ``design`` (n, p) of full rank, rows in ``groups`` (n,) from 0.

    Raises ``ValueError`` where there are no more rows than columns or the columns can't be told apart.
    """
    n, p = design.shape
    if n <= p or np.linalg.matrix_rank(design) < p:
        raise ValueError("More rows than columns are wanted, and columns that can be told apart.")
    inverse = np.linalg.inv(design.T @ design)
    estimates = differences @ design @ inverse
    residuals = differences - estimates @ design.T
    free = 1 - np.einsum("np,pq,nq->n", design, inverse, design)
    member = (groups[:, None] == np.arange(groups.max() + 1)).astype(float)
    own = free @ member
    square = residuals**2
    pooled = np.sum(square, -1, keepdims=True) / (n - p)
    few = own < LEAST_DOF
    variance = np.where(few, pooled, (square @ member) / np.where(few, 1.0, own))
    parts = np.einsum("ng,np,nq->gpq", member, design @ inverse, design @ inverse)
    return Effects(
        estimates=estimates, residuals=residuals, free=free, variance=variance,
        dof=np.where(few, float(n - p), own), parts=parts, groups=groups,
    )  # fmt: skip
