"""What the rules want of the fitter: inputs to measure or ask for, and findings against the order."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from jambwright.basis.problems import Problem
from jambwright.basis.tables import Row, table
from jambwright.checks.regulations import Remedies
from jambwright.checks.rules_on_house import HouseRules
from jambwright.checks.verdict import AGAINST, Verdict
from jambwright.readings.survey import Opening, Survey

ON_DOUBTED = "This rests on readings that disagree: measure again before the order is changed."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Want:
    """One input that is missing: where it goes in the readings file, of what, and how to get it."""

    field: str
    of: str
    write: str
    opening: str | None = None


def rule_needs(survey: Survey, rules: HouseRules, doubted: Collection[str] = ()) -> list[Problem]:
    """One line an input that is missing, whatever it is needed for; one an opening that fails as ordered.

    ``doubted`` are the marks of openings whose readings disagree: what is found of them may not hold.
    """
    wanted: dict[_Want, dict[str, None]] = {}
    said: list[Problem] = []
    for at, opening, verdicts in _by_opening(survey, rules):
        for verdict in verdicts:
            for name in verdict.missing:
                want = _want(at, opening, table("rule_inputs").find(input=name))
                wanted.setdefault(want, {})[subject(verdict.rule)] = None
        name, mark = (opening.name, opening.id) if opening else ("", None)
        asked = [v.sentence for v in verdicts if v.word == "unknown" and not v.missing]
        said += [Problem(at, sentence, "caution", mark, name) for sentence in asked]
        against = [v.sentence for v in verdicts if v.word in AGAINST]
        if against:
            mended = _mended(rules.openings[opening.id].remedies) if opening else []
            doubt = [ON_DOUBTED] if opening and opening.id in doubted else []
            said.append(Problem(at, " ".join([*against, *mended, *doubt]), "caution", mark, name))
    return [*(_missing(want, groups) for want, groups in wanted.items()), *said]


def _mended(found: Remedies) -> list[str]:
    """The choices in a sentence, and whether they mend everything."""
    choices = "; or: ".join(choice.say for choice in found.choices)
    lead = "This much is mended by" if found.beyond else "The order passes with"
    return [f"{lead}: {choices}."] if choices else []


def subject(rule_id: str) -> str:
    """What a rule is about, by its group.

    >>> subject("safety_glass.door"), subject("date_of_work")
    ('safety glass', 'everything')
    """
    group, dot, _ = rule_id.partition(".")
    return group.replace("_", " ") if dot else "everything"


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
