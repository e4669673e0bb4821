"""A drawing in true millimetres: what is drawn, in which ink, and nothing about file formats.

Positions are true millimetres, x to the right and y up, as seen from outside. Lettering and line widths are
paper millimetres; ``Scene.scale`` (true millimetres in one paper millimetre) joins the two.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from jambwright.paper.lettering import ASCENT, advance_mm, descent, seat_shift_mm

Point = tuple[float, float]
Ink = Literal[
    "wall", "hatch", "frame", "sash", "glass", "opens_out", "opens_in", "hidden", "centre", "dimension",
    "leader", "fixing", "packer", "block", "datum", "note",
]  # fmt: skip
Align = Literal["left", "middle", "right"]
Seat = Literal["base", "middle", "top"]


@dataclass(frozen=True, slots=True)
class Pen:
    """Line width and dashes (drawn, left out, ...) in paper millimetres; widths are those of ISO 128-2."""

    width_mm: float
    dash_mm: tuple[float, ...] = ()


PENS: Mapping[Ink, Pen] = {
    "wall": Pen(0.7),
    "hatch": Pen(0.13),
    "frame": Pen(0.5),
    "sash": Pen(0.35),
    "glass": Pen(0.18),
    "opens_out": Pen(0.25),
    "opens_in": Pen(0.25, (2.4, 1.2)),
    "hidden": Pen(0.25, (1.6, 0.9)),
    "centre": Pen(0.18, (4.0, 0.8, 0.4, 0.8)),
    "dimension": Pen(0.18),
    "leader": Pen(0.13),
    "fixing": Pen(0.35),
    "packer": Pen(0.25),
    "block": Pen(0.35),
    "datum": Pen(0.25),
    "note": Pen(0.18),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line through points, closed or open."""

    points: tuple[Point, ...]
    ink: Ink
    closed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A filled area: black, or blank paper with an outline."""

    points: tuple[Point, ...]
    ink: Ink
    fill: Literal["black", "blank"] = "black"


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A circle, blank paper inside."""

    centre: Point
    radius_mm: float
    """True millimetres."""
    ink: Ink


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """One line of lettering. ``size_mm`` is its body height on paper; ``turn_deg`` turns it anticlockwise."""

    at: Point
    text: str
    size_mm: float
    align: Align = "middle"
    seat: Seat = "middle"
    turn_deg: float = 0.0
    bold: bool = False
    ink: Ink = "note"

    @property
    def width_mm(self) -> float:
        """Length of the line on paper."""
        return advance_mm(self.text, self.size_mm, bold=self.bold)

    def corners(self, scale: float) -> tuple[Point, Point, Point, Point]:
        """Corners of the box the lettering stays in, true millimetres, anticlockwise from its start."""
        width = self.width_mm
        start = {"left": 0.0, "middle": -width / 2, "right": -width}[self.align]
        base = seat_shift_mm(self.seat, self.size_mm)
        low, high = base - descent(self.text) * self.size_mm, base + ASCENT * self.size_mm
        turn = math.radians(self.turn_deg)
        cos, sin = math.cos(turn), math.sin(turn)

        def placed(x: float, y: float) -> Point:
            return (self.at[0] + scale * (x * cos - y * sin), self.at[1] + scale * (x * sin + y * cos))

        return (
            placed(start, low),
            placed(start + width, low),
            placed(start + width, high),
            placed(start, high),
        )


Item = Line | Area | Circle | Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A piece of paper, millimetres."""

    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """A whole drawing at its scale."""

    title: str
    items: tuple[Item, ...]
    scale: float
    """True millimetres in one paper millimetre: 20 for 1:20."""

    @property
    def words(self) -> tuple[Words, ...]:
        """All lettering."""
        return tuple(item for item in self.items if isinstance(item, Words))

    def lines(self, ink: Ink) -> tuple[Line, ...]:
        """All lines in one ink."""
        return tuple(item for item in self.items if isinstance(item, Line) and item.ink == ink)

    def bounds(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top of everything drawn, true millimetres."""
        points = [p for item in self.items for p in extent(item, self.scale)]
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        return min(xs), min(ys), max(xs), max(ys)

    def paper_size(self) -> Box:
        """The paper the drawing needs at its scale."""
        left, bottom, right, top = self.bounds()
        return Box(width_mm=(right - left) / self.scale, height_mm=(top - bottom) / self.scale)


def extent(item: Item, scale: float) -> Sequence[Point]:
    """Points that bound an item, true millimetres."""
    if isinstance(item, Words):
        return item.corners(scale)
    if isinstance(item, Circle):
        (x, y), r = item.centre, item.radius_mm
        return ((x - r, y - r), (x + r, y + r))
    return item.points


def rectangle(x_mm: float, y_mm: float, width_mm: float, height_mm: float) -> tuple[Point, ...]:
    """Corners of an upright rectangle, anticlockwise from the bottom left."""
    return (
        (x_mm, y_mm),
        (x_mm + width_mm, y_mm),
        (x_mm + width_mm, y_mm + height_mm),
        (x_mm, y_mm + height_mm),
    )
