"""Column generation: the linear relaxation over all ways to fill a bar, and the bound it proves.

The bound is Farley's, in whole numbers: for any worths of the pieces, the best fill of each stock length
says by how much they are over-priced; scaled down (or, for limited stock, charged for) they bound every
plan from below. It holds at every moment, whether or not the relaxation was solved to the end.

Gilmore & Gomory (1961) for the method, Farley (1990) for the bound; from memory, high.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from jambwright.plan.cutting.job import Counts
from jambwright.plan.cutting.knapsack import Amounts, Filler, Ints
from jambwright.plan.solving import Clock, Column, GrowingProgramme, LinearAnswer

SMOOTHING = 0.5
"""Share of the best worths so far in the worths that are priced next; steadies the search."""


DISJOINT = 3
"""Further fills taken after the best, each of kinds the ones before leave out; fewer programmes to solve."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """One way to fill a bar of one stock; stock ``SHORTAGE`` leaves its one piece uncut."""

    stock: int
    amounts: Amounts


SHORTAGE = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """Worths of the pieces with what they prove."""

    worths: Ints
    scale: Fraction
    """Cost of one unit of worth, small enough that no unlimited bar is worth more than it costs."""
    fees: tuple[Fraction, ...]
    """By stock, what a limited bar is worth above its cost."""
    bound: Fraction
    """No plan costs less."""

    def least_worth(self, counts: Counts, stock: int, spare: Fraction) -> int:
        """Worth below which a fill is in no plan that costs at most ``bound + spare``."""
        return math.ceil((counts.costs[stock] + self.fees[stock] - spare) / self.scale)


@dataclass(frozen=True, slots=True, kw_only=True)
class Relaxation:
    """What column generation found."""

    patterns: tuple[Pattern, ...]
    priced: Priced


def single_patterns(counts: Counts) -> list[Pattern]:
    """Bars of one kind of piece each, and the uncut pieces where stock may run out."""
    kinds = range(len(counts.lengths))
    patterns = []
    for stock, room in enumerate(counts.rooms):
        for kind in kinds:
            pieces = min(counts.demands[kind], room // counts.lengths[kind])
            if pieces:
                patterns.append(Pattern(stock, _only(kind, pieces, len(kinds))))
    if counts.shortage is not None:
        patterns += [uncut(counts, kind) for kind in kinds]
    return patterns


def uncut(counts: Counts, kind: int) -> Pattern:
    """One piece that no stock is left for."""
    return Pattern(SHORTAGE, _only(kind, 1, len(counts.lengths)))


def column(counts: Counts, pattern: Pattern) -> Column:
    """A pattern as the solvers take it: a row a kind of piece, then a row a limited stock."""
    covers = {kind: amount for kind, amount in enumerate(pattern.amounts) if amount}
    if pattern.stock == SHORTAGE:
        assert counts.shortage is not None
        return Column(cost=counts.shortage, covers=covers)
    if counts.limits[pattern.stock] is not None:
        covers[len(counts.lengths) + pattern.stock] = 1
    return Column(cost=counts.costs[pattern.stock], covers=covers)


def limit_rows(counts: Counts) -> dict[int, int]:
    """Rows of the limited stocks with their limits."""
    first = len(counts.lengths)
    return {first + stock: limit for stock, limit in enumerate(counts.limits) if limit is not None}


def prove(counts: Counts, worths: Ints, values: Sequence[int]) -> Priced:
    """What worths prove; ``values``: by stock, what no fill of it is worth more than under them."""
    scale = Fraction(1, counts.grain)
    for value, cost, limit in zip(values, counts.costs, counts.limits, strict=True):
        if limit is None and value * scale > cost:
            scale = Fraction(cost, value)
    fees = tuple(
        Fraction(0) if limit is None else max(Fraction(0), value * scale - cost)
        for value, cost, limit in zip(values, counts.costs, counts.limits, strict=True)
    )
    worth = sum(int(w) * d for w, d in zip(worths, counts.demands, strict=True))
    charge = sum((limit or 0) * fee for limit, fee in zip(counts.limits, fees, strict=True))
    return Priced(worths=worths, scale=scale, fees=fees, bound=scale * worth - charge)


def relax(
    counts: Counts, patterns: Iterable[Pattern], *, known: int, clock: Clock, fully: bool = True
) -> Relaxation:
    """Solve the relaxation as far as the clock allows, or until a plan that costs ``known`` is proven.

    It prices once in any case: ``filler_seconds`` tells whether there is time for that.

    Without ``fully`` it stops as soon as no better whole bound can come of it.
    """
    master = Master(counts, patterns)
    filler = Filler(counts.lengths, counts.demands, max(counts.rooms))
    best_known: Priced | None = None
    steady: list[float] | None = None
    while True:
        answer = master.solve()
        added = False
        for worths in _attempts(answer, steady):
            units = in_units(counts, worths)
            best = filler.price(units)
            priced = prove(counts, units, [int(best[room]) for room in counts.rooms])
            if best_known is None or priced.bound > best_known.bound:
                best_known, steady = priced, worths
            added = master.take_priced(filler, units, answer, clock)
            if added or clock.left < filler.seconds:
                break
        assert best_known is not None
        reached = float(best_known.bound) > answer.value - 1e-6 or (
            not fully and counts.round_up(best_known.bound) >= answer.value - 1e-6
        )
        if reached or not added or clock.left < filler.seconds or counts.round_up(best_known.bound) >= known:
            return Relaxation(patterns=tuple(master.patterns), priced=best_known)


class Master:
    """The linear programme over the patterns found so far."""

    def __init__(self, counts: Counts, patterns: Iterable[Pattern]) -> None:
        self.counts = counts
        self.patterns: dict[Pattern, int] = {}
        """Those in use, with the numbers of their columns."""
        self.programme = GrowingProgramme(counts.demands, limit_rows(counts))
        for pattern in patterns:
            self.add(pattern)

    def solve(self) -> LinearAnswer:
        """Solve as it stands."""
        return self.programme.solve()

    def take_fills(self, filler: Filler, answer: LinearAnswer, clock: Clock) -> bool:
        """Price the pieces as the programme does and add what pays; whether anything did."""
        units = in_units(self.counts, answer.prices)
        filler.price(units)
        return self.take_priced(filler, units, answer, clock)

    def take_priced(self, filler: Filler, units: Ints, answer: LinearAnswer, clock: Clock) -> bool:
        """Add the fills of most worth as last priced, then in the time more from the kinds they leave out."""
        rest = units.copy()
        added = self._take(filler, rest, answer)
        for _ in range(DISJOINT if added else 0):
            if clock.left < filler.seconds:
                break
            filler.price(rest)
            if not self._take(filler, rest, answer):
                break
        return added

    def _take(self, filler: Filler, rest: Ints, answer: LinearAnswer) -> bool:
        """Add the best fill of each stock where the programme gains by it; strike its kinds off the rest."""
        added = False
        for stock, room in enumerate(self.counts.rooms):
            pattern = Pattern(stock, filler.fill(room))
            kinds = [kind for kind, amount in enumerate(pattern.amounts) if amount]
            limit_price = answer.limit_prices.get(len(self.counts.lengths) + stock, 0.0)
            worth = sum(answer.prices[kind] * pattern.amounts[kind] for kind in kinds)
            if worth > self.counts.costs[stock] - limit_price + 1e-7:
                added |= self.add(pattern)
            rest[kinds] = 0
        return added

    def add(self, pattern: Pattern) -> bool:
        """Add a pattern unless it is there."""
        if pattern in self.patterns:
            return False
        self.patterns[pattern] = self.programme.add(column(self.counts, pattern))
        return True

    def drop(self, pattern: Pattern) -> None:
        """Take a pattern out of use."""
        self.programme.forbid(self.patterns.pop(pattern))


def _attempts(answer: LinearAnswer, steady: list[float] | None) -> list[list[float]]:
    if steady is None:
        return [answer.prices]
    mixed = [SMOOTHING * old + (1 - SMOOTHING) * new for old, new in zip(steady, answer.prices, strict=True)]
    return [mixed, answer.prices]


def in_units(counts: Counts, worths: list[float]) -> Ints:
    """Worths in whole parts of a cost unit, rounded down."""
    clipped = np.clip(np.asarray(worths, dtype=np.float64), 0.0, float(counts.dearest))
    units: Ints = np.floor(clipped * counts.grain).astype(np.int64)
    return units


def _only(kind: int, pieces: int, kinds: int) -> Amounts:
    return tuple(pieces if k == kind else 0 for k in range(kinds))
