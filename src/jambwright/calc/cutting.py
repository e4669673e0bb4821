"""Stock cutting by name: the least stock for the pieces of one profile."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, Field, field_validator

from jambwright.basis import BadInput, Clause, Working
from jambwright.basis.border import Strict
from jambwright.basis.units import show_mm
from jambwright.calc.calculation import Answer, Calculation
from jambwright.plan.cutting import CutPlan, CuttingJob, Piece, Stock, plan_cuts, plan_plainly

Positive = Annotated[float, Field(gt=0, le=1_000_000)]
NotNegative = Annotated[float, Field(ge=0, le=1_000_000)]


MOST_PIECES = 20_000
"""Of one profile; a tower block has fewer."""


class StockGiven(Strict):
    """A bar length that can be had."""

    length: Positive
    """Millimetres."""
    cost: NotNegative | None = None
    """Of one bar, in any money; give it for every length or for none."""
    limit: Annotated[int, Field(ge=0, le=1_000_000)] | None = None
    """How many there are; as many as wanted when left out."""


class PieceGiven(Strict):
    """Pieces wanted, all of one length."""

    length_mm: Positive
    count: Annotated[int, Field(ge=1, le=100_000)]
    label: str = ""


class StockCutting(Strict):
    """Everything cut from one profile."""

    stock_mm: Annotated[list[StockGiven], Field(min_length=1, max_length=50)]
    kerf_mm: NotNegative = 0.0
    """Lost at every cut between two pieces."""
    trim_mm: NotNegative = 0.0
    """Lost at each end of a bar."""
    pieces: Annotated[list[PieceGiven], Field(min_length=1, max_length=500)]
    seconds: Annotated[float, Field(gt=0, le=3600)] = 10.0
    """Time to search in; a plan that is proven earlier comes earlier."""

    @field_validator("pieces")
    @classmethod
    def _of_a_house(cls, pieces: list[PieceGiven]) -> list[PieceGiven]:
        count = sum(piece.count for piece in pieces)
        if count > MOST_PIECES:
            raise ValueError(
                f"{count:,} pieces are more than a house takes of one profile; {MOST_PIECES:,} at most."
            )
        return pieces

    def job(self) -> CuttingJob:
        """The job as the plan takes it."""
        return CuttingJob(
            stock=tuple(Stock(length_mm=s.length, cost=s.cost, limit=s.limit) for s in self.stock_mm),
            pieces=tuple(Piece(length_mm=p.length_mm, count=p.count, label=p.label) for p in self.pieces),
            kerf_mm=self.kerf_mm,
            trim_mm=self.trim_mm,
        )


class BarAnswer(BaseModel):
    """One bar, cut from its squared end in the order of the pieces."""

    stock_mm: float
    pieces_mm: list[float]
    offcut_mm: float
    """What trims, pieces and the kerfs between them leave; cutting it free takes one more kerf."""
    labels: list[str]


class StockCuttingAnswer(Answer):
    """The plan and what it proves."""

    bars: list[BarAnswer]
    bars_used: int
    objective: str
    """What is kept small: `cost` where costs are given, else `bars` of one length, else `length` in mm."""
    cost: float
    """Of the plan, in the unit of the objective."""
    lower_bound: float
    """No plan costs less, in the unit of the objective."""
    proven_optimal: bool
    """The bound meets the plan."""
    waste_share: float
    """Share of the bars' length that ends up in no piece."""
    bars_first_fit: int
    """Bars that plain first-fit decreasing takes, for comparison."""
    seconds: float


def _planned(given: StockCutting) -> tuple[CuttingJob, CutPlan]:
    job = given.job()
    plan = plan_cuts(job, seconds=given.seconds)
    _enough_stock(plan)
    return job, plan


def _told(job: CuttingJob, plan: CutPlan) -> StockCuttingAnswer:
    return StockCuttingAnswer(
        bars=[
            BarAnswer(
                stock_mm=bar.stock.length_mm,
                pieces_mm=[cut.length_mm for cut in bar.cuts],
                offcut_mm=bar.offcut_mm,
                labels=[cut.label for cut in bar.cuts],
            )
            for bar in plan.bars
        ],
        bars_used=len(plan.bars),
        objective=plan.objective,
        cost=plan.cost,
        lower_bound=plan.lower_bound,
        proven_optimal=plan.proven_optimal,
        waste_share=plan.waste_share,
        bars_first_fit=len(plan_plainly(job).bars),
        seconds=plan.seconds,
    )


def _enough_stock(plan: CutPlan) -> None:
    if plan.uncut:
        lengths = ", ".join(show_mm(cut.length_mm) for cut in plan.uncut[:10])
        surely = (
            "The stock can't hold all pieces"
            if plan.proven_optimal
            else "No plan found that holds all pieces"
        )
        raise BadInput.one(
            "stock_mm",
            f"{surely}; left over: {len(plan.uncut)} ({lengths} mm). Raise a limit or add a stock length.",
        )


def _note(work: Working, job: CuttingJob, plan: CutPlan) -> None:
    rule = Clause("Geometry of a cut bar", "kerf between pieces, trim at both ends", "calculated")
    for stock in job.stock:
        work.note(
            "room",
            "stock - 2 · trim",
            job.room_mm(stock),
            "mm",
            rule,
            stock_mm=stock.length_mm,
            trim_mm=job.trim_mm,
        )
    pieces = sum(p.length_mm * p.count for p in job.pieces)
    work.note("pieces", "sum of lengths", pieces, "mm", rule)
    duality = Clause("Gilmore & Gomory 1961; Farley 1990", "worths of the pieces", "from memory, high")
    for length, worth in plan.proof.worths:
        work.note(
            "worth", "no bar holds more worth than it costs", worth, plan.objective, duality, length_mm=length
        )
    work.note(
        "total worth", "every plan costs at least this", plan.proof.total_worth, plan.objective, duality
    )
    bound = "rounded up to what a plan can cost"
    if plan.proof.listed:
        bound += "; raised by trying every fill a cheaper plan could hold"
    work.note("lower bound", bound, plan.lower_bound, plan.objective, duality)
    work.note("cost", "sum over the bars", plan.cost, plan.objective, rule)


def _run(given: StockCutting, work: Working) -> StockCuttingAnswer:
    planned = _planned(given)
    _note(work, *planned)
    return _told(*planned)


CALCULATIONS = (
    Calculation(
        name="stock-cutting",
        summary="Cut all pieces from the least stock, and say whether less is possible.",
        asks=StockCutting,
        answers=StockCuttingAnswer,
        run=_run,
        example={
            "stock_mm": [{"length": 5000}],
            "kerf_mm": 3.5,
            "trim_mm": 5,
            "pieces": [
                {"length_mm": 1310, "count": 4, "label": "W1 to W4 sill"},
                {"length_mm": 1890, "count": 2, "label": "W5, W6 sill"},
                {"length_mm": 980, "count": 3, "label": "W7 to W9 sill"},
            ],
        },
    ),
)
