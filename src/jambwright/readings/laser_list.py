"""A laser meter's list: label and metres, a line a reading."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from jambwright.basis.border import cut
from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.readings.sheets import as_read, columns, figures_of, put
from jambwright.readings.tables import OPENING

METRE_MM = 1000.0
LASER_STEP_MM = 0.1
"""Laser meters show tenths of a millimetre at the finest."""
FARTHEST_M = 30.0
"""No opening of a house is larger; a figure beyond is in millimetres."""


def is_laser_list(text: str) -> bool:
    """Whether any line is a label and a length, and the first none of headings.

    >>> is_laser_list("W1 width top, 1.2105"), is_laser_list("opening,width top mm")
    (True, False)
    """
    lines = [_parts(line) for line in text.splitlines() if line.strip()]
    return bool(lines) and lines[0][0] != OPENING and any(_metres(value) is not None for _, value in lines)


def labels_of(tree: Any) -> dict[str, str]:
    """The meter's labels with the reading each stands for. Raises ``BadInput`` where they are something else."""
    if not isinstance(tree, Mapping) or not all(isinstance(place, str) for place in tree.values()):
        say = "The labels are one a line, the meter's and what it stands for: `A7: W1 width top`."
        raise BadInput.one("labels", say)
    return {str(label): place for label, place in tree.items()}


def openings_of_laser(text: str, labels: Mapping[str, str] | None = None) -> list[dict[str, Any]]:
    """One tree an opening: `label, metres` a line; the same label again is a repeat.

    A label says the opening and the reading, `W1 width top`; ``labels`` translates others to that.
    Raises ``BadInput`` naming every line that can't be placed, and where there is no line at all.
    """
    known = {column.header.removesuffix(" mm"): column for column in columns() if column.is_length}
    trees: dict[str, dict[str, Any]] = {}
    taken: dict[tuple[str, str], list[float]] = {}
    problems: list[Problem] = []
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip():
            continue
        label, value = _parts(line)
        mark, _, place = (labels or {}).get(label, label).partition(" ")
        metres = _metres(value)
        if place not in known:
            say = f"Line {number}: `{cut(label)}` says no reading; write it like `W1 width top`, or map the label."
            problems.append(Problem(f"line {number}", say))
        elif metres is None:
            say = f"Line {number}: `{cut(value)}` is no length in metres; write one figure, such as 1.2105."
            problems.append(Problem(f"line {number}", say))
        elif abs(metres) > FARTHEST_M:
            say = f"Line {number}: {metres:g} m is no length in a house; is the list in millimetres? Write metres."
            problems.append(Problem(f"line {number}", say))
        else:
            mm = round(metres * METRE_MM / LASER_STEP_MM) * LASER_STEP_MM
            taken.setdefault((mark, place), []).append(round(mm, 1))
    raise_if_any(problems)
    if not taken:
        raise BadInput.one("list", "The list holds no reading; write one a line, `W1 width top, 1.2105`.")
    for (mark, place), figures in taken.items():
        opening = trees.setdefault(mark, {"id": mark})
        put(opening, known[place].path, as_read(figures))
    return list(trees.values())


def _parts(line: str) -> tuple[str, str]:
    label, _, value = line.replace(";", ",").replace("\t", ",").partition(",")
    return label.strip(), value.strip()


def _metres(value: str) -> float | None:
    figures = figures_of(value.removesuffix("m").rstrip()) if value else ()
    return figures[0] if figures is not None and len(figures) == 1 else None
