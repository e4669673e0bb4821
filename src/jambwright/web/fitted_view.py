"""A frame as it was left beside what was planned, in the words and figures of the screens."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from jambwright.basis.border import accept
from jambwright.basis.units import show_mm
from jambwright.handover import Ordered, beside, judged
from jambwright.handover.as_fitted import DIAGONALS, OFFSETS
from jambwright.readings import reading_name
from jambwright.readings.fitted import AsFitted
from jambwright.web.plan_view import verdict_view
from jambwright.web.texts import say

Plain = dict[str, Any]


def fitted_view(fitted: Mapping[str, Any], ordered: Ordered | None) -> Plain:
    """Rows of planned and fitted values, and verdicts."""
    kept = accept(AsFitted, fitted)
    return {
        "on": kept.on.isoformat() if kept.on else "",
        "by": kept.by,
        "note": kept.note,
        "rows": [row for row in _rows(kept, ordered) if row["fitted"]],
        "verdicts": [verdict_view(verdict) for verdict in judged(kept, ordered)],
    }


def _rows(kept: AsFitted, ordered: Ordered | None) -> Iterator[Plain]:
    read = beside(kept)
    for kind, at in OFFSETS:
        yield _row(reading_name(kind, at), "0", _offset(kind, read.offsets_mm.get((kind, at))))
    square = f"{ordered.diagonal_mm:.0f}" if ordered else ""
    for at in DIAGONALS:
        yield _row(reading_name("diagonal", at), square, _mm(read.diagonals_mm.get(at)))
    yield _row(say("fitted.diagonals_differ"), "0", _mm(read.diagonals_differ_mm))
    for side, gaps in read.gaps_mm.items():
        planned = ordered.gaps_mm.get(side, {}) if ordered else {}
        yield _row(say(f"fitted.gap.{side}"), _along(planned), _along(gaps))
    driven = "" if kept.fixings is None else str(kept.fixings)
    yield _row(say("figure.fixings"), str(ordered.fixings) if ordered else "", driven)
    glass = ", ".join(f"{mark} {made}" for mark, made in ordered.glass.items()) if ordered else ""
    for field, wanted in (
        ("fixing_used", ""),
        ("foam_used", ""),
        ("sealant_used", ""),
        ("glass_marks", glass),
    ):
        yield _row(say(f"fitted.{field}"), wanted, getattr(kept, field))


def _row(name: str, planned: str, fitted: str) -> Plain:
    return {"name": name[:1].upper() + name[1:], "planned": planned, "fitted": fitted}


def _offset(kind: str, mm: float | None) -> str:
    if not mm:
        return "" if mm is None else "0"
    way = "plus" if mm > 0 else "minus"
    return f"{show_mm(abs(mm))} ({say(f'pad.{kind}.{way}').lower()})"


def _mm(mm: float | None) -> str:
    return "" if mm is None else show_mm(mm)


def _along(gaps: Mapping[str, float]) -> str:
    return ", ".join(f"{at} {show_mm(mm)}" for at, mm in gaps.items())
