"""What a shape must say to be adjusted: its parameters, and what each reading would be without error.

Readings are written once, in complex arithmetic: a tiny imaginary step of a parameter gives the exact slope of every
reading (complex-step derivative, Squire and Trapp 1998), for one opening or thousands at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from jambwright.basis.problems import Problem
from jambwright.opening.shape import Floats

Cells = NDArray[Any]
"""Values of one parameter or reading, real or complex."""
Values = Mapping[str, Cells]
Point = tuple[float, float]
STEP = 1e-30

TAPE_MM, LEVEL_MM, BEVEL_DEG = 1.5, 1.0, 0.5
"""Usual standard deviations: of a tape reading, of a level or plumb, of an angle by bevel. House defaults."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """One reading by name: ``rc``, or ``rc#2`` where it was taken again."""

    name: str
    value: float
    sd: float | None = None

    @property
    def place(self) -> str:
        """The name without the number of its repeat."""
        return self.name.split("#")[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One kind of shape."""

    kind: str
    parameters: tuple[str, ...]
    read: Callable[[Values], Values]
    """Parameters to what every reading would be."""
    places: tuple[str, ...]
    """Every reading there is."""
    start: Callable[[Mapping[str, float]], Mapping[str, float]]
    """Rough parameters from readings, several of one place averaged. ``BadInput`` names what lacks."""
    faults: Callable[[Mapping[str, float], float], Iterator[Problem]]
    """Readings that no such shape can have, each length allowed to be so many mm out."""
    derived: Callable[[Mapping[str, float]], Mapping[str, float]]
    """What else follows from the parameters: radius, span, angles."""
    stands: Callable[[Mapping[str, float]], bool]
    """Whether parameters make an opening at all: the right way round, and leaning no more than a house does."""
    remark: Callable[[Mapping[str, float], Mapping[str, float]], str] = lambda _estimate, _sd: ""
    """What to say of parameters with these standard deviations, though the readings agree."""
    upright: tuple[str, ...] = ()
    """Readings that are 0 in a true opening; they stand in where none was taken."""
    bevels: frozenset[str] = field(default=frozenset())
    """Readings in degrees."""

    def sd(self, place: str) -> float:
        """The usual standard deviation of a reading."""
        if place in self.bevels:
            return BEVEL_DEG
        return LEVEL_MM if place in LEVELS else TAPE_MM

    def observe(self, places: Sequence[str], p: Floats) -> tuple[Floats, Floats]:
        """What readings would say, ``(..., n)``, and their slopes, ``(..., n, u)``."""
        u = len(self.parameters)
        stepped = p[..., None, :] + 1j * STEP * np.eye(u)
        said = self.read({name: stepped[..., i] for i, name in enumerate(self.parameters)})
        values = np.stack(np.broadcast_arrays(*(said[place] for place in places)), -1)
        return values[..., 0, :].real.copy(), np.swapaxes(values.imag / STEP, -1, -2)


LEVELS = frozenset({"Ls", "Lp", "Pl", "Pr"})
"""Read with a level: of the sill, between the springing marks, and the plumb of the jambs."""


MOST_LEAN = 0.25
"""No jamb, sill or springing line stands farther from plumb or level, rise over run. House default."""


def stands_upright(low: Point, right: Point, over_left: Point, over_right: Point) -> bool:
    """Whether four corners go round an opening, jambs near plumb and sill near level."""
    (xb, yb), (xl, yl), (xr, yr) = ((x - low[0], y - low[1]) for x, y in (right, over_left, over_right))
    leans = [(abs(yb), xb), (abs(xl), yl), (abs(xr - xb), yr - yb)]
    return xr > xl and all(run > 0 and off <= MOST_LEAN * run for off, run in leans)


def mean_by_place(readings: Sequence[Read]) -> dict[str, float]:
    """Readings with those of one place averaged."""
    places = dict.fromkeys(r.place for r in readings)
    return {place: float(np.mean([r.value for r in readings if r.place == place])) for place in places}


def distance(x: Cells, y: Cells) -> Cells:
    """Length of a line, good for complex steps; 0 has no slope."""
    square = np.asarray(x * x + y * y)
    return np.where(square == 0, 0.0, np.sqrt(np.where(square == 0, 1.0, square)))


def angle_deg(x: Cells, y: Cells) -> Cells:
    """Angle of a direction, degrees anticlockwise from x, good for complex steps."""
    x, y = np.asarray(x, complex), np.asarray(y, complex)
    square = x.real**2 + y.real**2
    slope = (x.real * y.imag - y.real * x.imag) / np.where(square == 0, 1.0, square)
    return np.asarray(np.degrees(np.arctan2(y.real, x.real)) + 1j * np.degrees(slope))
