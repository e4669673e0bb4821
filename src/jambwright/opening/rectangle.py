"""The four-cornered opening: corners anywhere near a rectangle, each edge bowed by its mid-point."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.opening.shape import Floats, Place, Side
from jambwright.readings import PLACES
from jambwright.readings.reading import LENGTHS

# vertices of the boundary, anticlockwise
BL, MS, BR, MR, TR, MH, TL, ML = range(8)

_CORNER_PARAMETER = {BR: 0, TR: 2, TL: 4}
"""First parameter of each corner but the bottom left, which stays at the origin."""

_MIDS = ((ML, BL, TL, -1.0, 6), (MR, BR, TR, 1.0, 7), (MS, BL, BR, 1.0, 8), (MH, TL, TR, -1.0, 9))
"""Mid-point, ends of its edge, turn from the edge's direction to the inside, parameter of its bow."""

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
        values = np.empty((*p.shape[:-1], len(places)))
        gradients = np.zeros((*values.shape, p.shape[-1]))
        for n, place in enumerate(places):
            if place in _BOWS:
                values[..., n] = p[..., _BOWS[place]]
                gradients[..., n, _BOWS[place]] = 1.0
            elif place in _OFFSETS:
                a, b, axis = _OFFSETS[place]
                values[..., n] = vertices[..., b, axis] - vertices[..., a, axis]
                gradients[..., n, :] = slopes[..., b, axis, :] - slopes[..., a, axis, :]
            elif place in _DISTANCES:
                a, b = _DISTANCES[place]
                line = vertices[..., b, :] - vertices[..., a, :]
                values[..., n] = np.hypot(line[..., 0], line[..., 1])
                unit = line / np.maximum(values[..., n, None], 1e-9)
                gradients[..., n, :] = np.einsum(
                    "...x,...xu->...u", unit, slopes[..., b, :, :] - slopes[..., a, :, :]
                )
            else:
                raise BadInput.one("readings", f"A {place[0]} can't be read at `{place[1]}`.")
        return values, gradients

    def boundary(self, p: Floats) -> tuple[Floats, Floats]:
        """Eight vertices anticlockwise from the bottom left: corners and mid-points in turn."""
        vertices = np.zeros((*p.shape[:-1], 8, 2))
        slopes = np.zeros((*vertices.shape, p.shape[-1]))
        for corner, first in _CORNER_PARAMETER.items():
            vertices[..., corner, :] = p[..., first : first + 2]
            slopes[..., corner, 0, first] = slopes[..., corner, 1, first + 1] = 1.0
        for mid, a, b, turn, bow in _MIDS:
            line = vertices[..., b, :] - vertices[..., a, :]
            d_line = slopes[..., b, :, :] - slopes[..., a, :, :]
            length = np.maximum(np.hypot(line[..., 0], line[..., 1]), 1e-9)[..., None]
            unit = line / length
            d_unit = (d_line - unit[..., None] * (unit[..., None, :] @ d_line)) / length[..., None]
            inward = turn * _quarter_turn(unit)
            vertices[..., mid, :] = (vertices[..., a, :] + vertices[..., b, :]) / 2 + p[
                ..., bow, None
            ] * inward
            slopes[..., mid, :, :] = (slopes[..., a, :, :] + slopes[..., b, :, :]) / 2
            slopes[..., mid, :, :] += p[..., bow, None, None] * turn * _quarter_turn(d_unit, axis=-2)
            slopes[..., mid, :, bow] += inward
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


RECTANGLE = RectangleShape()


def _quarter_turn(v: Floats, axis: int = -1) -> Floats:
    """Turn vectors anticlockwise by a right angle."""
    x, y = np.take(v, 0, axis), np.take(v, 1, axis)
    return np.stack([-y, x], axis)
