import functools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jambwright.plan.cutting import CuttingJob, Piece, Stock, less_done, plan_cuts, plan_plainly, recount

ROUGH = settings(max_examples=40)


@st.composite
def jobs(draw: st.DrawFn, most_pieces: int = 7, limits: bool = False) -> CuttingJob:
    kerf = draw(st.sampled_from([0.0, 3.0, 3.5]))
    trim = draw(st.sampled_from([0.0, 5.0]))
    costed = draw(st.booleans())
    stock = tuple(
        Stock(
            length_mm=length,
            cost=draw(st.integers(1, 60)) / 2 if costed else None,
            limit=draw(st.none() | st.integers(1, 3)) if limits else None,
        )
        for length in draw(st.lists(st.integers(800, 3000), min_size=1, max_size=3, unique=True))
    )
    longest = int(max(s.length_mm for s in stock) - 2 * trim)
    pieces = tuple(
        Piece(length_mm=draw(st.integers(200, longest)) - draw(st.sampled_from([0, 0.5])), label=f"W{n}")
        for n in range(draw(st.integers(1, most_pieces)))
    )
    return CuttingJob(stock=stock, pieces=pieces, kerf_mm=kerf, trim_mm=trim)


def least_cost(job: CuttingJob) -> float:
    """Every way to share out the pieces over bars, by brute force."""
    lengths = [p.length_mm for p in job.pieces for _ in range(p.count)]

    def bar_cost(group: frozenset[int]) -> float:
        used = sum(lengths[i] for i in group) + (len(group) - 1) * job.kerf_mm
        return min(
            (job.cost_of(s) for s in job.stock if used <= s.length_mm - 2 * job.trim_mm), default=float("inf")
        )

    @functools.cache
    def best(left: frozenset[int]) -> float:
        if not left:
            return 0.0
        first, *others = sorted(left)
        costs = []
        for chosen in range(2 ** len(others)):
            group = frozenset([first, *(o for n, o in enumerate(others) if chosen >> n & 1)])
            cost = bar_cost(group)
            if cost < float("inf"):
                costs.append(cost + best(left - group))
        return min(costs)

    return best(frozenset(range(len(lengths))))


@ROUGH
@given(jobs())
def test_small_jobs_cost_what_trying_every_way_finds(job: CuttingJob) -> None:
    plan = plan_cuts(job, seconds=20)
    assert recount(job, plan) == []
    assert plan.proven_optimal
    assert plan.cost == pytest.approx(least_cost(job))


@ROUGH
@given(jobs(most_pieces=14, limits=True))
def test_every_plan_counts_up_and_is_never_dearer_than_first_fit(job: CuttingJob) -> None:
    plan = plan_cuts(job, seconds=5)
    plain = plan_plainly(job)
    assert recount(job, plan) == []
    assert recount(job, plain) == []
    assert (len(plan.uncut) > 0) <= (len(plain.uncut) > 0)
    if not plan.uncut and not plain.uncut:
        assert plan.lower_bound <= plan.cost <= plain.cost
    assert 0 <= plan.waste_share < 1


@ROUGH
@given(jobs(most_pieces=10), st.integers(0, 3))
def test_what_is_already_cut_stays_and_the_rest_is_still_cut(job: CuttingJob, done: int) -> None:
    first = plan_cuts(job, seconds=5)
    already = first.bars[:done]
    rest = less_done(job, already)
    if not rest.pieces:
        assert len(already) == len(first.bars)
        return
    second = plan_cuts(rest, seconds=5)
    assert recount(rest, second) == []
    labels = sorted(cut.label for bar in (*already, *second.bars) for cut in bar.cuts)
    assert labels == sorted(p.label for p in job.pieces)


@ROUGH
@given(st.lists(st.integers(300, 2400), min_size=1, max_size=20), st.integers(0, 5))
def test_a_wider_kerf_never_takes_fewer_bars(lengths: list[int], kerf: int) -> None:
    def bars(kerf_mm: float) -> int:
        job = CuttingJob(
            stock=(Stock(length_mm=2500),),
            pieces=tuple(Piece(length_mm=mm) for mm in lengths),
            kerf_mm=kerf_mm,
        )
        plan = plan_cuts(job, seconds=5)
        assert plan.proven_optimal
        return len(plan.bars)

    assert bars(0) <= bars(kerf)
