"""A good plan from the relaxation: fix its surest bars, price again for what is left, and so on down."""

from __future__ import annotations

import math
import operator
import random
from collections import Counter
from collections.abc import Callable, Collection, Iterable
from dataclasses import replace

from jambwright.plan.cutting.columns import SHORTAGE, Master, Pattern, limit_rows
from jambwright.plan.cutting.first_fit import Fills, cost_of, pack
from jambwright.plan.cutting.job import Counts
from jambwright.plan.cutting.knapsack import Filler
from jambwright.plan.solving import Clock

ROUNDS = 5
"""Pricing rounds after each step down."""

SMALL = 75
"""Pieces left that are worth settling exactly,"""

STEP_DOWN = 14
"""and how many fewer they are the next time."""


Finish = Callable[[Counts, int], Fills | None]
"""Settles what is left of a job: a plan that costs at most so much, or ``None``."""


def dive(
    counts: Counts,
    patterns: Iterable[Pattern],
    *,
    beat: int,
    finish: Finish,
    clock: Clock,
    chance: random.Random,
) -> Fills | None:
    """The best plan met on one way down, if it costs less than ``beat``."""
    way = _Dive(counts, patterns, beat, clock, chance)
    small_enough = SMALL
    while any(way.left) and not clock.over:
        taken = way.solve()
        if taken is None:
            break
        way.fix(taken)
        way.finish_plainly()
        if 0 < sum(way.left) <= small_enough:
            small_enough = sum(way.left) - STEP_DOWN
            if way.finish_exactly(finish):
                break
    return way.best


class _Dive:
    """What is fixed, what is left, and the relaxation of what is left."""

    def __init__(
        self, counts: Counts, patterns: Iterable[Pattern], beat: int, clock: Clock, chance: random.Random
    ) -> None:
        self.left = list(counts.demands)
        self.best: Fills | None = None
        self._counts = counts
        self._clock = clock
        self._chance = chance
        self._beat = beat
        self._limits = list(counts.limits)
        self._fixed: Fills = Counter()
        self._master = Master(counts, patterns)

    def solve(self) -> dict[Pattern, float] | None:
        """Patterns the relaxation takes and how much; ``None`` when this way can't beat the best plan."""
        filler = Filler(self._counts.lengths, self.left, max(self._counts.rooms))
        spent = cost_of(self._counts, self._fixed)
        for _ in range(ROUNDS):
            answer = self._master.solve()
            if not self._master.take_fills(filler, answer, self._clock):
                if spent + answer.value > self._beat - self._counts.step + 1e-6:
                    return None
                break
        amounts = answer.amounts
        return {p: amounts[n] for p, n in self._master.patterns.items() if amounts.get(n, 0.0) > 1e-6}

    def fix(self, taken: dict[Pattern, float]) -> None:
        """Fix the whole part of every bar; where there is none, one more of a bar that is nearly whole."""
        ranked = sorted(taken, key=lambda pattern: -taken[pattern])
        fixed = False
        for pattern in ranked:
            for _ in range(math.floor(taken[pattern] + 1e-6)):
                fixed |= self._cut(pattern)
        if not fixed:
            self._cut(self._chance.choice(ranked[: self._chance.choice((1, 1, 2, 3))]))
        for kind, pieces in enumerate(self.left):
            self._master.programme.need(kind, pieces)
        for row in limit_rows(self._counts):
            self._master.programme.limit(row, self._limits[row - len(self.left)] or 0)
        self._clip(taken)

    def finish_plainly(self) -> None:
        """Pack what is left the plain way, and keep the plan when it is the best so far."""
        plan = self._fixed + pack(self._counts, self.left, self._limits)
        cost = cost_of(self._counts, plan)
        if cost < self._beat:
            self._beat, self.best = cost, plan

    def finish_exactly(self, finish: Finish) -> bool:
        """Settle what is left so that the whole beats the best plan; whether that went."""
        kinds = [kind for kind, pieces in enumerate(self.left) if pieces]
        rest = replace(
            self._counts,
            lengths=tuple(self._counts.lengths[kind] for kind in kinds),
            demands=tuple(self.left[kind] for kind in kinds),
            limits=tuple(self._limits),
        )
        spent = cost_of(self._counts, self._fixed)
        found = finish(rest, self._beat - self._counts.step - spent)
        if found is None:
            return False
        self.best = self._fixed.copy()
        for pattern, number in found.items():
            amounts = [0] * len(self.left)
            for kind, amount in zip(kinds, pattern.amounts, strict=True):
                amounts[kind] = amount
            self.best[Pattern(pattern.stock, tuple(amounts))] += number
        return True

    def _cut(self, pattern: Pattern) -> bool:
        """Cut one bar, less what is no longer wanted of it."""
        amounts = self._wanted(pattern)
        if not any(amounts):
            return False
        if pattern.stock != SHORTAGE:
            at_hand = self._limits[pattern.stock]
            if at_hand == 0:
                return False
            if at_hand is not None:
                self._limits[pattern.stock] = at_hand - 1
        self._fixed[Pattern(pattern.stock, amounts)] += 1
        self.left = [left - amount for left, amount in zip(self.left, amounts, strict=True)]
        return True

    def _clip(self, taken: Collection[Pattern]) -> None:
        """Patterns that hold more than is left go; what is left of those in use, or of one kind, stays.

        The rest would only swell the programme: what is worth having of it is priced again.
        """
        for pattern in [*self._master.patterns]:
            if any(map(operator.gt, pattern.amounts, self.left)):
                self._master.drop(pattern)
                amounts = self._wanted(pattern)
                if any(amounts) and (pattern in taken or sum(map(bool, pattern.amounts)) == 1):
                    self._master.add(Pattern(pattern.stock, amounts))

    def _wanted(self, pattern: Pattern) -> tuple[int, ...]:
        return tuple(map(min, pattern.amounts, self.left))
