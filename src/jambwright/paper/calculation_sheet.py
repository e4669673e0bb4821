"""The calculation sheet: for each opening every verdict with its sign, its figures and its working, as PDF."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from jambwright.basis.clause import Clause
from jambwright.basis.units import show_mm
from jambwright.basis.working import Working
from jambwright.paper.figures import show_figure, show_input, show_unit
from jambwright.paper.pdf import typeset
from jambwright.paper.verdict_signs import sign_pictures
from jambwright.record import Found, OpeningRecord, PlanRecord, Verdict, gravest

TEMPLATE = "calculations.typ"
WORDS = {
    "meets": "meets",
    "advise": "look at this",
    "refer": "ask building control or a specialist",
    "unknown": "not known yet",
    "worse": "worse than before",
    "fails": "fails",
}
"""What each sign means, in the key."""

TITLES: Mapping[str, str] = {
    "readings": "Readings",
    "size": "Size to order",
    "structure": "What carries the wall",
    "wind": "Wind",
    "glass": "Glass",
    "members": "Bars",
    "balances": "Balances",
    "system": "Limits of the system",
    "fixings.strength": "Fixings",
    "fixings": "Weight and fixings",
    "movement": "Movement",
    "specification": "Specification",
    "heat": "Heat",
    "condensation": "Damp",
    "": "Rules",
}
"""Parts in order, by the beginning of the rules that belong to them; what fits no other is a rule of law."""

Sources = dict[Clause, int]


def calculations(record: PlanRecord) -> bytes:
    """The calculation sheets of a house as PDF, each opening from a new page, sources at the end."""
    sources: Sources = {}
    openings = [_opening(opening, sources) for opening in record.openings]
    return typeset(
        TEMPLATE,
        record,
        {
            "signs": sign_pictures(),
            "key": WORDS,
            "openings": openings,
            "sources": [
                {"number": n, "text": str(source), "how": source.how, "low": _low(source)}
                for source, n in sources.items()
            ],
        },
    )


def _opening(opening: OpeningRecord, sources: Sources) -> dict[str, Any]:
    chosen, order = opening.frame.chosen, opening.order
    return {
        "mark": opening.id,
        "name": opening.name,
        "room": opening.room,
        "size": f"{show_mm(order.width.value)} × {show_mm(order.height.value)} mm",
        "made_of": f"{chosen.profile.title}, {chosen.colour}; glass {_glass(opening)}",
        "links": list(_links(opening, sources)),
    }


def _glass(opening: OpeningRecord) -> str:
    return ", ".join(dict.fromkeys(glass.make_up or "panel" for glass in opening.glass.values()))


def _links(opening: OpeningRecord, sources: Sources) -> Iterator[dict[str, Any]]:
    return (_link(title, verdicts, found, sources) for title, verdicts, found in parts(opening))


def parts(opening: OpeningRecord) -> Iterator[tuple[str, list[Verdict], Found | None]]:
    """The parts that have something to say: title, verdicts, and what was found where nothing is judged.

    Of the rules of law those that were worked out or are not met; all of them have a paper of their own.
    """
    judged: dict[str, list[Verdict]] = {start: [] for start in TITLES}
    for verdict in opening.checks:
        judged[_start(verdict.rule)].append(verdict)
    judged[""] += [v for v in opening.rules if v.working.steps or v.word != "meets"]
    found: dict[str, Found] = {each.about: each for each in opening.found}
    for start, title in TITLES.items():
        verdicts, said = judged[start], found.get(start)
        if verdicts or said:
            yield title, verdicts, said


def _start(rule: str) -> str:
    return next(start for start in TITLES if rule == start or rule.startswith(f"{start}.") or not start)


def _link(title: str, verdicts: list[Verdict], found: Found | None, sources: Sources) -> dict[str, Any]:
    return {
        "title": title,
        "word": gravest(verdicts) if verdicts else None,
        "found": list(found.say) if found else [],
        "source": _source(found.source) if found else None,
        "verdicts": [
            _verdict(verdict, sources) | {"same": _same(verdict, before)}
            for verdict, before in zip(verdicts, (None, *verdicts), strict=False)
        ],
        "workings": _workings(found.workings, sources) if found else [],
    }


def _same(verdict: Verdict, before: Verdict | None) -> bool:
    """Whether a working is that of the verdict before, as for two bars alike."""
    return (
        before is not None
        and bool(verdict.working.steps)
        and verdict.working.as_json() == before.working.as_json()
    )


def _verdict(verdict: Verdict, sources: Sources) -> dict[str, Any]:
    unit = show_unit(verdict.unit)
    return {
        "word": verdict.word,
        "why": verdict.sentence,
        "found": _with_unit(verdict.found, unit),
        "limit": _with_unit(verdict.limit, unit),
        "source": _source(verdict.source),
        "steps": _steps(verdict.working, sources),
    }


def _workings(workings: Mapping[str, Working], sources: Sources) -> list[dict[str, Any]]:
    return [{"title": title, "steps": _steps(work, sources)} for title, work in workings.items()]


def _steps(working: Working, sources: Sources) -> list[dict[str, Any]]:
    """The right side of each formula; one that says the same as the step before is not said again."""
    steps, before = [], None
    for step in working:
        left, _, right = step.formula.partition(" = ")
        turned = bool(right) and any(mark in left for mark in "/(")  # an equation for something else
        steps.append(
            {
                "symbol": step.symbol,
                "formula": "" if turned or step.formula == before else right or left,
                "follows": step.formula if turned and step.formula != before else "",
                "value": _with_unit(step.value, show_unit(step.unit)),
                "inputs": ", ".join(show_input(name, value) for name, value in step.inputs.items()),
                "source": sources.setdefault(step.source, len(sources) + 1),
                "low": _low(step.source),
            }
        )
        before = step.formula
    return steps


def _with_unit(value: Any, unit: str) -> str | None:
    return None if value is None else f"{show_figure(value)} {unit}".rstrip()


def _source(source: Clause | None) -> dict[str, Any] | None:
    return {"text": str(source), "how": source.how, "low": _low(source)} if source else None


def _low(source: Clause) -> bool:
    return "low" in source.how or source.how == "invented"
