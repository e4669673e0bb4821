"""The search for the least plan: a plain plan, a bound, dives, and the programme over all fills that matter.

A plan that costs ``bound + spare`` holds only fills whose reduced cost is at most ``spare``. When the gap
is small those are few, and an integer programme over all of them settles the job: its answer is the
optimum, or there is no better plan and the bound moves up.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction

from jambwright.plan.cutting.columns import (
    SHORTAGE,
    Pattern,
    Priced,
    Relaxation,
    column,
    in_units,
    limit_rows,
    prove,
    relax,
    single_patterns,
    uncut,
)
from jambwright.plan.cutting.dive import dive
from jambwright.plan.cutting.first_fit import Fills, cost_of, first_fit
from jambwright.plan.cutting.job import Counts
from jambwright.plan.cutting.knapsack import Filler, Lister, filler_seconds, lister_fits, most_by_length
from jambwright.plan.cutting.successive import fill_in_turn
from jambwright.plan.solving import Clock, solve_covering

FINEST = 10_000
"""Plans are looked for in units that make no bar longer than this; bounds are always exact."""

FILLS_TRIED = (1_500, 6_000, 25_000, 100_000)
"""Sizes of the programmes over listed fills, one after the other."""

FILL_SECONDS = 1e-4
"""To list a fill and hand it to the solver, which no clock cuts short; generous (measured)."""

TIGHT = Fraction(2, 1000)
"""Below this share of a step between bound and target a dive seldom hits it, and the listed fills are few."""

FIRST_ROUNDS = 3
ROUNDS = 20
"""Rounds of filling bar after bar, at first and later on."""

REST_SECONDS = 2.0
"""Time to settle the rest of a dive in."""

PRICINGS = 4
"""Of all bars to the last unit: with less time than for so many none is begun."""

HALVINGS = 24
"""Steps of the search for the spare that lists as many fills as wanted."""


@dataclass(slots=True)
class State:
    """The best plan and the best bound so far."""

    counts: Counts
    plan: Fills
    cost: int
    bound: int = 0
    priced: Priced | None = None
    """The worths behind the bound; the listed fills may have raised it above theirs."""

    @property
    def proven(self) -> bool:
        """Whether the plan is as good as the bound."""
        return self.bound >= self.cost

    def better(self, plan: Fills | None) -> None:
        """Keep a plan if it costs less."""
        if plan is not None and cost_of(self.counts, plan) < self.cost:
            self.plan, self.cost = plan, cost_of(self.counts, plan)

    def proves(self, priced: Priced) -> None:
        """Raise the bound to the least cost a plan can have under these worths."""
        if self.priced is None or priced.bound > self.priced.bound:
            self.priced = priced
        self.bound = max(self.bound, self.counts.round_up(priced.bound))


def search(counts: Counts, clock: Clock) -> State:
    """The best plan and bound to be had in the time."""
    chance = random.Random(0)
    quick = counts.coarser(FINEST)
    plan = first_fit(counts)
    state = State(counts, plan, cost_of(counts, plan))
    state.better(first_fit(counts, best=True))
    state.proves(_material(counts, clock))
    _in_turn(state, quick, FIRST_ROUNDS, clock, chance)
    if not state.proven and _time_to_price(counts, clock):
        _close_in(state, quick, clock, chance)
    while not state.proven and not clock.over:
        _in_turn(state, quick, ROUNDS, clock, chance)
    return state


def _time_to_price(counts: Counts, clock: Clock) -> bool:
    """Whether the exact bound of the relaxation is to be had at all: it takes several pricings to be any good."""
    return PRICINGS * filler_seconds(counts.lengths, counts.demands, max(counts.rooms)) < clock.left


def _close_in(state: State, quick: Counts, clock: Clock, chance: random.Random) -> None:
    """Plan and bound brought together by the relaxation, dives and programmes over listed fills."""
    counts = state.counts
    patterns = [*state.plan, *single_patterns(quick)]
    if quick is not counts:
        patterns = [*relax(quick, patterns, known=state.cost, clock=clock, fully=False).patterns]
    relaxed = relax(counts, patterns, known=state.cost, clock=clock, fully=quick is counts)
    state.proves(relaxed.priced)
    for most in FILLS_TRIED:
        if not state.proven:
            _in_turn(state, quick, ROUNDS, clock.share(0.1), chance)
        if not state.proven and not _tight(state, relaxed.priced) and not _few(state, quick, relaxed.priced):
            _dive(state, quick, relaxed, clock.share(0.7), chance)
        if not state.proven and _time_to_price(counts, clock):
            relaxed = relax(counts, relaxed.patterns, known=state.cost, clock=clock)
            state.proves(relaxed.priced)
        if not state.proven and clock.left > most * FILL_SECONDS:
            _programme(state, relaxed, most, clock)
        if state.proven or clock.over:
            return


def _tight(state: State, priced: Priced) -> bool:
    """Whether hardly any fill is in a better plan, so that a dive would miss it."""
    return state.cost - state.counts.step - priced.bound < TIGHT * state.counts.step


def _few(state: State, quick: Counts, priced: Priced) -> bool:
    """Whether a small programme over all fills of a better plan may settle the job at once."""
    spare = state.cost - state.counts.step - priced.bound
    return (
        _can_list(quick) and _within(quick, priced, _lister(quick, priced), spare, FILLS_TRIED[0]) is not None
    )


def _can_list(counts: Counts) -> bool:
    return lister_fits(len(counts.lengths), max(counts.rooms))


def _material(counts: Counts, clock: Clock) -> Priced:
    """The bound from length alone; in the time with what of a bar can't be filled."""
    cheapest = min(cost / room for cost, room in zip(counts.costs, counts.rooms, strict=True) if room)
    worths = in_units(counts, [length * cheapest for length in counts.lengths])
    if not _time_to_price(counts, clock):
        return prove(counts, worths, [most_by_length(counts.lengths, worths, room) for room in counts.rooms])
    best = Filler(counts.lengths, counts.demands, max(counts.rooms)).price(worths)
    return prove(counts, worths, [int(best[room]) for room in counts.rooms])


