"""The work that workers do: plain values in, plain values or values of the rooms out. Nothing here knows the store."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from jambwright import calc, job, one_opening
from jambwright.basis.border import accept
from jambwright.basis.problems import BadInput, Problem
from jambwright.handover import acknowledged, answer_json
from jambwright.job import Choices, Offered, Progress, prices_from_tree
from jambwright.one_opening import Alike, alternatives, broken_with, is_ordered, look, own_glass, with_glass
from jambwright.readings import Survey
from jambwright.readings.proposal import Proposal
from jambwright.readings.survey_file import survey_from_tree
from jambwright.record import read_order
from jambwright.web import pictures
from jambwright.web.crew_days import CrewChosen
from jambwright.web.drawn_view import drawn_view
from jambwright.web.gist import gist_of
from jambwright.web.live import look as look_live
from jambwright.web.shapes import ReadingCheck
from jambwright.web.texts import say

Tree = Mapping[str, Any]


def calculated(_: Progress, name: str, given: Tree, working: bool) -> dict[str, Any]:
    """One calculation by name."""
    return calc.answer(name, given, working=working)


def looked_at(_: Progress, given: ReadingCheck) -> dict[str, Any]:
    """Readings looked at while they are taken."""
    return look_live(given)


@dataclass(frozen=True, slots=True)
class GlassOptions:
    """Glass options of an opening side by side, and what the order of each would break."""

    options: Any
    broken: Mapping[str, Sequence[str]]
    """By option: the limits it breaks, or why that can't be told."""
    own: Sequence[str]
    """Lights that have glass of their own."""
    ordered: bool


def compared(_: Progress, tree: Tree, mark: str, makes: Sequence[str]) -> GlassOptions:
    """Glass options of an opening side by side."""
    survey = accept(Survey, tree)
    options = job.compared(survey, mark, list(makes))
    return GlassOptions(
        options=options,
        broken={row.name: _broken(survey, mark, row.name) for row in options.rows},
        own=own_glass(survey, mark) if options.rows else (),
        ordered=is_ordered(survey, mark),
    )


def _broken(survey: Survey, mark: str, make_up: str) -> Sequence[str]:
    try:
        return broken_with(survey, mark, make_up)
    except BadInput as bad:
        return [problem.say for problem in bad.problems]


def drawn(_: Progress, tree: Tree, mark: str) -> dict[str, Any]:
    """An opening as it is drawn up, decided anew."""
    return drawn_view(look(_readable(tree, mark), mark))


def evened(_: Progress, tree: Tree, mark: str, path: tuple[str | int, ...], alike: Alike) -> Sequence[float]:
    """Shares that make the parts of a split look alike."""
    return one_opening.evened(_readable(tree, mark), mark, path, alike)


def instead(_: Progress, tree: Tree, mark: str) -> dict[str, Any]:
    """What could be ordered instead: the opening as it is, and as each proposal would make it."""
    survey = _readable(tree, mark)
    offered = [
        {
            "number": number, "say": each.say, "mends": list(each.mends), "remains": list(each.remains),
            "after": drawn_view(look(changed, mark)),
        }
        for number, (each, changed) in enumerate(alternatives(survey, mark), start=1)
    ]  # fmt: skip
    return {"before": drawn_view(look(survey, mark)), "instead": offered}


def glass_asked(_: Progress, tree: Tree, mark: str, make_up: str) -> Proposal:
    """Another glass as a change of the order."""
    return with_glass(_readable(tree, mark), mark, make_up)


def _readable(tree: Tree, mark: str) -> Survey:
    """The survey without other openings that can't be read; raises ``BadInput`` for what is wrong with this one."""
    try:
        return survey_from_tree(tree)
    except BadInput as bad:
        own = [problem for problem in bad.problems if problem.opening in (None, mark)]
        if own:
            raise BadInput(own) from None
        others = {problem.opening for problem in bad.problems}
    return survey_from_tree({**tree, "openings": [o for o in tree["openings"] if o["id"] not in others]})


def offered(_: Progress, tree: Tree) -> Offered:
    """Proposals of every opening."""
    return {mark: list(each) for mark, each in job.proposals(survey_from_tree(tree)).items()}


def with_proposal(_: Progress, tree: Tree, mark: str, number: int, on: date, by: str) -> dict[str, Any]:
    """The survey with a proposal put in."""
    return job.accept_proposal(tree, mark, number, on=on, by=by)[0]


def planned(
    told: Progress,
    tree: Tree,
    prices: Tree | None,
    crew: CrewChosen | None,
    days_needed: bool,
    earlier: bytes | None = None,
) -> tuple[dict[str, Any], dict[str, bytes], dict[str, Any]]:
    """The plan's record as plain values, papers and gist; refused where days are needed and can't be planned.

    ``earlier`` is the order of an issue before.
    """
    choices = Choices(
        prices=None if prices is None else prices_from_tree(prices),
        crew=crew.crew() if crew else None,
        earlier=None if earlier is None else read_order(earlier),
    )
    record, files = job.plan_and_print(survey_from_tree(tree), choices, told)
    if days_needed and record.days is None:
        raise BadInput(record.days_missing or [Problem("days", say("days.none_left"))])
    return record.model_dump(mode="json"), files, gist_of(record)


def answered(_: Progress, order: bytes, answer: bytes) -> dict[str, Any]:
    """What the maker answers beside the order."""
    return answer_json(acknowledged(read_order(order), answer))


def picture(_: Progress, body: bytes, keep_place: bool) -> pictures.Picture:
    """A photo made safe."""
    return pictures.make_safe(body, keep_place=keep_place)
