"""All that the houses teach together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from jambwright.lessons.bias import Found, Line, bias_of
from jambwright.lessons.fitted import (
    NOT_NAMED,
    Chances,
    FrameIn,
    MakerLine,
    chances,
    compared,
    frames_in,
    makers,
)
from jambwright.lessons.scatter import (
    Difference,
    Face,
    Scatter,
    differences,
    faces_of,
    scatter_by,
    scatter_of_all,
)
from jambwright.readings import Survey
from jambwright.readings.correction import ToolError, tool_error
from jambwright.readings.fitted import AsFitted
from jambwright.readings.tool import Learned
from jambwright.record import PlanRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """One house with what was read as fitted, and the plans its frames were fitted by, by mark."""

    survey: Survey
    fitted: Mapping[str, AsFitted]
    plans: Mapping[str, PlanRecord] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tools:
    """What surveys alone tell of tools and people."""

    houses: int
    openings: int
    checks: tuple[tuple[str, ToolError], ...]
    """With the label of the house."""
    all: Scatter | None
    by_house: tuple[tuple[str, Scatter], ...]
    """With the label of each."""
    by_tool: tuple[Scatter, ...]
    by_person: tuple[Scatter, ...]
    differences: tuple[Difference, ...]
    """Of each house, then of all together where there are several."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lessons:
    """What fitted frames tell."""

    houses: int
    frames: int
    found: Found | None
    """``None`` where no reading stands beside gaps of a fitted frame."""
    makers: tuple[MakerLine, ...]
    chances: Chances
    left_out: tuple[str, ...]
    """Frames that can't be used, and why."""


def look_at_tools(surveys: Sequence[Survey]) -> Tools:
    """Checks, scatter and differences of the tools of some houses."""
    each = [faces_of(survey) for survey in surveys]
    faces: list[Face] = [face for found in each for face in found]
    houses = [(s.site.label, found) for s, found in zip(surveys, each, strict=True) if found]
    by_house = tuple((label, one) for label, found in houses if (one := scatter_of_all(found)))
    differ = [one for label, found in houses for one in differences(found, label)]
    if len(surveys) > 1:
        differ += differences(faces)
    errors = [
        (survey.site.label, error)
        for survey in surveys
        for tool in survey.tools
        if (error := tool_error(tool))
    ]
    return Tools(
        houses=len(surveys),
        openings=len(faces),
        checks=tuple(errors),
        all=scatter_of_all(faces),
        by_house=by_house,
        by_tool=scatter_by(faces, lambda r: r.tool or NOT_NAMED),
        by_person=scatter_by(faces, lambda r: r.who or NOT_NAMED),
        differences=tuple(differ),
    )


def learn(houses: Sequence[Kept]) -> Lessons:
    """What the fitted frames of some houses teach."""
    frames, left = _frames(houses)
    return Lessons(
        houses=len(houses), frames=len(frames), found=_found(frames), makers=makers(frames), chances=chances(frames),
        left_out=tuple(left),
    )  # fmt: skip


def learn_tools(houses: Sequence[Kept]) -> tuple[Line, ...]:
    """What they tell of the tools alone."""
    found = _found(_frames(houses)[0])
    return found.tools if found else ()


def _frames(houses: Sequence[Kept]) -> tuple[list[FrameIn], list[str]]:
    each = [frames_in(house.survey, house.fitted, house.plans) for house in houses]
    return [frame for found, _ in each for frame in found], [why for _, left in each for why in left]


def _found(frames: Sequence[FrameIn]) -> Found | None:
    rows = compared(frames)
    return bias_of(rows) if rows else None


def learned(line: Line, *, on: date, by: str | None) -> Learned:
    """A tool's figure as it is kept once accepted."""
    assert line.bias_mm is not None
    assert line.error_mm is not None
    return Learned(
        bias_mm=round(line.bias_mm, 2), error_mm=round(line.error_mm, 3), openings=line.openings, on=on, by=by
    )
