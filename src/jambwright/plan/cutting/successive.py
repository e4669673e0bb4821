"""Bar after bar: each is filled for most worth, and pieces that end up in wasteful bars gain worth.

Sequential value correction (Belov & Scheithauer 2007, after Mukhacheva); from memory, medium. Worth grows
a little faster than length, so that long pieces go first; every round starts from the worths the last one
learnt, and the best round is kept.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence

import numpy as np

from jambwright.plan.cutting.columns import Pattern, uncut
from jambwright.plan.cutting.first_fit import Fills, cost_of
from jambwright.plan.cutting.job import Counts
from jambwright.plan.cutting.knapsack import Filler, Ints
from jambwright.plan.solving import Clock

WORTH_POWER = (1.0, 1.06)
"""Worth starts as length to a power drawn from here."""

MEMORY = (1.0, 40.0)
"""Weight of the old worth against the new one, drawn from here for every bar."""

WORTH_UNITS = 1_000_000


def fill_in_turn(
    counts: Counts, *, target: int, rounds: int, clock: Clock, chance: random.Random
) -> Fills | None:
    """The best plan of some rounds, stopping at one that costs ``target``."""
    lengths = np.asarray(counts.lengths, dtype=float)
    worths = lengths ** (sum(WORTH_POWER) / 2)
    best: Fills | None = None
    for _ in range(rounds):
        plan = _round(counts, lengths, worths, chance, clock)
        if plan is not None and (best is None or cost_of(counts, plan) < cost_of(counts, best)):
            best = plan
        if clock.over or (best is not None and cost_of(counts, best) <= target):
            break
    return best


def _round(
    counts: Counts,
    lengths: np.ndarray[tuple[int], np.dtype[np.float64]],
    worths: np.ndarray[tuple[int], np.dtype[np.float64]],
    chance: random.Random,
    clock: Clock,
) -> Fills | None:
    """One plan; ``worths`` learns from it."""
    power = chance.uniform(*WORTH_POWER)
    left = list(counts.demands)
    limits = list(counts.limits)
    plan: Fills = Counter()
    while any(left):
        if clock.over:
            return None
        chosen = _next_bar(
            counts, left, limits, np.asarray(worths / worths.max() * WORTH_UNITS, np.int64) + 1
        )
        if chosen is None:
            for kind, pieces in enumerate(left):
                if pieces:
                    plan[uncut(counts, kind)] += pieces
            return plan
        plan[chosen] += 1
        at_hand = limits[chosen.stock]
        if at_hand is not None:
            limits[chosen.stock] = at_hand - 1
        used = counts.used(chosen.amounts)
        for kind, amount in enumerate(chosen.amounts):
            if amount:
                left[kind] -= amount
                old = chance.uniform(*MEMORY)
                fresh = lengths[kind] ** power * counts.rooms[chosen.stock] / used
                worths[kind] = (old * worths[kind] + fresh) / (old + 1)
    return plan


def _next_bar(
    counts: Counts, left: Sequence[int], limits: Sequence[int | None], worths: Ints
) -> Pattern | None:
    """The bar that costs least for the length it turns into pieces."""
    rooms = [room if limits[stock] != 0 else 0 for stock, room in enumerate(counts.rooms)]
    filler = Filler(counts.lengths, left, max(rooms))
    filler.price(worths)
    found = [Pattern(stock, filler.fill(room)) for stock, room in enumerate(rooms)]
    usable = [pattern for pattern in found if any(pattern.amounts)]
    if not usable:
        return None
    return min(usable, key=lambda p: (counts.costs[p.stock] / counts.used(p.amounts), p.stock))
