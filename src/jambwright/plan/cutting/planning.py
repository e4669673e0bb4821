"""From a cutting job to labelled bars in the order of cutting, and what is left when some are already cut."""

from __future__ import annotations

import random
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from jambwright.plan.cutting.columns import SHORTAGE, Pattern
from jambwright.plan.cutting.first_fit import Fills, cost_of, first_fit
from jambwright.plan.cutting.job import (
    Bar,
    Counts,
    Cut,
    CutPlan,
    CuttingJob,
    Piece,
    Proof,
    Stock,
    exact,
    kind_of,
    whole,
)
from jambwright.plan.cutting.search import FINEST, State, search
from jambwright.plan.cutting.successive import fill_in_turn
from jambwright.plan.solving import Clock

TIDY_ROUNDS = 12
"""Plans of the same cost that are looked at for longer useful offcuts."""


def plan_cuts(job: CuttingJob, *, seconds: float = 10.0) -> CutPlan:
    """The cheapest way to cut a job that is found in the time, with the best bound proven.

    Raises ``BadInput`` naming every piece that no bar is long enough for. Pieces for which limited stock
    does not reach are in ``uncut``.
    """
    clock = Clock(seconds)
    counts = whole(job)
    state = search(counts, clock)
    if job.useful_offcut_mm is not None and not clock.over:
        state.plan = _tidier(job, counts, state, clock)
    return _plan(job, counts, state, clock.spent)


def plan_plainly(job: CuttingJob) -> CutPlan:
    """First-fit decreasing, for comparison; its bound is nothing."""
    counts = whole(job)
    plan = first_fit(counts)
    return _plan(job, counts, State(counts, plan, cost_of(counts, plan)), 0.0)


def less_done(job: CuttingJob, done: Sequence[Bar]) -> CuttingJob:
    """What is left of a job when some bars are already cut: their pieces are off the list, their bars off the
    stock, and offcuts long enough to be useful are stock that costs nothing."""
    wanted = Counter({(p.length_mm, p.label): 0 for p in job.pieces})
    for piece in job.pieces:
        wanted[piece.length_mm, piece.label] += piece.count
    wanted.subtract((cut.length_mm, cut.label) for bar in done for cut in bar.cuts)
    taken = Counter(bar.stock for bar in done)
    stock = [
        replace(s, cost=job.cost_of(s), limit=None if s.limit is None else max(0, s.limit - taken[s]))
        for s in job.stock
    ]
    least = job.useful_offcut_mm or 0.0
    offcuts = Counter(
        bar.offcut_mm - job.kerf_mm
        for bar in done
        if bar.offcut_mm - job.kerf_mm > max(least, 2 * job.trim_mm)
    )
    stock += [Stock(length_mm=length, cost=0.0, limit=number) for length, number in sorted(offcuts.items())]
    pieces = [Piece(length_mm=mm, label=label, count=n) for (mm, label), n in wanted.items() if n > 0]
    return replace(job, stock=tuple(stock), pieces=tuple(pieces))


def useful(job: CuttingJob, bar: Bar) -> bool:
    """Whether what is left of a bar goes back in the van."""
    return job.useful_offcut_mm is not None and bar.offcut_mm - job.kerf_mm >= job.useful_offcut_mm


def _tidier(job: CuttingJob, counts: Counts, state: State, clock: Clock) -> Fills:
    """Among plans of the same cost the one that leaves most in useful offcuts."""
    plans = [state.plan]
    for seed in range(TIDY_ROUNDS):
        if clock.over:
            break
        found = fill_in_turn(
            counts.coarser(FINEST), target=state.cost, rounds=1, clock=clock, chance=random.Random(seed)
        )
        if found is not None and cost_of(counts, found) <= state.cost:
            plans.append(found)
    return max(plans, key=lambda plan: _kept(job, counts, plan))


def _kept(job: CuttingJob, counts: Counts, plan: Fills) -> float:
    bars = _bars(job, counts, plan)[0]
    return sum(bar.offcut_mm for bar in bars if useful(job, bar))


def _plan(job: CuttingJob, counts: Counts, state: State, seconds: float) -> CutPlan:
    bars, uncut = _bars(job, counts, state.plan)
    unit = float(counts.cost_unit)
    priced = state.priced
    worths = priced.worths if priced else [0] * len(counts.lengths)
    scale = float(priced.scale) * unit if priced else 0.0
    lengths = sorted({p.length_mm for p in job.pieces}, reverse=True)
    return CutPlan(
        bars=bars,
        uncut=uncut,
        objective=job.objective,
        cost=_money(
            sum(counts.costs[p.stock] * n for p, n in state.plan.items() if p.stock != SHORTAGE), counts
        ),
        lower_bound=_money(state.bound, counts),
        proven_optimal=state.proven,
        proof=Proof(
            worths=tuple((mm, float(worths[kind_of(job, counts, mm)]) * scale) for mm in lengths),
            total_worth=float(priced.bound) * unit if priced else 0.0,
            listed=priced is not None and state.bound > counts.round_up(priced.bound),
        ),
        seconds=seconds,
    )


def _money(cost: int, counts: Counts) -> float:
    return float(Decimal(cost) * counts.cost_unit)


def _bars(job: CuttingJob, counts: Counts, plan: Fills) -> tuple[tuple[Bar, ...], tuple[Cut, ...]]:
    """Bars in the order of cutting: those with the longest pieces first, and so within a bar.

    A piece cut wrong can then still become a shorter one. Common practice, no published source.
    """
    waiting: dict[int, list[Cut]] = defaultdict(list)
    for piece in sorted(job.pieces, key=lambda p: (p.label, p.length_mm), reverse=True):
        waiting[kind_of(job, counts, piece.length_mm)] += [
            Cut(length_mm=piece.length_mm, label=piece.label)
        ] * piece.count
    bars: list[Bar] = []
    uncut: list[Cut] = []
    for pattern in sorted(plan.elements(), key=_cutting_order):
        cuts = tuple(waiting[kind].pop() for kind, n in enumerate(pattern.amounts) for _ in range(n))
        if pattern.stock == SHORTAGE:
            uncut += cuts
        else:
            stock = job.stock[pattern.stock]
            bars.append(Bar(stock=stock, cuts=cuts, offcut_mm=_offcut_mm(job, stock, cuts)))
    return tuple(bars), tuple(uncut)


def _cutting_order(pattern: Pattern) -> tuple[int, tuple[int, ...]]:
    return pattern.stock, tuple(-amount for amount in pattern.amounts)


def _offcut_mm(job: CuttingJob, stock: Stock, cuts: Sequence[Cut]) -> float:
    room = exact(stock.length_mm) - 2 * exact(job.trim_mm)
    used = sum((exact(cut.length_mm) for cut in cuts), Decimal(0))
    return float(room - used - (len(cuts) - 1) * exact(job.kerf_mm))
