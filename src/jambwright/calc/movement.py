"""Movement gap by name."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from jambwright.basis import Working
from jambwright.basis.border import Strict
from jambwright.calc.calculation import Answer, Calculation, ProblemLine
from jambwright.frame import movement
from jambwright.readings.system_sheet import FrameMaterial
from jambwright.readings.wanted import Colour


class GapInput(Strict):
    """A frame, or a run of frames coupled without play."""

    material: FrameMaterial
    colour: Colour
    length_mm: Annotated[float, Field(gt=0)]
    set_temperature_c: float = 15.0
    """Temperature of the frame when it is fixed."""
    sealant_class: float = 25.0
    """Movement class of the sealant, percent: 7.5, 12.5, 20 or 25."""


class GapAnswer(Answer):
    """Movement of one end, the frame held at mid length."""

    movement_out_mm: float
    movement_in_mm: float
    gap_per_side_mm: float
    """The larger of the published gap and the movement."""
    governs: Literal["published table", "computed movement"]
    gap_most_mm: float
    sealant_width_min_mm: float
    """A gap narrower than this wants a fillet or a cover trim instead of a plain joint."""
    problems: list[ProblemLine]


def _gap(given: GapInput, work: Working) -> GapAnswer:
    found = movement.movement_gap(**given.model_dump(), work=work)
    return GapAnswer(
        movement_out_mm=found.movement_out_mm, movement_in_mm=found.movement_in_mm,
        gap_per_side_mm=found.gap_per_side_mm, governs=found.governs, gap_most_mm=found.gap_most_mm,
        sealant_width_min_mm=found.sealant_width_min_mm, problems=[ProblemLine.of(p) for p in found.problems],
    )  # fmt: skip


CALCULATIONS = (
    Calculation(
        name="movement-gap",
        summary="How far a frame moves with heat, and the gap and sealant that take it.",
        asks=GapInput,
        answers=GapAnswer,
        run=_gap,
        example={"material": "pvcu", "colour": "white", "length_mm": 2400},
    ),
)
