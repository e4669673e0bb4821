"""How far a reading can be trusted: the standard deviation of one reading by tool, kind and length."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from jambwright.basis.clause import clause
from jambwright.basis.tables import table
from jambwright.readings.reading import LENGTHS, Reading
from jambwright.readings.tool import Tool
from jambwright.readings.written import TO_THE_MILLIMETRE, Written

Floats = NDArray[np.float64]

USUAL_CLASS = "II"
"""Of a tape whose class is not said. Common practice, no published source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trust:
    """Standard deviations (mm) of one reading, and of what stands in for a reading that was not taken.

    A reading that names one of ``tools`` takes the tool's own figure; the others take the plain ones.
    """

    tape_mm: float | Mapping[str, float] = 1.0
    """Of one length; or by kind (`width`, `height`, `diagonal`, `level`, `plumb`, `bow`)."""
    level_mm: float = 1.0
    """Of one level, plumb or bow."""
    bow_prior_mm: float = 3.0
    """Of a bow that was not read, about straight; 0 holds the edges straight."""
    common_mm: float = 0.5
    """Of the error that all lengths read with one tape share; no set of readings shows it."""
    tools: Mapping[str, Tool] = field(default_factory=dict)
    tape: str | None = None
    """Name of the tool that lengths were read with where a reading names none."""
    written_to: Written = TO_THE_MILLIMETRE
    """What the readings were rounded to as they were written down."""

    def once_mm(self, reading: Reading, edge_mm: float) -> float:
        """Standard deviation of one reading of a place; ``edge_mm`` is the edge a level is held along."""
        rounded = self.written_to.sigma_mm(reading.kind)
        return math.hypot(self._tool_mm(reading, edge_mm), rounded)

    def _tool_mm(self, reading: Reading, edge_mm: float) -> float:
        is_length = reading.kind in LENGTHS
        tool = self.tools.get(reading.tool or (is_length and self.tape) or "")
        if tool is not None:
            return tool_sigma_mm(tool, abs(reading.mm if is_length else edge_mm))
        by_kind = self.tape_mm if isinstance(self.tape_mm, Mapping) else {}
        plain = self.tape_mm if isinstance(self.tape_mm, float | int) else 1.0
        return float(by_kind.get(reading.kind, plain if is_length else self.level_mm))


USUAL = Trust()
"""A tape on a finished reveal, a level of one millimetre. Common practice, no published source."""


def trust_of(tools: Sequence[Tool], tape: str | None = None) -> Trust:
    """The trust of a survey's own tools; ``tape`` is the one most lengths were read with."""
    return Trust(tools={tool.name: tool for tool in tools}, tape=tape)


def tool_sigma_mm(tool: Tool, length_mm: float) -> float:
    """Standard deviation of one reading of a length (along the edge, for a level), mm."""
    if tool.sigma_mm is not None:
        return tool.sigma_mm
    by_kind = {
        "tape": lambda: tape_sigma_mm(limit_mm=_limit(tool, length_mm), **_errors("eye_mm", "spot_mm")),
        "folding_rule": lambda: _error("folding_rule_mm"),
        "laser": lambda: _error("laser_mm"),
        "level": lambda: level_sigma_mm(edge_mm=length_mm, **_errors("offset_mm", "level_mm_per_m")),
        "straight_edge": lambda: _error("offset_mm"),
    }
    return by_kind[tool.kind]()


def unmeasured_mm(edge_mm: float | Floats) -> Floats:
    """Standard deviation of edges' lean or level where nobody measured it, mm."""
    return np.maximum(_error("lean_mm_per_m") * np.asarray(edge_mm) / 1000.0, _error("lean_least_mm"))


@clause("Directive 2014/32/EU, MI-008", "chapter I", unit="mm", formula="a + b L + c", how="read")
def tape_limit_mm(*, length_mm: float, a_mm: float, b_mm_per_m: float, end_mm: float = 0.0) -> float:
    """Greatest permitted error of a tape; L is the length in metres rounded up to a whole metre.

    >>> tape_limit_mm(length_mm=1200.0, a_mm=0.3, b_mm_per_m=0.2, end_mm=0.2)
    0.9
    """
    return a_mm + b_mm_per_m * math.ceil(length_mm / 1000.0) + end_mm


@clause(
    "Sum of independent errors, limits taken as rectangular",
    unit="mm",
    formula="√(limit²/3 + 2 eye²/3 + spot²)",
    how="calculated",
)
def tape_sigma_mm(*, limit_mm: float, eye_mm: float, spot_mm: float) -> float:
    """Standard deviation of one tape reading: the tape's limit, the eye at both ends, where it is held.

    >>> tape_sigma_mm(limit_mm=0.9, eye_mm=0.75, spot_mm=0.5)
    0.95
    """
    return math.sqrt(limit_mm**2 / 3 + 2 * eye_mm**2 / 3 + spot_mm**2)


@clause("Sum of independent errors", unit="mm", formula="√(offset² + (slope edge)²)", how="calculated")
def level_sigma_mm(*, edge_mm: float, offset_mm: float, level_mm_per_m: float) -> float:
    """Standard deviation of a level or plumb along an edge.

    >>> level_sigma_mm(edge_mm=1200.0, offset_mm=0.7, level_mm_per_m=0.5)
    0.92
    """
    return math.hypot(offset_mm, level_mm_per_m * edge_mm / 1000.0)


def _limit(tool: Tool, length_mm: float) -> float:
    row = table("tape_classes").find(**{"class": tool.accuracy_class or USUAL_CLASS})
    return tape_limit_mm(
        length_mm=length_mm, a_mm=row["a_mm"], b_mm_per_m=row["b_mm_per_m"], end_mm=row["end_mm"]
    )


def _errors(*names: str) -> dict[str, float]:
    return {name: _error(name) for name in names}


def _error(name: str) -> float:
    return table("reading_errors").value(name=name)
