"""Tables as they come in, workbook or CSV: headings and rows, with nothing dropped or taken for something else."""

from __future__ import annotations

import csv
import io
import warnings
import zipfile
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from jambwright.basis.border import cut
from jambwright.basis.cells import unguarded
from jambwright.basis.envelope import most
from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.basis.tree import LARGEST_CHARACTERS

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

WORKBOOK = b"PK\x03\x04"
"""First bytes of a workbook, which is a zip file."""
OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"
OPENING = "opening"
"""Heading of the column by which a table of readings is known."""
MOST_ROWS = 10 * most("openings")
MOST_COLUMNS = 300
MOST_TITLES = 10
"""Lines that may stand over the headings."""
LARGEST_UNPACKED = 50_000_000
"""Bytes of a workbook's parts together, pictures and all."""
LARGEST_TABLES = 5_000_000
"""Bytes of its parts without pictures; every opening a house can have, with every reading, takes a fifth."""
PICTURES = "xl/media/"


@dataclass(frozen=True, slots=True)
class Formula:
    """A cell that holds a formula and no value: whoever wrote the file never worked it out."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """The rows under the headings, each with its number in the file, and what was left unread."""

    headings: tuple[str, ...]
    rows: tuple[tuple[int, dict[str, Any]], ...]
    notes: tuple[str, ...] = ()


def text_in(content: bytes, field: str) -> str | None:
    """The text of a list; ``None`` where it is a workbook. Which it is, its content says, whatever its name.

    Raises ``BadInput`` of that field.
    """
    if content.startswith(OLD_WORKBOOK):
        raise BadInput.one(field, "This is a workbook of the old kind; save it as .xlsx.")
    if content.startswith(WORKBOOK):
        return None
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadInput.one(field, "This is neither a workbook nor text in UTF-8.") from None
    if len(text) > LARGEST_CHARACTERS:
        raise BadInput.one(
            field, f"The list is over {LARGEST_CHARACTERS // 1_000_000} MB; no house has so many readings."
        )
    return text


def table_of_csv(text: str, *, titled: bool = False) -> Table:
    """A CSV table; commas, semicolons or tabs. Raises ``BadInput`` where a cell has no heading or no end.

    ``titled``: lines of title may stand over the headings.
    """
    lines_of_text = text.lstrip("\r\n").split("\n")
    first = next(
        (line for line in lines_of_text[:MOST_TITLES] if titled and OPENING in line), lines_of_text[0]
    )
    between = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True)
    lines: list[tuple[int, list[Any]]] = []
    try:
        for line in reader:
            if len(lines) > MOST_ROWS:
                raise BadInput.one(
                    "table", f"The table has over {MOST_ROWS} rows; no house has so many openings."
                )
            lines.append((reader.line_num, [unguarded(cell) for cell in line]))
    except csv.Error:
        say = (
            f"Row {reader.line_num + 1}: a quote is opened and never closed, or a cell is far too long. Save the table "
            "as CSV again."
        )
        raise BadInput.one("table", say) from None
    return _table(_untitled(lines) if titled else lines, comma=between == ",")


def table_of_xlsx(content: bytes, *, titled: bool = False) -> Table:
    """The one sheet of a workbook that has openings. Raises ``BadInput`` when it is no workbook, or not all is there.

    Refused are merged cells, of which only one holds the value, and sheets that both hold openings; a hidden sheet
    is told of and not read. Of the sheet itself hidden rows and columns are read, and told of; comments are told.
    ``titled``: lines of title may stand over the headings.
    """
    values, written = _opened(content, values=True), _opened(content, values=False)
    shown = [sheet for sheet in written.worksheets if sheet.sheet_state == "visible"]
    with_marks = [sheet for sheet in shown if _has_marks(sheet, MOST_TITLES if titled else 1)]
    if len(with_marks) > 1:
        names = ", ".join(cut(sheet.title) for sheet in with_marks)
        raise BadInput.one(
            "table", f"The sheets {names} all hold openings; keep one of them, or read them one by one."
        )
    if not shown:
        raise BadInput.one("table", "The workbook shows no sheet; write the openings in the first one.")
    sheet = with_marks[0] if with_marks else shown[0]
    notes = [
        f"Sheet {cut(other.title)} is {'not read' if other in shown else 'hidden and not read'}."
        for other in written.worksheets
        if other is not sheet and (other.max_row > 1 or other.max_column > 1)
    ]
    lines = _lines(sheet, values.worksheets[written.worksheets.index(sheet)])
    lines = _untitled(lines) if titled else lines
    return _table(lines, notes=[*notes, *_out_of_sight(sheet, lines[0][0] if lines else 1)])


def _out_of_sight(sheet: Worksheet, top: int) -> Iterator[str]:
    """What of a sheet nobody sees who looks at it, or sees only by pointing at it; ``top`` is the row of headings."""
    rows = [
        str(number)
        for number, cells in enumerate(sheet.iter_rows(), 1)
        if sheet.row_dimensions[number].hidden and any(cell.value is not None for cell in cells)
    ]
    spans = [(each.min or 0, each.max or 0) for each in sheet.column_dimensions.values() if each.hidden]
    columns = [
        str(cell.value)
        for number, cell in enumerate(sheet[top], 1)
        if cell.value and any(first <= number <= last for first, last in spans)
    ]
    for what, found in (("Row {}", rows), ("Column `{}`", columns)):
        if found:
            yield f"{what.format(cut(', '.join(found)))} is hidden and was read all the same."
    for cell in (cell for cells in sheet.iter_rows(min_row=top + 1) for cell in cells):
        if cell.comment:
            yield f"The comment at {cell.coordinate} is not read: {cut(cell.comment.text.strip())}"


def _opened(content: bytes, *, values: bool) -> Workbook:
    from openpyxl import load_workbook

    try:
        with zipfile.ZipFile(io.BytesIO(content)) as parts:
            sizes = {part.filename: part.file_size for part in parts.infolist()}
            tables = sum(size for name, size in sizes.items() if not name.startswith(PICTURES))
            if sum(sizes.values()) > LARGEST_UNPACKED or tables > LARGEST_TABLES:
                raise BadInput.one(
                    "file", "The workbook unpacks to far more than a house's readings; save it anew."
                )
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of styles and links that it leaves out; only values are read
            return load_workbook(io.BytesIO(content), data_only=values)
    except BadInput:
        raise
    except Exception:  # whatever a damaged file makes zip, XML and workbook readers raise
        say = "This is no workbook that can be read: not an .xlsx file, or damaged. Open it and save it as .xlsx."
        raise BadInput.one("file", say) from None


def _has_marks(sheet: Worksheet, rows: int) -> bool:
    cells = (cell for row in sheet.iter_rows(max_row=rows) for cell in row)
    return any(str(cell.value or "").strip() == OPENING for cell in cells)


def _untitled(lines: list[tuple[int, list[Any]]]) -> list[tuple[int, list[Any]]]:
    """The lines from the headings on; all of them where no headings are found near the top."""
    top = (
        n
        for n, (_, cells) in enumerate(lines[:MOST_TITLES])
        if OPENING in [str(c or "").strip() for c in cells]
    )
    return lines[next(top, 0) :]


def _lines(sheet: Worksheet, values: Worksheet) -> list[tuple[int, list[Any]]]:
    """The rows of a sheet, a formula without a value as such."""
    if sheet.max_row > MOST_ROWS or sheet.max_column > MOST_COLUMNS:
        say = (
            f"Sheet {cut(sheet.title)} reaches to row {sheet.max_row}, column {sheet.max_column}; copy the table alone "
            "to a new sheet."
        )
        raise BadInput.one("table", say)
    if merged := [str(area) for area in sheet.merged_cells.ranges]:
        say = (
            f"The cells {cut(', '.join(merged))} are merged, so one figure stands for several; take them apart and "
            "write each its own."
        )
        raise BadInput.one("table", say)
    raise_if_any(
        Problem(
            f"cell {cell.coordinate}",
            f"{cell.coordinate} is crossed out: empty it, or take the line off the figure that holds.",
        )
        for cells in sheet.iter_rows(min_row=2)
        for cell in cells
        if cell.has_style and cell.font.strike and not is_blank(cell.value)
    )
    return [
        (number, [_value(cell, values.cell(number, column).value) for column, cell in enumerate(cells, 1)])
        for number, cells in enumerate(sheet.iter_rows(min_row=1, min_col=1), 1)
    ]


def _value(cell: Any, kept: Any) -> Any:
    return (
        Formula(str(getattr(cell.value, "text", cell.value)))
        if cell.data_type == "f" and kept is None
        else kept
    )


def _table(
    lines: Sequence[tuple[int, list[Any]]], *, comma: bool = False, notes: Sequence[str] = ()
) -> Table:
    """Headings and rows; every cell has a heading, and every heading stands once."""
    filled = [(number, cells) for number, cells in lines if any(not is_blank(cell) for cell in cells)]
    if not filled:
        raise BadInput.one("table", "The table has no rows under its headings; write one row an opening.")
    (_, top), *rest = filled
    headings = tuple("" if is_blank(cell) else str(cell).strip() for cell in top)
    raise_if_any([*_twice(headings), *_homeless(headings, rest, comma=comma)])
    named = [n for n, heading in enumerate(headings) if heading]
    rows = tuple((number, {headings[n]: cells[n] for n in named if n < len(cells)}) for number, cells in rest)
    return Table(headings=tuple(headings[n] for n in named), rows=rows, notes=tuple(notes))


def _twice(headings: Sequence[str]) -> Iterator[Problem]:
    for heading, count in Counter(headings).items():
        if heading and count > 1:
            say = f"Column `{cut(heading)}` stands {count} times; keep one, two readings of a place go in one cell."
            yield Problem(f"column {heading}", say)


def _homeless(
    headings: Sequence[str], rows: Sequence[tuple[int, list[Any]]], *, comma: bool
) -> Iterator[Problem]:
    """Cells under no heading."""
    for number, cells in rows:
        lost = [
            cell
            for n, cell in enumerate(cells)
            if not is_blank(cell) and (n >= len(headings) or not headings[n])
        ]
        if lost:
            hint = " A figure with a decimal comma goes in quotes, or takes a point." if comma else ""
            say = f"Row {number}: `{cut(str(lost[0]))}` stands under no heading.{hint}"
            yield Problem(f"row {number}", say)


def is_blank(cell: Any) -> bool:
    """Whether nothing is written in a cell."""
    return cell is None or not str(cell).strip()
