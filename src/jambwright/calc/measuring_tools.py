"""`measuring-tools`: how far tapes and people err, by frames that stand in the openings they read."""

from __future__ import annotations

from dataclasses import fields
from typing import Annotated

from pydantic import Field

from jambwright.basis.border import NotNegative, Strict
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.lessons import Compared, Line, bias_of

Key = Annotated[str, Field(min_length=1, max_length=80)] | int
Length = Annotated[float, Field(gt=0, le=20_000)]
Gap = Annotated[float, Field(ge=-200, le=500)]


class RowAsked(Strict):
    """One reading, and the frame with its gaps at the same place."""

    opening: Key
    tool: Key
    person: Key
    reading_mm: Length
    frame_mm: Length
    """As made; as ordered where it was not measured."""
    gaps_mm: Annotated[list[Gap], Field(min_length=1, max_length=10)]
    """At both sides of the frame at that place: left and right, or head and bottom."""

    def compared(self) -> Compared:
        """The same for the calculation."""
        return Compared(**{**self.model_dump(), "gaps_mm": tuple(self.gaps_mm)})


class ToolsAsked(Strict):
    """Readings with what fitted frames say of the same places."""

    rows: Annotated[list[RowAsked], Field(min_length=1, max_length=1000)]
    sd_frame_mm: NotNegative = 0.0
    """Standard deviation of frames as made beside `frame_mm`; taken off the scatter that is told."""


class ToolLine(Answer):
    """What was found of one tool, one person, or one person with one tool."""

    tool: str | int
    person: str | int
    openings: int
    bias_mm: float | None
    """Positive when it reads long; of a person beside the mean of all people."""
    interval_mm: tuple[float, float] | None
    """At 95 %."""
    error_mm: float | None
    sd_mm: float | None
    """Scatter of one reading, with that of the gaps in it, and of the frame where its part is not known."""
    interval_sd_mm: tuple[float, float] | None
    scale_ppm: float
    """How much it reads long for each mm of length, in millionths; left out where it can't be told."""
    interval_ppm: tuple[float, float]
    adopt: bool
    why: str


class ToolsAnswer(Answer):
    """Bias and scatter by tool and by person."""

    tools: list[ToolLine]
    people: list[ToolLine]
    pairs: list[ToolLine]
    """Each person with each tool alone: the plain mean of the differences."""
    left_out: list[str | int]
    """Openings with a row so far off that it was misread."""
    say: list[str]


def _line(found: Line) -> ToolLine:
    may_lack = ("tool", "person", "scale_ppm", "interval_ppm")
    values = {f.name: getattr(found, f.name) for f in fields(found)}
    return ToolLine.model_construct(**{n: v for n, v in values.items() if v is not None or n not in may_lack})


def _answer(given: ToolsAsked, work: Working) -> ToolsAnswer:
    found = bias_of([row.compared() for row in given.rows], sd_frame_mm=given.sd_frame_mm)
    work.steps += found.working.steps
    return ToolsAnswer(
        tools=[_line(line) for line in found.tools],
        people=[_line(line) for line in found.people],
        pairs=[_line(line) for line in found.pairs],
        left_out=list(dict.fromkeys(row.opening for row in found.left_out)),
        say=list(found.say),
    )


EXAMPLE = [
    (1, 1208, 1198, [6, 6]),
    (2, 906, 896, [5.5, 6]),
    (3, 608, 598, [6, 6.5]),
    (4, 1498, 1488, [6, 5.5]),
]

CALCULATIONS = (
    Calculation(
        name="measuring-tools",
        summary="Bias and scatter of tapes and people, by the frames that stand in the openings they read.",
        asks=ToolsAsked,
        answers=ToolsAnswer,
        run=_answer,
        example={
            "rows": [
                {"opening": f"W{n}", "tool": "tape A", "person": "one", "reading_mm": read, "frame_mm": frame,
                 "gaps_mm": gaps}
                for n, read, frame, gaps in EXAMPLE
            ]
        },
    ),
)  # fmt: skip
