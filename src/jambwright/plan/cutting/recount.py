"""A cutting plan counted again from nothing but the job: plain Python, no solver, exact decimals."""

from __future__ import annotations

from collections import Counter

from jambwright.basis.units import show_mm
from jambwright.plan.cutting.job import Bar, CutPlan, CuttingJob, exact


def recount(job: CuttingJob, plan: CutPlan) -> list[str]:
    """Every way in which a plan breaks its job; empty when it holds."""
    return [
        *_pieces(job, plan),
        *(fault for number, bar in enumerate(plan.bars, 1) for fault in _bar(job, number, bar)),
        *_stock(job, plan),
        *_cost(job, plan),
    ]


def _pieces(job: CuttingJob, plan: CutPlan) -> list[str]:
    wanted: Counter[tuple[float, str]] = Counter()
    for piece in job.pieces:
        wanted[piece.length_mm, piece.label] += piece.count
    cut = Counter((c.length_mm, c.label) for bar in plan.bars for c in bar.cuts)
    cut.update((c.length_mm, c.label) for c in plan.uncut)
    return [
        f"{label or 'piece'} {show_mm(mm)} mm: {wanted[mm, label]} wanted, {cut[mm, label]} planned"
        for mm, label in sorted(wanted.keys() | cut.keys())
        if wanted[mm, label] != cut[mm, label]
    ]


def _bar(job: CuttingJob, number: int, bar: Bar) -> list[str]:
    if not bar.cuts:
        return [f"bar {number} is cut into nothing"]
    room = exact(bar.stock.length_mm) - 2 * exact(job.trim_mm)
    used = sum(exact(cut.length_mm) for cut in bar.cuts) + (len(bar.cuts) - 1) * exact(job.kerf_mm)
    faults = []
    if used > room:
        faults.append(f"bar {number} of {show_mm(bar.stock.length_mm)} mm is over by {used - room} mm")
    if exact(bar.offcut_mm) != room - used:
        faults.append(f"bar {number}: offcut said to be {bar.offcut_mm} mm, is {room - used} mm")
    return faults


def _stock(job: CuttingJob, plan: CutPlan) -> list[str]:
    taken = Counter(bar.stock for bar in plan.bars)
    faults = [f"no stock of {show_mm(s.length_mm)} mm was given" for s in taken if s not in job.stock]
    for stock, there in Counter(job.stock).items():
        if stock.limit is not None and taken[stock] > stock.limit * there:
            faults.append(f"{taken[stock]} bars of {show_mm(stock.length_mm)} mm taken, {stock.limit} there")
    return faults


def _cost(job: CuttingJob, plan: CutPlan) -> list[str]:
    cost = sum(exact(job.cost_of(bar.stock)) for bar in plan.bars)
    faults = []
    if cost != exact(plan.cost):
        faults.append(f"cost said to be {plan.cost}, is {cost}")
    if not plan.uncut and plan.lower_bound > plan.cost:
        faults.append(f"the bound {plan.lower_bound} is above the plan's cost {plan.cost}")
    if not plan.uncut and plan.proven_optimal and plan.lower_bound < plan.cost:
        faults.append(f"called optimal at {plan.cost} with a bound of {plan.lower_bound}")
    return faults
