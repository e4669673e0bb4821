"""Signs on the drawings, told apart by shape alone so that they hold on a black-and-white printer.

Opening lights: a triangle whose point touches the hinge side, whole lines when the light opens towards the
viewer and dashed when it opens away (ISO 7519 and EN 12519 annex A style; from memory, high, the dashes also
read in trade notes). Sheets say so in words beside the drawing.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Literal

from jambwright.paper.scene import Area, Circle, Ink, Item, Line, Point, rectangle
from jambwright.record import At, Way

Held = Literal["screw", "lug", "none"]

SIGN_MM = 2.4
"""Across a fixing sign, paper millimetres."""
HEAD_MM = 2.2
"""Length of an arrow's head, paper millimetres."""


def opening_triangle(points: tuple[Point, ...], hinges: At, *, outwards: bool) -> Line:
    """The triangle of one hinge side in a rectangle given by its corners, point at the hinges."""
    (left, bottom), (right, top) = points[0], points[2]
    mid_x, mid_y = (left + right) / 2, (bottom + top) / 2
    through: dict[At, tuple[Point, Point, Point]] = {
        "left": ((right, top), (left, mid_y), (right, bottom)),
        "right": ((left, top), (right, mid_y), (left, bottom)),
        "top": ((left, bottom), (mid_x, top), (right, bottom)),
        "bottom": ((left, top), (mid_x, bottom), (right, top)),
    }
    return Line(points=through[hinges], ink="opens_out" if outwards else "opens_in")


def slide_arrow(points: tuple[Point, ...], to: str, scale: float) -> tuple[Item, ...]:
    """An arrow the way a sash or pane slides, of strokes that lettering may interrupt."""
    (left, bottom), (right, top) = points[0], points[2]
    wide, high = right - left, top - bottom
    along, off = (high, wide) if to in ("up", "down") else (wide, high)
    half, aside = 0.3 * along, 0.34 * off
    sign = 1.0 if to in ("up", "right") else -1.0
    if to in ("up", "down"):
        x, y = right - (off / 2 - aside), (bottom + top) / 2
        head = HEAD_MM * scale
        tip, back = (x, y + sign * half), y + sign * (half - head)
        strokes = ((x, y - sign * half), tip, (x - 0.3 * head, back), tip, (x + 0.3 * head, back))
        return (Line(points=strokes, ink="sash"),)
    x, y = (left + right) / 2, bottom + (off / 2 - aside)
    head = HEAD_MM * scale
    tip, back = (x + sign * half, y), x + sign * (half - head)
    strokes = ((x - sign * half, y), tip, (back, y - 0.3 * head), tip, (back, y + 0.3 * head))
    return (Line(points=strokes, ink="sash"),)


def _none(_: Way, __: tuple[Point, ...], ___: float, ____: bool) -> Sequence[Item]:
    return ()


def _hinges(way: Way, points: tuple[Point, ...], _: float, outwards: bool) -> Sequence[Item]:
    return [opening_triangle(points, hinges, outwards=outwards) for hinges in way.hinges]


def _slides(way: Way, points: tuple[Point, ...], scale: float, _: bool) -> Sequence[Item]:
    return slide_arrow(points, way.slides, scale)


def _folds(way: Way, points: tuple[Point, ...], scale: float, outwards: bool) -> Sequence[Item]:
    """The triangle of its hinges, and an arrow towards the jamb it is folded against."""
    return [*_hinges(way, points, scale, outwards), *slide_arrow(points, way.slides, scale)]


def _reverses(_: Way, points: tuple[Point, ...], __: float, outwards: bool) -> Sequence[Item]:
    """A triangle to the head, and one from head to foot the other way: its outer face comes inside."""
    swings = opening_triangle(points, "top", outwards=outwards)
    turns = opening_triangle(points, "bottom", outwards=not outwards)
    return [swings, turns]


Sign = Callable[[Way, tuple[Point, ...], float, bool], Sequence[Item]]
"""Draws how a leaf opens in a rectangle given by its corners, at a scale; the last says whether it opens outwards."""
SIGNS: dict[str, Sign] = {
    "": _none, "hinges": _hinges, "slides": _slides, "folds": _folds, "reverses": _reverses,
}  # fmt: skip
"""By the name in the table of ways of opening."""


def fixing(at: Point, scale: float, held: Held = "screw") -> tuple[Item, ...]:
    """A screw is a circle with a cross, a lug a square with one stroke."""
    r = SIGN_MM / 2 * scale
    x, y = at
    if held == "lug":
        box = rectangle(x - 0.85 * r, y - 0.85 * r, 1.7 * r, 1.7 * r)
        return (Area(points=box, ink="fixing", fill="blank"), Line(points=(box[0], box[2]), ink="fixing"))
    d = r / math.sqrt(2)
    return (
        Circle(centre=at, radius_mm=r, ink="fixing"),
        Line(points=((x - d, y - d), (x + d, y + d)), ink="fixing"),
        Line(points=((x - d, y + d), (x + d, y - d)), ink="fixing"),
    )


def arrow(tail: Point, tip: Point, scale: float, ink: Ink = "hidden") -> tuple[Item, ...]:
    """A line with a slim black head at its tip."""
    length = math.dist(tail, tip)
    ux, uy = (tip[0] - tail[0]) / length, (tip[1] - tail[1]) / length
    h, w = HEAD_MM * scale, HEAD_MM * scale * 0.18
    back = (tip[0] - ux * h, tip[1] - uy * h)
    sides = ((back[0] - uy * w, back[1] + ux * w), (back[0] + uy * w, back[1] - ux * w))
    return (
        Line(points=(tail, back), ink=ink),
        Area(points=(tip, *sides), ink=ink),
    )


def handle(at: Point, scale: float, *, upright: bool) -> tuple[Item, ...]:
    """A lever handle: a black bar with a round rose."""
    x, y = at
    half, thick = 2.0 * scale, 0.45 * scale
    bar = (
        rectangle(x - thick, y - 2 * half, 2 * thick, 2 * half)
        if upright
        else rectangle(x - half, y - thick, 2 * half, 2 * thick)
    )
    return (Area(points=bar, ink="sash"), Circle(centre=at, radius_mm=0.8 * scale, ink="sash"))


def block(middle: Point, along_mm: float, across_mm: float, *, setting: bool, upright: bool) -> Area:
    """A glazing block: black where it carries the glass, blank where it only keeps it in place."""
    w, h = (across_mm, along_mm) if upright else (along_mm, across_mm)
    return Area(
        points=rectangle(middle[0] - w / 2, middle[1] - h / 2, w, h),
        ink="block",
        fill="black" if setting else "blank",
    )
