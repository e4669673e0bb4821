"""Explanations of readings that disagree, other than one or two readings wrong on their own.

A whole set of readings goes wrong alike: all widths read from the tape's case, all bows called the wrong way. Or
the readings are right and the opening is not what it is taken for: its head is arched or raked, an edge bulges.
Each is weighed as a misread is (``opening.explain``): a set read ``a`` too long moves the whitened readings by
``a v``; an odd shape is an error of the stand-in that says "level" or "straight".
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass

import numpy as np

from jambwright.opening.least_squares import UNCHECKED
from jambwright.opening.quartered import STEP
from jambwright.opening.shape import Floats, Place
from jambwright.readings.reading import LENGTHS
from jambwright.readings.slips import LEAST_SLIP_MM, MOST_SLIP_MM

CHANCE_ALIKE = {"width": 0.003, "height": 0.003, "diagonal": 0.001, "": 0.001}
"""Chance that all readings of a kind, or all lengths, are off alike: read from the tape's case, from a hook, over
a batten. Common practice, no published source."""

CHANCE_TURNED = 0.0005
"""Chance that all offsets of a kind were called the wrong way. Common practice, no published source."""

ARCHED, RAKED, BULGED, STEPPED = "arched", "raked", "bulged", "stepped"
CHANCE_OF_SHAPE = {ARCHED: 0.01, RAKED: 0.005, BULGED: 0.002, STEPPED: 0.004}
"""Chance that a head is arched or raked, that one edge bulges by more than edges do, or that one of the jambs is
stepped at a quarter point. House values."""

LEAST_SHAPE_MM, MOST_SHAPE_MM = 10.0, 600.0
"""How odd an odd shape is: between these, every size ratio as likely as another. House values."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OddShape:
    """One way in which an opening is not the near rectangle it is taken for."""

    kind: str
    edge: str
    row: int
    """Of the stand-in that is wrong."""
    read: bool
    """Whether the edge's own bow or level was read, so that the shape is known and nothing is doubted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wholes:
    """The explanations of this module that a net's rows allow."""

    alike: tuple[tuple[int, ...], ...]
    """Rows of readings that may be off alike."""
    alike_chance: Floats
    turned: tuple[tuple[int, ...], ...]
    """Rows of offsets of a kind."""
    shapes: tuple[OddShape, ...]
    patterns: Floats
    """(a + h, rows): millimetres of each row for one millimetre of each set off alike, then of each shape."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """Logarithms of the odds against "none wrong"; -inf where the readings can't tell."""

    alike: Floats
    """(..., a)"""
    alike_mm: Floats
    """(..., a): how much too long the set would be."""
    turned: Floats
    """(..., t)"""
    shapes: Floats
    """(..., h)"""
    shapes_mm: Floats
    """(..., h): how far the edge would stand off, + outward or right end high."""
    shapes_read: Floats
    """(h,) of bool"""

    @property
    def wrong(self) -> Floats:
        """Odds of what must be settled before the readings can be used, (..., x)."""
        unread = np.where(self.shapes_read, -np.inf, self.shapes)
        return np.concatenate([self.alike, self.turned, unread], -1)

    @property
    def log_well(self) -> Floats:
        """Logarithm of the odds of "all is well" against "nothing is wrong and nothing odd", (...)."""
        known = np.where(self.shapes_read, self.shapes, -np.inf)
        nothing = np.zeros((*known.shape[:-1], 1))
        return np.asarray(np.logaddexp.reduce(np.concatenate([nothing, known], -1), -1))

    def over(self, log_chance: Floats) -> Together:
        """These odds over several scales, axis -1 of ``log_chance``, and the amounts of the likeliest."""
        return Together(
            alike=mixed(self.alike, log_chance, 1),
            alike_mm=_likeliest(self.alike_mm, self.alike, log_chance),
            turned=mixed(self.turned, log_chance, 1),
            shapes=mixed(self.shapes, log_chance, 1),
            shapes_mm=_likeliest(self.shapes_mm, self.shapes, log_chance),
            shapes_read=self.shapes_read,
        )


def mixed(odds: Floats, log_chance: Floats, own_axes: int) -> Floats:
    """Logarithms of odds (..., k, *own) as one, each scale k by its chance (..., k)."""
    weighed = odds + log_chance.reshape(*log_chance.shape, *[1] * own_axes)
    return np.asarray(np.logaddexp.reduce(weighed, -1 - own_axes))


def _likeliest(amounts: Floats, odds: Floats, log_chance: Floats) -> Floats:
    best = np.argmax(odds + log_chance[..., None], -2)
    return np.take_along_axis(amounts, best[..., None, :], -2)[..., 0, :]


def size_density(amount_mm: Floats, least_mm: float = LEAST_SLIP_MM, most_mm: float = MOST_SLIP_MM) -> Floats:
    """Logarithm of the density of an amount's size, each ratio of sizes as likely as another."""
    size = np.clip(np.abs(amount_mm), least_mm, most_mm)
    return np.asarray(-np.log(2 * size * (1 + math.log(most_mm / least_mm))))


