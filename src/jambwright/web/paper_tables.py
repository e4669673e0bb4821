"""A paper that is a table or a calendar, as the page shows it: rows of plain text, nothing worked out."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from jambwright.web.texts import say

MOST_ROWS = 2_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One table: a title, where there is one, the head, and what stands under it."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    more: int = 0
    """Rows beyond those shown."""


def tables_of(name: str, body: bytes) -> list[Table]:
    """The tables of a paper. Raises ``KeyError`` for one that holds none."""
    return READ[name.rsplit(".", 1)[-1]](body)


def _csv(body: bytes) -> list[Table]:
    text = body.decode("utf-8-sig")
    first = text.partition("\n")[0]
    rows = list(csv.reader(io.StringIO(text), delimiter=";" if first.count(";") > first.count(",") else ","))
    return [_table("", [tuple(row) for row in rows if row])]


def _xlsx(body: bytes) -> list[Table]:
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(body), read_only=True, data_only=True)
    found = []
    for sheet in book.worksheets:
        rows = [tuple("" if v is None else str(v) for v in row) for row in sheet.iter_rows(values_only=True)]
        found.append(_table(sheet.title, [row for row in rows if any(row)]))
    book.close()
    return found


def _ics(body: bytes) -> list[Table]:
    from icalendar import Calendar

    head = tuple(say(f"calendar.{name}") for name in ("day", "start", "end", "what", "note"))
    rows = []
    for event in Calendar.from_ical(body).walk("VEVENT"):
        start, end = (_moment(event, name) for name in ("DTSTART", "DTEND"))
        said = (str(event.get("SUMMARY", "")), str(event.get("DESCRIPTION", "")))
        rows.append((_day(start), f"{start:%H:%M}", f"{end:%H:%M}", *said))
    return [_table("", [head, *rows])]


def _moment(event: Any, name: str) -> datetime:
    found: datetime = event[name].dt
    return found


def _day(moment: datetime) -> str:
    return f"{moment:%A} {moment.day} {moment:%B %Y}"


def _table(title: str, rows: list[tuple[str, ...]]) -> Table:
    widest = max((len(row) for row in rows), default=0)
    even = [row + ("",) * (widest - len(row)) for row in rows]
    shown = tuple(even[1 : MOST_ROWS + 1])
    return Table(
        title=title, head=even[0] if even else (), rows=shown, more=max(0, len(even) - 1 - MOST_ROWS)
    )


READ: Mapping[str, Callable[[bytes], list[Table]]] = {"csv": _csv, "xlsx": _xlsx, "ics": _ics}
