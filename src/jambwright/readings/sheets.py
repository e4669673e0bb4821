"""Readings from a table: one row an opening, units in the headings; its columns are what is asked of an opening.

Rows become the same tree that a readings file holds, laid over a base file with site, house and defaults.
"""

from __future__ import annotations

import functools
import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from jambwright.basis.border import cut, shown
from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.readings.asked import Asked, choices_in, fields_of
from jambwright.readings.asked_shape import VALUES
from jambwright.readings.tables import OPENING, Formula, Table, is_blank

ROOM, NOTE = "room", "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: its header, where its value goes, and the field it is of."""

    header: str
    path: tuple[str, ...]
    help: str
    field: Asked

    @property
    def is_length(self) -> bool:
        """Whether a figure in millimetres goes there."""
        return self.field.kind == "reading" or (self.field.kind == "figure" and self.field.unit == "mm")


@functools.cache
def columns() -> tuple[Column, ...]:
    """Everything a table can hold of an opening: its readings first, then what else has a single value."""
    found = list(_columns("Opening", ()))
    return (
        *(c for c in found if c.field.kind == "reading"),
        *(c for c in found if c.field.kind != "reading"),
    )


def _columns(of: str, at: tuple[str, ...]) -> Iterator[Column]:
    for field in fields_of(of):
        path = (*at, field.name)
        if field.kind == "group":
            yield from _columns(field.inside, path)
        elif (field.kind == "reading" or field.kind in VALUES) and path not in _HEADINGS:
            yield Column(
                header=field.column or _header(path, field), path=path, help=_help(path, field), field=field
            )


def _header(path: tuple[str, ...], field: Asked) -> str:
    way = path[1:] if path[0] == "outside" else path
    words = " ".join(way).replace("_", " ")
    return f"{words} mm" if field.kind == "reading" else words


def _help(path: tuple[str, ...], field: Asked) -> str:
    if field.kind == "reading":
        return f"{field.label}, {_FACES[path[0]]} {_SIGN.get(path[1], '')}".strip()
    known = [text for _, text in choices_in(field, {})] if field.kind == "choice" else []
    listed = f"One of: {', '.join(known)}." if known else ""
    yes = "yes or no." if field.kind == "yes" else ""
    return " ".join(part for part in (f"{field.label}.", field.help, listed, yes) if part)


_HEADINGS = (("id",), ("room",), ("note",))
"""Fields with columns of their own at the ends of the sheet."""
_FACES = {
    "outside": "in mm, seen from outside.",
    "inside": "plaster to plaster, in mm, left and right as seen from outside.",
}
_SIGN = {
    "level": "Right end minus left end: + when the right end is high.",
    "plumb": "Top minus bottom: + when the top leans right.",
    "bow": "Middle off the straight-edge: + into the opening.",
}


def openings_of_table(table: Table) -> list[dict[str, Any]]:
    """One tree an opening. Raises ``BadInput`` naming row, opening and column of every figure that is none."""
    known = {column.header: column for column in columns()}
    problems = [
        Problem(
            f"column {h}", f"Column `{cut(h)}` is not known; the workbook of `form --xlsx` has the names."
        )
        for h in table.headings
        if h not in known and h not in (OPENING, ROOM, NOTE)
    ]
    if OPENING not in table.headings:
        problems.append(Problem(OPENING, f"There is no column `{OPENING}` with the opening's mark (W1, D1)."))
    raise_if_any(problems)
    found: list[dict[str, Any]] = []
    rows_of: dict[str, list[int]] = {}
    for number, row in table.rows:
        mark = _text(row.get(OPENING))
        if not mark:
            say = f"Row {number}: the opening's mark is missing; write W1, D1."
            problems.append(Problem(f"row {number}", say))
            continue
        rows_of.setdefault(mark, []).append(number)
        opening: dict[str, Any] = {"id": mark}
        for heading, cell in row.items():
            if is_blank(cell):
                continue
            if say := _why_not(known.get(heading), cell):
                where = f"{cut(mark)} (row {number})"
                problems.append(Problem(f"row {number}, {heading}", f"{where}: {heading} {say}"))
            elif heading in known:
                put(opening, known[heading].path, _value(known[heading].field, cell))
            elif heading != OPENING:
                opening[heading] = str(cell).strip()
        found.append(opening)
    problems += [
        Problem(
            f"row {rows[-1]}",
            f"{cut(mark)} stands in the rows {', '.join(map(str, rows))}; keep one row of it.",
        )
        for mark, rows in rows_of.items()
        if len(rows) > 1
    ]
    raise_if_any(problems)
    if not found:
        raise BadInput.one("table", "The table has no rows under its headings; write one row an opening.")
    return found


def _text(cell: Any) -> str:
    return "" if cell is None else str(cell.text if isinstance(cell, Formula) else cell).strip()


def _why_not(column: Column | None, cell: Any) -> str:
    """What keeps a cell from being read, if anything does."""
    if isinstance(cell, Formula):
        say = f"holds a formula that was never worked out ({cut(cell.text)})"
        return f"{say}; save the workbook in a spreadsheet program, or write the figure."
    if column is None or _value(column.field, cell) is not None:
        return ""
    field = column.field
    if field.kind == "reading":
        return f"holds {shown(cell)}; write a number, or two with a space."
    wanted = {
        "yes": "yes or no",
        "choice": ", ".join(text for _, text in choices_in(field, {})),
        "day": "a day as 2026-05-01",
    }
    return f"holds {shown(cell)}; write {wanted.get(field.kind, 'a number')}."