@functools.lru_cache(maxsize=4096)
def wholes_for(places: tuple[Place, ...], stand_ins: tuple[Place, ...]) -> Wholes:
    """The sets and shapes that these readings and stand-ins allow."""
    by_kind = {
        kind: tuple(n for n, place in enumerate(places) if place[0] == kind)
        for kind in dict.fromkeys(kind for kind, _ in places)
    }
    lengths: dict[str, tuple[int, ...]] = {kind: rows for kind, rows in by_kind.items() if kind in LENGTHS}
    several: dict[str, tuple[int, ...]] = {
        kind: rows for kind, rows in lengths.items() if len({places[n] for n in rows}) > 1
    }
    if len(lengths) > 1:
        several[""] = tuple(n for rows in lengths.values() for n in rows)
    turned = tuple(rows for kind, rows in by_kind.items() if kind not in LENGTHS and len(rows) > 1)
    shapes = tuple(
        odd
        for row, place in enumerate(stand_ins, len(places))
        if (odd := odd_shape(place, row, places)) is not None
    )
    total = len(places) + len(stand_ins)
    patterns = [[float(row in rows) for row in range(total)] for rows in several.values()]
    patterns += [[float(row == shape.row) for row in range(total)] for shape in shapes]
    return Wholes(
        alike=tuple(several.values()),
        alike_chance=np.array([CHANCE_ALIKE[kind] for kind in several]),
        turned=turned,
        shapes=shapes,
        patterns=np.array(patterns).reshape(-1, total),
    )


def odd_shape(stand_in: Place, row: int, places: tuple[Place, ...]) -> OddShape | None:
    """What it would mean that an edge is not as straight or level as the stand-in says."""
    kind, at = stand_in
    if stand_in == ("level", "head"):
        return OddShape(kind=RAKED, edge=at, row=row, read=stand_in in places)
    if kind == "bow":
        return OddShape(kind=ARCHED if at == "head" else BULGED, edge=at, row=row, read=stand_in in places)
    side, _, quarter = at.partition(" ")
    width = ("width", quarter)
    if kind == STEP and side == "left" and width in places:
        # the left jamb speaks for both: no width tells which. One figure may be a misread, two that agree are not
        edge = quarter.replace("_", " ")
        return OddShape(kind=STEPPED, edge=edge, row=row, read=places.count(width) > 1)
    return None


def weigh_together(wholes: Wholes, read: Floats, z: Floats, maker: Floats, sigmas: Floats) -> Together:
    """Odds of every set and shape, for readings ``(..., n)`` and all rows' ``z``, ``maker`` and ``sigmas``."""
    amounts, gain = _amounts(wholes.patterns / sigmas[..., None, :], z, maker)
    many = len(wholes.alike)
    alike_mm, shapes_mm = amounts[..., :many], amounts[..., many:]
    chance = np.log([_chance(shape) for shape in wholes.shapes]).reshape(-1)
    inward = np.array([shape.kind == ARCHED for shape in wholes.shapes], bool) & (shapes_mm < 0)
    # a head that hangs is no arch
    chance = np.where(inward, math.log(CHANCE_OF_SHAPE[BULGED]), chance)
    return Together(
        alike=gain[..., :many] + size_density(alike_mm) + np.log(wholes.alike_chance),
        alike_mm=alike_mm,
        turned=_turned(wholes, read, z, maker, sigmas),
        shapes=gain[..., many:] + size_density(shapes_mm, LEAST_SHAPE_MM, MOST_SHAPE_MM) + chance,
        shapes_mm=shapes_mm,
        shapes_read=np.array([shape.read for shape in wholes.shapes], bool),
    )


def _chance(shape: OddShape) -> float:
    return CHANCE_OF_SHAPE[shape.kind]


def _amounts(patterns: Floats, z: Floats, maker: Floats) -> tuple[Floats, Floats]:
    """Best amount of each whitened pattern (..., x, rows), and what it gains with its own spread counted in."""
    seen = np.sum((patterns @ maker) * patterns, -1)
    size = np.sum(patterns**2, -1)
    checked = seen > UNCHECKED * size
    safe = np.where(checked, seen, 1.0)
    along = np.sum(patterns * z[..., None, :], -1)
    gain = along**2 / safe / 2 + np.log(2 * np.pi / safe) / 2
    return np.where(checked, along / safe, 0.0), np.where(checked, gain, -np.inf)


def _turned(wholes: Wholes, read: Floats, z: Floats, maker: Floats, sigmas: Floats) -> Floats:
    found = np.full((*z.shape[:-1], len(wholes.turned)), -np.inf)
    for n, rows in enumerate(wholes.turned):
        some = list(rows)
        d = -2 * read[..., some] / sigmas[..., some]
        change = 2 * np.sum(d * z[..., some], -1)
        change = change + np.einsum("...i,...ij,...j->...", d, maker[..., some, :][..., some], d)
        found[..., n] = np.where(np.any(d != 0, -1), math.log(CHANCE_TURNED) - change / 2, -np.inf)
    return found
