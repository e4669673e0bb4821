"""The workbook to fill in on site: one row an opening, units in the headers, help in comments, checks on entry."""

from __future__ import annotations

import io
from typing import Any

from jambwright.basis.envelope import LARGEST, LONGEST_WORDS, most
from jambwright.readings.asked import fields_of
from jambwright.readings.reading import LENGTHS
from jambwright.readings.sheets import NOTE, ROOM, Column, columns
from jambwright.readings.survey_file import LONGEST_MM, OFFSET_LARGEST_MM, SHORTEST_MM
from jambwright.readings.tables import OPENING

ROWS = most("openings")


def form_workbook() -> bytes:
    """An empty workbook that `jambwright gather` reads back."""
    from openpyxl import Workbook
    from openpyxl.comments import Comment
    from openpyxl.styles import Alignment, Font
    from openpyxl.utils import get_column_letter

    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Readings"
    listed = columns()
    sheet.append([OPENING, ROOM, *(column.header for column in listed), NOTE])
    own = {field.name: field.help for field in fields_of("Opening")}
    twice = "Two readings of one place: both with a space between."
    helps = [
        own["id"],
        own["room"],
        *(f"{c.help} {twice}" if c.field.kind == "reading" else c.help for c in listed),
        own["note"],
    ]
    for number, words in enumerate(helps, 1):
        head = sheet.cell(row=1, column=number)
        head.font = Font(bold=True)
        head.alignment = Alignment(wrap_text=True, vertical="top")
        head.comment = Comment(words, "Jambwright")
        sheet.column_dimensions[get_column_letter(number)].width = 11
    for number, column in enumerate(listed, 3):
        letter = get_column_letter(number)
        _checked(sheet, f"{letter}2:{letter}{ROWS + 1}", column)
    sheet.row_dimensions[1].height = 48
    sheet.freeze_panes = "C2"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _checked(sheet: object, cells: str, column: Column) -> None:
    """A value out of range is questioned, not refused: repeats are text, and odd openings exist."""
    from openpyxl.worksheet.datavalidation import DataValidation
    from openpyxl.worksheet.worksheet import Worksheet

    assert isinstance(sheet, Worksheet)
    bounds: dict[str, Any] = {**_bounds(column)}
    rule = DataValidation(
        **bounds, allow_blank=True, errorStyle="warning", errorTitle=column.header[:32],
        showErrorMessage=True,
    )  # fmt: skip
    sheet.add_data_validation(rule)
    rule.add(cells)


def _bounds(column: Column) -> dict[str, str]:
    """What a cell may hold, in the terms of the workbook."""
    field = column.field
    if field.kind in ("choice", "yes"):
        known = ["yes", "no"] if field.kind == "yes" else [str(value) for value in field.choices]
        return {
            "type": "list",
            "formula1": f'"{",".join(known)}"',
            "error": f"One of: {', '.join(known)}."[:250],
        }
    if not (column.is_length or field.kind in ("figure", "count")):
        most = field.shape.letters or LONGEST_WORDS
        return {
            "type": "textLength", "operator": "lessThanOrEqual", "formula1": str(most),
            "error": f"{most} letters at most.",
        }  # fmt: skip
    low, high = _range(column)
    return {
        "type": "decimal", "operator": "between", "formula1": str(low), "formula2": str(high),
        "error": f"Usually between {low:g} and {high:g} {field.unit or 'mm'}. Keep it?",
    }  # fmt: skip


def _range(column: Column) -> tuple[float, float]:
    field = column.field
    if field.kind != "reading":
        return float(field.shape.least or 0.0), float(
            LARGEST if field.shape.most is None else field.shape.most
        )
    if column.path[1] in LENGTHS:
        return SHORTEST_MM, LONGEST_MM
    return -OFFSET_LARGEST_MM, OFFSET_LARGEST_MM
