"""Made-up openings and surveys of them that owe nothing to the engine: own shapes, own errors, own judge.

An edge is a line of many points: straight, bent at its middle, curved, stepped or arched. Readings are taken off
these lines as a fitter would. Whether a frame goes in is tried against the lines themselves.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from jambwright.readings import PLACES, QUARTERS, Reading

Floats = NDArray[np.float64]
Place = tuple[str, str]

STATIONS = np.linspace(0.0, 1.0, 65)
"""Shares of an edge at which its points lie: ends, quarters and middle among them."""

SIXTEEN: tuple[Place, ...] = tuple((kind, at) for kind, places in PLACES.items() for at in places)
EIGHTEEN = (*SIXTEEN, *QUARTERS)
EIGHT = tuple(place for place in SIXTEEN if place[0] in ("width", "height", "diagonal"))
GAP_MM = 5.0
COMMON_MM = 0.5
"""Standard deviation of the error that all lengths of an opening share."""

MAKER_SIZE_MM, MAKER_DIAGONALS_MM = 1.0, 1.0
"""Standard deviations of a delivered frame's sizes and of the difference of its diagonals."""

STEP_FROM, STEP_TO = 0.15, 0.85


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """What walls and tools are like."""

    bows: Literal["uniform", "heavy", "none"] = "uniform"
    bow_mm: float = 8.0
    """Greatest bow, or the scale of heavy-tailed ones."""
    curved: bool = False
    """Bows are parabolas; else the edge is bent at its middle."""
    taper_mm: float = 15.0
    """Greatest difference between two opposite edges' leans."""
    lean: float = 1.0
    """Leans and levels, times those of an ordinary old house (4 mm/m, 3 mm at the least)."""
    step_mm: tuple[float, float] | None = None
    """Least and greatest step of one jamb."""
    arch_mm: float = 0.0
    """Rise of an arched head."""
    raked_mm: float = 0.0
    """Rise of a raked head from left to right."""
    tools: float = 1.0
    """Scatter of the readings, times the millimetre that is said."""
    hook_mm: float = 0.0
    """By how much the tape reads every length too long."""
    widths_mm: float = 0.0
    """By how much all widths were read alike too long."""
    written_to_mm: float = 1.0
    signs_turned: str = ""
    """Kind of offset whose readings were all called the wrong way round."""
    read: tuple[Place, ...] = SIXTEEN
    house: int = 1
    """How many openings are looked at together, read with the same tools."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A true opening: its four edges as points, (65, 2) each; from below up, from left to right."""

    left: Floats
    right: Floats
    sill: Floats
    head: Floats

    def says(self, place: Place) -> float:
        """What an error-free reading says."""
        kind, at = place
        if kind == "width":
            n = {"bottom": 0, "lower_quarter": 16, "middle": 32, "upper_quarter": 48, "top": 64}[at]
            return _far(self.left[n], self.right[n])
        if kind == "height":
            n = {"left": 0, "centre": 32, "right": 64}[at]
            return _far(self.sill[n], self.head[n])
        if kind == "diagonal":
            return (
                _far(self.left[0], self.right[-1]) if at == "rising" else _far(self.left[-1], self.right[0])
            )
        edge: Floats = getattr(self, at)
        across = edge[-1] - edge[0]
        if kind in ("level", "plumb"):
            return float(across[1] if kind == "level" else across[0])
        inward = {"left": 1.0, "right": -1.0, "sill": 1.0, "head": -1.0}[at]
        square = (
            np.array([across[1], -across[0]])
            if at in ("left", "right")
            else np.array([-across[1], across[0]])
        )
        return float(inward * (edge[32] - (edge[0] + edge[-1]) / 2) @ square / np.hypot(*across))

    def takes(self, width: float, height: float, errors: Floats) -> bool:
        """Whether a frame off by ``errors`` (width, height, head against bottom) goes in level and plumb."""
        low, high = 0.0, float(self.left[-1, 0] + width)
        for _ in range(2):
            base = _most(self.sill, 0, low, high) + GAP_MM
            top = -_most(self.head * [1.0, -1.0], 0, low, high) - GAP_MM
            racked = np.array([[1.0, 0.0], [errors[2] / height, 0.0]])
            left, right = (
                np.column_stack([side[:, 0] - racked[1, 0] * (side[:, 1] - base), side[:, 1]])
                for side in (self.left, self.right)
            )
            low = _most(left[:, ::-1], 0, base, base + height) + GAP_MM
            high = -_most(right[:, ::-1] * [1.0, -1.0], 0, base, base + height) - GAP_MM
        return bool(high - low >= width + errors[0] and top - base >= height + errors[1])


def _far(a: Floats, b: Floats) -> float:
    return float(np.hypot(*(b - a)))


def _most(edge: Floats, along: int, low: float, high: float) -> float:
    """Greatest of an edge's other coordinate between two stations along it."""
    at, value = edge[:, along], edge[:, 1 - along]
    inner = value[(at > low) & (at < high)]
    return float(max(*np.interp([low, high], at, value), *inner))


def holes(world: World, many: int, rng: np.random.Generator) -> Iterator[Hole]:
    """True openings of a world, 450 to 3000 mm wide and high."""
    for _ in range(many):
        yield _hole(world, rng)


