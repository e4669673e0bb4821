"""Labels for units, on sheets of common counts: mark, room, size, hand, mass, and a code that a phone reads."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any
from urllib.parse import quote

from jambwright.basis.tables import Row, table
from jambwright.basis.units import show_mm
from jambwright.paper.delivery_sheet import lights
from jambwright.paper.fit_words import where
from jambwright.paper.gate_words import state
from jambwright.paper.pdf import typeset
from jambwright.paper.scene import Box
from jambwright.record import OpeningRecord, PlanRecord

Part = dict[str, Any]

USUAL = "8"
"""Labels a sheet where none is named."""
SIDE_MM, LARGEST_SIDE_MM = 26.0, 40.0
"""Of the code, and of the picture beside it on a low label."""
LOW_MM = 50.0
"""A lower label has its code beside the picture, a higher one above it."""
LINES_MM = 12.0
"""Of lettering between and under the two."""
QUIET = 4
"""Blank modules round a code (ISO/IEC 18004)."""
LARGEST_PICTURE_MM = 60.0
PADDING_MM = 3.0
"""Blank inside the edge of a label: a printer seldom hits it nearer than 1 mm."""


def label_sheets() -> list[str]:
    """What sheets there are, by their count of labels.

    >>> label_sheets()
    ['2', '4', '8', '14']
    """
    return [str(row["sheet"]) for row in table("label_sheets")]


def labels_pdf(record: PlanRecord, *, sheet: str = USUAL, leads_to: str | None = None) -> bytes:
    """A label for every opening as PDF, after a page that says what is printed and how.

    The code of a label opens the opening under the address ``leads_to``; where that is ``None`` it holds plan and mark.
    Raises ``BadInput`` for a sheet that is not listed.
    """
    laid = table("label_sheets").find(sheet=sheet)
    places = list(_places(laid))
    found = [_label(record, plan, laid, leads_to) for plan in record.openings]
    data = {
        "sheet": {name: value for name, value in laid.items() if name.endswith("_mm")} | {"count": sheet},
        "padding": PADDING_MM,
        "side": _sides(laid)[0],
        "low": laid["height_mm"] < LOW_MM,
        # larger labels are read from further away
        "larger": min(1 + max(0.0, laid["height_mm"] - LOW_MM) / 60, laid["width_mm"] / 66),
        "leads_to": leads_to or "",
        "plan": record.plan_id,
        "labels": found,
        "pages": [
            [{"x": x, "y": y} | label for (x, y), label in zip(places, found[start:], strict=False)]
            for start in range(0, len(found), len(places))
        ],
        "how": table("label_sheets").pedigree.how,
    }
    return typeset("labels.typ", record, data)


def _places(laid: Row) -> Iterator[tuple[float, float]]:
    """Left and top edge of every label on its page, row by row, millimetres."""
    for row in range(int(laid["rows"])):
        for column in range(int(laid["columns"])):
            yield laid["left_mm"] + column * laid["pitch_x_mm"], laid["top_mm"] + row * laid["pitch_y_mm"]


def _sides(laid: Row) -> tuple[float, float]:
    """Of the code and of the room for the picture, millimetres."""
    if laid["height_mm"] < LOW_MM:
        return SIDE_MM, SIDE_MM
    both = laid["height_mm"] - 2 * PADDING_MM - LINES_MM
    side = min(LARGEST_SIDE_MM, both / 2)
    return side, min(LARGEST_PICTURE_MM, both - side)


def _label(record: PlanRecord, plan: OpeningRecord, laid: Row, leads_to: str | None) -> Part:
    order, (_, room) = plan.order, _sides(laid)
    return {
        "mark": plan.id,
        "where": where(plan),
        "size": f"{show_mm(order.width.value)} × {show_mm(order.height.value)}",
        "mass": f"{order.whole_kg.value:.0f} kg",
        "state": state(plan),
        "picture": lights(plan, Box(width_mm=room, height_mm=room)),
        "code": code(code_text(record, plan, leads_to)),
    }


def code_text(record: PlanRecord, plan: OpeningRecord, leads_to: str | None) -> str:
    """What the code of a label holds."""
    return f"{leads_to}/{quote(plan.id, safe='')}" if leads_to else f"plan {record.plan_id} {plan.id}"


def code(text: str) -> str:
    """A text as a QR code (ISO/IEC 18004, correction M), SVG."""
    import segno

    drawn = io.BytesIO()
    segno.make(text, error="m", micro=False).save(drawn, kind="svg", xmldecl=False, border=QUIET)
    return drawn.getvalue().decode()
