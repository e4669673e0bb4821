"""A cutting job and its plan as people read them, and the job in whole numbers as it is solved.

Rule: a bar holds its pieces when ``sum(length) + (n - 1) * kerf <= stock - 2 * trim``. With
``length + kerf`` for every piece and ``stock - 2 * trim + kerf`` for the bar, the kerf drops out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from jambwright.basis import BadInput, Problem
from jambwright.basis.units import show_mm

Objective = Literal["bars", "length", "cost"]

FINEST_DECIMALS = 3
"""Lengths are taken to a thousandth of a millimetre, money to a thousandth of its unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A bar length that can be had; an offcut in the van is a stock with limit 1 and a low cost."""

    length_mm: float
    cost: float | None = None
    limit: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Pieces wanted, all of one length and for one place."""

    length_mm: float
    count: int = 1
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingJob:
    """Everything cut from one profile."""

    stock: tuple[Stock, ...]
    pieces: tuple[Piece, ...]
    kerf_mm: float = 0.0
    trim_mm: float = 0.0
    """Lost at each end of a new bar."""
    useful_offcut_mm: float | None = None
    """Offcuts from this length on go back in the van; among equally cheap plans more of them is better."""

    @property
    def objective(self) -> Objective:
        """What is kept small: money where costs are given, else bars of one length, else total length."""
        if self.stock[0].cost is not None:
            return "cost"
        return "bars" if len(self.stock) == 1 else "length"

    def cost_of(self, stock: Stock) -> float:
        """What one bar adds to the objective."""
        if self.objective == "cost":
            return stock.cost or 0.0
        return 1.0 if self.objective == "bars" else stock.length_mm

    def room_mm(self, stock: Stock) -> float:
        """The longest single piece that can come out of a bar."""
        return stock.length_mm - 2 * self.trim_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One piece as it is cut."""

    length_mm: float
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One bar with its cuts in order from the squared end."""

    stock: Stock
    cuts: tuple[Cut, ...]
    offcut_mm: float
    """What the trims, pieces and the kerfs between them leave; separating it costs one more kerf."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """Why no plan costs less: worths of the pieces under which no bar holds more than it costs."""

    worths: tuple[tuple[float, float], ...]
    """Length of a piece and its worth, in the unit of the objective."""
    total_worth: float
    """Of all pieces, less what limited stock is worth above its cost: every plan costs at least that."""
    listed: bool
    """The bound was raised further by listing every fill a cheaper plan could hold, and finding none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlan:
    """Bars and what they prove."""

    bars: tuple[Bar, ...]
    uncut: tuple[Cut, ...]
    """Pieces for which the limited stock did not reach."""
    objective: Objective
    cost: float
    """Of all bars, in the unit of the objective."""
    lower_bound: float
    """No plan costs less, in the unit of the objective."""
    proven_optimal: bool
    """The bound meets the plan; with pieces left uncut: no plan leaves fewer for less."""
    proof: Proof
    seconds: float

    @property
    def waste_share(self) -> float:
        """Share of the bars' length that ends up in no piece."""
        bought = math.fsum(bar.stock.length_mm for bar in self.bars)
        used = math.fsum(cut.length_mm for bar in self.bars for cut in bar.cuts)
        return 1 - used / bought if bought else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """The job in whole numbers: distinct lengths, longest first, kerf taken into lengths and rooms."""

    rooms: tuple[int, ...]
    costs: tuple[int, ...]
    limits: tuple[int | None, ...]
    lengths: tuple[int, ...]
    demands: tuple[int, ...]
    length_unit: Decimal
    """One whole-number length in millimetres, before the common factor is taken out."""
    common: int
    shortage: int | None
    """What an uncut piece costs, above any plan; ``None`` where unlimited stock takes every piece."""
    cost_unit: Decimal
    """One whole-number cost in the unit of the objective."""

    @property
    def step(self) -> int:
        """Every plan's cost is a multiple of this."""
        return math.gcd(*self.costs) or 1

    @property
    def dearest(self) -> int:
        """The most a piece can be worth."""
        return max(self.costs) if self.shortage is None else self.shortage

    @property
    def grain(self) -> int:
        """Worths are kept as whole parts of a cost unit, this many to one; no sum of them overflows."""
        return max(1, min(10_000_000, 2**61 // ((self.dearest + 1) * sum(self.demands))))

    def used(self, amounts: Sequence[int]) -> int:
        """Length that pieces take up in a bar."""
        return sum(length * amount for length, amount in zip(self.lengths, amounts, strict=True))

    def round_up(self, bound: Fraction) -> int:
        """The least cost a plan can have that is bounded so."""
        return math.ceil(bound / self.step) * self.step

    def coarser(self, finest: int) -> Counts:
        """The job in units so coarse that no bar has more than ``finest``: pieces rounded up, bars down.

        Every plan for it is a plan for this one; the tightest are lost.
        """
        grain = -(-max(self.rooms) // finest)
        if grain <= 1:
            return self
        return replace(
            self,
            rooms=tuple(room // grain for room in self.rooms),
            lengths=tuple(-(-length // grain) for length in self.lengths),
        )

    def next_above(self, cost: Fraction) -> int:
        """The least cost a plan can have above this one."""
        return (math.floor(cost / self.step) + 1) * self.step


def check_job(job: CuttingJob) -> list[Problem]:
    """Everything about a job that cannot be, each with its remedy."""
    problems = []
    given = [stock.cost is not None for stock in job.stock]
    if any(given) and not all(given):
        problems.append(
            Problem(
                "stock_mm", "Give a cost to every stock length or to none (an offcut at hand may cost 0)."
            )
        )
    for number, stock in enumerate(job.stock):
        for name, value in (("length", stock.length_mm), ("cost", stock.cost or 0.0)):
            if _decimals(value) > FINEST_DECIMALS:
                problems.append(
                    Problem(
                        f"stock_mm.{number}.{name}", f"Stock {name} {value}: give at most three decimals."
                    )
                )
    longest = max(job.room_mm(stock) for stock in job.stock)
    for number, piece in enumerate(job.pieces):
        if piece.length_mm > longest + 1e-9:
            problems.append(too_long(f"pieces.{number}.length_mm", piece, longest))
    return problems


def too_long(field: str, piece: Piece, longest_mm: float) -> Problem:
    """Names a piece that no bar is long enough for, with the remedy."""
    name = f"{piece.label}: piece" if piece.label else "Piece"
    return Problem(
        field,
        f"{name} of {show_mm(piece.length_mm)} mm is longer than any bar gives ({show_mm(longest_mm)} mm "
        "after the end trims). Order a longer bar, or allow a joint in the run.",
    )


def whole(job: CuttingJob) -> Counts:
    """The job in whole numbers. Raises ``BadInput`` with every reason why there can be no plan."""
    problems = check_job(job)
    if problems:
        raise BadInput(problems)
    unit = _unit(
        [s.length_mm for s in job.stock] + [p.length_mm for p in job.pieces] + [job.kerf_mm, job.trim_mm]
    )
    kerf, trim = _up(job.kerf_mm, unit), _up(job.trim_mm, unit)
    demand: dict[int, int] = {}
    for piece in job.pieces:
        length = _up(piece.length_mm, unit) + kerf
        demand[length] = demand.get(length, 0) + piece.count
    lengths = sorted(demand, reverse=True)
    common = math.gcd(*lengths) or 1
    rooms = [max(0, (_down(s.length_mm, unit) - 2 * trim + kerf)) // common for s in job.stock]
    money = _unit([job.cost_of(s) for s in job.stock])
    costs = [_up(job.cost_of(s), money) for s in job.stock]
    limits = tuple(s.limit for s in job.stock)
    lengths = [length // common for length in lengths]
    endless = max((r for r, limit in zip(rooms, limits, strict=True) if limit is None), default=0)
    return Counts(
        rooms=tuple(rooms),
        costs=tuple(costs),
        limits=limits,
        lengths=tuple(lengths),
        demands=tuple(demand[length * common] for length in lengths),
        length_unit=unit,
        common=common,
        shortage=None if endless >= lengths[0] else _shortage(costs, sum(demand.values())),
        cost_unit=money,
    )


def kind_of(job: CuttingJob, counts: Counts, length_mm: float) -> int:
    """Which of the distinct lengths a piece is."""
    length = _up(length_mm, counts.length_unit) + _up(job.kerf_mm, counts.length_unit)
    return counts.lengths.index(length // counts.common)


def _shortage(costs: list[int], pieces: int) -> int:
    step = math.gcd(*costs) or 1
    return (max(costs) * pieces // step + 1) * step


def _unit(values: Iterable[float]) -> Decimal:
    """The largest power of ten below one in which all values are whole, but not finer than the finest."""
    return Decimal(1).scaleb(-min(FINEST_DECIMALS, max(_decimals(v) for v in values)))


def exact(value: float) -> Decimal:
    """A figure as it was written, free of the rounding of floats."""
    return Decimal(repr(float(value)))


def _decimals(value: float) -> int:
    return max(0, -int(exact(value).normalize().as_tuple().exponent))


def _up(value: float, unit: Decimal) -> int:
    return math.ceil(exact(value) / unit)


def _down(value: float, unit: Decimal) -> int:
    return math.floor(exact(value) / unit)
