"""The sign of each verdict word, told apart by shape alone: paper and screen draw the same ones."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from jambwright.paper.render import svg
from jambwright.paper.scene import Area, Box, Circle, Ink, Item, Line, Point, Scene, Words, rectangle
from jambwright.record import GRAVITY, Word

SIDE_MM = 4.0
EDGE_MM = 0.6
"""Room for the pen around a sign."""
INK: Ink = "sash"


def verdict_sign(word: Word) -> Scene:
    """The sign of a verdict in a square of 4 mm."""
    return Scene(title=word, items=_SIGNS[word](), scale=1)


def sign_pictures() -> dict[Word, str]:
    """The sign of every word as SVG, for the typesetter."""
    box = Box(width_mm=SIDE_MM + EDGE_MM, height_mm=SIDE_MM + EDGE_MM)
    return {word: svg(verdict_sign(word), box) for word in GRAVITY}


def _meets() -> tuple[Item, ...]:
    """A tick in a circle."""
    return (
        Circle(centre=(0, 0), radius_mm=SIDE_MM / 2, ink=INK),
        Line(points=((-1.0, 0.0), (-0.3, -0.8), (1.1, 0.9)), ink="wall"),
    )


def _advise() -> tuple[Item, ...]:
    """An upright triangle with a stroke in it."""
    return (
        Area(points=_corners(3, 90), ink=INK, fill="blank"),
        Line(points=((0.0, 0.75), (0.0, -0.2)), ink=INK),
        Line(points=((0.0, -0.5), (0.0, -0.65)), ink=INK),
    )


def _refer() -> tuple[Item, ...]:
    """A square with an arrow out of it: somebody else decides."""
    return (
        Area(points=rectangle(-1.8, -1.8, 3.6, 3.6), ink=INK, fill="blank"),
        Line(points=((-1.1, 0.0), (1.0, 0.0)), ink=INK),
        Line(points=((0.3, 0.75), (1.0, 0.0), (0.3, -0.75)), ink=INK),
    )


def _worse() -> tuple[Item, ...]:
    """A triangle that stands on its point."""
    return (Area(points=_corners(3, -90), ink=INK),)


def _fails() -> tuple[Item, ...]:
    """A black octagon, crossed out in white."""
    cross = [_slab(45), _slab(-45)]
    return (
        Area(points=_corners(8, 22.5), ink=INK),
        *(Area(points=p, ink="hatch", fill="blank") for p in cross),
    )


def _unknown() -> tuple[Item, ...]:
    """A question in a circle."""
    return (
        Circle(centre=(0, 0), radius_mm=SIDE_MM / 2, ink=INK),
        Words(at=(0.0, 0.0), text="?", size_mm=3.4, bold=True),
    )


_SIGNS: Mapping[Word, Callable[[], tuple[Item, ...]]] = {
    "meets": _meets, "advise": _advise, "refer": _refer, "worse": _worse, "fails": _fails, "unknown": _unknown,
}  # fmt: skip


def _corners(count: int, first_deg: float) -> tuple[Point, ...]:
    angles = [math.radians(first_deg + 360 * n / count) for n in range(count)]
    return tuple((SIDE_MM / 2 * math.cos(a), SIDE_MM / 2 * math.sin(a)) for a in angles)


def _slab(turn_deg: float) -> tuple[Point, ...]:
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return tuple((x * cos - y * sin, x * sin + y * cos) for x, y in rectangle(-1.35, -0.33, 2.7, 0.66))
