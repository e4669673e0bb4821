"""The hole for a frame that stands behind nibs: some sides of the outer leaf's outline, some of the inner reveal's.

A rebated reveal is read twice: the hole seen from outside, between the nibs, and the hole behind them, between
the inner reveals. The nib of a side says how far the inner reveal stands back from the nib's edge, and so how
the two outlines lie on each other. Sides without a nib are the outer outline's. What is known of both
outlines and of the nibs is kept together, so that the chance of a frame counts every reading once.
"""

from __future__ import annotations

import functools
import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.linalg import block_diag

from jambwright.basis.problems import BadInput
from jambwright.opening.belief import Belief
from jambwright.opening.contacts import INWARD, reach, touch
from jambwright.opening.outline import Outline
from jambwright.opening.shape import SIDES, Floats, Side
from jambwright.opening.space import Point, Space

TURN: tuple[Side, ...] = ("bottom", "right", "head", "left")
"""Sides in the order of a boundary, anticlockwise from the bottom left."""

ACROSS: tuple[Side, ...] = ("left", "right")
UP: tuple[Side, ...] = ("head", "bottom")
SAME_MM = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Nib:
    """How far the inner reveal of one side stands back from the edge of its nib, mm."""

    mm: float
    sigma_mm: float


@dataclass(frozen=True, slots=True)
class _Points:
    """Points that move with the parameters: (n, 2) and their gradients (n, 2, u)."""

    at: Floats
    slopes: Floats

    def __getitem__(self, rows: slice | list[int]) -> _Points:
        return _Points(self.at[rows], self.slopes[rows])

    def moved(self, by: _Points) -> _Points:
        """All points moved by one vector."""
        return _Points(self.at + by.at, self.slopes + by.slopes)


@dataclass(frozen=True, eq=False, kw_only=True)
class BehindNibs:
    """Two outlines and the nibs between them; its own coordinates are those of the outer outline.

    One is told from another by itself, as an outline is. While the inside was not read (``inside`` is none) its
    sides are taken to run as the outer ones do.
    """

    outside: Outline
    inside: Outline | None
    nibs: Mapping[Side, Nib]
    """By side; a side left out has no nib."""

    @property
    def parameters(self) -> Floats:
        """Those of the outer outline, of the inner one, and the nibs in the order of ``SIDES``."""
        read = [self.outside.parameters] + ([self.inside.parameters] if self.inside else [])
        return np.concatenate([*read, [nib.mm for _, nib in self._nibs()]])

    def belief(self) -> Belief:
        """What is believed of the parameters; the two outlines and each nib were read on their own."""
        known = [outline.belief() for outline in self._outlines()]
        nibs = [nib for _, nib in self._nibs()]
        read, spread = [nib.mm for nib in nibs], np.diag([nib.sigma_mm**2 for nib in nibs])
        every = list(itertools.product(*(range(len(each.chance)) for each in known)))
        pick = [list(zip(known, some, strict=True)) for some in every]
        return Belief(
            chance=np.array([np.prod([each.chance[n] for each, n in some]) for some in pick]),
            means=np.array([np.concatenate([*(each.means[n] for each, n in some), read]) for some in pick]),
            spreads=np.array([block_diag(*(each.spreads[n] for each, n in some), spread) for some in pick]),
        )

    def bends(self) -> Floats:
        """Gradients of the space's points by the parameters, (m, 2, u)."""
        return self._joined[0].slopes

    def space(self) -> Space:
        """The hole as a space for a frame; ``BadInput`` when the two outlines make none."""
        return self._space

    @functools.cached_property
    def _space(self) -> Space:
        points, sides = self._joined
        space = Space(points=tuple((float(x), float(y)) for x, y in points.at), sides=sides)
        if space.crosses_itself:
            raise BadInput.one(
                "inside",
                "inside: the hole behind the nibs does not go with the hole seen from outside. Measure both again.",
            )
        return space

    @property
    def square_measured(self) -> bool:
        """Whether the readings of both faces determine their form."""
        return all(outline.square_measured for outline in self._outlines())

    @property
    def level_measured(self) -> bool:
        """Whether a level or plumb ties both faces to gravity."""
        return all(outline.level_measured for outline in self._outlines())

    def inner_at(self) -> Point:
        """Where the origin of the inner outline lies, seen from the outer one's."""
        x, y = self._shift.at[0]
        return float(x), float(y)

    def reveal_back_mm(self, side: Side) -> tuple[float, float, float]:
        """How far the inner reveal stands back from the nib's edge: at the ends and the middle of a side."""
        outer, inner = self.outside.space(), self.space()
        axis = 1 if side in ACROSS else 0
        low, high = _span(outer, axis)
        first, middle, last = (
            INWARD[side] * (reach(outer, side, at) - reach(inner, side, at))
            for at in (low, (low + high) / 2, high)
        )
        return first, middle, last

    def closure(self, first: Side, second: Side) -> tuple[float, float] | None:
        """By how much two opposite nibs and the readings of both faces miss each other, and its spread, mm.

        Positive when the hole behind the nibs was read wider than hole and nibs together. None where one of
        the sides has no nib, or the inside was not read.
        """
        if self.inside is None or first not in self.nibs or second not in self.nibs:
            return None
        a, b = self._gone_by(first), self._gone_by(second)
        axis = 0 if first in ACROSS else 1
        miss, slope = (a.at - b.at)[0, axis], (a.slopes - b.slopes)[0, axis]
        return float(INWARD[first] * miss), float(np.sqrt(slope @ self.belief().spread @ slope))

    def _outlines(self) -> tuple[Outline, ...]:
        return (self.outside, self.inside) if self.inside else (self.outside,)

    def _nibs(self) -> list[tuple[Side, Nib]]:
        return [(side, self.nibs[side]) for side in SIDES if side in self.nibs]

    def _vertices(self, outline: Outline) -> _Points:
        """An outline's own vertices by all parameters."""
        own, slopes = outline.shape.boundary(outline.parameters)
        wide = np.zeros((*slopes.shape[:-1], len(self.parameters)))
        start = 0 if outline is self.outside else len(self.outside.parameters)
        wide[..., start : start + slopes.shape[-1]] = slopes
        return _Points(np.asarray(own, float), wide)

    def _nib(self, side: Side) -> _Points:
        """The vector outward over a side's nib; of no length where there is none."""
        count, found = len(self.parameters), self._nibs()
        at, slopes = np.zeros((1, 2)), np.zeros((1, 2, count))
        axis = 0 if side in ACROSS else 1
        for n, (own, nib) in enumerate(found):
            if own == side:
                at[0, axis] = -INWARD[side] * nib.mm
                slopes[0, axis, count - len(found) + n] = -INWARD[side]
        return _Points(at, slopes)

    def _middle(self, outline: Outline, side: Side) -> _Points:
        """The middle of a side, square to it: along the side nothing is said."""
        axis = 0 if side in ACROSS else 1
        space = outline.space()
        met = touch(space, side, sum(_span(space, 1 - axis)) / 2)
        at, slopes = np.zeros((1, 2)), np.zeros((1, 2, len(self.parameters)))
        at[0, axis], slopes[0, axis] = met.limit, met.slope(self._vertices(outline).slopes)
        return _Points(at, slopes)

    def _gone_by(self, side: Side) -> _Points:
        """How far the inner outline must be moved for its side to stand behind the nib of that side."""
        assert self.inside is not None
        outer, inner, nib = self._middle(self.outside, side), self._middle(self.inside, side), self._nib(side)
        return _Points(outer.at + nib.at - inner.at, outer.slopes + nib.slopes - inner.slopes)

    @functools.cached_property
    def _shift(self) -> _Points:
        """How far the inner outline lies from the outer one: by the nibs, else centred across, heads level."""
        wanted = [s for s in ACROSS if s in self.nibs] or list(ACROSS)
        wanted += [s for s in UP if s in self.nibs] or ["head"]
        moves = [self._gone_by(side) for side in wanted]
        by_axis = [[m for m, s in zip(moves, wanted, strict=True) if s in group] for group in (ACROSS, UP)]
        means = [
            _Points(np.mean([m.at for m in each], axis=0), np.mean([m.slopes for m in each], axis=0))
            for each in by_axis
        ]
        return _Points(means[0].at + means[1].at, means[0].slopes + means[1].slopes)

    @functools.cached_property
    def _joined(self) -> tuple[_Points, tuple[Side, ...]]:
        """The chains of the four sides, each from its own face, cut where they meet."""
        chains = [self._chain(side) for side in TURN]
        corners = [_meet(chains[n - 1], chains[n]) for n in range(len(TURN))]
        points: list[_Points] = []
        sides: list[Side] = []
        for n, (side, chain) in enumerate(zip(TURN, chains, strict=True)):
            points += [corners[n], chain[slice(1, -1)]]
            sides += [side] * (len(chain.at) - 1)
        return (
            _Points(np.concatenate([p.at for p in points]), np.concatenate([p.slopes for p in points])),
            tuple(sides),
        )

    def _chain(self, side: Side) -> _Points:
        """The vertices of one side of the face that bounds the frame there."""
        if side not in self.nibs:
            return _side_of(self._vertices(self.outside), self.outside.shape.sides, side)
        if self.inside is None:
            return _side_of(self._vertices(self.outside), self.outside.shape.sides, side).moved(
                self._nib(side)
            )
        return _side_of(self._vertices(self.inside), self.inside.shape.sides, side).moved(self._shift)


