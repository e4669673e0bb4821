"""Findings of the rules in the words and figures of the papers."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from jambwright.record import Verdict, Word

NATIONS = {
    "england": "England",
    "wales": "Wales",
    "scotland": "Scotland",
    "northern_ireland": "Northern Ireland",
    "ireland": "Republic of Ireland",
}
_SHOWN_UNIT = {"year": "", "mm2": "mm²", "m2": "m²", "W/m2K": "W/m²K", "mg/m3": "mg/m³"}
_DECIMALS = {"mm": 1, "mm2": 0, "m2": 3, "W/m2K": 2}
_UNSAID = "–"
_PART = re.compile(r"(Light|Pane) (\w+): (.*)", re.DOTALL)


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
    parts: tuple[str, ...] = ()
    """Marks of the lights or panes it speaks of."""


def lines(verdicts: Sequence[Verdict], name: str = "") -> list[Line]:
    """A line a finding, in the order of the subjects; ``name`` is that of the opening."""
    return [_line(verdict, name) for verdict in verdicts]


def merged(found: Sequence[Line]) -> list[Line]:
    """The same lines, with what is said alike of several lights or panes said once."""
    together: dict[tuple[str, ...], list[tuple[str, Line]]] = {}
    for number, line in enumerate(found):
        part = _PART.fullmatch(line.say)
        kind, mark, rest = part.groups() if part else ("", str(number), line.say)
        together.setdefault((line.rule, line.word, kind, rest, line.limit), []).append((mark, line))
    return [_one(key[2], key[3], alike) for key, alike in together.items()]


def _one(kind: str, rest: str, alike: list[tuple[str, Line]]) -> Line:
    line = alike[0][1]
    if not kind:
        return line
    marks = [mark for mark, _ in alike]
    named = f"{kind} {marks[0]}" if len(marks) == 1 else f"{kind}s {', '.join(marks)}"
    found = ", ".join(dict.fromkeys(each.found for _, each in alike))
    return replace(line, say=f"{named}: {rest}", found=found, parts=tuple(marks))


def subject(rule_id: str) -> str:
    """What a rule is about, by its group.

    >>> subject("safety_glass.door"), subject("date_of_work")
    ('safety glass', 'everything')
    """
    group, dot, _ = rule_id.partition(".")
    return group.replace("_", " ") if dot else "everything"


def short(verdict: Verdict) -> str:
    """A finding in a few words: what is asked, what was found, the limit."""
    if verdict.word == "unknown":
        return f"{verdict.asks}: {verdict.write or 'see the findings'}"
    found, limit = shown(verdict.found, verdict.unit), shown(verdict.limit, verdict.unit)
    figures = [f"{name} {text}" for name, text in (("found", found), ("limit", limit)) if text != _UNSAID]
    return f"{verdict.asks}{': ' if figures else ''}{', '.join(figures)}"


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
        return f"{figure} {_SHOWN_UNIT.get(unit, unit)}".rstrip()
    return str(value)


def _line(verdict: Verdict, name: str) -> Line:
    source = verdict.source
    return Line(
        rule=verdict.rule,
        asks=verdict.asks,
        subject=subject(verdict.rule),
        word=verdict.word,
        say=_said(verdict, name),
        limit=shown(verdict.limit, verdict.unit),
        found="not known" if verdict.missing else shown(verdict.found, verdict.unit),
        document=source.document if source else "",
        place=source.place if source else "",
        how=source.how if source else "",
    )


def _said(verdict: Verdict, name: str) -> str:
    if not verdict.missing or not verdict.source:
        rest = verdict.why.removeprefix(f"{name}: ")
        return rest[:1].upper() + rest[1:]
    return f"Missing: {verdict.write}. It is needed to tell: {verdict.asks}."
