"""The sizes of one unit as given, with the usual ones taken where the maker's sheet is silent."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from jambwright.basis.problems import BadInput, Problem
from jambwright.basis.tables import Row, table
from jambwright.basis.working import Working


@dataclass(slots=True, kw_only=True)
class Sizes:
    """What was given of one unit, and what was made of it: used, or taken as usual."""

    kind: str
    given: Mapping[str, float]
    work: Working
    mode: str | None = None
    """Which panes of a slider stand and slide: ``OX``."""
    used: set[str] = field(default_factory=set)
    taken: list[Row] = field(default_factory=list)

    def has(self, name: str) -> bool:
        """Whether a size was given."""
        return name in self.given

    def of(self, *names: str) -> dict[str, float]:
        """The sizes of those names, given or usual. Raises ``BadInput`` with every one that is missing."""
        usual = {row["size"]: row for row in table("clear_usual") if row["kind"] == self.kind}
        missing = [name for name in names if name not in self.given and name not in usual]
        if missing:
            plain = self.kind.replace("_", " ")
            raise BadInput(
                [Problem(n, f"{n}: is missing; the clear opening of a {plain} needs it.") for n in missing]
            )
        return {name: self._one(name, usual) for name in names}

    def one(self, name: str) -> float:
        """One size, as ``of``."""
        return self.of(name)[name]

    def _one(self, name: str, usual: Mapping[str, Row]) -> float:
        if name in self.given:
            self.used.add(name)
            return self.given[name]
        row = usual[name]
        if row not in self.taken:
            self.taken.append(row)
            unit = "deg" if name.endswith("_deg") else "mm"
            self.work.note(name, "taken as usual", row["value"], unit, table("clear_usual").source(row))
        return float(row["value"])
