"""A frame edge as a continuous beam of one stiffness on rigid supports, with overhangs and any line load.

What a load does to the supports on either side of it is a cubic of its place, so the sums of load times
distance to the powers 0 to 3 in each span say all; three Gauss points give them exactly for linear load. The
theorem of three moments does the rest.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from jambwright.basis.clause import Clause
from jambwright.basis.problems import BadInput
from jambwright.checks.figures import Floats

THREE_MOMENTS = Clause("Theory of structures", "theorem of three moments (Clapeyron)", "calculated")

_GAUSS = tuple(zip(*np.polynomial.legendre.leggauss(3), strict=True))


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

    def power_sums(self, cuts_mm: Floats) -> Floats:
        """Sums of load times distance to the powers 0 to 3 in each stretch between cuts: (..., 4, m + 1).

        ``cuts_mm`` (..., m) rise. Distances count from the cut before a stretch, in the first from the first.
        """
        sums = self._pieces(cuts_mm)
        if self.point_mm.shape[-1]:
            stretch = (self.point_mm[..., None] >= cuts_mm[..., None, :]).sum(-1, keepdims=True)
            inside = stretch == np.arange(cuts_mm.shape[-1] + 1)
            n = np.where(inside, self.point_n[..., None], 0.0)
            sums = sums + _powers(n, self.point_mm[..., None] - _origins(cuts_mm))
        return sums

    def _pieces(self, cuts_mm: Floats) -> Floats:
        far = np.full((*cuts_mm.shape[:-1], 1), np.inf)
        edges = np.concatenate([-far, cuts_mm, far], -1)[..., None, :]
        start, end = self.start_mm[..., None], self.end_mm[..., None]
        low, high = np.clip(edges[..., :-1], start, end), np.clip(edges[..., 1:], start, end)
        length = end - start
        rise = (self.at_end_n_mm - self.at_start_n_mm)[..., None]
        slope = np.divide(rise, length, out=np.zeros_like(length), where=length > 0)
        half, middle, origin = (high - low) / 2, (high + low) / 2, _origins(cuts_mm)
        sums = np.zeros(())
        for at, weight in _GAUSS:
            x = middle + half * at
            n = (self.at_start_n_mm[..., None] + slope * (x - start)) * half * weight
            sums = sums + _powers(n, x - origin)
        return sums


def _origins(cuts_mm: Floats) -> Floats:
    """Where each stretch counts from, shape (..., 1, m + 1)."""
    return np.concatenate([cuts_mm[..., :1], cuts_mm], -1)[..., None, :]


def _powers(n: Floats, distance_mm: Floats) -> Floats:
    """Sums over the last axis but one of load times distance to the power 0 to 3, shape (..., 4, m + 1)."""
    sums = []
    for _ in range(4):
        sums.append(n.sum(-2))
        n = n * distance_mm
    return np.stack(sums, -2)


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
    sums, span = load.power_sums(supports), np.diff(supports)
    moments = _support_moments(span, sums)
    to_right = sums[..., 1, 1:-1] / span
    couple = np.diff(moments) / span
    reactions = np.zeros(moments.shape)
    reactions[..., :-1] += sums[..., 0, 1:-1] - to_right + couple
    reactions[..., 1:] += to_right - couple
    reactions[..., 0] += sums[..., 0, 0]
    reactions[..., -1] += sums[..., 0, -1]
    return Supported(reactions_n=reactions, support_moments_n_mm=moments)


def _check_supports(supports_mm: Floats) -> None:
    if supports_mm.ndim == 0 or supports_mm.shape[-1] < 2:
        raise BadInput.one("supports_mm", "supports_mm: a beam needs at least two supports; add one.")
    if np.any(np.diff(supports_mm, axis=-1) <= 0):
        raise BadInput.one(
            "supports_mm",
            "supports_mm: supports must rise from one end with no two in one place; put them in order.",
        )


def _support_moments(span: Floats, sums: Floats) -> Floats:
    """Theorem of three moments; ``sums`` are the power sums of the load in overhangs and spans."""
    first, square, cube = (sums[..., power, 1:-1] for power in (1, 2, 3))
    from_left = first * span - cube / span
    from_right = 2 * first * span - 3 * square + cube / span
    m = span.shape[-1] + 1
    rows = np.zeros((*sums.shape[:-2], m, m))
    right_side = np.zeros(rows.shape[:-1])
    rows[..., 0, 0] = rows[..., -1, -1] = 1.0
    right_side[..., 0], right_side[..., -1] = sums[..., 1, 0], -sums[..., 1, -1]
    i = np.arange(1, m - 1)
    rows[..., i, i - 1] = span[..., :-1]
    rows[..., i, i] = 2 * (span[..., :-1] + span[..., 1:])
    rows[..., i, i + 1] = span[..., 1:]
    right_side[..., 1:-1] = -from_left[..., :-1] - from_right[..., 1:]
    moments: Floats = np.linalg.solve(rows, right_side[..., None])[..., 0]
    return moments
