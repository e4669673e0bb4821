"""The findings of the rules as a paper an inspector can read, and as a list for a spreadsheet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from jambwright.basis.units import show_mm
from jambwright.paper.csv_file import csv_bytes
from jambwright.paper.fit_words import where
from jambwright.paper.gate_words import ON_DOUBTED, own_reasons, stops
from jambwright.paper.paper_frame import day
from jambwright.paper.pdf import typeset
from jambwright.paper.rule_words import GROUPS, NATIONS, Line, lines, merged, short
from jambwright.paper.verdict_signs import sign_pictures
from jambwright.record import AGAINST, GRAVITY, OpeningRecord, PlanRecord, Unread, Verdict, gravest

TEMPLATE = "findings.typ"
HEADERS = (
    "opening", "room", "rule", "asked", "verdict", "limit", "found", "document", "place", "how sure", "why",
    "stops", "what opens it", "cleared", "order instead",
)  # fmt: skip
SURENESS = {
    "read": (4, "read"),
    "second hand": (3, "second hand"),
    "from memory, high": (3, "memory, high"),
    "from memory, medium": (2, "memory, medium"),
    "second hand, one page": (2, "second hand, one page"),
    "from memory, low": (1, "memory, low"),
}
"""How many of four bars, and the words beside them."""
WORDS_SAID = {
    "meets": "meets the rule",
    "advise": "advice, or not confirmed",
    "refer": "building control or a specialist decides",
    "unknown": "an input is missing",
    "worse": "worse than before, where no worse is allowed",
    "fails": "breaks the rule as ordered",
}


def findings(record: PlanRecord) -> bytes:
    """All findings as PDF: what stops first, the house, then every opening in the order of the readings file."""
    site = record.site
    on = site.date_of_work
    return typeset(
        TEMPLATE,
        record,
        {
            "nation": NATIONS[site.nation] if site.nation else "",
            "date": day(on) if on else "day of the work not given",
            "signs": sign_pictures(),
            "legend": [{"word": word, "means": WORDS_SAID[word]} for word in reversed(GRAVITY)],
            "overview": [
                _overview("House", record.rules, 0),
                *(_overview(o.name, o.verdicts, len(o.proposed)) for o in record.openings),
            ],
            "stops": [*stops(record, "ordering"), *stops(record, "work")],
            "work": {"count": _count(record.rules), "rows": _rows(by_group(lines(record.rules)))},
            "openings": [_opening(opening) for opening in record.openings],
        },
    )


def findings_csv(record: PlanRecord) -> bytes:
    """One row a finding; choices of another order stand with what fails."""
    return csv_bytes([HEADERS, *_csv_rows(record)])


def _csv_rows(record: PlanRecord) -> Iterator[tuple[str, ...]]:
    yield from _cells("house", "", record.rules, "")
    for opening in record.openings:
        choices = " | ".join(proposal.say for proposal in opening.proposed)
        if choices and not opening.readings.agree:
            choices += f" | {ON_DOUBTED}"
        yield from _cells(opening.id, opening.room, opening.verdicts, choices)
    for unread in record.unread:
        yield from _not_read(unread)


def _not_read(unread: Unread) -> Iterator[tuple[str, ...]]:
    """Nothing was found of it yet but what shuts its gates."""
    for reason in own_reasons(unread.gates, "ordering"):
        told = {
            "opening": unread.id, "room": unread.room, "rule": reason.rule, "verdict": reason.word,
            "why": reason.say, "stops": " ".join(unread.gates.shut), "what opens it": reason.opens,
        }  # fmt: skip
        yield tuple(told.get(header, "") for header in HEADERS)


def _cells(mark: str, room: str, verdicts: Sequence[Verdict], choices: str) -> Iterator[tuple[str, ...]]:
    for verdict, line in zip(verdicts, lines(verdicts), strict=True):
        instead = choices if line.word in AGAINST else ""
        yield (
            mark, room, line.rule, line.asks, line.word, line.limit, line.found, line.document, line.place,
            line.how, line.say, " ".join(verdict.stops), verdict.opens, verdict.cleared, instead,
        )  # fmt: skip


def _overview(name: str, verdicts: Sequence[Verdict], choices: int) -> dict[str, Any]:
    """One line an opening: its gravest word, how many of each, and what must be settled."""
    told = [v for v in verdicts if v.word in (*AGAINST, "unknown", "refer") and not v.cleared]
    return {
        "name": name,
        "word": gravest(list(verdicts)),
        "count": _count(verdicts),
        "told": list(dict.fromkeys(short(verdict) for verdict in told)),
        "choices": choices,
    }


def _count(verdicts: Sequence[Verdict]) -> str:
    """``1 fails, 2 advise, 9 meets``."""
    times = Counter(verdict.word for verdict in verdicts)
    return ", ".join(f"{times[word]} {word}" for word in reversed(GRAVITY) if times[word])


def _opening(opening: OpeningRecord) -> dict[str, Any]:
    frame, order = opening.frame, opening.order
    lights = ", ".join(f"{light.mark} {light.moves.short}" for light in frame.layout.lights)
    glass = "; ".join(dict.fromkeys(each.make_up or "panel" for each in opening.glass.values()))
    return {
        "mark": opening.id,
        "name": opening.name,
        "where": where(opening),
        "ordered": f"{show_mm(order.width.value)} × {show_mm(order.height.value)} mm {frame.chosen.kind}, "
        f"{frame.chosen.profile.title}, {glass}. Lights from outside: {lights}.",
        "before": f"Before: {opening.before}." if opening.before else "",
        "count": _count(opening.verdicts),
        "rows": _rows(by_group(merged(opening.verdicts))),
        "against": [short(v) for v in opening.verdicts if v.word in AGAINST],
        "doubt": "" if opening.readings.agree else ON_DOUBTED,
        "choices": [[proposal.say] for proposal in opening.proposed],
        "not_mended": list(dict.fromkeys(v.asks for v in opening.rules if v.rule in opening.not_mended)),
        "assumed": list(opening.assumed),
        "air": f"The air of the room is told under {opening.air_told_at}." if opening.air_told_at else "",
    }


def by_group(found: Iterable[Line]) -> list[Line]:
    """By what to do, each group in the order of the checks."""
    return sorted(found, key=lambda line: GROUPS.index(line.group))


def _rows(found: Iterable[Line]) -> list[dict[str, Any]]:
    """The rows of a table; a group is named at its first, a subject where it begins."""
    rows, before, group = [], "", ""
    for line in found:
        bars, sure = SURENESS.get(line.how, (0, line.how))
        begins, group = line.group != group, line.group
        before = "" if begins else before
        rows.append(
            {
                "group": group if begins else "",
                "word": line.word,
                "subject": "" if line.subject == before else line.subject,
                "say": line.say,
                "cleared": line.cleared,
                "limit": line.limit,
                "found": line.found,
                "document": line.document,
                "place": line.place,
                "bars": bars,
                "sure": sure,
            }
        )
        before = line.subject
    return rows