def _in_turn(state: State, quick: Counts, rounds: int, clock: Clock, chance: random.Random) -> None:
    if not state.proven:
        state.better(fill_in_turn(quick, target=state.bound, rounds=rounds, clock=clock, chance=chance))


def _dive(state: State, quick: Counts, relaxed: Relaxation, clock: Clock, chance: random.Random) -> None:
    def finish(rest: Counts, at_most: int) -> Fills | None:
        return _settle(rest, at_most, Clock(min(clock.left, REST_SECONDS)))

    patterns = relaxed.patterns
    if quick is not state.counts:
        patterns = tuple(p for p in patterns if _fits(quick, p))
    state.better(dive(quick, patterns, beat=state.cost, finish=finish, clock=clock, chance=chance))


def _fits(counts: Counts, pattern: Pattern) -> bool:
    return pattern.stock == SHORTAGE or counts.used(pattern.amounts) <= counts.rooms[pattern.stock]


def _settle(rest: Counts, at_most: int, clock: Clock) -> Fills | None:
    """A plan for a small rest of a job at no more than a given cost."""
    plan = first_fit(rest, best=True)
    relaxed = relax(rest, [*plan, *single_patterns(rest)], known=at_most + rest.step, clock=clock.share(0.5))
    state = State(rest, plan, at_most + rest.step)
    state.proves(relaxed.priced)
    if not state.proven:
        _programme(state, relaxed, FILLS_TRIED[0], clock)
    return state.plan if state.cost <= at_most else None


def _programme(state: State, relaxed: Relaxation, most: int, clock: Clock) -> None:
    """Settle, or improve, the plan by the programme over the fills of least reduced cost."""
    counts = state.counts
    if not _can_list(counts):
        return
    listed = _listed(state, relaxed.priced, most)
    # with every fill of a better plan listed, the other patterns only stand in the way
    others = [] if listed.all_there else relaxed.patterns
    patterns = list(dict.fromkeys([*others, *listed.patterns]))
    outcome = solve_covering(
        [column(counts, p) for p in patterns],
        counts.demands,
        limit_rows(counts),
        at_most=state.cost - counts.step,
        any_will_do=state.cost - counts.step == state.bound,
        seconds=clock.left,
    )
    if outcome.found:
        state.better(_trimmed(counts, {p: n for p, n in zip(patterns, outcome.values, strict=True) if n}))
    if outcome.status in ("optimal", "infeasible"):
        # a plan within the spare is made of listed fills, and none of those is better
        beyond = counts.next_above(relaxed.priced.bound + listed.spare)
        state.bound = max(state.bound, min(state.cost, beyond))


@dataclass(frozen=True, slots=True)
class _Listed:
    """Fills of least reduced cost."""

    patterns: list[Pattern]
    spare: Fraction
    """These are all fills of plans up to this much above the bound."""
    all_there: bool
    """The spare takes in every plan better than the one at hand."""


def _listed(state: State, priced: Priced, most: int) -> _Listed:
    """As many fills as wanted, by halving the spare."""
    counts = state.counts
    lister = _lister(counts, priced)
    full = Fraction(state.cost - counts.step) - priced.bound
    low, high, spare = Fraction(0), full, full
    found: list[Pattern] = []
    for _ in range(HALVINGS):
        patterns = _within(counts, priced, lister, spare, most)
        if patterns is None:
            high = spare
        else:
            found, low = patterns, spare
            if spare == full or len(patterns) > most // 2:
                break
        spare = (low + high) / 2
    return _Listed(found, low, low == full)


def _lister(counts: Counts, priced: Priced) -> Lister:
    return Lister(counts.lengths, counts.demands, priced.worths, max(counts.rooms))


def _within(
    counts: Counts, priced: Priced, lister: Lister, spare: Fraction, most: int
) -> list[Pattern] | None:
    patterns: list[Pattern] = []
    for stock, room in enumerate(counts.rooms):
        rows = lister.fills_worth(priced.least_worth(counts, stock, spare), room, most - len(patterns))
        if rows is None:
            return None
        patterns += [Pattern(stock, tuple(row)) for row in rows.tolist()]
    if counts.shortage is not None:
        patterns += [uncut(counts, kind) for kind in range(len(counts.lengths))]
    return patterns


def _trimmed(counts: Counts, fills: dict[Pattern, int]) -> Fills:
    """The plan without the pieces it cuts too many, least-filled bars first."""
    over = [-demand for demand in counts.demands]
    for pattern, number in fills.items():
        over = [o + number * a for o, a in zip(over, pattern.amounts, strict=True)]
    plan: Fills = Counter()
    for pattern, number in fills.items():
        for _ in range(number):
            cut = [min(o, a) for o, a in zip(over, pattern.amounts, strict=True)]
            over = [o - c for o, c in zip(over, cut, strict=True)]
            amounts = tuple(a - c for a, c in zip(pattern.amounts, cut, strict=True))
            if any(amounts):
                plan[Pattern(pattern.stock, amounts)] += 1
    return plan
