"""The working of a calculation: every step with its formula, inputs, value, unit and source."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, ParamSpec, TypeVar

from jambwright.basis.clause import Clause, Sourced

P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of a working: ``symbol = formula = value unit``, with what went in and the source."""

    symbol: str
    formula: str
    value: Any
    unit: str
    source: Clause
    inputs: Mapping[str, Any]


@dataclass(slots=True)
class Working:
    """Steps in order. Local to one calculation; papers and terminals print it and never compute."""

    steps: list[Step] = field(default_factory=list)

    def __iter__(self) -> Iterator[Step]:
        """Iterate over the steps in the order they were taken."""
        return iter(self.steps)

    def step(self, symbol: str, function: Sourced[P, R], *args: P.args, **kwargs: P.kwargs) -> R:
        """Evaluate a sourced formula, note it, and return its value."""
        value = function(*args, **kwargs)
        self.note(symbol, function.formula, value, function.unit, function.source, **kwargs)
        return value

    def note(
        self, symbol: str, formula: str, value: Any, unit: str, source: Clause, /, **inputs: Any
    ) -> None:
        """Note a value that was found elsewhere: a table look-up, an input, a solver's result."""
        self.steps.append(
            Step(symbol=symbol, formula=formula, value=value, unit=unit, source=source, inputs=inputs)
        )

    def as_json(self) -> list[dict[str, Any]]:
        """Plain values for a machine."""
        return [
            {
                "symbol": s.symbol,
                "formula": s.formula,
                "value": _plain(s.value),
                "unit": s.unit,
                "source": str(s.source),
                "how": s.source.how,
                "inputs": {k: _plain(v) for k, v in s.inputs.items()},
            }
            for s in self.steps
        ]


def _plain(value: Any) -> Any:
    if hasattr(value, "tolist"):  # NumPy arrays and scalars, without loading NumPy to ask
        return value.tolist()
    if isinstance(value, tuple | list):
        return [_plain(v) for v in value]
    return value
