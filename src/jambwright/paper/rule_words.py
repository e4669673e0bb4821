"""Findings of the rules in the words and figures of the papers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from jambwright.paper.figures import show_unit
from jambwright.record import AGAINST, PartOfOpening, Verdict, Word, spoken_of

NATIONS = {
    "england": "England",
    "wales": "Wales",
    "scotland": "Scotland",
    "northern_ireland": "Northern Ireland",
    "ireland": "Republic of Ireland",
}
_DECIMALS = {"mm": 1, "mm2": 0, "m2": 3, "W/m2K": 2, "N": 0, "Pa": 0, "kg": 1}
GROUPS = (
    "To settle before ordering",
    "To settle before the work",
    "To ask or find out",
    "To look at",
    "Settled",
    "Met",
)
"""Of findings by what to do, in order."""
_UNSAID = "–"
CHECKED = {
    "size": "size to order",
    "structure": "what carries the wall",
    "members": "bars",
    "system": "limits of the system",
    "condensation": "damp",
    "fixings.strength": "fixings",
    "fixings": "weight and fixings",
}
"""Subjects of checks whose group is not named as it is spoken."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One finding as it is read."""

    rule: str
    asks: str
    subject: str
    word: Word
    say: str
    limit: str
    found: str
    document: str
    """With the days it is in force."""
    place: str
    how: str
    cleared: str = ""
    """Who settled what it would stop, and when."""
    part: PartOfOpening | None = None
    """The light or pane it speaks of, where it is one."""
    group: str = ""
    """What to do about it, one of ``GROUPS``."""


def lines(verdicts: Sequence[Verdict]) -> list[Line]:
    """A line a finding, in the order of the subjects."""
    return [_line(verdict, _said(verdict, str(verdict.part or ""))) for verdict in verdicts]


def merged(verdicts: Sequence[Verdict]) -> list[Line]:
    """The same lines, with what is said alike of several lights or panes said once."""
    together: dict[tuple[object, ...], list[Verdict]] = {}
    for number, verdict in enumerate(verdicts):
        alike = verdict.part.kind if verdict.part else number
        limit = shown(verdict.limit, verdict.unit)
        key = (verdict.rule, verdict.word, verdict.why, limit, group_of(verdict), alike)
        together.setdefault(key, []).append(verdict)
    return [_one(alike) for alike in together.values()]


def _one(alike: Sequence[Verdict]) -> Line:
    marks = [verdict.part.mark for verdict in alike if verdict.part]
    kind = alike[0].part.kind if alike[0].part else ""
    of = f"{kind}{'s' if len(marks) > 1 else ''} {', '.join(marks)}".strip()
    found = ", ".join(dict.fromkeys(_found(verdict) for verdict in alike))
    return replace(_line(alike[0], _said(alike[0], of)), found=found)


def subject(rule_id: str) -> str:
    """What a rule or a check is about.

    >>> subject("safety_glass.door"), subject("members.bend"), subject("date_of_work")
    ('safety glass', 'bars', 'everything')
    """
    for start, title in CHECKED.items():
        if rule_id == start or rule_id.startswith(f"{start}."):
            return title
    group, dot, _ = rule_id.partition(".")
    return group.replace("_", " ") if dot else "everything"


def group_of(verdict: Verdict) -> str:
    """What to do about a finding: what stops comes first, what is met last."""
    order, work, ask, look, settled, met = GROUPS
    if verdict.cleared:
        return settled
    if verdict.stops:
        return order if "ordering" in verdict.stops else work
    return {"refer": ask, "unknown": ask, "meets": met}.get(verdict.word, look)


def short(verdict: Verdict) -> str:
    """A finding in a few words: what is asked, what was found, the limit."""
    if verdict.word == "unknown":
        return f"{verdict.asks}: {verdict.write or verdict.opens or verdict.why}"
    found, limit = shown(verdict.found, verdict.unit), shown(verdict.limit, verdict.unit)
    figures = ", ".join(
        f"{name} {text}" for name, text in (("found", found), ("limit", limit)) if text != _UNSAID
    )
    # what is asked is often said as a statement, which must not be read as found so
    asked = f"asked: {verdict.asks}; " if verdict.word in AGAINST else f"{verdict.asks}: "
    return f"{asked}{figures}" if figures else asked.rstrip("; :")


def shown(value: Any, unit: str) -> str:
    """A limit or what was found, with its unit.

    >>> shown(8000.0, "mm2"), shown(413.46, "mm"), shown(None, "mm"), shown([], "")
    ('8000 mm²', '413.5 mm', '–', 'none')
    """
    if value is None:
        return _UNSAID
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list | tuple):
        return ", ".join(map(str, value)) or "none"
    if isinstance(value, int | float):
        figure = f"{value:.{_DECIMALS.get(unit, 3)}f}"
        figure = figure.rstrip("0").rstrip(".") if "." in figure else figure
        return f"{figure} {show_unit(unit)}".rstrip()
    return str(value)


def _found(verdict: Verdict) -> str:
    return "not known" if verdict.missing else shown(verdict.found, verdict.unit)


def _line(verdict: Verdict, say: str) -> Line:
    source = verdict.source
    return Line(
        rule=verdict.rule,
        asks=verdict.asks,
        subject=subject(verdict.rule),
        word=verdict.word,
        say=say,
        limit=shown(verdict.limit, verdict.unit),
        found=_found(verdict),
        document=source.document if source else "",
        place=source.place if source else "",
        how=source.how if source else "",
        cleared=verdict.cleared,
        part=verdict.part,
        group=group_of(verdict),
    )


def _said(verdict: Verdict, of: str) -> str:
    if not verdict.missing or not verdict.source:
        return spoken_of(of, verdict.why)
    return f"Missing: {verdict.write}. It is needed to tell: {verdict.asks}."
