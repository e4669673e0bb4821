"""Choices of sizes in two dimensions: exchanges that lose less, and a bound by relaxed assignment.

The bound gives each opening a price for being served and lets the sizes that gain most by the prices stand; prices
move until the bound rests (Lagrangian relaxation of the assignment; Cornuejols, Fisher and Nemhauser 1977, from
memory, high). No choice of so many sizes loses less, whatever the prices.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jambwright.plan.solving import Clock
from jambwright.plan.standard_sizes.assortment import HAIR, Floats, Ints
from jambwright.plan.standard_sizes.pairs import Pairs

UNSERVED = 1e12
PATIENCE = 40
"""Rounds without a better bound before the steps are halved."""
SMALLEST_STEP = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """What the prices prove."""

    value: float
    worth: Floats
    """(c,): what each size gains at the best prices, 0 or less."""


def served_by(pairs: Pairs, chosen: Ints) -> tuple[Floats, Ints]:
    """Least loss of each opening by the chosen sizes, and which of them that is (its place among the chosen)."""
    place = np.full(len(pairs.sizes), -1)
    place[chosen] = np.arange(len(chosen))
    mine = np.flatnonzero(place[pairs.size] >= 0)
    order = mine[np.lexsort((pairs.size[mine], pairs.loss[mine], pairs.opening[mine]))]
    opening, first = np.unique(pairs.opening[order], return_index=True)
    loss, by = np.full(len(pairs.openings), UNSERVED), np.full(len(pairs.openings), -1)
    loss[opening], by[opening] = pairs.loss[order[first]], place[pairs.size[order[first]]]
    return loss, by


def improved(pairs: Pairs, chosen: Ints, most: int, clock: Clock) -> Ints:
    """Sizes added while there may be more, then exchanged one by one as long as less is lost."""
    chosen = np.unique(chosen)
    while len(chosen) < most and not clock.over:
        gain = _gain(pairs, served_by(pairs, chosen)[0])
        best = int(np.argmax(gain))
        if gain[best] <= HAIR:
            break
        chosen = np.append(chosen, best)
    while not clock.over:
        exchange = _best_exchange(pairs, chosen, clock)
        if exchange is None:
            break
        chosen[exchange[0]] = exchange[1]
    return np.sort(chosen)


def _gain(pairs: Pairs, losses: Floats) -> Floats:
    """What each size would save where these losses stand."""
    saved = np.maximum(losses[pairs.opening] - pairs.loss, 0.0)
    return np.bincount(pairs.size, saved, len(pairs.sizes)).astype(float)


def _best_exchange(pairs: Pairs, chosen: Ints, clock: Clock) -> tuple[int, int] | None:
    now = float(served_by(pairs, chosen)[0].sum())
    best, found = now - max(HAIR, now * 1e-12), None
    for place in range(len(chosen)):
        if clock.over:
            break
        without, _ = served_by(pairs, np.delete(chosen, place))
        totals = without.sum() - _gain(pairs, without)
        put = int(np.argmin(totals))
        if totals[put] < best:
            best, found = float(totals[put]), (place, put)
    return found


def bound_by_prices(pairs: Pairs, most: int, loss: float, clock: Clock) -> Bound:
    """The best bound found in the time for ``most`` sizes, ``loss`` being what some choice loses."""
    n, c = len(pairs.openings), len(pairs.sizes)
    starts = np.searchsorted(pairs.size, np.arange(c))
    prices = np.full(n, UNSERVED)
    np.minimum.at(prices, pairs.opening, pairs.loss)
    prices = prices + loss / n
    best = Bound(value=-np.inf, worth=np.zeros(c))
    scale, stale = 2.0, 0
    while not clock.over and scale > SMALLEST_STEP:
        spare = np.minimum(pairs.loss - prices[pairs.opening], 0.0)
        worth = np.add.reduceat(spare, starts)
        standing = np.argpartition(worth, min(most, c) - 1)[:most]
        value = float(prices.sum() + worth[standing].sum())
        if value > best.value + 1e-9 * max(1.0, abs(value)):
            best, stale = Bound(value=value, worth=worth), 0
        else:
            stale += 1
            if stale >= PATIENCE:
                scale, stale = scale / 2, 0
        if best.value >= loss - HAIR:
            break
        stands = np.zeros(c, bool)
        stands[standing] = True
        slope = 1.0 - np.bincount(pairs.opening[(spare < 0) & stands[pairs.size]], minlength=n)
        length = float(slope @ slope)
        if length == 0:
            break
        prices = prices + scale * max(loss - value, HAIR) / length * slope
    return best


def worth_keeping(bound: Bound, most: int, loss: float) -> Ints:
    """Sizes that a choice losing less than ``loss`` may still hold, by what the prices prove."""
    standing = np.partition(bound.worth, min(most, len(bound.worth)) - 1)[:most]
    forced_in = bound.value - standing.max() + bound.worth
    return np.flatnonzero(np.where(bound.worth <= standing.max(), True, forced_in < loss - HAIR))