def _value(field: Asked, cell: Any) -> Any:
    """A cell as a readings file holds it; ``None`` where it can't be read."""
    text = str(cell).strip()
    if field.kind == "reading":
        figures = figures_of(cell)
        return as_read(figures) if figures else None
    if field.kind in ("figure", "count"):
        return None if isinstance(cell, bool) else figure_of(text)
    if field.kind == "yes":
        return {"yes": True, "true": True, "no": False, "false": False}.get(text.lower())
    if field.kind == "choice":
        given = text.lower()
        near = (
            value for value, words in choices_in(field, {}) if given in (str(value).lower(), words.lower())
        )
        return next(near, None)
    if field.kind in ("day", "moment"):
        return cell.isoformat() if hasattr(cell, "isoformat") else text
    return text


def figure_of(text: str) -> float | None:
    """One figure, a whole one without a point.

    >>> figure_of("1,5"), figure_of("9e9"), figure_of("nan"), figure_of("two")
    (1.5, 9000000000, None, None)
    """
    if not _ONE_FIGURE.fullmatch(text):
        return None
    figure = float(text.replace(",", "."))
    return int(figure) if figure.is_integer() else figure


_ONE_FIGURE = re.compile(r"[-+]?(?:\d{1,15}(?:[.,]\d{0,9})?|[.,]\d{1,9})(?:[eE][-+]?\d{1,2})?")


def figures_of(cell: Any) -> tuple[float, ...] | None:
    """The figures written in a cell, repeats with a space or a stroke between; ``None`` where it holds anything else.

    >>> figures_of("1210,5 1211"), figures_of("911 1/2"), figures_of("1210/1211"), figures_of("1/2")
    ((1210.5, 1211.0), (911.5,), (1210.0, 1211.0), None)
    """
    if isinstance(cell, bool):
        return None
    if isinstance(cell, int | float):
        return (float(cell),) if math.isfinite(cell) else None
    text = _HALVES.sub(lambda found: found[1] + _PARTS[found[2]], str(cell).strip())
    text = _FRACTION.sub(_with_point, text)
    if _STROKE_OF_FEW.search(text):
        return None  # 1/2: a half, or one and two
    words = _BETWEEN.split(text)
    return (
        tuple(float(word.replace(",", ".")) for word in words) if all(map(_FIGURE.fullmatch, words)) else None
    )


def as_read(figures: Sequence[float]) -> float | list[float]:
    """Figures as a readings file holds them: one alone, repeats as a list.

    >>> as_read((1210.0,)), as_read((1210.0, 1210.5))
    (1210, [1210, 1210.5])
    """
    plain = [int(figure) if figure.is_integer() else figure for figure in figures]
    return plain[0] if len(plain) == 1 else plain


_PARTS = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4"}
_HALVES = re.compile(r"(\d) ?([½¼¾])")
_FRACTION = re.compile(r"(?<![\d.,/])([-+]?\d+) ([1-9]\d?)/([2-9]|1[06])(?![\d.,/])")
_STROKE_OF_FEW = re.compile(r"(?<!\d)\d{1,2}[/|]\d{1,2}(?!\d)")
_BETWEEN = re.compile(r"[\s/|]+")
_FIGURE = re.compile(r"[-+]?(?:\d{1,9}(?:[.,]\d{0,9})?|[.,]\d{1,9})")


def _with_point(found: re.Match[str]) -> str:
    """`911 1/2` as 911.5, where the fraction is less than one."""
    whole, part, parts = found[1], int(found[2]), int(found[3])
    if part >= parts:
        return found[0]
    return f"{float(whole) + (-1 if whole.startswith('-') else 1) * part / parts:g}"


def laid_over(base: Mapping[str, Any], openings: Iterable[Mapping[str, Any]]) -> dict[str, Any]:
    """The base tree with the openings' figures put in; what the base holds and the table does not, stays."""
    merged = dict(base)
    listed = [dict(opening) for opening in base.get("openings") or []]
    by_mark = {opening.get("id"): index for index, opening in enumerate(listed)}
    for opening in openings:
        index = by_mark.get(opening["id"])
        if index is None:
            listed.append(dict(opening))
        else:
            listed[index] = _deep(listed[index], opening)
    merged["openings"] = listed
    return merged


def _deep(under: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    both = dict(under)
    for name, value in over.items():
        below = both.get(name)
        if isinstance(below, Mapping) and isinstance(value, Mapping):
            both[name] = _deep(below, value)
        elif not (isinstance(below, Mapping) and below.get("mm") == value):
            both[name] = value  # the same figure keeps who read it, and with what
    return both


def put(tree: dict[str, Any], path: tuple[str, ...], value: Any) -> None:
    """Set a value in a tree, its groups made on the way."""
    *way, last = path
    for name in way:
        tree = tree.setdefault(name, {})
    tree[last] = value
