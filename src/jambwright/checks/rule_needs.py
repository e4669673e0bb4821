"""What the rules want of the fitter: inputs to measure or ask for, and findings against the order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from jambwright.basis.problems import Problem
from jambwright.basis.tables import Row, table
from jambwright.checks.regulations.rule import subject_words
from jambwright.checks.rules_on_house import HouseRules
from jambwright.checks.verdict import Verdict
from jambwright.readings.survey import Opening, Survey


@dataclass(frozen=True, slots=True, kw_only=True)
class _Want:
    """One input that is missing: where it goes in the readings file, of what, and how to get it."""

    field: str
    of: str
    write: str
    opening: str | None = None


def rule_wants(survey: Survey, rules: HouseRules) -> list[Problem]:
    """One line an input that is missing, whatever it is needed for."""
    wanted: dict[_Want, dict[str, None]] = {}
    for at, opening, verdicts in _by_opening(survey, rules):
        for verdict in verdicts:
            for name in verdict.missing:
                want = _want(at, opening, table("rule_inputs").find(input=name))
                wanted.setdefault(want, {})[subject(verdict.rule)] = None
    return [_missing(want, groups) for want, groups in wanted.items()]


def subject(rule_id: str) -> str:
    """What a rule is about, by its group.

    >>> subject("safety_glass.door"), subject("date_of_work")
    ('safety glass', 'everything')
    """
    group, dot, _ = rule_id.partition(".")
    return group.replace("_", " ") if dot else "everything"


def title(rule_id: str) -> str:
    """What a rule asks, in few words.

    >>> title("energy.edition")
    'edition that holds for energy'
    """
    if rule_id.endswith(".edition"):
        return f"edition that holds for {subject(rule_id)}"
    says = {row["id"]: subject_words(row["speaks_of"], row["bound"]) for row in table("rule_subjects")}
    return str(says.get(rule_id) or subject(rule_id))


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
    return _Want(field=at + field.removeprefix("opening"), of=opening.name, write=write, opening=opening.id)


def _missing(want: _Want, groups: Iterable[str]) -> Problem:
    ask = want.write if want.of else f"{want.write[:1].upper()}{want.write[1:]}"
    say = f"{ask}. Until then unknown: {', '.join(groups)}."
    return Problem(want.field, say, "caution", want.opening, want.of)
