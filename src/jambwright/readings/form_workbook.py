"""The workbook to fill in on site: one row an opening, units in the headers, help in comments, checks on entry."""

from __future__ import annotations

import io

from jambwright.basis.envelope import most
from jambwright.readings.sheets import NOTE, ROOM, Column, columns
from jambwright.readings.survey_file import LONGEST_MM, OFFSET_LARGEST_MM, SHORTEST_MM
from jambwright.readings.tables import OPENING

ROWS = most("openings")
LENGTH_KINDS = ("width", "height", "diagonal")


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
    helps = [
        "Short mark: W1, D1.",
        "As named under house, rooms.",
        *(c.help for c in listed),
        "Anything to remember.",
    ]
    for number, words in enumerate(helps, 1):
        head = sheet.cell(row=1, column=number)
        head.font = Font(bold=True)
        head.alignment = Alignment(wrap_text=True, vertical="top")
        head.comment = Comment(f"{words} Two readings of one place: both with a space between.", "Jambwright")
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
    """A figure out of range is questioned, not refused: repeats are text, and odd openings exist."""
    from openpyxl.worksheet.datavalidation import DataValidation
    from openpyxl.worksheet.worksheet import Worksheet

    assert isinstance(sheet, Worksheet)
    if column.path[0] not in ("outside", "inside"):
        low, high = 0.0, LONGEST_MM
    elif column.path[1] in LENGTH_KINDS:
        low, high = SHORTEST_MM, LONGEST_MM
    else:
        low, high = -OFFSET_LARGEST_MM, OFFSET_LARGEST_MM
    rule = DataValidation(
        type="decimal", operator="between", formula1=str(low), formula2=str(high), allow_blank=True,
        errorStyle="warning", errorTitle=column.header,
        error=f"Usually between {low:g} and {high:g} mm. Keep it?", showErrorMessage=True,
    )  # fmt: skip
    sheet.add_data_validation(rule)
    rule.add(cells)
