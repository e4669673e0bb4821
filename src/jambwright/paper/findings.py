"""The findings of the rules as a paper an inspector can read, and as a list for a spreadsheet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from jambwright import __version__
from jambwright.basis.units import show_mm
from jambwright.checks.rule_needs import ON_DOUBTED
from jambwright.checks.rules_on_house import OpeningRules
from jambwright.checks.verdict import AGAINST, GRAVITY, Verdict, gravest
from jambwright.paper.csv_file import csv_bytes
from jambwright.paper.fit_words import OPENS, where
from jambwright.paper.pdf import typeset
from jambwright.paper.rule_words import NATIONS, Line, lines, merged, short, title
from jambwright.paper.verdict_signs import sign_pictures
from jambwright.plan.house import HousePlan, OpeningPlan

TEMPLATE = "findings.typ"
HEADERS = (
    "opening", "room", "rule", "asked", "verdict", "limit", "found", "document", "place", "how sure", "why",
    "order instead",
)  # fmt: skip
SURENESS = {
    "read": (4, "read"),
    "from memory, high": (3, "memory, high"),
    "from memory, medium": (2, "memory, medium"),
    "read second-hand": (2, "read second-hand"),
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


def findings(house: HousePlan) -> bytes:
    """All findings as PDF: the house first, then every opening in the order of the readings file."""
    survey = house.survey
    on = survey.date_of_work
    return typeset(
        TEMPLATE,
        {
            "house": survey.site.label,
            "note": survey.note,
            "nation": NATIONS[survey.site.nation],
            "date": on.isoformat() if on else "day of the work not given",
            "made_with": f"jambwright {__version__}",
            "signs": sign_pictures(),
            "legend": [{"word": word, "means": WORDS_SAID[word]} for word in reversed(GRAVITY)],
            "overview": [
                _overview("House", house.rules.house, 0),
                *(_overview(p.name, r.verdicts, len(r.remedies.choices)) for p, r in _each(house)),
            ],
            "work": {"count": _count(house.rules.house), "rows": _rows(lines(house.rules.house))},
            "openings": [_opening(house, plan, rules) for plan, rules in _each(house)],
        },
    )


def findings_csv(house: HousePlan) -> bytes:
    """One row a finding; choices of another order stand with what fails."""
    return csv_bytes([HEADERS, *_csv_rows(house)])


def _csv_rows(house: HousePlan) -> Iterator[tuple[str, ...]]:
    yield from _cells("house", "", lines(house.rules.house), "")
    for plan, rules in _each(house):
        choices = " | ".join(choice.say for choice in rules.remedies.choices)
        if choices and not plan.to_order:
            choices += f" | {ON_DOUBTED}"
        found = lines(rules.verdicts, plan.name)
        yield from _cells(plan.opening.id, plan.opening.room, found, choices)


def _cells(mark: str, room: str, found: Iterable[Line], choices: str) -> Iterator[tuple[str, ...]]:
    for line in found:
        instead = choices if line.word in AGAINST else ""
        yield (
            mark, room, line.rule, title(line.rule), line.word, line.limit, line.found, line.document, line.place,
            line.how, line.say, instead,
        )  # fmt: skip


def _each(house: HousePlan) -> Iterator[tuple[OpeningPlan, OpeningRules]]:
    return ((plan, house.rules_on(plan)) for plan in house.openings)


def _overview(name: str, verdicts: Sequence[Verdict], choices: int) -> dict[str, Any]:
    """One line an opening: its gravest word, how many of each, and what must be settled."""
    told = [v for v in verdicts if v.word in (*AGAINST, "unknown", "refer")]
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


def _opening(house: HousePlan, plan: OpeningPlan, rules: OpeningRules) -> dict[str, Any]:
    frame, now = plan.frame, plan.opening.now
    lights = ", ".join(f"{light.mark} {OPENS[light.wanted.opens]}" for light in frame.layout.lights)
    glass = "; ".join(dict.fromkeys(str(unit) if unit else "panel" for unit in frame.glazing.values()))
    return {
        "mark": plan.opening.id,
        "where": where(house, plan),
        "ordered": f"{show_mm(frame.width_mm)} × {show_mm(frame.height_mm)} mm {frame.chosen.kind}, "
        f"{frame.chosen.profile.title}, {glass}. Lights from outside: {lights}.",
        "before": f"Before: {now.opens}." if now.opens else "",
        "count": _count(rules.verdicts),
        "rows": _rows(merged(lines(rules.verdicts, plan.name))),
        "against": [short(v) for v in rules.verdicts if v.word in AGAINST],
        "doubt": "" if plan.to_order else ON_DOUBTED,
        "choices": [[change.say for change in choice.changes] for choice in rules.remedies.choices],
        "not_mended": [title(verdict.rule) for verdict in rules.remedies.beyond],
        "assumed": list(rules.assumed),
        "air": f"The air of the room is told under {rules.air_told_at}." if rules.air_told_at else "",
    }


def _rows(found: Iterable[Line]) -> list[dict[str, Any]]:
    rows, before = [], ""
    for line in found:
        bars, sure = SURENESS.get(line.how, (0, line.how))
        rows.append(
            {
                "word": line.word,
                "subject": "" if line.subject == before else line.subject,
                "say": line.say,
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
