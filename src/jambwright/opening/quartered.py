"""The four-cornered opening whose jambs were measured at their quarter points too, so that a step shows.

The near rectangle with four more points: each jamb's quarter points stand where a jamb half way between bent and
curved would have them, and so much further into the opening. A quarter width tells what both jambs do together;
which of them stands out, no width tells.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from jambwright.opening.rectangle import BL, BR, ML, MR, RECTANGLE, TL, TR, RectangleShape
from jambwright.opening.shape import Floats, Place, Shape, Side
from jambwright.readings import QUARTERS
from jambwright.readings.reading import Reading

BENT, CURVED = 0.5, 0.75
"""Share of a jamb's bow that stands at its quarter points: of one bent at its middle, of a parabola (calculated)."""

OWN = len(RECTANGLE.parameters)
"""Where the parameters of the quarter points start."""

STEP = "step"
"""Kind of the stand-ins that say "no step"; nobody reads them."""

_QUARTERS = tuple((side, at) for _, at in QUARTERS for side in ("left", "right"))
_STEPS: dict[Place, int] = {(STEP, f"{side} {at}"): OWN + n for n, (side, at) in enumerate(_QUARTERS)}
_ENDS = {("left", "lower_quarter"): (BL, TL, ML), ("left", "upper_quarter"): (TL, BL, ML),
         ("right", "lower_quarter"): (BR, TR, MR), ("right", "upper_quarter"): (TR, BR, MR)}  # fmt: skip
"""Nearer end, farther end and middle of each quarter point's jamb."""

_INTO = np.array([1.0, -1.0, 1.0, -1.0])
"""Into the opening, along x."""

