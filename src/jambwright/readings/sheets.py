"""Readings from a table: one row an opening, units in the headers; or a laser meter's list of label and metres.

Rows become the same tree that a readings file holds, laid over a base file with site, house and defaults.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.readings.reading import PLACES, reading_name
from jambwright.readings.survey import Nibs

OPENING, ROOM, NOTE = "opening", "room", "note"
METRE_MM = 1000.0
LASER_STEP_MM = 0.1
"""Laser meters show tenths of a millimetre at the finest."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of readings: its header and where its figure goes."""

    header: str
    path: tuple[str, ...]
    help: str


def columns() -> tuple[Column, ...]:
    """Every reading a table can hold, in the order of the survey."""
    places = [
        Column(
            header=f"{prefix}{kind} {at} mm",
            path=(face, kind, at),
            help=f"{reading_name(kind, at).capitalize()}, {words} {_SIGN.get(kind, '')}".strip(),
        )
        for face, prefix, words in _FACES
        for kind, where in PLACES.items()
        for at in where
    ]
    nibs = [
        Column(
            header=f"nib {side} mm",
            path=("nibs", side),
            help=f"How far the outer leaf laps in past the inner reveal at the {side}, 0 for none.",
        )
        for side in Nibs.model_fields
    ]
    others = [
        Column(header=f"{name.removesuffix('_mm').replace('_', ' ')} mm", path=(name,), help=words)
        for name, words in _OTHERS.items()
    ]
    return (*places, *nibs, *others)


_FACES = (
    ("outside", "", "in mm, seen from outside."),
    ("inside", "inside ", "plaster to plaster, in mm, left and right as seen from outside."),
)
_SIGN = {
    "level": "Right end minus left end: + when the right end is high.",
    "plumb": "Top minus bottom: + when the top leans right.",
    "bow": "Middle off the straight-edge: + into the opening.",
}
_OTHERS = {
    "reveal_depth_mm": "Wall face to the back of the outer reveal.",
    "sill_above_floor_mm": "Structural sill above the finished floor inside.",
    "drop_outside_mm": "Structural sill above the ground outside.",
}


def rows_of_csv(text: str) -> list[dict[str, Any]]:
    """Rows of a CSV table; commas or semicolons."""
    first = text.split("\n", 1)[0]
    reader = csv.DictReader(io.StringIO(text), delimiter=";" if first.count(";") > first.count(",") else ",")
    return [{k: v for k, v in row.items() if k is not None} for row in reader]


def rows_of_xlsx(content: bytes) -> list[dict[str, Any]]:
    """Rows of the first sheet of a workbook, its headers in the first row.

    Raises ``BadInput`` when it is no workbook.
    """
    from zipfile import BadZipFile

    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        sheet = load_workbook(io.BytesIO(content), read_only=True, data_only=True).worksheets[0]
        lines = sheet.iter_rows(values_only=True)
        headers = [str(cell or "").strip() for cell in next(lines, ())]
        return [dict(zip(headers, line, strict=False)) for line in lines]
    except (BadZipFile, InvalidFileException, KeyError, ValueError) as error:
        raise BadInput.one(
            "file", f"This is no workbook that can be read ({error}); save it as .xlsx."
        ) from None


def openings_of_rows(rows: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """One tree an opening. Raises ``BadInput`` naming row, opening and column of every figure that is none."""
    if not rows:
        raise BadInput.one("table", "The table has no rows under its headings; write one row an opening.")
    known = {column.header: column for column in columns()}
    problems: list[Problem] = []
    headers = [h for h in rows[0] if h]
    problems += [
        Problem(f"column {h}", f"Column `{h}` is not known; the workbook of `form --xlsx` has the names.")
        for h in headers
        if h not in known and h not in (OPENING, ROOM, NOTE)
    ]
    if OPENING not in headers:
        problems.append(Problem(OPENING, f"There is no column `{OPENING}` with the opening's mark (W1, D1)."))
    raise_if_any(problems)
    found: list[dict[str, Any]] = []
    for number, row in enumerate(rows, 2):
        if all(_blank(cell) for cell in row.values()):
            continue
        mark = str(row.get(OPENING) or "").strip()
        if not mark:
            problems.append(
                Problem(f"row {number}", f"Row {number}: the opening's mark is missing; write W1, D1.")
            )
            continue
        opening: dict[str, Any] = {"id": mark}
        for name in (ROOM, NOTE):
            if not _blank(row.get(name)):
                opening[name] = str(row[name]).strip()
        for header, column in known.items():
            if _blank(row.get(header)):
                continue
            figures = list(_figures(row[header]))
            if not figures or None in figures:
                say = f"{mark} (row {number}): {header} holds {row[header]!r}; write a number, or two with a space."
                problems.append(Problem(f"row {number}, {header}", say))
                continue
            _put(opening, column.path, figures[0] if len(figures) == 1 else figures)
        found.append(opening)
    raise_if_any(problems)
    return found


def openings_of_laser(text: str, labels: Mapping[str, str] | None = None) -> list[dict[str, Any]]:
    """A meter's list: `label, metres` a line; the same label again is a repeat.

    A label says the opening and the reading, `W1 width top`; ``labels`` translates others to that.
    Raises ``BadInput`` naming every line that can't be placed.
    """
    headers = {column.header.removesuffix(" mm"): column for column in columns()}
    trees: dict[str, dict[str, Any]] = {}
    taken: dict[tuple[str, str], list[float]] = {}
    problems: list[Problem] = []
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip():
            continue
        label, _, value = (part.strip() for part in line.replace(";", ",").partition(","))
        placed = (labels or {}).get(label, label)
        mark, _, place = placed.partition(" ")
        metres = next(_figures(value), None)
        if place not in headers:
            say = f"Line {number}: `{label}` says no reading; write it like `W1 width top`, or map the label."
            problems.append(Problem(f"line {number}", say))
        elif metres is None or not math.isfinite(metres):
            problems.append(Problem(f"line {number}", f"Line {number}: `{value}` is no length in metres."))
        else:
            mm = round(metres * METRE_MM / LASER_STEP_MM) * LASER_STEP_MM
            taken.setdefault((mark, place), []).append(round(mm, 1))
    raise_if_any(problems)
    for (mark, place), figures in taken.items():
        opening = trees.setdefault(mark, {"id": mark})
        _put(opening, headers[place].path, figures[0] if len(figures) == 1 else figures)
    return list(trees.values())


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
        both[name] = (
            _deep(below, value) if isinstance(below, Mapping) and isinstance(value, Mapping) else value
        )
    return both


def _figures(cell: Any) -> Iterator[float | None]:
    if isinstance(cell, int | float):
        yield float(cell)
        return
    for word in re.split(r"[\s/|]+", str(cell).strip()):
        try:
            yield float(word.replace(",", "."))
        except ValueError:
            yield None


def _blank(cell: Any) -> bool:
    return cell is None or not str(cell).strip()


def _put(tree: dict[str, Any], path: tuple[str, ...], value: Any) -> None:
    *way, last = path
    for name in way:
        tree = tree.setdefault(name, {})
    tree[last] = value
