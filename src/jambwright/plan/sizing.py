"""Frames of a whole house: each sized alone, families brought to one size, transoms lined up."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TypeVar

from jambwright.basis.problems import BadInput, Problem
from jambwright.basis.units import show_mm
from jambwright.frame.sizing import Sized, frame_of, looked_over, size_alone
from jambwright.readings.survey import Opening, Survey
from jambwright.readings.wanted import Down

T = TypeVar("T")


def for_each(survey: Survey, do: Callable[[Opening], T]) -> tuple[list[T], list[Problem]]:
    """Something for every opening; bad input is gathered and names its opening."""
    done: list[T] = []
    problems: list[Problem] = []
    for index, opening in enumerate(survey.openings):
        try:
            done.append(do(opening))
        except BadInput as bad:
            problems += [
                p.told_of(opening.name, opening=opening.id, field=f"openings.{index}.{p.field}")
                for p in bad.problems
            ]
    return done, problems


def size_house(survey: Survey) -> tuple[list[Sized], list[Problem]]:
    """Every opening sized, families brought to one size, and what is bad about any opening."""
    sized, problems = for_each(survey, lambda opening: size_alone(survey, opening))
    matched = list(_matched(survey, sized))
    return [looked_over(survey, _lined_up(survey, each, matched)) for each in matched], problems


def _matched(survey: Survey, sized: Sequence[Sized]) -> Iterator[Sized]:
    """Give each family one size where no member loses more than is allowed; else say what it would lose."""
    families: dict[str, list[Sized]] = defaultdict(list)
    for each in sized:
        if each.opening.wanted.match and each.opening.ordered_mm is None:
            families[each.opening.wanted.match].append(each)
    for each in sized:
        family = families.get(each.opening.wanted.match or "", [])
        yield _in_family(survey, each, family) if each in family and len(family) > 1 else each


def _in_family(survey: Survey, each: Sized, family: Sequence[Sized]) -> Sized:
    name, allowed = each.opening.wanted.match, survey.defaults.match_loses_mm
    one = (min(m.frame.width_mm for m in family), min(m.frame.height_mm for m in family))
    lost = max(max(m.frame.width_mm - one[0], m.frame.height_mm - one[1]) for m in family)
    marks = ", ".join(m.opening.id for m in family)
    size = f"{show_mm(one[0])} x {show_mm(one[1])}"
    if lost > allowed:
        say = (
            f"{marks} were to match as {name}, but one size of {size} would lose {show_mm(lost)} mm where "
            f"{show_mm(allowed)} is allowed; each keeps its own size."
        )
        return replace(each, remarks=(*each.remarks, Problem("wanted.match", say, "caution")))
    if (each.frame.width_mm, each.frame.height_mm) == one:
        return each
    frame = frame_of(survey, each.opening, each.read.hole, one)
    own = f"{show_mm(each.frame.width_mm)} x {show_mm(each.frame.height_mm)}"
    say = f"Made {size} to match {marks}; alone it would be {own}."
    return replace(each, frame=frame, remarks=(*each.remarks, Problem("wanted.match", say, "caution")))


def _lined_up(survey: Survey, each: Sized, others: Sequence[Sized]) -> Sized:
    """Move the upper transom to stand as far below the head as the neighbour's, where that was asked."""
    mark = each.opening.wanted.line_up
    if mark is None:
        return each
    neighbour = next((other for other in others if other.opening.id == mark), None)
    transoms = neighbour.frame.layout.centre_lines_mm("transom") if neighbour else ()
    layout = each.opening.wanted.layout
    if neighbour is None or not transoms or not isinstance(layout, Down):
        say = f"can't be lined up with {mark}: both must have a transom."
        return replace(each, remarks=(*each.remarks, Problem("wanted.line_up", say, "caution")))
    below = neighbour.frame.height_mm - transoms[-1]
    parts = [layout.down[0].model_copy(update={"mm": below}), *layout.down[1:]]
    wanted = each.opening.wanted.model_copy(update={"layout": layout.model_copy(update={"down": parts})})
    opening = each.opening.model_copy(update={"wanted": wanted})
    cap = (each.frame.width_mm, each.frame.height_mm)
    return replace(each, opening=opening, frame=frame_of(survey, opening, each.read.hole, cap))
