"""The order to the frame maker as a table: CSV, and a workbook that prints item by item, columns over several pages."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from jambwright.basis.cells import may_be_formula
from jambwright.paper.csv_file import csv_bytes
from jambwright.paper.gate_words import hold, stop
from jambwright.paper.order_words import head_lines, head_sentences
from jambwright.record import (
    HEADINGS,
    LIGHT,
    OPENING,
    VIEW,
    Cell,
    PlanRecord,
    check_rows,
    item_rows,
    order_of,
)

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

HOLD = "hold"
HEADERS = (OPENING, LIGHT, HOLD, *HEADINGS[2:])
HOLD_WIDTH = 46
"""Letters a line of what speaks against an order; longer words are wrapped."""
WORDS_WIDTH = 30
"""Of any other words."""
FONT, POINTS = "Arial", 9.0
"""Of every cell; a page is printed as large as it is."""
LETTER_MM = 1.95
"""Width of a column a letter, at the usual font of a workbook: 7 points of 96 to the inch, and a little."""
PAGE_MM = 277.0
"""Width of A4 lying, between its margins."""
KEYS = 2
"""Columns that stand on every page: mark and light."""


def rows(record: PlanRecord) -> list[tuple[Cell, ...]]:
    """One row a light, then the check figures; what belongs to the frame stands on its first light's row.

    What is not read yet is held.
    """
    order = order_of(record)
    held: dict[str, str | None] = {each.id: hold(each) for each in record.every_opening}
    held |= {each.id: stop(record.gates.ordering, "ordering") for each in record.issued}
    listed: list[dict[str, Cell]] = []
    for item in order.items:
        first, *others = item_rows(item)
        listed += [first | {HOLD: held[item.opening]}, *others]
    listed += [
        {OPENING: each.opening, HOLD: held[each.opening], "room": each.room} for each in order.not_read
    ]
    return [tuple(row.get(header) for header in HEADERS) for row in (*listed, *check_rows(order))]


def order_csv(record: PlanRecord) -> bytes:
    """The order as CSV."""
    said = " ".join([VIEW, *head_sentences(order_of(record).head), f"Plan {record.plan_id}."])
    return csv_bytes([HEADERS, *rows(record), (said,)])


def order_xlsx(record: PlanRecord) -> bytes:
    """The order as a workbook: items down, groups of columns over pages of A4 lying, and a sheet with its head."""
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Order"
    order = order_of(record)
    sheet.append([f"Order for {record.site.label}"])
    sheet.append([f"{VIEW} Plan {record.plan_id}."])
    sheet.append(HEADERS)
    ordered = rows(record)
    for row in ordered:
        sheet.append(row)
    _dressed(sheet)
    _printed(sheet, _widths(ordered))
    head = book.create_sheet("Head")
    for line in head_lines(order):
        head.append(line)
    for cells in head.iter_rows():
        for cell in cells:
            _as_text(cell)
            _lettered(cell, bold=cell.column == 1)
    head.column_dimensions["A"].width, head.column_dimensions["B"].width = 24, 90
    _on_a4(head, "portrait")
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _dressed(sheet: Worksheet) -> None:
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

    grey = PatternFill("solid", start_color="DDDDDD")
    for cells in sheet.iter_rows():
        for cell in cells:
            _as_text(cell)
            _lettered(cell, bold=cell.row == 3)
            cell.alignment = Alignment(vertical="top", wrap_text=cell.row == 3)
    sheet["A1"].font = Font(name=FONT, bold=True, size=14)
    for cell in sheet[3]:
        cell.border = Border(bottom=Side(style="thin"))
    for cells in sheet.iter_rows(min_row=4):
        for cell in cells:
            wraps = isinstance(cell.value, str) and len(cell.value) > WORDS_WIDTH
            cell.alignment = Alignment(vertical="top", wrap_text=wraps)
        held = cells[HEADERS.index(HOLD)]
        if held.value:
            _lettered(held, bold=True)
            held.fill = grey
            held.alignment = Alignment(wrap_text=True, vertical="top")


def _lettered(cell: Any, *, bold: bool) -> None:
    from openpyxl.styles import Font

    cell.font = Font(name=FONT, size=POINTS, bold=bold)


def _widths(ordered: Sequence[tuple[Cell, ...]]) -> list[float]:
    """Letters of each column: the longest word of its heading, and its longest value up to where it is wrapped."""
    widths = []
    for header, column in zip(HEADERS, zip(*ordered, strict=True), strict=True):
        longest = max((len(str(cell)) for cell in column if cell is not None), default=4)
        most = HOLD_WIDTH if header == HOLD else WORDS_WIDTH
        widths.append(max(min(longest, most), 4, *map(len, header.split())) + 2.0)
    return widths


def _printed(sheet: Worksheet, widths: Sequence[float]) -> None:
    """As large as it is lettered: mark and light stand on every page, then as many columns as it has room for."""
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.pagebreak import Break

    for column, width in enumerate(widths, 1):
        sheet.column_dimensions[get_column_letter(column)].width = width
    for first in page_starts(widths):
        sheet.col_breaks.append(Break(id=first))  # after this column, counted from 1
    sheet.freeze_panes = "C4"
    sheet.print_title_rows = "1:3"
    sheet.print_title_cols = f"A:{get_column_letter(KEYS)}"
    _on_a4(sheet, "landscape")


def page_starts(widths: Sequence[float]) -> Iterator[int]:
    """The columns, counted from nothing, that begin a new page."""
    keys = sum(widths[:KEYS])
    used = keys
    for column, width in enumerate(widths[KEYS:], KEYS):
        if column > KEYS and (used + width) * LETTER_MM > PAGE_MM:
            yield column
            used = keys
        used += width


def _on_a4(sheet: Worksheet, orientation: Any) -> None:
    sheet.page_setup.orientation = orientation
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.page_setup.scale = 100
    sheet.page_setup.pageOrder = "downThenOver"
    margins = sheet.page_margins
    margins.left = margins.right = 10 / 25.4
    margins.top, margins.bottom = 12 / 25.4, 15 / 25.4
    foot = sheet.oddFooter
    assert foot is not None
    for part, text in ((foot.left, "&A, viewed from outside"), (foot.right, "page &P of &N")):
        assert part is not None
        part.text, part.size = text, 9


def _as_text(cell: Any) -> None:
    """A text that a spreadsheet program would take for a formula stays a text, when it is edited too."""
    if isinstance(cell.value, str) and may_be_formula(cell.value):
        cell.data_type, cell.quotePrefix = "s", True
