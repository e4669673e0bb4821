"""Where a formula comes from: the document, the place in it, and how sure we are of the copy."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, Literal, ParamSpec, TypeVar

How = Literal[
    "read",
    "second hand",
    "from memory, high",
    "from memory, medium",
    "from memory, low",
    "calculated",
    "digitised",
    "invented",
    "common practice, no published source",
    "declared by the maker",
    "second hand, one page",
]

SURENESS: tuple[How, ...] = (
    "read", "declared by the maker", "calculated", "second hand", "from memory, high", "digitised",
    "common practice, no published source", "second hand, one page", "from memory, medium", "from memory, low",
    "invented",
)  # fmt: skip
"""From the surest to the weakest."""

WEAK: tuple[How, ...] = SURENESS[SURENESS.index("second hand, one page") :]
"""What never proves anything alone; common practice neither, where it stands in for a maker's figure.

`second hand` is what two or more pages of others agree on; `second hand, one page` proves nothing."""

P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Clause:
    """One place in one document: ``EN 1991-1-4:2005, 4.5(1) eq. (4.10)``."""

    document: str
    place: str = ""
    how: How = "from memory, high"

    def __str__(self) -> str:
        """Document and place as printed beside a figure."""
        return f"{self.document}, {self.place}" if self.place else self.document


def weakest(*hows: How) -> How:
    """The weakest of several grades.

    >>> weakest("read", "from memory, low", "calculated")
    'from memory, low'
    """
    return max(hows, key=SURENESS.index)


class Sourced(Generic[P, R]):
    """A function with its clause, unit and formula attached; called like the function itself."""

    def __init__(self, function: Callable[P, R], source: Clause, unit: str, formula: str) -> None:
        self.function = function
        self.source = source
        self.unit = unit
        self.formula = formula
        functools.update_wrapper(self, function)

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R:
        """Evaluate the formula."""
        return self.function(*args, **kwargs)


def clause(
    document: str,
    place: str = "",
    *,
    unit: str,
    formula: str,
    how: How = "from memory, high",
) -> Callable[[Callable[P, R]], Sourced[P, R]]:
    """Mark a formula with its source, the unit of its result and the formula as printed in a working.

    >>> @clause("EN 1991-1-4:2005", "4.5(1)", unit="Pa", formula="q_b = ρ v² / 2")
    ... def basic_pressure_pa(*, v_basic_ms: float, density_kg_m3: float = 1.226) -> float:
    ...     return 0.5 * density_kg_m3 * v_basic_ms**2
    >>> basic_pressure_pa(v_basic_ms=20.0)
    245.2
    >>> str(basic_pressure_pa.source)
    'EN 1991-1-4:2005, 4.5(1)'
    """

    def mark(function: Callable[P, R]) -> Sourced[P, R]:
        return Sourced(function, Clause(document, place, how), unit, formula)

    return mark
