"""The four-cornered opening: corners anywhere near a rectangle, each edge bowed by its mid-point."""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.opening.shape import Floats, Place, Side
from jambwright.readings import PLACES
from jambwright.readings.reading import LENGTHS

Ints = NDArray[np.int_]

# vertices of the boundary, anticlockwise
BL, MS, BR, MR, TR, MH, TL, ML = range(8)

_CORNER_PARAMETER = {BR: 0, TR: 2, TL: 4}
"""First parameter of each corner but the bottom left, which stays at the origin."""

_MIDS = ((ML, BL, TL, 6), (MR, BR, TR, 7), (MS, BL, BR, 8), (MH, TL, TR, 9))
"""Mid-point, ends of its edge, parameter of its bow."""

_MID, _MID_FROM, _MID_TO, _MID_BOW = np.array(_MIDS).T
_MID_TURN = np.array([-1.0, 1.0, 1.0, -1.0])
"""From the edge's direction to the inside."""

_MID_OWN = np.eye(10)[_MID_BOW]
"""Which parameter is the mid-point's own bow."""

_QUARTER_TURN = np.array([[0.0, -1.0], [1.0, 0.0]])
"""Turns a vector anticlockwise by a right angle."""

_DISTANCES: Mapping[Place, tuple[int, int]] = {
    ("width", "bottom"): (BL, BR),
    ("width", "middle"): (ML, MR),
    ("width", "top"): (TL, TR),
    ("height", "left"): (BL, TL),
    ("height", "centre"): (MS, MH),
    ("height", "right"): (BR, TR),
    ("diagonal", "rising"): (BL, TR),
    ("diagonal", "falling"): (TL, BR),
}
_OFFSETS: Mapping[Place, tuple[int, int, int]] = {
    ("level", "sill"): (BL, BR, 1),
    ("level", "head"): (TL, TR, 1),
    ("plumb", "left"): (BL, TL, 0),
    ("plumb", "right"): (BR, TR, 0),
}
CAP_MM = 60.0
"""A length further off than this counts no worse when a rough outline is sought."""

_BOWS: dict[Place, int] = {("bow", "left"): 6, ("bow", "right"): 7, ("bow", "sill"): 8, ("bow", "head"): 9}


