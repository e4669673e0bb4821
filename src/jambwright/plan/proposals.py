"""Proposals proven: put into the survey, planned again, and kept only where they mend what they say."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date

from jambwright.basis.border import accept
from jambwright.basis.problems import BadInput
from jambwright.checks.verdict import AGAINST, GRAVITY, Verdict, Word
from jambwright.readings.proposal import Proposal, apply_proposal
from jambwright.readings.survey import Opening, Survey

Decide = Callable[[Survey], Mapping[str, Sequence[Verdict]]]
"""Plans a survey and gives all its verdicts by opening; those of the house and the work go by no mark."""

_HARMLESS = GRAVITY.index("advise")
_ANY_DAY = date(2000, 1, 1)


def groups(survey: Survey) -> Iterator[Survey]:
    """The survey in parts that are planned alike apart or together.

    Openings bear on each other through the air of their room, one size for a family, and a transom lined
    up with a neighbour's.
    """
    left = list(survey.openings)
    while left:
        group = [left.pop(0)]
        while near := [each for each in left if any(_bears_on(each, one) for one in group)]:
            group += near
            marks = {each.id for each in group}
            left = [each for each in left if each.id not in marks]
        marks = {each.id for each in group}
        among = [each for each in survey.openings if each.id in marks]
        yield survey.part(among)


def _bears_on(one: Opening, other: Opening) -> bool:
    family = one.wanted.match is not None and one.wanted.match == other.wanted.match
    lined_up = one.wanted.line_up == other.id or other.wanted.line_up == one.id
    return one.room == other.room or family or lined_up


def proven(
    survey: Survey, drafts: Mapping[str, Sequence[Proposal]], decide: Decide
) -> dict[str, tuple[Proposal, ...]]:
    """The drafts that hold when the survey is planned with them, by mark.

    One holds where all it says it mends passes and nothing gets worse than it was, in any opening of the
    survey. What its opening breaks even so is marked on it. ``survey`` is best one of ``groups``.
    """
    if not any(drafts.values()):
        return {}
    before = _gravest(decide(survey))
    held = {
        mark: tuple(good for each in offered if (good := _held(survey, mark, each, before, decide)))
        for mark, offered in drafts.items()
    }
    return {mark: offered for mark, offered in held.items() if offered}


_Gravest = dict[tuple[str, str], Word]


def _held(survey: Survey, mark: str, draft: Proposal, before: _Gravest, decide: Decide) -> Proposal | None:
    """The draft with what remains, or nothing where it does not hold."""
    try:
        after = _gravest(decide(with_proposal(survey, mark, draft)))
    except BadInput:
        return None
    mended = all(_grade(after.get((mark, rule), "meets")) <= _HARMLESS for rule in draft.mends)
    worse = [
        at for at, word in after.items() if _grade(word) > max(_grade(before.get(at, "meets")), _HARMLESS)
    ]
    if not draft.mends or not mended or worse:
        return None
    remains = (rule for (of, rule), word in after.items() if of == mark and word in AGAINST)
    return replace(draft, remains=tuple(remains))


def with_proposal(survey: Survey, mark: str, proposal: Proposal) -> Survey:
    """The survey as the readings file would have it. Raises ``BadInput`` where the models refuse it."""
    tree = apply_proposal(survey.model_dump(exclude_unset=True), mark, proposal, on=_ANY_DAY, by=None)
    return accept(Survey, tree).within(survey)


def _gravest(found: Mapping[str, Sequence[Verdict]]) -> _Gravest:
    """The gravest word of each rule in each opening."""
    words: _Gravest = {}
    for mark, verdicts in found.items():
        for verdict in verdicts:
            at = (mark, verdict.rule)
            words[at] = max(words.get(at, "meets"), verdict.word, key=_grade)
    return words


def _grade(word: Word) -> int:
    return GRAVITY.index(word)
