"""The calculations for a machine: the parts of the calculation sheets with every figure whole."""

from __future__ import annotations

import json
from typing import Any

from jambwright.paper.calculation_sheet import parts
from jambwright.record import Figure, OpeningRecord, PlanRecord, Verdict


def calculations_json(record: PlanRecord) -> bytes:
    """Opening by opening every part with its verdicts, workings and sources; values are not rounded."""
    tree = {
        "plan_id": record.plan_id,
        "made_with": record.made_with,
        "house": record.site.label,
        "openings": [_opening(opening) for opening in record.openings],
    }
    return json.dumps(tree, indent=1, ensure_ascii=False).encode()


def _opening(opening: OpeningRecord) -> dict[str, Any]:
    return {
        "opening": opening.id,
        "room": opening.room,
        "figures": {name: _figure(figure) for name, figure in opening.figures.items()},
        "parts": [
            {
                "title": title,
                "found": list(found.say) if found else [],
                "workings": {name: work.as_json() for name, work in found.workings.items()} if found else {},
                "verdicts": [_verdict(verdict) for verdict in verdicts],
            }
            for title, verdicts, found in parts(opening)
        ],
    }


def _figure(figure: Figure) -> dict[str, Any]:
    return {"value": figure.value, "unit": figure.unit, "steps": figure.steps.as_json()}


def _verdict(verdict: Verdict) -> dict[str, Any]:
    source = verdict.source
    return {
        "rule": verdict.rule,
        "word": verdict.word,
        "say": verdict.sentence,
        "found": verdict.found,
        "limit": verdict.limit,
        "unit": verdict.unit,
        "source": str(source) if source else None,
        "how": source.how if source else None,
        "steps": verdict.working.as_json(),
    }
