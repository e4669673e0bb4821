"""The figures of one opening that a person acts on, each with the steps that lead to it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from jambwright.basis.clause import Clause, clause
from jambwright.basis.working import Working
from jambwright.checks.heat.frame_heat import FrameHeat
from jambwright.checks.opening_heat import heat_as_ordered
from jambwright.frame.frame import PIECES
from jambwright.plan.house import OpeningPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One figure and its steps; the last gives the value."""

    value: float
    unit: str
    working: Working


@clause("Sum of the pieces", unit="kg", formula="m = Σ m", how="calculated")
def whole_kg(*, pieces_kg: Sequence[float]) -> float:
    """Mass of a unit from its pieces, kg.

    >>> whole_kg(pieces_kg=[10.0, 21.5])
    31.5
    """
    return sum(pieces_kg)


@clause("Heaviest of what is carried", unit="kg", formula="m = max(m)", how="calculated")
def heaviest_kg(*, carried_kg: Sequence[float]) -> float:
    """The heaviest lift, kg.

    >>> heaviest_kg(carried_kg=[10.0, 21.5])
    21.5
    """
    return max(carried_kg)


@clause(
    "Rules of corner and centre distances, and the wind", unit="", formula="n = left + right + head + sill",
    how="calculated",
)  # fmt: skip
def around(*, left: int, right: int, head: int, sill: int) -> int:
    """How many of something stand round a frame.

    >>> around(left=3, right=3, head=0, sill=2)
    8
    """
    return left + right + head + sill


def figures_of(plan: OpeningPlan) -> Mapping[str, Told]:
    """Mass, heaviest lift, fixings, packing points, U and index, by name."""
    frame, fitting, unit = plan.frame, plan.fitting, plan.heat.unit
    mass, lift, held, packed, whole = (Working() for _ in range(5))
    pieces = [piece for piece in frame.pieces if piece.kind != "sill"]
    _noted(mass, [(piece.name, piece.mass_kg) for piece in pieces], PIECES)
    _noted(lift, [(each.name, each.lift.mass_kg) for each in fitting.lifts.carried], PIECES)
    at = {str(side.side): len(side.positions_mm) for side in fitting.fixings}
    for side in fitting.fixings:
        if side.positions_mm:
            held.note(side.side, "from the bottom or left end", list(side.positions_mm), "mm", around.source)
    points = Counter("sill" if point.side == "bottom" else point.side for point in fitting.packers)
    heat_as_ordered(plan.opening, frame, whole)
    return {
        "whole_kg": Told(
            value=mass.step("m", whole_kg, pieces_kg=[piece.mass_kg for piece in pieces]),
            unit="kg",
            working=mass,
        ),
        "heaviest_kg": Told(
            value=lift.step("m", heaviest_kg, carried_kg=[c.lift.mass_kg for c in fitting.lifts.carried]),
            unit="kg",
            working=lift,
        ),
        "fixings": Told(value=held.step("n", around, **at), unit="", working=held),
        "packing_points": Told(
            value=packed.step(
                "n", around, **{side: points[side] for side in ("left", "right", "head", "sill")}
            ),
            unit="",
            working=packed,
        ),
        "u": Told(value=unit.real.u_w_m2k, unit="W/m2K", working=_up_to(whole, "U_w with bars", "U_w")),
    } | _index(unit, whole)


def _index(unit: FrameHeat, whole: Working) -> dict[str, Told]:
    """The energy index of a window; a door has none."""
    if unit.index_kwh_m2 is None:
        return {}
    return {"index": Told(value=unit.index_kwh_m2, unit="kWh/m2 year", working=_up_to(whole, "EI"))}


def _noted(working: Working, masses: Sequence[tuple[str, float]], source: Clause) -> None:
    for name, kg in masses:
        working.note(name, "", kg, "kg", source)


def _up_to(working: Working, *ends: str) -> Working:
    """The steps up to the first of these symbols that there is."""
    symbols = [step.symbol for step in working]
    last = next(symbols.index(end) for end in ends if end in symbols)
    return Working(steps=working.steps[: last + 1])