def _side_of(vertices: _Points, sides: Sequence[Side], side: Side) -> _Points:
    """Vertices of a side from its start to its end, anticlockwise."""
    edges = [n for n, each in enumerate(sides) if each == side]
    # a side that runs over the end of the list starts after its first gap
    start = next(n for n in edges if sides[n - 1] != side)
    rows = [(start + n) % len(sides) for n in range(len(edges) + 1)]
    return vertices[rows]


def _meet(before: _Points, after: _Points) -> _Points:
    """Where the last edge of one side meets the first of the next."""
    end, start = before[slice(-1, None)], after[slice(0, 1)]
    if np.abs(end.at - start.at).max() < SAME_MM and np.abs(end.slopes - start.slopes).max() < SAME_MM:
        return end
    (a, b), (c, d) = before.at[-2:], after.at[:2]
    normals = np.array([_across(b - a), _across(d - c)])
    point = np.linalg.solve(normals, [normals[0] @ a, normals[1] @ c])
    # each line carries the point along with it, square to the line; along it the other line decides
    moves = [
        np.einsum("x,xu->u", normal, _carried(line, point))
        for normal, line in zip(normals, (before[slice(-2, None)], after[slice(0, 2)]), strict=True)
    ]
    return _Points(point[None, :], np.linalg.solve(normals, np.array(moves))[None, :, :])


def _carried(line: _Points, point: Floats) -> Floats:
    """How a point of a line moves when the line's ends do, (2, u)."""
    along = line.at[1] - line.at[0]
    share = float((point - line.at[0]) @ along / (along @ along))
    return np.asarray((1 - share) * line.slopes[0] + share * line.slopes[1])


def _across(vector: Floats) -> Floats:
    return np.array([-vector[1], vector[0]])


def _span(space: Space, axis: int) -> tuple[float, float]:
    along = [point[axis] for point in space.points]
    return min(along), max(along)
