"""What is believed of a hole's parameters: a normal distribution, or several, each with its chance."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jambwright.opening.net import Net
from jambwright.opening.scales import BETS, Scales, chances
from jambwright.opening.shape import Floats

TOGETHER = 2**0.5
"""Two jambs of one opening lean much alike, and so do head and sill: each counts for half. House value."""

NEGLIGIBLE = 1e-3

MOST_SAID = 3.0
"""One opening counts no more than this logarithm of odds for or against a degree. House value."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Belief:
    """A mixture of normal distributions."""

    chance: Floats
    """(m,), summing to 1."""
    means: Floats
    """(m, u)"""
    spreads: Floats
    """(m, u, u), covariances."""

    @classmethod
    def alone(cls, mean: Floats, spread: Floats) -> Belief:
        """One normal distribution."""
        return cls(chance=np.ones(1), means=mean[None], spreads=spread[None])

    @property
    def mean(self) -> Floats:
        """Of the whole, (u,)."""
        return np.asarray(self.chance @ self.means)

    @property
    def spread(self) -> Floats:
        """Covariance of the whole, (u, u)."""
        off = self.means - self.mean
        return np.asarray(
            np.einsum("m,mij->ij", self.chance, self.spreads + off[:, :, None] * off[:, None, :])
        )


def believed(net: Net, read: Floats, p: Floats, likely: Scales = BETS) -> Belief:
    """What readings ``(n,)`` adjusted to ``p`` say, with what is known of any opening counted in.

    A bow that was read is believed as read. Edges are near straight and near upright otherwise, but nobody knows
    how near: the degrees of ``opening.scales`` are weighed by the readings, from what is ``likely`` in the house.
    """
    expecting = net.near_upright(TOGETHER)
    scales, _ = likely.only(expecting)
    scaled = expecting.scaled(scales.factors(expecting))
    at = scaled.made_linear(read[None], p[None])
    weights = np.exp(chances(at.log_evidence + scales.log_chance))
    kept = weights >= NEGLIGIBLE
    expected, slopes = net.shape.observe(expecting.rows, p)
    sigmas = scaled.sigmas[kept]
    whitened = slopes / sigmas[..., None]
    misfit = (expecting.all_rows(read) - expected) / sigmas
    turned = np.swapaxes(whitened, -1, -2)
    spreads = np.asarray(np.linalg.inv(turned @ whitened), float)
    means = p + (spreads @ turned @ misfit[..., None])[..., 0]
    return Belief(chance=weights[kept] / weights[kept].sum(), means=means, spreads=spreads)


def bow_and_lean_evidence(net: Net, read: Floats, p: Floats) -> Floats:
    """Logarithm of what one opening's readings say for each of ``BETS``, (k,): never much, a misread may speak."""
    expecting = net.near_upright(TOGETHER)
    scales, which = BETS.only(expecting)
    scaled = expecting.scaled(scales.factors(expecting))
    says = scaled.made_linear(read[None], p[None]).log_evidence
    return np.asarray(np.maximum(says - says.max(), -MOST_SAID)[which])
