"""What a shape of opening must be able to say. Nothing outside this package asks which shape it is.

A shape is a set of parameters, what a reading at a place would say for given parameters, and its boundary.
The clearances that it puts on a frame follow from the boundary and from which side each edge of it
belongs to (``opening.largest``), so a shape need not know about frames.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Side = Literal["left", "right", "head", "bottom"]
Place = tuple[str, str]
"""Kind and where: ``("width", "middle")``."""

SIDES: tuple[Side, ...] = ("left", "right", "head", "bottom")


class Shape(Protocol):
    """One family of outlines. ``p`` is ``(..., u)``: parameters of one opening or of many alike."""

    @property
    def parameters(self) -> tuple[str, ...]:
        """Names of the parameters, in order; all are millimetres."""
        ...

    @property
    def sides(self) -> tuple[Side, ...]:
        """Which side each edge of the boundary belongs to; edge i runs from vertex i to i + 1."""
        ...

    @property
    def bows(self) -> dict[Place, int]:
        """The places where the bow of an edge is read, and its parameter."""
        ...

    @property
    def steps(self) -> dict[Place, int]:
        """Stand-ins that nobody reads: how far a point stands off a smooth edge, and its parameter."""
        ...

    @property
    def lengths(self) -> tuple[Place, ...]:
        """The places where a length is read."""
        ...

    @property
    def upright(self) -> tuple[Place, ...]:
        """Places where a true opening would read 0; they stand in where lean or level was not measured."""
        ...

    def edges_mm(self, p: Floats) -> tuple[float, float]:
        """About how long a level and a plumb line run: along the sill, up a jamb."""
        ...

    def start(self, places: Sequence[Place], observed: Floats) -> Floats:
        """A rough outline from readings that may hold misreads, ``(..., n)`` to ``(..., u)``.

        ``BadInput`` names what lacks.
        """
        ...

    def observe(self, places: Sequence[Place], p: Floats) -> tuple[Floats, Floats]:
        """What error-free readings would say, ``(..., n)``, and their gradients, ``(..., n, u)``."""
        ...

    def boundary(self, p: Floats) -> tuple[Floats, Floats]:
        """Vertices anticlockwise from the bottom left, ``(..., m, 2)``; gradients ``(..., m, 2, u)``."""
        ...

    def corners(self, p: Floats) -> dict[str, Floats]:
        """Named corners."""
        ...

    def mid_edges(self, p: Floats) -> dict[str, Floats]:
        """Named mid-points of the edges."""
        ...
