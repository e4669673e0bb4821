"""Weighted nonlinear least squares that says what the readings leave open. One opening or many at once.

Every quantity comes from one decomposition of the whitened gradient matrix: rank, covariance, redundancy,
and the matrix ``M`` that maps reading errors to residuals. Directions that no reading sees are filled from
wide stand-in readings (``Prior``); these never touch what the readings do determine.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from jambwright.opening.shape import Floats

Observe = Callable[[Floats], tuple[Floats, Floats]]
"""Parameters ``(..., u)`` to values ``(..., n)`` and gradients ``(..., n, u)``."""

MOST_STEPS = 200
AT_ONCE = 256
ROUNDED = 1 + 1e-9
"""A sum no larger than this many times the last is no worse: rounding alone."""
SETTLED = 1e-10
"""A step smaller than this, relative to 1 + the parameter, is the last."""
TINY = 1e-30
ALL_BUT_FREE = 1e-9
"""Weight of staying put in a direction that neither readings nor stand-ins see."""
UNCHECKED = 1e-3
"""A redundancy number below this means that nothing checks the reading."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior:
    """Stand-in readings for what was not measured."""

    observe: Observe
    values: Floats
    sigmas: Floats
    """Of one set of stand-ins for all openings, or (..., k) of each."""

    def of(self, some: slice) -> Prior:
        """The stand-ins of some openings."""
        return self if self.sigmas.ndim == 1 else replace(self, sigmas=self.sigmas[some])

    def beside(self, observe: Observe, observed: Floats, sigmas: Floats) -> tuple[Observe, Floats, Floats]:
        """Readings and stand-ins as one set."""
        many = (*observed.shape[:-1], self.values.shape[-1])

        def both(p: Floats) -> tuple[Floats, Floats]:
            (values, gradients), (more, slopes) = observe(p), self.observe(p)
            return np.concatenate([values, more], -1), np.concatenate([gradients, slopes], -2)

        return (
            both,
            np.concatenate([observed, np.broadcast_to(self.values, many)], -1),
            np.concatenate([sigmas, np.broadcast_to(self.sigmas, many)], -1),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """The adjusted parameters and everything known about their trust. Leading axes are openings."""

    parameters: Floats
    """(..., u)"""
    covariance: Floats
    """(..., u, u), for the stated sigmas (variance factor 1)."""
    residuals: Floats
    """(..., n), adjusted minus observed."""
    whitened_maker: Floats
    """(..., n, n): M = I - S⁻¹ A N⁻¹ Aᵀ S⁻¹; its diagonal holds the redundancy numbers."""
    gain: Floats
    """(..., u, n): how the parameters move when a reading moves by its own sigma."""
    rank: Floats
    """(...): how many parameter directions the readings determine."""
    open_directions: Floats
    """(..., u, u): columns span what the readings leave open; other columns are zero."""
    sigmas: Floats
    """(..., n)"""

    def one(self, n: int) -> Fit:
        """One opening out of many."""
        return Fit(**{f.name: getattr(self, f.name)[n] for f in fields(self)})

    @classmethod
    def of_all(cls, blocks: Sequence[Fit]) -> Fit:
        """Blocks of openings as one."""
        if len(blocks) == 1:
            return blocks[0]
        return cls(**{f.name: np.concatenate([getattr(b, f.name) for b in blocks]) for f in fields(cls)})

    @property
    def redundancy(self) -> Floats:
        """Share of a reading's own error that shows in its residual, 0 to 1, (..., n)."""
        diagonal = np.diagonal(self.whitened_maker, axis1=-2, axis2=-1)
        return np.where(diagonal < 1e-9, 0.0, diagonal)

    @property
    def weighted_square_sum(self) -> Floats:
        """Sum of squared residuals over sigmas, (...)."""
        return np.asarray(np.sum((self.residuals / self.sigmas) ** 2, axis=-1))


def solve(
    observe: Observe,
    observed: Floats,
    sigmas: Floats,
    start: Floats,
    *,
    tolerance: float = 1e-12,
    prior: Prior | None = None,
) -> Fit:
    """Adjust ``observed`` ``(..., n)`` from ``start`` ``(..., u)``.

    ``tolerance`` is the smallest singular value, relative to unit columns, that counts as determined.
    """
    sigmas = np.broadcast_to(sigmas, observed.shape)
    if observed.ndim == 1:
        return solve(
            observe, observed[None], sigmas[None], start[None], tolerance=tolerance, prior=prior
        ).one(0)
    # as many together as a core's own memory holds: half as fast again as all of thousands at once
    blocks = [slice(n, n + AT_ONCE) for n in range(0, len(observed), AT_ONCE)] or [slice(0, 0)]
    return Fit.of_all(
        [
            _solved(observe, observed[b], sigmas[b], start[b], tolerance, prior.of(b) if prior else None)
            for b in blocks
        ]
    )


def _solved(
    observe: Observe, observed: Floats, sigmas: Floats, start: Floats, tolerance: float, prior: Prior | None
) -> Fit:
    p = np.array(start, float)
    if prior is None or np.all(_seen(observe(p)[1], sigmas, tolerance)):
        p = _approach(observe, observed, sigmas, p, tolerance)
    else:
        # readings that leave something open would drift along it, to where a trace of it shows in them
        p = _approach(*prior.beside(observe, observed, sigmas), p, tolerance)
    return _finish(observe, observed, sigmas, p, tolerance, prior)


@dataclass(frozen=True, slots=True, kw_only=True)
class Linear:
    """The model made linear at some parameters, with what it says of the readings there."""

    maker: Floats
    """M, (..., n, n)."""
    residuals: Floats
    """Whitened, M l, (..., n); observed minus adjusted, so that an error of a reading shows with its own sign."""
    log_evidence: Floats
    """Logarithm of the likelihood of the readings, all parameters alike likely beforehand, but for a constant
    that does not hang on the sigmas, (...)."""


def made_linear(observe: Observe, observed: Floats, sigmas: Floats, p: Floats, tolerance: float) -> Linear:
    """The model at ``p``; several ``sigmas`` (..., k, n) may be asked of one set of readings (..., 1, n).

    The evidence is the restricted likelihood of a linear model (textbook theory, from memory, high).
    """
    values, gradients = observe(p)
    parts = _decompose(gradients, sigmas, tolerance)
    maker = parts.maker
    residuals = _apply(maker, (observed - values) / sigmas)
    seen = parts.seen > 0
    # columns of v are unit directions over their norms: the determinant of AᵀA is that of s over v, squared
    volume = np.sum(np.log(np.where(seen, parts.s, 1.0)), -1) - np.linalg.slogdet(parts.v)[1]
    evidence = -np.sum(np.log(sigmas), -1) - volume - np.sum(residuals**2, -1) / 2
    return Linear(maker=maker, residuals=residuals, log_evidence=np.asarray(evidence))


def _approach(observe: Observe, observed: Floats, sigmas: Floats, p: Floats, tolerance: float) -> Floats:
    """Damped steps (Levenberg and Marquardt) until the next is small; settled openings drop out.

    By normal equations: fast, and what they leave open ``_finish`` fills by decomposition.
    """
    damping = np.full(len(p), 1e-6)
    square_sum = np.full(len(p), np.inf)
    trial, moving = p.copy(), np.arange(len(p))
    misfit, slopes, norms = (
        np.empty(observed.shape),
        np.empty((*observed.shape, p.shape[-1])),
        np.ones(p.shape),
    )
    for _ in range(MOST_STEPS):
        values, gradients = observe(trial[moving])
        new_misfit = (observed[moving] - values) / sigmas[moving]
        new_sum = np.sum(new_misfit**2, -1)
        better = new_sum <= square_sum[moving] * ROUNDED
        taken = moving[better]
        p[taken], square_sum[taken], misfit[taken] = trial[taken], new_sum[better], new_misfit[better]
        slopes[taken], norms[taken] = _unit_columns(gradients[better], sigmas[taken], tolerance)
        damping[moving] = np.where(better, damping[moving] * 0.1, np.maximum(damping[moving], 1e-7) * 8.0)
        step = _damped(slopes[moving], misfit[moving], damping[moving]) / norms[moving]
        trial[moving] = p[moving] + step
        # a step that only heavy damping keeps small is no sign of the end
        still = np.any(np.abs(step) > SETTLED * (1.0 + np.abs(p[moving])), -1) | (damping[moving] > 0.01)
        moving = moving[still]
        if not len(moving):
            break
    return p


def _damped(slopes: Floats, misfit: Floats, damping: Floats) -> Floats:
    """Step along unit columns; a direction that nothing sees stays where it is."""
    turned = np.swapaxes(slopes, -1, -2)
    held = (damping + ALL_BUT_FREE)[..., None, None] * np.eye(slopes.shape[-1])
    return np.asarray(np.linalg.solve(turned @ slopes + held, turned @ misfit[..., None])[..., 0])


@dataclass(frozen=True, slots=True)
class _Parts:
    u: Floats
    s: Floats
    v: Floats
    """Columns are parameter directions, already in the parameters' own units."""
    seen: Floats

    def step(self, misfit: Floats) -> Floats:
        """The full step: what the readings determine of it."""
        filtered = self.seen / np.where(self.seen > 0, self.s, 1.0)
        return _apply(self.v, filtered * _apply(np.swapaxes(self.u, -1, -2), misfit))

    @property
    def maker(self) -> Floats:
        seen = self.u * self.seen[..., None, :]
        return np.asarray(np.eye(self.u.shape[-2]) - seen @ np.swapaxes(seen, -1, -2))

    @property
    def gain(self) -> Floats:
        scaled: Floats = self.seen / np.where(self.seen > 0, self.s, 1.0)
        return np.asarray((self.v * scaled[..., None, :]) @ np.swapaxes(self.u, -1, -2))


def _unit_columns(gradients: Floats, sigmas: Floats, tolerance: float) -> tuple[Floats, Floats]:
    """Whitened gradients with unit columns, and the norms they had."""
    a = gradients / sigmas[..., None]
    norms = np.sqrt(np.sum(a**2, axis=-2))
    norms = np.where(norms > 0, norms, 1.0)
    # unit columns, but for a parameter of which only a trace shows: brought to one it would pass for determined
    shows = np.abs(gradients).max(axis=-2)
    shows = shows / np.maximum(shows.max(axis=-1, keepdims=True), TINY)
    norms = np.where((shows > 0) & (shows < tolerance), norms / np.maximum(shows, TINY), norms)
    return a / norms[..., None, :], norms


def _decompose(gradients: Floats, sigmas: Floats, tolerance: float) -> _Parts:
    slopes, norms = _unit_columns(gradients, sigmas, tolerance)
    n, u = slopes.shape[-2:]
    left, s, right = np.linalg.svd(slopes, full_matrices=n < u)
    s = np.concatenate([s, np.zeros((*s.shape[:-1], u - s.shape[-1]))], axis=-1)
    if n < u:
        left = np.concatenate([left, np.zeros((*left.shape[:-1], u - n))], axis=-1)
    v = np.swapaxes(right, -1, -2) / norms[..., None]
    return _Parts(left, s, v, (s > tolerance).astype(float))


def _seen(gradients: Floats, sigmas: Floats, tolerance: float) -> Floats:
    """Which directions the readings determine, without the directions themselves."""
    slopes, _ = _unit_columns(gradients, sigmas, tolerance)
    n, u = slopes.shape[-2:]
    return np.asarray(np.linalg.svd(slopes, compute_uv=False) > tolerance) if n >= u else np.zeros(1)


def _finish(
    observe: Observe, observed: Floats, sigmas: Floats, p: Floats, tolerance: float, prior: Prior | None
) -> Fit:
    """Full steps to the end, with stand-ins where the readings see nothing, and the final statistics."""
    for _ in range(8):
        values, gradients = observe(p)
        parts = _decompose(gradients, sigmas, tolerance)
        misfit = (observed - values) / sigmas
        step = parts.step(misfit)
        gain, open_covariance = parts.gain, np.zeros((*p.shape, p.shape[-1]))
        if prior is not None and not np.all(parts.seen):
            gain, open_covariance, to_prior = _stand_in(parts, prior, p, step, gain)
            step = step + to_prior
        p = p + step
        if np.all(np.abs(step) <= SETTLED * (1.0 + np.abs(p))):
            break
    return Fit(
        parameters=p,
        covariance=gain @ np.swapaxes(gain, -1, -2) + open_covariance,
        residuals=np.asarray(observe(p)[0] - observed),
        whitened_maker=parts.maker,
        gain=gain,
        rank=np.asarray(parts.seen.sum(-1)),
        open_directions=parts.v * (1.0 - parts.seen)[..., None, :],
        sigmas=sigmas,
    )


def _stand_in(
    parts: _Parts, prior: Prior, p: Floats, step: Floats, gain: Floats
) -> tuple[Floats, Floats, Floats]:
    """Gain and covariance with the open directions filled, and the step that fills them."""
    expected, slopes = prior.observe(p)
    weighted = slopes / prior.sigmas[..., None]
    is_open = 1.0 - parts.seen
    v_open = parts.v * is_open[..., None, :]
    v_open = v_open / np.maximum(np.linalg.norm(v_open, axis=-2, keepdims=True), TINY)
    seen_by_prior = weighted @ v_open
    normal = np.swapaxes(seen_by_prior, -1, -2) @ seen_by_prior
    # directions the readings determine get a unit diagonal here, so that many openings invert alike;
    # their columns of v_open are zero. A direction that nothing speaks for at all stays put, all but free
    inverse = np.linalg.inv(normal + np.eye(p.shape[-1]) * (parts.seen + ALL_BUT_FREE)[..., None, :])
    pull = v_open @ inverse @ np.swapaxes(seen_by_prior, -1, -2)
    to_prior = _apply(pull, (prior.values - expected) / prior.sigmas - _apply(weighted, step))
    return gain - pull @ weighted @ gain, v_open @ inverse @ np.swapaxes(v_open, -1, -2), to_prior


def _apply(matrix: Floats, vector: Floats) -> Floats:
    return np.asarray((matrix @ vector[..., None])[..., 0])