def _hole(world: World, rng: np.random.Generator) -> Hole:
    width, height = rng.uniform(450.0, 3000.0, 2)
    plumb, level = (world.lean * max(4.0 * size / 1000.0, 3.0) * rng.normal() for size in (height, width))
    taper = rng.uniform(-world.taper_mm, world.taper_mm, 2)
    bl, br = np.array([0.0, 0.0]), np.array([width, level])
    tl = np.array([plumb, height])
    tr = np.array([width + plumb + taper[0], height + level + taper[1] + world.raked_mm])
    bows = _bows(world, rng)
    steps = np.zeros((2, len(STATIONS)))
    if world.step_mm is not None:
        size = rng.uniform(*world.step_mm)
        beyond = (rng.uniform(STEP_FROM, STEP_TO) < STATIONS) == (rng.random() < 0.5)
        steps[rng.integers(2)] = size * beyond
    return Hole(
        left=_edge(bl, tl, [1.0, 0.0], bows[0], world.curved) + steps[0][:, None] * [1.0, 0.0],
        right=_edge(br, tr, [-1.0, 0.0], bows[1], world.curved) + steps[1][:, None] * [-1.0, 0.0],
        sill=_edge(bl, br, [0.0, 1.0], bows[2], world.curved),
        head=_edge(tl, tr, [0.0, -1.0], bows[3], world.curved)
        + (world.arch_mm * 4 * STATIONS * (1 - STATIONS))[:, None] * [0.0, 1.0],
    )


def _bows(world: World, rng: np.random.Generator) -> Floats:
    if world.bows == "uniform":
        return np.asarray(rng.uniform(-world.bow_mm, world.bow_mm, 4))
    return np.clip(world.bow_mm * rng.standard_t(2, 4), -30.0, 30.0) if world.bows == "heavy" else np.zeros(4)


def _edge(start: Floats, end: Floats, inward: list[float], bow: float, curved: bool) -> Floats:
    off = 4 * STATIONS * (1 - STATIONS) if curved else 1 - np.abs(2 * STATIONS - 1)
    return np.asarray(start + STATIONS[:, None] * (end - start) + bow * off[:, None] * inward)


def read(world: World, hole: Hole, rng: np.random.Generator) -> list[Reading]:
    """An honest survey of an opening with the tools and habits of the world."""
    together = rng.normal(0, COMMON_MM) + world.hook_mm
    taken = []
    for kind, at in world.read:
        mm = hole.says((kind, at)) + rng.normal(0, world.tools)
        if kind in ("width", "height", "diagonal"):
            mm += together + (world.widths_mm if kind == "width" else 0.0)
        elif kind == world.signs_turned:
            mm = -mm
        mm = world.written_to_mm * round(mm / world.written_to_mm)
        taken.append(Reading(kind=kind, at=at, values_mm=(mm,)))  # type: ignore[arg-type]  # a known kind
    return taken


def frame_errors(width: float, height: float, rng: np.random.Generator) -> Floats:
    """How far a delivered frame is off: width, height, head against bottom."""
    rack = MAKER_DIAGONALS_MM * float(np.hypot(width, height)) / (2 * width)
    return np.asarray(rng.normal(0, [MAKER_SIZE_MM, MAKER_SIZE_MM, rack]))


ORDINARY = {
    "bows tent-shaped, uniform to 8 mm, tapers to 15 mm": World(),
    "bows parabolic, uniform to 8 mm": World(curved=True),
    "leans twice as large": World(lean=2.0),
}
WORLDS = ORDINARY | {
    "eight tape readings only": World(read=EIGHT),
    "eight tape readings only, bows parabolic": World(read=EIGHT, curved=True),
    "bows to 18 mm": World(bow_mm=18.0),
    "bows to 18 mm, parabolic": World(bow_mm=18.0, curved=True),
    "bows heavy-tailed, scale 3 mm": World(bows="heavy", bow_mm=3.0),
    "edges straight": World(bows="none"),
    "tools 1.5 times worse than said": World(tools=1.5),
    "the same in houses of eight": World(tools=1.5, house=8),
    "written to the nearest 5 mm": World(written_to_mm=5.0),
    "written to the nearest 10 mm": World(written_to_mm=10.0),
    "head arched by 40 mm": World(arch_mm=40.0),
    "head arched by 40 mm, eight tape readings": World(arch_mm=40.0, read=EIGHT),
    "head raked by 60 mm": World(raked_mm=60.0),
    "a jamb stepped by up to 10 mm": World(step_mm=(0.0, 10.0)),
    "quarter widths read too": World(read=EIGHTEEN),
    "quarter widths read too, bows parabolic": World(read=EIGHTEEN, curved=True),
    "a jamb stepped by 8 to 12 mm, quarter widths read too": World(step_mm=(8.0, 12.0), read=EIGHTEEN),
    "tape's hook worn by 3 mm": World(hook_mm=3.0),
    "three widths 20 mm short alike": World(widths_mm=-20.0),
    "bows called the wrong way": World(signs_turned="bow"),
}
"""Truth outside the engine's own assumptions, by name."""
