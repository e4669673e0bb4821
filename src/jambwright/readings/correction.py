"""What a tool is known to read wrong: by its check against a known length, or by frames that were fitted.

An error of the end (a worn hook) is the same for every reading, long or short: it is taken off each length read
with the tool, and only once a person has accepted it. What stays unknown of it is an error that all lengths share.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from statistics import fmean
from typing import Any

from jambwright.basis.clause import clause
from jambwright.basis.problems import Problem
from jambwright.basis.tables import table
from jambwright.basis.units import show_mm
from jambwright.readings.reading import LENGTHS, Reading, ReadingSet
from jambwright.readings.survey import Opening, Survey
from jambwright.readings.tool import NO_LENGTHS, Tool, ToolCheck
from jambwright.readings.tools import USUAL
from jambwright.readings.written import written_to

SURE = 2.0
"""A figure smaller than so many of its standard errors is never used. House rule."""
WHOLE_INTERVAL = 1.96


@clause(
    "Sum of independent errors, the eye's limit taken as rectangular",
    unit="mm",
    formula="√(2 eye²/3/n + known²)",
    how="calculated",
)
def check_error_mm(*, eye_mm: float, known_length_mm: float, readings: int) -> float:
    """Standard deviation of what a tape is found to read wrong by so many readings of a known length.

    >>> check_error_mm(eye_mm=0.75, known_length_mm=0.2, readings=1)
    0.64
    """
    return math.sqrt(2 * eye_mm**2 / 3 / readings + known_length_mm**2)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolError:
    """How much a tool reads long (+) or short (-), as far as that is known."""

    tool: str
    bias_mm: float
    error_mm: float
    """Standard error of it."""
    by: str
    """What told it, as it is said."""
    accepted: bool

    @property
    def sure(self) -> bool:
        """Whether it is more than the check itself may be wrong by."""
        return abs(self.bias_mm) >= SURE * self.error_mm

    @property
    def counts(self) -> bool:
        """Whether readings are corrected by it."""
        return self.accepted and self.sure

    @property
    def words(self) -> str:
        """As a person says it: ``tape A reads about 3 mm short``."""
        way = "long" if self.bias_mm > 0 else "short"
        return f"{self.tool} reads about {show_mm(abs(self.bias_mm))} mm {way}"

    @property
    def between(self) -> str:
        """What it lies between, at 95 %."""
        low, high = sorted(self.bias_mm + side * WHOLE_INTERVAL * self.error_mm for side in (-1, 1))
        return f"{low:+.1f} to {high:+.1f} mm"


def tool_error(tool: Tool) -> ToolError | None:
    """What is known of a tool's error: its check, else what was learned of it; an accepted one first."""
    found = [error for error in (_of_check(tool), _of_frames(tool)) if error]
    return next((error for error in found if error.counts), found[0] if found else None)


def _of_check(tool: Tool) -> ToolError | None:
    check = tool.check
    if check is None:
        return None
    return ToolError(
        tool=tool.name,
        bias_mm=fmean(check.values_mm) - check.known_mm,
        error_mm=_check_error_mm(tool, check),
        by=f"its check of {check.on.isoformat()}",
        accepted=check.correct,
    )


def _check_error_mm(tool: Tool, check: ToolCheck) -> float:
    value = table("reading_errors").value
    known, n = value(name="known_length_mm"), len(check.values_mm)
    if tool.kind == "laser":
        return math.hypot(value(name="laser_mm") / math.sqrt(n), known)
    return check_error_mm(eye_mm=value(name="eye_mm"), known_length_mm=known, readings=n)


def _of_frames(tool: Tool) -> ToolError | None:
    learned = tool.learned
    if learned is None:
        return None
    return ToolError(
        tool=tool.name,
        bias_mm=learned.bias_mm,
        error_mm=learned.error_mm,
        by=f"{learned.openings} openings with their frames in, accepted {learned.on.isoformat()}",
        accepted=True,
    )


def with_tools(taken: ReadingSet, tape: str | None) -> list[Reading]:
    """The readings of one face, lengths that name no tool with the usual tape."""
    return [
        replace(reading, tool=tape) if reading.tool is None and reading.kind in LENGTHS else reading
        for reading in taken.readings()
    ]


def corrected(readings: Iterable[Reading], tools: Iterable[Tool]) -> list[Reading]:
    """Readings with what their tools are known to read wrong taken off, each length by the same."""
    errors = {e.tool: e for tool in tools if (e := tool_error(tool)) and e.counts}

    def one(reading: Reading) -> Reading:
        error = errors.get(reading.tool or "") if reading.kind in LENGTHS else None
        if error is None:
            return reading
        values = tuple(mm - error.bias_mm for mm in reading.values_mm)
        return replace(reading, values_mm=values, corrected_mm=-error.bias_mm)

    return [one(reading) for reading in readings]


def shared_error_mm(survey: Survey, opening: Opening) -> float:
    """Standard deviation of the error that all lengths of an opening share, by the worst of their tools."""
    by_name = {tool.name: tool_error(tool) for tool in survey.tools}
    lengths = [
        reading
        for _, taken in opening.faces()
        for reading in with_tools(taken, survey.defaults.tape)
        if reading.kind in LENGTHS
    ]
    errors = [by_name.get(reading.tool or "") for reading in lengths]
    return max((e.error_mm if e and e.counts else USUAL.common_mm for e in errors), default=USUAL.common_mm)


def with_learned(tree: Mapping[str, Any], adopted: Mapping[str, Any]) -> dict[str, Any]:
    """A readings file's tree with what the firm has adopted of its tools, by their names; a tool's own comes first."""
    tools = [
        {"learned": adopted[tool["name"]], **tool} if _takes(tool, adopted) else tool
        for tool in tree.get("tools") or []
    ]
    return {**tree, "tools": tools} if tools else dict(tree)


def _takes(tool: Any, adopted: Mapping[str, Any]) -> bool:
    return isinstance(tool, Mapping) and tool.get("name") in adopted and tool.get("kind") not in NO_LENGTHS


def told_of_writing(survey: Survey) -> Iterator[Problem]:
    """Figures that look written to 5 or 10 mm: over the whole house once, else by opening."""
    house = written_to(reading for face in survey.faces for reading in face.readings()).say
    for say in house:
        yield Problem("openings", f"Over the whole house {say}", "caution")
    for index, opening in enumerate(survey.openings):
        for face, taken in opening.faces():
            for say in written_to(taken.readings()).say:
                if say not in house:
                    field = f"openings.{index}.{face}"
                    yield Problem(field, f"{opening.name}, {face}: {say}", "caution", opening=opening.id)


def told_of_tools(survey: Survey) -> Iterator[Problem]:
    """What is to be said of the tools of a survey: errors that are known, and whether readings are corrected."""
    for index, tool in enumerate(survey.tools):
        error = tool_error(tool)
        if error is None:
            continue
        field, reads = f"tools.{index}.check", f"{error.words} by {error.by} ({error.between})"
        way = "added to" if error.bias_mm < 0 else "taken off"
        if error.counts:
            say = f"{reads}: {show_mm(abs(error.bias_mm))} mm are {way} every length read with it."
            yield Problem(field, f"{say} Sizes told are with that.", "caution")
        elif error.sure:
            say = f"{reads}. Its lengths are used as written."
            yield Problem(
                field, f"{say} Measure with another tape, or write `correct: true` in its check.", "caution"
            )
        elif error.accepted:
            say = (
                f"{reads}: too little to be told from the error of the check itself, so nothing is corrected."
            )
            yield Problem(field, f"{say} Read the known length five times.", "caution")
