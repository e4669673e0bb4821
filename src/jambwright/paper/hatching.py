"""Cut walls as sloping lines, and lines kept off lettering."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from jambwright.paper.scene import Item, Line, Point, Words

APART_MM = 1.7
"""Between hatch lines on paper."""
CLEAR_MM = 0.5
"""Round lettering."""


def hatched(outer: Sequence[Point], hole: Sequence[Point] | None = None, *, scale: float) -> tuple[Line, ...]:
    """Lines at 45 degrees that fill a closed outline, less the hole in it."""
    ring = shapely.Polygon(outer).difference(shapely.Polygon(hole))
    left, bottom, right, top = ring.bounds
    step = APART_MM * scale * 2**0.5
    # starts on a grid of its own so that neighbouring pieces line up
    first, last = int((left - top) // step), int((right - bottom) // step) + 1
    slopes = [
        shapely.LineString([(n * step + bottom, bottom), (n * step + top, top)])
        for n in range(first, last + 1)
    ]
    cut = shapely.intersection(ring, shapely.MultiLineString(slopes))
    return tuple(Line(points=points, ink="hatch") for points in _runs(cut))


def kept_off(items: Iterable[Item], words: Sequence[Words], *, scale: float) -> tuple[Item, ...]:
    """The items with every open line interrupted where it would run through lettering."""
    boxes = shapely.union_all([shapely.Polygon(w.corners(scale)).buffer(CLEAR_MM * scale) for w in words])
    kept: list[Item] = []
    for item in items:
        if isinstance(item, Line) and not item.closed and boxes.intersects(shapely.LineString(item.points)):
            left_over = shapely.LineString(item.points).difference(boxes)
            kept += [Line(points=points, ink=item.ink) for points in _runs(left_over)]
        else:
            kept.append(item)
    return tuple(kept)


def _runs(lines: BaseGeometry) -> list[tuple[Point, ...]]:
    parts = shapely.get_parts(lines)
    return [
        tuple((float(x), float(y)) for x, y in shapely.get_coordinates(part))
        for part in parts
        if part.geom_type == "LineString" and not part.is_empty
    ]
