"""A wall cut level at a jamb, seen from above: its leaves from outside (left) to inside, the opening below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from jambwright.paper.dimension import CLEAR_MM, SMALL_MM, Rail, levels, spread
from jambwright.paper.hatching import hatched
from jambwright.paper.scale import at_largest_scale
from jambwright.paper.scene import Area, Box, Item, Line, Scene, Words, rectangle

PAPER = Box(width_mm=150, height_mm=95)
LONG_MM = 260.0
"""How much of the wall is drawn."""
CLOSER_MM = 100.0
"""How far a closer reaches into the cavity, drawn only."""

Closer = Literal["insulated", "brick_return", "none", "unknown"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer from outside to inside: its name and thickness, and whether it is solid."""

    name: str
    mm: float
    solid: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class WallView:
    """What is drawn."""

    title: str
    layers: tuple[Layer, ...]
    """From outside; the first is the outer leaf."""
    lap_mm: float
    """How far the outer leaf laps in past the rest."""
    closer: Closer
    outside: str
    inside: str


def wall_section(view: WallView) -> Scene:
    """The section at the largest scale that fits its paper."""
    return at_largest_scale(lambda scale: section_at(view, scale), PAPER)


def section_at(view: WallView, scale: float) -> Scene:
    """The section at a given scale."""
    layers = [layer for layer in view.layers if layer.mm > 0]
    edges = [sum(layer.mm for layer in layers[:n]) for n in range(len(layers) + 1)]
    items: list[Item] = []
    for number, (x, layer) in enumerate(zip(edges, layers, strict=False)):
        foot = -view.lap_mm if number == 0 else 0.0
        box = rectangle(x, foot, layer.mm, LONG_MM - foot)
        if layer.solid:
            items += hatched(box, scale=scale)
            items.append(Line(points=box, ink="wall", closed=True))
        else:
            items += _closed(view.closer, x, layer.mm, scale)
    items += _names(layers, edges, scale)
    middle = LONG_MM / 2
    items += [
        Words(at=(-3 * scale, middle), text=view.outside, size_mm=SMALL_MM, turn_deg=90),
        Words(at=(edges[-1] + 3 * scale, middle), text=view.inside, size_mm=SMALL_MM, turn_deg=90),
    ]
    rail = Rail(side="bottom", base_mm=-view.lap_mm, scale=scale)
    items += levels(rail, edges, out_mm=CLEAR_MM)
    return Scene(title=view.title, items=tuple(items), scale=scale)


def _closed(closer: Closer, x: float, wide: float, scale: float) -> list[Item]:
    """How the cavity is closed at the jamb."""
    box = rectangle(x, 0.0, wide, CLOSER_MM)
    if closer == "brick_return":
        return [*hatched(box, scale=scale), Line(points=box, ink="wall", closed=True)]
    if closer == "insulated":
        (left, low), _, (right, high), _ = box
        cross = (((left, low), (right, high)), ((left, high), (right, low)))
        return [
            Area(points=box, ink="sash", fill="blank"),
            *(Line(points=points, ink="sash") for points in cross),
        ]
    if closer == "unknown":
        return [Words(at=(x + wide / 2, 3 * scale), text="?", size_mm=SMALL_MM * 1.4, bold=True)]
    return []


def _names(layers: Sequence[Layer], edges: Sequence[float], scale: float) -> list[Item]:
    """What each layer is, upright over it and pushed apart where layers are thin."""
    middles = [(a + b) / 2 / scale for a, b in pairwise(edges)]
    placed = spread(middles, [SMALL_MM] * len(layers), CLEAR_MM / 2)
    top = LONG_MM + 1.5 * scale
    return [
        Words(at=(x * scale, top), text=layer.name, size_mm=SMALL_MM, align="left", turn_deg=90)
        for x, layer in zip(placed, layers, strict=True)
    ]
