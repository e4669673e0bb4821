"""A frame edge as a continuous beam of one stiffness on rigid supports, with overhangs and any line load.

Influence lines of a continuous beam are cubics between supports, so three Gauss points on every stretch of
linear load between two supports give exact integrals: the line load becomes a handful of point loads, and
the theorem of three moments does the rest.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from jambwright.basis.clause import Clause
from jambwright.basis.problems import BadInput
from jambwright.checks.figures import Floats

THREE_MOMENTS = Clause("Theory of structures", "theorem of three moments (Clapeyron)", "calculated")

_AT, _WEIGHT = np.polynomial.legendre.leggauss(3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """Load along an edge. All arrays share the leading axes (one row an opening) and end in their own.

    Pieces of linear line load run from ``start_mm`` to ``end_mm`` with ``at_start_n_mm`` and
    ``at_end_n_mm``, shape (..., k); points sit at ``point_mm`` with ``point_n``, shape (..., j). Pieces may
    overlap: they add up.
    """

    start_mm: Floats
    end_mm: Floats
    at_start_n_mm: Floats
    at_end_n_mm: Floats
    point_mm: Floats
    point_n: Floats

    def total_n(self) -> Floats:
        """Resultant, shape (...)."""
        mean = (self.at_start_n_mm + self.at_end_n_mm) / 2
        total: Floats = (mean * (self.end_mm - self.start_mm)).sum(-1) + self.point_n.sum(-1)
        return total

    def moment_n_mm(self) -> Floats:
        """Moment of the load about position 0, shape (...)."""
        a, b, p, q = self.start_mm, self.end_mm, self.at_start_n_mm, self.at_end_n_mm
        pieces = (b - a) * (p * (2 * a + b) + q * (a + 2 * b)) / 6
        moment: Floats = pieces.sum(-1) + (self.point_n * self.point_mm).sum(-1)
        return moment

    def at_points(self, cuts_mm: Floats) -> tuple[Floats, Floats]:
        """Positions and sizes of the point loads that stand for this load, in spans cut at ``cuts_mm``."""
        low, high = self._stretches(cuts_mm)
        span = (self.end_mm - self.start_mm)[..., None]
        slope = np.divide(
            (self.at_end_n_mm - self.at_start_n_mm)[..., None], span, out=np.zeros_like(span), where=span > 0
        )
        at = (low + high)[..., None] / 2 + (high - low)[..., None] / 2 * _AT
        q = (
            self.at_start_n_mm[..., None, None]
            + slope[..., None] * (at - self.start_mm[..., None, None])
        )  # fmt: skip
        n = q * (high - low)[..., None] / 2 * _WEIGHT
        rows = (*at.shape[:-3], -1)
        return (
            np.concatenate([at.reshape(rows), self.point_mm], -1),
            np.concatenate([n.reshape(rows), self.point_n], -1),
        )

    def _stretches(self, cuts_mm: Floats) -> tuple[Floats, Floats]:
        """Every piece cut at the supports: low and high ends, shape (..., k, m + 1); some have no length."""
        far = np.full((*cuts_mm.shape[:-1], 1), np.inf)
        edges = np.concatenate([-far, cuts_mm, far], -1)[..., None, :]
        low = np.clip(edges[..., :-1], self.start_mm[..., None], self.end_mm[..., None])
        high = np.clip(edges[..., 1:], self.start_mm[..., None], self.end_mm[..., None])
        return low, high


@dataclass(frozen=True, slots=True, kw_only=True)
class Supported:
    """What the supports of a beam carry, shape (..., m) each; hogging moments are negative."""

    reactions_n: Floats
    support_moments_n_mm: Floats


def line_load(position_mm: Any, load_n_mm: Any) -> Load:
    """A load given by its size at positions along the edge, linear between them (repeat one for a step).

    >>> float(line_load([0, 400, 800, 1200], [0, 0.48, 0.48, 0]).total_n())
    384.0
    """
    at, q = np.asarray(position_mm, float), np.asarray(load_n_mm, float)
    none = np.zeros((*at.shape[:-1], 0))
    return Load(
        start_mm=at[..., :-1], end_mm=at[..., 1:], at_start_n_mm=q[..., :-1], at_end_n_mm=q[..., 1:],
        point_mm=none, point_n=none,
    )  # fmt: skip


def continuous_beam(*, supports_mm: Any, load: Load) -> Supported:
    """Reactions and support moments of a beam of one stiffness, exact for piecewise linear load.

    ``supports_mm`` (..., m), at least two, rising; load beyond the outer ones stands on overhangs. Raises
    ``BadInput`` for fewer than two supports or supports out of order.

    >>> over = continuous_beam(supports_mm=[0, 400, 1000], load=line_load([0, 1000], [1, 1]))
    >>> over.reactions_n.round(1).tolist(), over.support_moments_n_mm.round().tolist()
    ([112.5, 645.8, 241.7], [0.0, -35000.0, 0.0])
    """
    supports = np.asarray(supports_mm, float)
    _check_supports(supports)
    at, n = load.at_points(supports)
    moments = _support_moments(supports, at, n)
    return Supported(reactions_n=_reactions(supports, at, n, moments), support_moments_n_mm=moments)


def _check_supports(supports_mm: Floats) -> None:
    if supports_mm.ndim == 0 or supports_mm.shape[-1] < 2:
        raise BadInput.one("supports_mm", "supports_mm: a beam needs at least two supports; add one.")
    if np.any(np.diff(supports_mm, axis=-1) <= 0):
        raise BadInput.one(
            "supports_mm",
            "supports_mm: supports must rise from one end with no two in one place; put them in order.",
        )


def _in_spans(supports: Floats, at: Floats, n: Floats) -> tuple[Floats, Floats]:
    """Distance from the left end of each span and load in it, shape (..., m - 1, points)."""
    left, right = supports[..., :-1, None], supports[..., 1:, None]
    inside = (at[..., None, :] >= left) & (at[..., None, :] < right)
    inside[..., -1, :] |= at == right[..., -1, :]
    return np.where(inside, at[..., None, :] - left, 0.0), np.where(inside, n[..., None, :], 0.0)


def _support_moments(supports: Floats, at: Floats, n: Floats) -> Floats:
    span = np.diff(supports)
    a, load = _in_spans(supports, at, n)
    b = span[..., None] - a
    from_left = (load * a * (span[..., None] ** 2 - a**2)).sum(-1) / span
    from_right = (load * b * (span[..., None] ** 2 - b**2)).sum(-1) / span

    m = supports.shape[-1]
    rows = np.zeros((*np.broadcast_shapes(supports.shape[:-1], from_left.shape[:-1]), m, m))
    right_side = np.zeros(rows.shape[:-1])
    rows[..., 0, 0] = rows[..., -1, -1] = 1.0
    right_side[..., 0] = (n * np.minimum(at - supports[..., :1], 0.0)).sum(-1)
    right_side[..., -1] = -(n * np.maximum(at - supports[..., -1:], 0.0)).sum(-1)
    i = np.arange(1, m - 1)
    rows[..., i, i - 1] = span[..., :-1]
    rows[..., i, i] = 2 * (span[..., :-1] + span[..., 1:])
    rows[..., i, i + 1] = span[..., 1:]
    right_side[..., 1:-1] = -from_left[..., :-1] - from_right[..., 1:]
    moments: Floats = np.linalg.solve(rows, right_side[..., None])[..., 0]
    return moments


def _reactions(supports: Floats, at: Floats, n: Floats, moments: Floats) -> Floats:
    span = np.diff(supports)
    a, load = _in_spans(supports, at, n)
    to_right = (load * a).sum(-1) / span
    to_left = load.sum(-1) - to_right
    couple = np.diff(moments) / span
    reactions = np.zeros(moments.shape)
    reactions[..., :-1] += to_left + couple
    reactions[..., 1:] += to_right - couple
    reactions[..., 0] += np.where(at < supports[..., :1], n, 0.0).sum(-1)
    reactions[..., -1] += np.where(at > supports[..., -1:], n, 0.0).sum(-1)
    return reactions
