"""How few sizes serve an estate, and which so many sizes lose least, with the bound that proves it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from jambwright.basis.problems import BadInput
from jambwright.plan.solving import Clock, Column, solve_covering, solve_median
from jambwright.plan.standard_sizes.assortment import HAIR, Assortment, Floats, Ints, recount
from jambwright.plan.standard_sizes.one_dimension import best_lengths, fewest_lengths
from jambwright.plan.standard_sizes.pairs import Pairs, pairs_of
from jambwright.plan.standard_sizes.search import bound_by_prices, improved, served_by, worth_keeping

SMALL = 40_000
"""Pairs that the solver takes whole; of more, prices leave sizes out first."""
MOST_COVERED = 300_000
"""Pairs beyond which the fewest sizes are only looked for, not proven by the solver."""
COVERING, IMPROVING, PRICING = 0.3, 0.4, 0.4
"""Shares of the time left for the fewest sizes, for exchanges, for prices."""


def standard_lengths(lengths: Sequence[float], *, largest_loss: float, most: int | None) -> Assortment:
    """Lengths for openings in one dimension, exact; the fewest where ``most`` is left out.

    ``BadInput`` when so few can't serve all.
    """
    given = np.array(lengths, float)
    _enough(most, fewest_lengths(given, largest_loss))
    found = best_lengths(given, largest_loss, most)
    recount(given[:, None].tolist(), found, largest_loss)
    return found


def standard_sizes(
    openings: Sequence[tuple[float, float]], *, largest_loss: float, most: int | None, seconds: float
) -> Assortment:
    """Widths and heights for openings, each edge losing no more than allowed; the fewest where ``most`` is left out.

    Proven where time allows, else with the best bound found. ``BadInput`` when so few can't serve all.
    """
    clock = Clock(seconds)
    distinct, where, counts = np.unique(
        np.array(openings, float), axis=0, return_inverse=True, return_counts=True
    )
    by_edge = max(fewest_lengths(edge, largest_loss) for edge in distinct.T)
    _enough(most, by_edge)
    pairs = pairs_of(distinct, counts, largest_loss)
    cover = _cover(pairs, by_edge, clock.share(COVERING))
    if most is not None and most < len(cover.chosen):
        _enough(most, cover.bound)
        raise BadInput.one(
            "sizes", f"sizes: no choice of {most} was found in the time; {len(cover.chosen)} serve all, and fewer than "
            f"{cover.bound} never do. Give more sizes or more seconds."
        )  # fmt: skip
    count = len(cover.chosen) if most is None else min(most, len(distinct))
    chosen, bound = _least_loss(pairs, cover.chosen, count, clock)
    loss, by = served_by(pairs, chosen)
    used = np.unique(by)
    edges = sum(_edge_bound(distinct[:, edge], counts, largest_loss, count) for edge in (0, 1))
    bound = max(bound if pairs.complete else 0.0, edges)
    found = Assortment(
        sizes=pairs.sizes[chosen[used]],
        of=np.searchsorted(used, by)[where.ravel()],
        total_loss=float(loss.sum()),
        lower_bound=min(_to_the_next(bound, distinct), float(loss.sum())),
        sizes_bound=cover.bound,
        most=count,
        fewest_asked=most is None,
    )
    recount(openings, found, largest_loss)
    return found


def _enough(most: int | None, fewest: int) -> None:
    if most is not None and most < fewest:
        raise BadInput.one(
            "sizes", f"sizes: {most} can't serve all openings within the largest loss; it takes {fewest} at the least. "
            "Allow more sizes or a larger loss."
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Cover:
    chosen: Ints
    bound: int


def _cover(pairs: Pairs, at_least: int, clock: Clock) -> _Cover:
    """The fewest sizes that serve all openings, and how few it can be at all."""
    plain = _plain_cover(pairs)
    if len(plain) <= at_least or len(pairs.size) > MOST_COVERED:
        return _Cover(plain, at_least)
    ends = np.searchsorted(pairs.size, np.arange(len(pairs.sizes) + 1))
    columns = [
        Column(cost=1.0, covers={int(i): 1 for i in pairs.opening[start:end]})
        for start, end in pairwise(ends)
    ]
    needs = [1] * len(pairs.openings)
    outcome = solve_covering(columns, needs, {}, at_most=len(plain), any_will_do=False, seconds=clock.left)
    found = np.flatnonzero(outcome.values) if outcome.found else plain
    proven = int(np.ceil(outcome.bound - HAIR)) if np.isfinite(outcome.bound) and pairs.complete else 0
    return _Cover(found if len(found) <= len(plain) else plain, max(at_least, proven))


def _plain_cover(pairs: Pairs) -> Ints:
    """Always the size that serves most of those not served yet."""
    left, chosen = np.ones(len(pairs.openings)), []
    while left.any():
        best = int(np.argmax(np.bincount(pairs.size, left[pairs.opening], len(pairs.sizes))))
        chosen.append(best)
        left[pairs.opening[pairs.size == best]] = 0.0
    return np.array(chosen)


def _least_loss(pairs: Pairs, cover: Ints, count: int, clock: Clock) -> tuple[Ints, float]:
    """The choice of so many sizes that loses least, and a bound on any."""
    chosen = improved(pairs, cover, count, clock.share(IMPROVING if pairs.complete else 1.0))
    if len(pairs.size) <= SMALL:
        return _solved(pairs, chosen, count, clock.left)
    if not pairs.complete:
        return chosen, 0.0
    priced = bound_by_prices(pairs, count, _loss(pairs, chosen), clock.share(PRICING))
    kept = np.union1d(worth_keeping(priced, count, _loss(pairs, chosen)), chosen)
    few = pairs.only(kept)
    if len(few.size) <= SMALL:
        found, bound = _solved(few, np.searchsorted(kept, chosen), count, clock.left)
        return kept[found], max(priced.value, bound)
    groups = few.apart()
    for number, group in enumerate(groups):
        if few.only(group).size.size > SMALL:
            continue
        mine = np.intersect1d(group, np.searchsorted(kept, chosen))
        part = few.only(group)
        better, _ = _solved(
            part, np.searchsorted(group, mine), len(mine), clock.left / (len(groups) - number)
        )
        others = np.setdiff1d(chosen, kept[mine])
        chosen = np.union1d(others, kept[group[better]])
    return chosen, priced.value


def _solved(pairs: Pairs, chosen: Ints, count: int, seconds: float) -> tuple[Ints, float]:
    """The same by the solver, where it finds better than ``chosen`` in the time, and its bound."""
    served, opening = np.unique(pairs.opening, return_inverse=True)
    outcome = solve_median(
        opening.tolist(), pairs.size.tolist(), pairs.loss.tolist(),
        choices=len(pairs.sizes), most=count, seconds=seconds,
    )  # fmt: skip
    loss = float(served_by(pairs, chosen)[0][served].sum())
    if outcome.found:
        found = np.flatnonzero(outcome.values)
        less = float(served_by(pairs, found)[0][served].sum())
        if less < loss - HAIR:
            chosen, loss = found, less
    return chosen, min(outcome.bound, loss)


def _loss(pairs: Pairs, chosen: Ints) -> float:
    return float(served_by(pairs, chosen)[0].sum())


def _edge_bound(edge: Floats, counts: Ints, largest_loss: float, count: int) -> float:
    """What one edge alone must lose with so many sizes."""
    return best_lengths(np.repeat(edge, counts), largest_loss, count).total_loss


def _to_the_next(bound: float, openings: Floats) -> float:
    """Losses of whole millimetres are whole."""
    whole = bool(np.all(openings == np.round(openings)))
    return float(np.ceil(bound - HAIR)) if whole else bound
