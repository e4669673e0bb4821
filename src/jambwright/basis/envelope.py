"""The envelope: least and most of every figure, list and text that comes in, and why no more.

One table of what a survey may hold, for readings file, workbook, phone and schema; and wider bounds by unit for
everything that comes in, so that no calculation is asked for what no house holds.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Annotated, Any

from pydantic import Field

from jambwright.basis.tables import table

LONGEST_NOTE = 2000
"""Letters of a note: a page of a notebook."""
LONGEST_WORDS = 300
"""Letters of a sentence: why a place was not read, who settled what."""
LONGEST_NAME = 100
"""Letters of a name: of a room, a tool, a person."""

MOST_ITEMS = 1000
"""Items of any list, fields of any group."""
LONGEST_TEXT = 20_000
"""Letters of any text; a model may take fewer."""
LARGEST = 1e12
"""Of a figure whose name tells no unit."""

Place = tuple[str | int, ...]
"""The names and numbers that lead to one value of a tree."""

Note = Annotated[str, Field(max_length=LONGEST_NOTE)]
Words = Annotated[str, Field(max_length=LONGEST_WORDS)]
Name = Annotated[str, Field(max_length=LONGEST_NAME)]
Said = Annotated[str, Field(pattern=r"\S", max_length=LONGEST_WORDS)]
"""A text that says something."""
Day = Annotated[date, Field(ge=date(2000, 1, 1), le=date(2099, 12, 31))]
"""A day outside this century is a slip of the pen."""


def within(field: str) -> Any:
    """The range of a figure, for its model.

    >>> within("altitude_m").metadata
    [Ge(ge=-10), Le(le=600)]
    """
    least, most = (int(end) if end == int(end) else end for end in _ends(field))
    return Field(ge=least, le=most)


def most(field: str) -> int:
    """How many a list may hold.

    >>> most("openings")
    200
    """
    return int(_ends(field)[1])


def counted(field: str, at_least: int = 0) -> Any:
    """How many a list may hold, for its model."""
    return Field(min_length=at_least, max_length=most(field))


def why_not(field: str, limit: float) -> str:
    """Why a figure can't pass that limit, and what may have been meant; nothing where the limit is another's.

    >>> why_not("altitude_m", 600)
    'no house in Britain or Ireland stands above 600 m: metres above the sea?'
    """
    known = (row for row in table("envelope") if row["field"] == field)
    row = next(known, None)
    return str(row["why"]) if row and limit in (row["least"], row["most"]) else ""


def _ends(field: str) -> tuple[float, float]:
    row = table("envelope").find(field=field)
    return row["least"], row["most"]


def endless(tree: Any) -> Iterator[tuple[Place, str]]:
    """Place and complaint of every list, group and text that is too long to be looked at.

    >>> [*endless({"readings": [{"mm": [1210] * 12000}]})]
    [(('readings', 0, 'mm'), '12,000 are too many; 1000 at most. Check the list.')]
    """
    for at, value in _values(tree):
        if isinstance(value, str) and len(value) > LONGEST_TEXT:
            yield at, f"{len(value):,} letters are too many. Shorten it."
        elif isinstance(value, Mapping | list | tuple) and len(value) > MOST_ITEMS:
            yield at, f"{len(value):,} are too many; {MOST_ITEMS} at most. Check the list."


def beyond(tree: Any) -> Iterator[tuple[Place, str]]:
    """Place and complaint of every figure that is beyond any house, by the unit in its name.

    >>> [*beyond({"width_mm": 4e9, "panes": [{"thickness_mm": 4}]})]
    [(('width_mm',), "4e+09 can't be; nothing in a house is longer than 1000000 mm. Check the figure.")]
    """
    for at, value in _values(tree):
        if isinstance(value, float | int) and not isinstance(value, bool):
            most, why = _most_of(next((part for part in reversed(at) if isinstance(part, str)), ""))
            if abs(value) > most:
                shown = f"{value:g}" if abs(value) < 1e300 else "So large a figure"
                yield at, f"{shown} can't be; {why}. Check the figure."


def _values(tree: Any, at: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Everything in a tree; of what is too long nothing more than that."""
    yield at, tree
    if isinstance(tree, Mapping | list | tuple) and len(tree) <= MOST_ITEMS:
        for name, value in tree.items() if isinstance(tree, Mapping) else enumerate(tree):
            yield from _values(value, (*at, name))


@functools.cache
def _most_of(name: str) -> tuple[float, str]:
    """The most of a figure by the unit in its name, and why."""
    for row in sorted(table("unit_limits"), key=lambda row: -len(row["unit"])):
        if f"_{name}".endswith(f"_{row['unit']}"):
            return row["most"], f"{row['why']} than {row['most']:.15g} {row['shown']}"
    return LARGEST, f"no figure of a house is larger than {LARGEST:g}"
