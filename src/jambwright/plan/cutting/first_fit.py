"""The plain way: longest piece first, into the first bar that takes it.

It gives the search its first plan, and stands beside the exact plan for comparison.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from jambwright.plan.cutting.columns import SHORTAGE, Pattern, uncut
from jambwright.plan.cutting.job import Counts

Fills = Counter[Pattern]
"""How often each pattern is cut."""


@dataclass(slots=True)
class _OpenBar:
    stock: int
    left: int
    amounts: list[int] = field(default_factory=list)


def first_fit(counts: Counts, *, best: bool = False) -> Fills:
    """First-fit decreasing over all pieces; with ``best`` each piece goes where it leaves least."""
    return pack(counts, counts.demands, list(counts.limits), best=best)


def pack(counts: Counts, demands: Sequence[int], limits: Sequence[int | None], *, best: bool = True) -> Fills:
    """Pack what is in demand, opening bars of the stock that is cheapest for its length."""
    bars: list[_OpenBar] = []
    left = list(limits)
    fills: Fills = Counter()
    for kind, length in enumerate(counts.lengths):
        for _ in range(demands[kind]):
            bar = _choose(bars, length, best) or _open(counts, left, length, bars)
            if bar is None:
                fills[uncut(counts, kind)] += 1
                continue
            bar.left -= length
            bar.amounts[kind] += 1
    for bar in bars:
        fills[Pattern(_cheapest_holding(counts, bar, left), tuple(bar.amounts))] += 1
    return fills


def cost_of(counts: Counts, fills: Fills) -> int:
    """What the bars of a plan cost, uncut pieces at the price of a shortage."""
    return sum(
        number * (counts.costs[p.stock] if p.stock != SHORTAGE else counts.dearest)
        for p, number in fills.items()
    )


def _choose(bars: list[_OpenBar], length: int, best: bool) -> _OpenBar | None:
    taking = [bar for bar in bars if bar.left >= length]
    if not taking:
        return None
    return min(taking, key=lambda bar: bar.left) if best else taking[0]


def _open(counts: Counts, left: list[int | None], length: int, bars: list[_OpenBar]) -> _OpenBar | None:
    there = [
        stock
        for stock, room in enumerate(counts.rooms)
        if room >= length and (left[stock] is None or left[stock])
    ]
    if not there:
        return None
    stock = min(there, key=lambda s: (counts.costs[s] / counts.rooms[s], -counts.rooms[s]))
    _take(left, stock, 1)
    bar = _OpenBar(stock, counts.rooms[stock], [0] * len(counts.lengths))
    bars.append(bar)
    return bar


def _cheapest_holding(counts: Counts, bar: _OpenBar, left: list[int | None]) -> int:
    """Swap a bar for a cheaper one that still holds its pieces."""
    used = counts.rooms[bar.stock] - bar.left
    there = [
        stock
        for stock, room in enumerate(counts.rooms)
        if room >= used and (stock == bar.stock or left[stock] is None or left[stock])
    ]
    stock = min(there, key=lambda s: (counts.costs[s], s != bar.stock))
    if stock != bar.stock:
        _take(left, bar.stock, -1)
        _take(left, stock, 1)
    return stock


def _take(left: list[int | None], stock: int, number: int) -> None:
    at_hand = left[stock]
    if at_hand is not None:
        left[stock] = at_hand - number