_ORDER = (0, 1, 2, 9, 3, 11, 4, 5, 6, 10, 7, 8)
"""Eight vertices of the rectangle and four quarter points (8 to 11), as they follow anticlockwise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class QuarteredShape:
    """A rectangle gone crooked, each jamb with its middle and both its quarter points, mm."""

    plain: RectangleShape = RECTANGLE
    parameters: tuple[str, ...] = (
        *RECTANGLE.parameters,
        *(f"step_{side}_{at}" for side, at in _QUARTERS),
    )
    sides: tuple[Side, ...] = (
        "bottom", "bottom", "right", "right", "right", "right", "head", "head", "left", "left", "left", "left",
    )  # fmt: skip

    @property
    def bows(self) -> dict[Place, int]:
        """As of the rectangle."""
        return self.plain.bows

    @property
    def steps(self) -> dict[Place, int]:
        """How far each quarter point stands in beside a smooth jamb's, and its parameter."""
        return _STEPS

    @property
    def lengths(self) -> tuple[Place, ...]:
        """Those of the rectangle and the quarter widths."""
        return (*self.plain.lengths, *QUARTERS)

    @property
    def upright(self) -> tuple[Place, ...]:
        """As of the rectangle."""
        return self.plain.upright

    def edges_mm(self, p: Floats) -> tuple[float, float]:
        """As of the rectangle."""
        return self.plain.edges_mm(p)

    def start(self, places: Sequence[Place], observed: Floats) -> Floats:
        """As of the rectangle, without steps."""
        own = self.plain.start(places, observed)
        return np.concatenate([own, np.zeros((*own.shape[:-1], len(_STEPS)))], -1)

    def observe(self, places: Sequence[Place], p: Floats) -> tuple[Floats, Floats]:
        """What error-free readings would say, and their gradients."""
        values = np.zeros((*p.shape[:-1], len(places)))
        gradients = np.zeros((*values.shape, p.shape[-1]))
        plain = [n for n, place in enumerate(places) if place not in _STEPS and place not in QUARTERS]
        values[..., plain], gradients[..., plain, :OWN] = self.plain.observe(
            tuple(places[n] for n in plain), p[..., :OWN]
        )
        steps = [n for n, place in enumerate(places) if place in _STEPS]
        at = [_STEPS[places[n]] for n in steps]
        values[..., steps], gradients[..., steps, at] = p[..., at], 1.0
        quarters = [n for n, place in enumerate(places) if place in QUARTERS]
        if quarters:
            points = self._quarter_points(p, *self._plain_boundary(p))
            values[..., quarters], gradients[..., quarters, :] = _widths(
                [places[n] for n in quarters], *points
            )
        return values, gradients

    def smooth_widths(
        self, places: Sequence[Place], p: Floats, bows: Sequence[float]
    ) -> tuple[Floats, Floats]:
        """Quarter widths between smooth jambs of a rectangle ``p`` (10,), (k, n), and their gradients (k, n, 10).

        Each of ``bows`` is the share of a jamb's bow at its quarter points.
        """
        own = np.concatenate([p, np.zeros(len(_STEPS))])
        made = [_widths(places, *self._quarter_points(own, *self._plain_boundary(own), bow)) for bow in bows]
        return np.array([v for v, _ in made]), np.array([slopes[:, :OWN] for _, slopes in made])

    def boundary(self, p: Floats) -> tuple[Floats, Floats]:
        """Twelve vertices anticlockwise from the bottom left."""
        vertices, slopes = self._plain_boundary(p)
        points, moves = self._quarter_points(p, vertices, slopes)
        order = list(_ORDER)
        return (
            np.concatenate([vertices, points], -2)[..., order, :],
            np.concatenate([slopes, moves], -3)[..., order, :, :],
        )

    def corners(self, p: Floats) -> dict[str, Floats]:
        """The four corners."""
        return self.plain.corners(p[..., :OWN])

    def mid_edges(self, p: Floats) -> dict[str, Floats]:
        """The four mid-points, bow included."""
        return self.plain.mid_edges(p[..., :OWN])

    def tables(self, bow: float = (BENT + CURVED) / 2) -> dict[str, Any]:
        """The same model as plain values, as ``RectangleShape.tables`` has them; ``bow`` as of ``smooth_widths``.

        Each of ``points`` is a vertex, the vertices that it is the sum of with their weights, its step's parameter
        and which way along x that goes.
        """
        plain = self.plain.tables()
        first = plain["vertices"]
        of = [zip(_ENDS[quarter], _shares(bow), strict=True) for quarter in _QUARTERS]
        points = [
            [first + n, [[vertex, share] for vertex, share in each], OWN + n, into]
            for n, (each, into) in enumerate(zip(of, _INTO.tolist(), strict=True))
        ]
        widths = {" ".join(place): [first + 2 * n, first + 2 * n + 1] for n, place in enumerate(QUARTERS)}
        return plain | {
            "parameters": len(self.parameters),
            "vertices": first + len(points),
            "steps": {" ".join(place): parameter for place, parameter in _STEPS.items()},
            "points": points,
            "distances": plain["distances"] | widths,
        }

    def _plain_boundary(self, p: Floats) -> tuple[Floats, Floats]:
        vertices, slopes = self.plain.boundary(p[..., :OWN])
        more = np.zeros((*slopes.shape[:-1], p.shape[-1] - OWN))
        return vertices, np.concatenate([slopes, more], -1)

    def _quarter_points(
        self, p: Floats, vertices: Floats, slopes: Floats, bow: float = (BENT + CURVED) / 2
    ) -> tuple[Floats, Floats]:
        """In the order of the steps, (..., 4, 2), and their gradients."""
        near, far, middle = np.array([_ENDS[quarter] for quarter in _QUARTERS]).T
        shares = tuple(zip(_shares(bow), (near, far, middle), strict=True))
        points = np.add.reduce([share * vertices[..., rows, :] for share, rows in shares])
        moves = np.add.reduce([share * slopes[..., rows, :, :] for share, rows in shares])
        rows = np.arange(len(_QUARTERS))
        points[..., 0] += _INTO * p[..., OWN:]
        moves[..., rows, 0, OWN + rows] += _INTO
        return points, moves


def _shares(bow: float) -> tuple[float, float, float]:
    """Weights of a jamb's nearer end, farther end and middle in its quarter point."""
    return 0.75 - bow / 2, 0.25 - bow / 2, bow


def _widths(places: Sequence[Place], points: Floats, slopes: Floats) -> tuple[Floats, Floats]:
    """Quarter widths (..., n) between quarter points in the order of the steps, and their gradients."""
    left = np.array([2 * QUARTERS.index(place) for place in places], int)
    line = points[..., left + 1, :] - points[..., left, :]
    length = np.maximum(np.hypot(line[..., 0], line[..., 1]), 1e-9)
    moved = slopes[..., left + 1, :, :] - slopes[..., left, :, :]
    return length, np.sum((line / length[..., None])[..., None] * moved, -2)


QUARTERED = QuarteredShape()


def shape_for(readings: Sequence[Reading]) -> Shape:
    """The near rectangle, with the quarter points of its jambs where a width was measured there."""
    read = any((r.kind, r.at) in QUARTERS for r in readings if r.how == "measured")
    return QUARTERED if read else RECTANGLE
