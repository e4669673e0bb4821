"""The one reader of packaged values. A table is a CSV file with a TOML twin that says where it is from."""

from __future__ import annotations

import csv
import functools
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from importlib import resources
from typing import Any

from jambwright.basis.clause import Clause, How
from jambwright.basis.problems import BadInput

Row = Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pedigree:
    """Where a table's values come from and how sure we are of the copy."""

    title: str
    document: str
    place: str
    how: How
    note: str
    units: Mapping[str, str]

    @property
    def source(self) -> Clause:
        """The source as printed beside a figure."""
        return Clause(self.document, self.place, self.how)


@dataclass(frozen=True, slots=True)
class Table:
    """Rows in file order. Columns named in the twin's ``units`` are numbers; the others are text."""

    name: str
    rows: tuple[Row, ...]
    pedigree: Pedigree
    _by_key: dict[tuple[str, ...], dict[tuple[Any, ...], Row]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )
    """Rows by the values of the columns asked for: thousands of look-ups a house read the same few tables."""

    def __iter__(self) -> Iterator[Row]:
        """Iterate over the rows."""
        return iter(self.rows)

    def column(self, name: str) -> list[Any]:
        """One column, in file order."""
        return [row[name] for row in self.rows]

    def find(self, **key: Any) -> Row:
        """The one row with these values; ``BadInput`` names what there is when there is none."""
        columns = tuple(key)
        if columns not in self._by_key:
            # of rows alike the first counts
            self._by_key[columns] = {tuple(row[c] for c in columns): row for row in reversed(self.rows)}
        row = self._by_key[columns].get(tuple(key.values()))
        if row is not None:
            return row
        asked = ", ".join(f"{column} {wanted}" for column, wanted in key.items())
        column = next(iter(key))
        known = ", ".join(dict.fromkeys(str(row[column]) for row in self.rows))
        raise BadInput.one(
            column, f"{column}: no row for {asked} in {self.pedigree.title}; known are {known}."
        )

    def value(self, **key: Any) -> float:
        """The figure in the column ``value`` of the one row with these values.

        >>> table("heat_constants").value(name="inside_resistance")
        0.13
        """
        return float(self.find(**key)["value"])

    def source(self, row: Row) -> Clause:
        """A row's own source where the table carries ``source`` and ``how`` columns, else the table's."""
        if row.get("source"):
            return Clause(row["source"], "", row.get("how") or self.pedigree.how)
        return self.pedigree.source


@functools.cache
def table(name: str) -> Table:
    """Read ``data/NAME.csv`` and its twin. Empty number cells are ``None``."""
    text = read_text(f"{name}.csv")
    twin = tomllib.loads(read_text(f"{name}.toml"))
    units = twin.get("units", {})
    pedigree = Pedigree(
        title=twin["title"],
        document=twin["document"],
        place=twin.get("place", ""),
        how=twin["how"],
        note=twin.get("note", ""),
        units=units,
    )
    rows = tuple(
        {k: _cell(v, k in units) for k, v in row.items()} for row in csv.DictReader(text.splitlines())
    )
    return Table(name, rows, pedigree)


def read_text(name: str) -> str:
    """The text of one packaged data file."""
    return (resources.files("jambwright.basis") / "data" / name).read_text(encoding="utf-8")


def data_files(ending: str) -> list[str]:
    """Names of the packaged data files with an ending, sorted."""
    folder = resources.files("jambwright.basis") / "data"
    return sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(ending))


def _cell(text: str, number: bool) -> Any:
    if not number:
        return text
    return float(text) if text.strip() else None
