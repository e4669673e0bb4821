"""Explanations of readings that disagree, weighed against each other. One opening or many at once.

Every way a reading can be wrong is a hypothesis with a prior chance (``readings.slips``). With the model made
linear, the weighted square sum under each follows from the residuals ``z`` and the matrix ``M`` alone:
changing the readings by ``d`` sigmas gives ``|z + M d|²``; a reading wrong by an unknown amount is integrated
over that amount. The result is the logarithm of prior chance times likelihood, over that of "none wrong".
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass

import numpy as np

from jambwright.opening.explain_together import Together, Wholes, mixed, size_density, weigh_together
from jambwright.opening.least_squares import UNCHECKED
from jambwright.opening.shape import Floats, Place
from jambwright.readings.slips import CHANCE_OF_SLIP, Slip, meant, slips_of

LEAST_APART = 1e-3
"""Two readings whose joint determinant falls below this share of the product can't both be solved for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """Logarithms of the odds of each explanation against "none wrong"; -inf where it does not apply."""

    free: Floats
    """(..., n): one reading wrong by some amount."""
    named: Floats
    """(..., n, k): one reading wrong in a named way."""
    exchanged: Floats
    """(..., q): two readings in each other's place."""
    pairs: Floats
    """(..., r): two readings wrong, each by some amount."""
    meant_mm: Floats
    """(..., n, k): what was meant, for ``named``."""
    together: Together
    """What is wrong with several readings at once, or with the shape that the opening is taken for."""

    @property
    def total(self) -> Floats:
        """Logarithm of the odds of "something is wrong" against "all is well", (...).

        An odd shape that was read as such is well.
        """
        parts = [self.free, self.named.reshape(*self.named.shape[:-2], -1), self.exchanged, self.pairs]
        wrong = np.logaddexp.reduce(np.concatenate([*parts, self.together.wrong], -1), -1)
        return np.asarray(wrong - self.together.log_well)

    def over(self, log_chance: Floats) -> Weights:
        """One set of weights from those of several scales, axis -1 of ``log_chance`` (..., k) and summing to 1."""
        return Weights(
            free=mixed(self.free, log_chance, 1),
            named=mixed(self.named, log_chance, 2),
            exchanged=mixed(self.exchanged, log_chance, 1),
            pairs=mixed(self.pairs, log_chance, 1),
            meant_mm=self.meant_mm[..., 0, :, :],
            together=self.together.over(log_chance),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """The ways of going wrong that a list of places allows."""

    slips: tuple[tuple[Slip, ...], ...]
    """For each place, the slip behind each column of ``named``."""
    alike: tuple[tuple[tuple[Slip, ...], list[int]], ...]
    """Slips with the places that go wrong by them."""
    free_share: Floats
    exchanges: tuple[tuple[int, int], ...]
    exchange_share: float
    pairs: tuple[tuple[int, int], ...]


@functools.cache
def ways_for(places: tuple[Place, ...]) -> Ways:
    """Every way of going wrong; ``places`` may repeat one that was read more than once."""
    columns: list[tuple[Slip, ...]] = []
    shares: list[float] = []
    exchange = 0.0
    for kind, _ in places:
        slips = {slip.name: slip for slip in slips_of(kind)}
        shares.append(slips.pop("any").share)
        exchange += slips.pop("exchanged").share
        columns.append(tuple(s for s in slips.values() for _ in range(_alternatives(s.name))))
    alike: dict[tuple[Slip, ...], list[int]] = {}
    for n, each in enumerate(columns):
        alike.setdefault(tuple(dict.fromkeys(each)), []).append(n)
    spots = [(i, j) for i in range(len(places)) for j in range(i)]
    return Ways(
        slips=tuple(columns),
        alike=tuple(alike.items()),
        free_share=np.array(shares),
        exchanges=tuple((i, j) for i, j in spots if _may_exchange(places[i], places[j])),
        exchange_share=exchange,
        pairs=tuple(spots),
    )


def _alternatives(slip: str) -> int:
    return int(meant(slip, np.array(1000.0)).shape[-1])


def _may_exchange(a: Place, b: Place) -> bool:
    return a != b and (a[0] == b[0] or {a[0], b[0]} == {"width", "height"})


def weigh(ways: Ways, together: Wholes, read: Floats, z: Floats, maker: Floats, sigmas: Floats) -> Weights:
    """Odds of every explanation of readings ``(..., n)``; rows of ``z`` past n are stand-ins."""
    n = read.shape[-1]
    wholes = weigh_together(together, read, z, maker, sigmas)
    z, maker, sigmas = z[..., :n], maker[..., :n, :n], sigmas[..., :n]
    seen = np.diagonal(maker, axis1=-2, axis2=-1)
    meant_mm, share = _named(ways, read)
    d = (meant_mm - read[..., None]) / sigmas[..., None]
    drop = -(2 * d * z[..., None] + d**2 * seen[..., None]) / 2
    free = _free(ways, z, seen, sigmas)
    log_chance = math.log(CHANCE_OF_SLIP)
    with np.errstate(divide="ignore"):
        named = np.where(np.isnan(drop), -np.inf, drop + np.log(share) + log_chance)
    return Weights(
        free=free,
        named=named,
        exchanged=_exchanged(ways, read, z, maker, sigmas) + log_chance,
        pairs=_pairs(ways, z, maker, seen, sigmas),
        meant_mm=meant_mm,
        together=wholes,
    )


def _named(ways: Ways, read: Floats) -> tuple[Floats, Floats]:
    """What may have been meant, (..., n, k), and the share of each, (n, k); padded with NaN and 0."""
    wide = max((len(columns) for columns in ways.slips), default=0)
    values = np.full((*read.shape, wide), np.nan)
    shares = np.zeros((read.shape[-1], wide))
    for slips, rows in ways.alike:
        at = 0
        for slip in slips:
            found = meant(slip.name, read[..., rows])
            many = found.shape[-1]
            values[..., rows, at : at + many] = found
            shares[rows, at : at + many] = slip.share / many
            at += many
    return values, shares


def _free(ways: Ways, z: Floats, seen: Floats, sigmas: Floats) -> Floats:
    checked = seen > UNCHECKED
    safe = np.where(checked, seen, 1.0)
    amounts = np.where(checked, z * sigmas / safe, 0.0)
    spread = np.log(sigmas * np.sqrt(2 * np.pi / safe))
    odds = z**2 / safe / 2 + spread + size_density(amounts) + np.log(ways.free_share * CHANCE_OF_SLIP)
    return np.where(checked, odds, -np.inf)


def _exchanged(ways: Ways, read: Floats, z: Floats, maker: Floats, sigmas: Floats) -> Floats:
    if not ways.exchanges:
        return np.zeros((*read.shape[:-1], 0))
    i, j = (np.array(side) for side in zip(*ways.exchanges, strict=True))
    apart = read[..., j] - read[..., i]
    di, dj = apart / sigmas[..., i], -apart / sigmas[..., j]
    change = 2 * (di * z[..., i] + dj * z[..., j])
    change = change + di**2 * maker[..., i, i] + dj**2 * maker[..., j, j] + 2 * di * dj * maker[..., i, j]
    share = math.log(ways.exchange_share / len(ways.exchanges))
    return np.where(apart == 0, -np.inf, share - change / 2)


def _pairs(ways: Ways, z: Floats, maker: Floats, seen: Floats, sigmas: Floats) -> Floats:
    if not ways.pairs:
        return np.zeros((*z.shape[:-1], 0))
    i, j = (np.array(side) for side in zip(*ways.pairs, strict=True))
    a, b, c = seen[..., i], seen[..., j], maker[..., i, j]
    det = a * b - c**2
    apart = (det > LEAST_APART * a * b) & (a > UNCHECKED) & (b > UNCHECKED)
    safe = np.where(apart, det, 1.0)
    ei, ej = (b * z[..., i] - c * z[..., j]) / safe, (a * z[..., j] - c * z[..., i]) / safe
    gain = (z[..., i] * ei + z[..., j] * ej) / 2
    spread = np.log(2 * np.pi * sigmas[..., i] * sigmas[..., j] / np.sqrt(safe))
    size = size_density(ei * sigmas[..., i]) + size_density(ej * sigmas[..., j])
    return np.where(apart, gain + spread + size + 2 * math.log(CHANCE_OF_SLIP), -np.inf)


def rows_of_best(ways: Ways, together: Wholes, weights: Weights) -> Floats:
    """Which readings the best explanation changes, (N, n) of bool; none where "none wrong" is best."""
    one = np.fmax(weights.free, np.max(weights.named, -1))
    value = np.max(one, -1)
    rows = one == value[:, None]
    n = one.shape[-1]
    for sets, odds in (
        (ways.exchanges, weights.exchanged),
        (ways.pairs, weights.pairs),
        (together.alike, weights.together.alike),
        (together.turned, weights.together.turned),
        # a shape changes no reading
        (((),) * len(together.shapes), weights.together.shapes),
    ):
        if not sets:
            continue
        member = np.array([[i in rows_of for i in range(n)] for rows_of in sets])
        best = np.argmax(odds, -1)
        top = np.take_along_axis(odds, best[:, None], -1)[:, 0]
        rows = np.where((top > value)[:, None], member[best], rows)
        value = np.maximum(value, top)
    return np.asarray(rows & (value > 0)[:, None])


def odds_by_reading(ways: Ways, weights: Weights) -> Floats:
    """Logarithm of the odds that each reading is wrong, (..., n)."""
    odds = np.logaddexp(weights.free, np.logaddexp.reduce(weights.named, -1))
    for sets, logs in ((ways.exchanges, weights.exchanged), (ways.pairs, weights.pairs)):
        for k, rows in enumerate(sets):
            for i in rows:
                odds[..., i] = np.logaddexp(odds[..., i], logs[..., k])
    return odds
