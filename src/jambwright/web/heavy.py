"""The work that workers do: plain values in, plain values or values of the rooms out. Nothing here knows the store."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from jambwright import calc, job
from jambwright.basis.border import accept
from jambwright.basis.problems import BadInput, Problem
from jambwright.job import Choices, Offered, Progress, prices_from_tree
from jambwright.readings import Survey
from jambwright.readings.survey_file import survey_from_tree
from jambwright.web import pictures
from jambwright.web.crew_days import CrewChosen
from jambwright.web.live import look
from jambwright.web.shapes import ReadingCheck
from jambwright.web.texts import say

Tree = Mapping[str, Any]


def calculated(_: Progress, name: str, given: Tree, working: bool) -> dict[str, Any]:
    """One calculation by name."""
    return calc.answer(name, given, working=working)


def looked_at(_: Progress, given: ReadingCheck) -> dict[str, Any]:
    """Readings looked at while they are taken."""
    return look(given)


def compared(_: Progress, tree: Tree, mark: str, makes: Sequence[str]) -> Any:
    """Glass options of an opening side by side."""
    return job.compared(accept(Survey, tree), mark, list(makes))


def offered(_: Progress, tree: Tree) -> Offered:
    """Proposals of every opening."""
    return {mark: list(each) for mark, each in job.proposals(survey_from_tree(tree)).items()}


def with_proposal(_: Progress, tree: Tree, mark: str, number: int, on: date, by: str) -> dict[str, Any]:
    """The survey with a proposal put in."""
    return job.accept_proposal(tree, mark, number, on=on, by=by)[0]


def planned(
    told: Progress, tree: Tree, prices: Tree | None, crew: CrewChosen | None, days_needed: bool
) -> tuple[dict[str, Any], dict[str, bytes]]:
    """The plan's record as plain values and its papers; refused where days are needed and can't be planned."""
    choices = Choices(
        prices=None if prices is None else prices_from_tree(prices), crew=crew.crew() if crew else None
    )
    record, files = job.plan_and_print(survey_from_tree(tree), choices, told)
    if days_needed and record.days is None:
        raise BadInput(record.days_missing or [Problem("days", say("days.none_left"))])
    return record.model_dump(mode="json"), files


def picture(_: Progress, body: bytes, keep_place: bool) -> pictures.Picture:
    """A photo made safe."""
    return pictures.make_safe(body, keep_place=keep_place)
