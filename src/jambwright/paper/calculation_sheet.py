"""The calculation sheet: for each opening every verdict with its sign, its figures and its working, as PDF."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from jambwright import __version__
from jambwright.basis.clause import Clause
from jambwright.basis.units import show_mm
from jambwright.basis.working import Working
from jambwright.checks.verdict import Verdict, gravest
from jambwright.paper.figures import show_figure, show_input, show_unit
from jambwright.paper.pdf import typeset
from jambwright.paper.verdict_signs import sign_pictures
from jambwright.plan.chain import Link, chain
from jambwright.plan.house import HousePlan, OpeningPlan

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

Sources = dict[Clause, int]


def calculations(house: HousePlan, progress: Callable[[str], None] | None = None) -> bytes:
    """The calculation sheets of a house as PDF, each opening from a new page, sources at the end."""
    sources: Sources = {}
    openings = []
    for plan in house.openings:
        openings.append(_opening(house, plan, sources))
        if progress:
            progress(plan.name)
    return typeset(
        TEMPLATE,
        {
            "label": house.survey.site.label,
            "note": house.survey.note,
            "made_with": f"jambwright {__version__}",
            "signs": sign_pictures(),
            "key": WORDS,
            "openings": openings,
            "sources": [
                {"number": n, "text": str(source), "how": source.how, "low": _low(source)}
                for source, n in sources.items()
            ],
        },
    )


def _opening(house: HousePlan, plan: OpeningPlan, sources: Sources) -> dict[str, Any]:
    frame = plan.frame
    links = chain(house, plan)
    return {
        "mark": plan.opening.id,
        "room": plan.opening.room,
        "size": f"{show_mm(frame.width_mm)} × {show_mm(frame.height_mm)} mm",
        "made_of": f"{frame.chosen.profile.title}, {frame.chosen.colour}; glass {_glass(plan)}",
        "links": [_link(link, sources) for link in links],
    }


def _glass(plan: OpeningPlan) -> str:
    units = dict.fromkeys(str(unit) if unit else "panel" for unit in plan.frame.glazing.values())
    return ", ".join(units)


def _link(link: Link, sources: Sources) -> dict[str, Any]:
    return {
        "title": link.title,
        "word": gravest(list(link.verdicts)) if link.verdicts else None,
        "found": list(link.found),
        "source": _source(link.source),
        "verdicts": [
            _verdict(verdict, sources) | {"same": _same(verdict, before)}
            for verdict, before in zip(link.verdicts, (None, *link.verdicts), strict=False)
        ],
        "workings": _workings(link.workings, sources),
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
