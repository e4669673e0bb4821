"""What the rules want of the fitter: inputs to measure or ask for, and findings against the order."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from jambwright.basis.problems import Problem
from jambwright.basis.tables import Row, table
from jambwright.checks.rules_on_house import HouseRules
from jambwright.checks.verdict import AGAINST, Verdict
from jambwright.readings.proposal import Proposal
from jambwright.readings.survey import Opening, Survey

ON_DOUBTED = "This rests on readings that disagree: measure again before the order is changed."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Want:
    """One input that is missing: where it goes in the readings file, of what, and how to get it."""

    field: str
    of: str
    write: str


def rule_needs(
    survey: Survey,
    rules: HouseRules,
    doubted: Collection[str] = (),
    offered: Mapping[str, Sequence[Proposal]] = MappingProxyType({}),
) -> list[Problem]:
    """One line an input that is missing, whatever it is needed for; one an opening that fails as ordered.

    ``doubted`` are the marks of openings whose readings disagree: what is found of them may not hold.
    ``offered`` are the proposals that mend what fails, by mark.
    """
    wanted: dict[_Want, dict[str, None]] = {}
    said: list[Problem] = []
    for at, opening, verdicts in _by_opening(survey, rules):
        for verdict in verdicts:
            for name in verdict.missing:
                want = _want(at, opening, table("rule_inputs").find(input=name))
                wanted.setdefault(want, {})[subject(verdict.rule)] = None
        name = opening.name if opening else ""
        of = f"{name}: " if name else ""
        asked = [v for v in verdicts if v.word == "unknown" and not v.missing]
        said += [Problem(at, f"{of}{without_name(v.why, name)}", "caution") for v in asked]
        against = [without_name(v.why, name) for v in verdicts if v.word in AGAINST]
        if against:
            mended = _mended(offered.get(opening.id, ())) if opening else []
            doubt = [ON_DOUBTED] if opening and opening.id in doubted else []
            said.append(Problem(at, of + " ".join([*against, *mended, *doubt]), "caution"))
    return [*(_missing(want, groups) for want, groups in wanted.items()), *said]


def _mended(offered: Sequence[Proposal]) -> list[str]:
    """The proposals by number, those that mend everything first told apart from those that don't."""
    whole, part = (
        [
            f"proposal {number}: {each.say}"
            for number, each in enumerate(offered, 1)
            if bool(each.remains) == left
        ]
        for left in (False, True)
    )
    said = [f"The order passes with {'; or '.join(whole)}."] if whole else []
    return said + ([f"This much is mended by {'; or '.join(part)}."] if part else [])


def subject(rule_id: str) -> str:
    """What a rule is about, by its group.

    >>> subject("safety_glass.door"), subject("date_of_work")
    ('safety glass', 'everything')
    """
    group, dot, _ = rule_id.partition(".")
    return group.replace("_", " ") if dot else "everything"


def without_name(text: str, name: str) -> str:
    """A finding's sentence without the name of its opening in front.

    >>> without_name("W3 kitchen: light A: clear width 413 mm.", "W3 kitchen")
    'Light A: clear width 413 mm.'
    """
    rest = text.removeprefix(f"{name}: ")
    return rest[:1].upper() + rest[1:]


def needed(verdict: Verdict) -> str:
    """How to get what an ``unknown`` finding lacks, in the words of the readings file."""
    rows = [table("rule_inputs").find(input=name) for name in verdict.missing]
    return "; ".join(dict.fromkeys(row["write"] or row["measure"] for row in rows))


def _by_opening(survey: Survey, rules: HouseRules) -> Iterator[tuple[str, Opening | None, Sequence[Verdict]]]:
    yield "house", None, rules.house
    for index, opening in enumerate(survey.openings):
        if found := rules.openings.get(opening.id):
            yield f"openings.{index}", opening, found.verdicts


def _want(at: str, opening: Opening | None, row: Row) -> _Want:
    """An input of the house or a room is wanted once, whichever openings lack it."""
    field, write = row["field"] or "opening", row["write"] or row["measure"]
    if opening is None or not field.startswith(("opening", "house.rooms")):
        return _Want(field=field, of="", write=write)
    if field == "house.rooms":
        return _Want(field=field, of=opening.room, write=write)
    return _Want(field=at + field.removeprefix("opening"), of=opening.name, write=write)


def _missing(want: _Want, groups: Iterable[str]) -> Problem:
    say = f"{want.of}: {want.write}." if want.of else f"{want.write[:1].upper()}{want.write[1:]}."
    return Problem(want.field, f"{say} Until then unknown: {', '.join(groups)}.", "caution")