@dataclass(frozen=True, slots=True, kw_only=True)
class RectangleShape:
    """A rectangle gone crooked: three free corners (the bottom left is the origin) and four bows, mm."""

    parameters: tuple[str, ...] = (
        "bottom_right_x", "bottom_right_y", "top_right_x", "top_right_y", "top_left_x", "top_left_y",
        "bow_left", "bow_right", "bow_sill", "bow_head",
    )  # fmt: skip
    sides: tuple[Side, ...] = ("bottom", "bottom", "right", "right", "head", "head", "left", "left")

    @property
    def bows(self) -> dict[Place, int]:
        """The places where the bow of an edge is read, and its parameter."""
        return _BOWS

    @property
    def steps(self) -> dict[Place, int]:
        """None: an edge is known at its ends and its middle."""
        return {}

    @property
    def lengths(self) -> tuple[Place, ...]:
        """Three widths, three heights, two diagonals."""
        return tuple(_DISTANCES)

    @property
    def upright(self) -> tuple[Place, ...]:
        """Levels and plumbs: 0 in a true opening."""
        return tuple(_OFFSETS)

    def edges_mm(self, p: Floats) -> tuple[float, float]:
        """Width and height, roughly."""
        return float(abs(p[..., 0])), float(abs(p[..., 5]))

    def start(self, places: Sequence[Place], observed: Floats) -> Floats:
        """The level rectangle that most lengths agree with, each misfit counted up to a cap.

        ``BadInput`` names what lacks when no width or no height was read.
        """
        at = {kind: [n for n, place in enumerate(places) if place[0] == kind] for kind in PLACES}
        raise_if_any(
            Problem("readings", f"No {kind} was read; measure at least one {kind}, better all three.")
            for kind in ("width", "height")
            if not at[kind]
        )
        widths, heights, diagonals = (observed[..., at[kind]] for kind in LENGTHS)
        w = widths[..., :, None, None]
        h = heights[..., None, :, None]
        misfit = sum(
            np.minimum(np.abs(read[..., None, None, :] - expected), CAP_MM).sum(-1)
            for read, expected in ((widths, w), (heights, h), (diagonals, np.hypot(w, h)))
        )
        best = np.argmin(np.reshape(misfit, (*observed.shape[:-1], -1)), -1)
        w_best = np.take_along_axis(widths, (best // heights.shape[-1])[..., None], -1)[..., 0]
        h_best = np.take_along_axis(heights, (best % heights.shape[-1])[..., None], -1)[..., 0]
        zero = np.zeros_like(w_best)
        return np.stack([w_best, zero, w_best, h_best, zero, h_best, zero, zero, zero, zero], -1)

    def observe(self, places: Sequence[Place], p: Floats) -> tuple[Floats, Floats]:
        """What error-free readings would say, and their gradients."""
        vertices, slopes = self.boundary(p)
        rows = _rows_of(tuple(places))
        values = np.empty((*p.shape[:-1], len(places)))
        gradients = np.zeros((*values.shape, p.shape[-1]))
        values[..., rows.bows] = p[..., rows.bow_parameters]
        gradients[..., rows.bows, rows.bow_parameters] = 1.0
        a, b, axis = rows.offset_ends
        values[..., rows.offsets] = vertices[..., b, axis] - vertices[..., a, axis]
        gradients[..., rows.offsets, :] = slopes[..., b, axis, :] - slopes[..., a, axis, :]
        a, b = rows.distance_ends
        line = vertices[..., b, :] - vertices[..., a, :]
        length = np.hypot(line[..., 0], line[..., 1])
        unit = line / np.maximum(length, 1e-9)[..., None]
        values[..., rows.distances] = length
        gradients[..., rows.distances, :] = _along(unit, slopes[..., b, :, :] - slopes[..., a, :, :])
        return values, gradients

    def boundary(self, p: Floats) -> tuple[Floats, Floats]:
        """Eight vertices anticlockwise from the bottom left: corners and mid-points in turn."""
        vertices = np.zeros((*p.shape[:-1], 8, 2))
        slopes = np.zeros((*vertices.shape, p.shape[-1]))
        for corner, first in _CORNER_PARAMETER.items():
            vertices[..., corner, :] = p[..., first : first + 2]
            slopes[..., corner, 0, first] = slopes[..., corner, 1, first + 1] = 1.0
        mid, a, b, bow = _MID, _MID_FROM, _MID_TO, _MID_BOW
        line = vertices[..., b, :] - vertices[..., a, :]
        d_line = slopes[..., b, :, :] - slopes[..., a, :, :]
        length = np.maximum(np.hypot(line[..., 0], line[..., 1]), 1e-9)
        unit = line / length[..., None]
        d_unit = (d_line - unit[..., None] * _along(unit, d_line)[..., None, :]) / length[..., None, None]
        inward = (unit @ _QUARTER_TURN.T) * _MID_TURN[:, None]
        d_inward = (_QUARTER_TURN @ d_unit) * _MID_TURN[:, None, None]
        half = (vertices[..., a, :] + vertices[..., b, :]) / 2
        vertices[..., mid, :] = half + p[..., bow, None] * inward
        d_half = (slopes[..., a, :, :] + slopes[..., b, :, :]) / 2
        slopes[..., mid, :, :] = (
            d_half + p[..., bow, None, None] * d_inward + inward[..., None] * _MID_OWN[:, None, :]
        )
        return vertices, slopes

    def corners(self, p: Floats) -> dict[str, Floats]:
        """The four corners."""
        vertices, _ = self.boundary(p)
        return {
            "bottom_left": vertices[..., BL, :],
            "bottom_right": vertices[..., BR, :],
            "top_right": vertices[..., TR, :],
            "top_left": vertices[..., TL, :],
        }

    def mid_edges(self, p: Floats) -> dict[str, Floats]:
        """The four mid-points, bow included."""
        vertices, _ = self.boundary(p)
        return {
            "left": vertices[..., ML, :],
            "right": vertices[..., MR, :],
            "sill": vertices[..., MS, :],
            "head": vertices[..., MH, :],
        }

    def tables(self) -> dict[str, Any]:
        """The same model as plain values, places as "width bottom".

        ``corners`` and ``mid_edges`` say which parameters a vertex is made of: a corner's own two, or the ends of an
        edge, its bow and the turn to its inside; of ``points`` there are none. An offset is a coordinate's difference
        between two vertices, a distance runs from one to the other.
        """
        names = dict(zip(("bottom_right", "top_right", "top_left"), _CORNER_PARAMETER, strict=True))
        mids = zip(("left", "right", "sill", "head"), _MIDS, _MID_TURN, strict=True)
        return {
            "parameters": len(self.parameters),
            "vertices": BL + len(self.sides),
            "corners": {"bottom_left": [BL, None]}
            | {name: [vertex, _CORNER_PARAMETER[vertex]] for name, vertex in names.items()},
            "mid_edges": {name: [*mid, float(turn)] for name, mid, turn in mids},
            "bows": {" ".join(place): parameter for place, parameter in _BOWS.items()},
            "offsets": {" ".join(place): list(ends) for place, ends in _OFFSETS.items()},
            "steps": {},
            "points": [],
            "distances": {" ".join(place): list(ends) for place, ends in _DISTANCES.items()},
            "edges": [0, 5],
            "cap_mm": CAP_MM,
        }


RECTANGLE = RectangleShape()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rows:
    """Rows of a list of places by what is read there, and which vertices or parameters they hang on."""

    bows: Ints
    bow_parameters: Ints
    offsets: Ints
    offset_ends: Ints
    """Rows: from, to, axis."""
    distances: Ints
    distance_ends: Ints
    """Rows: from, to."""


@functools.lru_cache(maxsize=4096)
def _rows_of(places: tuple[Place, ...]) -> _Rows:
    """Looked up once for each list of places: an adjustment asks again at every step."""
    for kind, at in places:
        if (kind, at) not in _BOWS and (kind, at) not in _OFFSETS and (kind, at) not in _DISTANCES:
            raise BadInput.one("readings", f"A {kind} can't be read at `{at}`.")
    bows, offsets, distances = (
        [n for n, place in enumerate(places) if place in known] for known in (_BOWS, _OFFSETS, _DISTANCES)
    )
    return _Rows(
        bows=np.array(bows, int),
        bow_parameters=np.array([_BOWS[places[n]] for n in bows], int),
        offsets=np.array(offsets, int),
        offset_ends=np.array([_OFFSETS[places[n]] for n in offsets], int).reshape(-1, 3).T,
        distances=np.array(distances, int),
        distance_ends=np.array([_DISTANCES[places[n]] for n in distances], int).reshape(-1, 2).T,
    )


def _along(unit: Floats, d_line: Floats) -> Floats:
    """How lines ``(..., k)`` in direction ``unit`` grow as their ends move, ``(..., k, u)``."""
    return np.asarray((unit[..., None, :] @ d_line)[..., 0, :])
