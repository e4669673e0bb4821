"""The largest level-and-plumb rectangle in an outline that keeps the wanted gap to every edge. Exact.

Where the outline is convex the gaps are linear in place and size, and one linear programme finds the
rectangle. Where an edge bulges in, the rectangle passes it on one of few sides: branch and bound over
linear programmes tries the sides, best first, and the first rectangle that passes all edges and stands in
the hole is the largest. One that passes all edges in a hollow of the wall goes round the wall there, which is
cut into triangles. Source: separating axes of convex sets (textbook theory, from memory, high).
"""

from __future__ import annotations

import heapq
import itertools
import math
from collections.abc import Iterator, Sequence
from itertools import count
from typing import TYPE_CHECKING, Literal

import highspy
import numpy as np

from jambwright.basis.problems import BadInput
from jambwright.opening.shape import SIDES, Side
from jambwright.opening.space import Gaps, Point, Rectangle, Space

if TYPE_CHECKING:
    import shapely

Prefer = Literal["width", "height", "area"]
Row = tuple[tuple[float, float, float, float], float]
"""Coefficients of x, y, width, height, and the limit they stay at or below."""

_Branch = tuple[float, int, tuple[Row, ...], "Rectangle | None"]

TOUCH_MM = 1e-6
"""What touches; ten times the error of a linear programme's answer."""
TIE = 1e-6
"""How much more a preferred millimetre counts: decides between equals only."""
MOST_BRANCHES = 2000
SEEN_MM = 1e-4
"""What the check of an answer lets pass: rounding."""
TOO_RAGGED = "polygon_mm: the outline is too ragged for a sure answer; give fewer points."
LEAST_MM, LEAST_SHARE = 100.0, 0.05
"""A frame is no narrower or lower, nor in a small outline than this share of it; in an outline that tapers the
largest width + height would be a mere line. House value."""
NO_GAPS = Gaps(left=0.0, right=0.0, head=0.0, bottom=0.0)


def largest_rectangle(space: Space, gaps: Gaps, prefer: Prefer = "area") -> Rectangle:
    """The rectangle of the largest width + height; ``prefer`` decides between equals.

    ``BadInput`` when nothing fits.
    """
    found = _largest(space, gaps, prefer)
    if not _stands_in(space, gaps, found):
        raise BadInput.one("polygon_mm", TOO_RAGGED)
    return found


def _stands_in(space: Space, gaps: Gaps, r: Rectangle) -> bool:
    """By another way than the search: the outline holds the rectangle, and no part of it comes nearer than a gap."""
    import shapely

    hole = shapely.Polygon(space.points)
    within = shapely.box(r.x + SEEN_MM, r.y + SEEN_MM, r.x + r.width - SEEN_MM, r.y + r.height - SEEN_MM)
    least = min(gaps.of(side) for side in SIDES)
    return hole.covers(within) and hole.exterior.distance(within) >= least - SEEN_MM


def _largest(space: Space, gaps: Gaps, prefer: Prefer) -> Rectangle:
    if prefer != "area":
        return _search(space, gaps, prefer)
    # among equals the sum is fixed, so the largest area is the nearest to square between the two ends
    wide = _search(space, gaps, "width")
    if wide.width <= wide.height:
        return wide
    high = _search(space, gaps, "height")
    spread = wide.width - high.width
    if high.width >= high.height or spread < TOUCH_MM:
        return high
    share = ((wide.width + wide.height) / 2 - high.width) / spread
    ends = zip(wide.numbers, high.numbers, strict=True)
    between = Rectangle(*(share * a + (1 - share) * b for a, b in ends))
    clear = _first_hit(space, gaps, between) is None and _block_in(_wall(space), between) is None
    return between if clear else high


def _search(space: Space, gaps: Gaps, prefer: Prefer) -> Rectangle:
    """Branch and bound: always open the branch that could still hold the largest rectangle.

    A branch enters with a cheap bound; its linear programme is solved only when its turn comes.
    """
    favour = {"width": (1.0 + TIE, 1.0), "height": (1.0, 1.0 + TIE)}[prefer]
    box, highs = _box(space), _solver()
    order = count()
    supporting = [edge for edge in space.edges() if _supports(space, edge)]
    wall = _wall(space) if len(supporting) < len(space.points) else []
    whole = (*(_inside(edge, gaps) for edge in supporting), *(_hull(space) if wall else ()))
    heap: list[_Branch] = []
    spanning = whole
    for along, beside in _bulges(space, gaps):
        spanning += along
        for row in beside:
            heapq.heappush(heap, (-_most_size(row, favour, box), next(order), (*whole, row), None))
    heapq.heappush(heap, (-math.inf, next(order), spanning, None))
    for _ in range(MOST_BRANCHES):
        if not heap:
            raise BadInput.one(
                "gap_mm",
                "No frame fits: the gaps leave nothing, or only a line. Check readings and gaps.",
            )
        loss, _, rows, rectangle = heapq.heappop(heap)
        if rectangle is None:
            rectangle, own_loss = _solve(highs, rows, favour, box)
            if rectangle is not None:
                heapq.heappush(heap, (max(loss, own_loss), next(order), rows, rectangle))
            continue
        hit = _first_hit(space, gaps, rectangle)
        block = _block_in(wall, rectangle) if hit is None else None
        if hit is None and block is None:
            return rectangle
        for row in _ways_past(hit, gaps) if hit else _ways_round(block or ()):
            bound = max(loss, -_most_size(row, favour, box))
            heapq.heappush(heap, (bound, next(order), (*rows, row), None))
    raise BadInput.one("polygon_mm", TOO_RAGGED)


def _bulges(space: Space, gaps: Gaps) -> Iterator[tuple[tuple[Row, ...], tuple[Row, Row]]]:
    """Sides of two edges that bulge in at the point between them.

    Either the rectangle spans the point: then it stays clear of the point and each of its corners of the
    edge it faces; or it lies wholly to one side of the point. Rows for the first, and for the two others.
    """
    edges = list(space.edges()) if space.goes_round_once else []
    for n, (a, v, side) in enumerate(edges):
        _, b, other = edges[(n + 1) % len(edges)]
        turn = (v[0] - a[0]) * (b[1] - v[1]) - (v[1] - a[1]) * (b[0] - v[0])
        if side != other or space.sides.count(side) != 2 or turn >= 0:
            continue
        axis = 1 if side in ("left", "right") else 0
        first_low = a[axis] < b[axis]
        rows = (
            _corner_inside((a, v, side), gaps, high=not first_low),
            _corner_inside((v, b, side), gaps, high=first_low),
            _clear_of(v, side, gaps),
        )
        if axis:
            yield rows, (((0.0, -1.0, 0.0, 0.0), -v[1]), ((0.0, 1.0, 0.0, 1.0), v[1]))
        else:
            yield rows, (((-1.0, 0.0, 0.0, 0.0), -v[0]), ((1.0, 0.0, 1.0, 0.0), v[0]))


def _corner_inside(edge: tuple[Point, Point, Side], gaps: Gaps, *, high: bool) -> Row:
    """One corner of the rectangle on the inner side of the edge that it faces."""
    (nx, ny, _, _), limit = _inside(edge, gaps)
    side = edge[2]
    right = side == "right" or (side in ("bottom", "head") and high)
    top = side == "head" or (side in ("left", "right") and high)
    return (nx, ny, nx * right, ny * top), limit


def _clear_of(v: Point, side: Side, gaps: Gaps) -> Row:
    """The rectangle's side clear of a point, level or plumb."""
    gap = gaps.of(side)
    rows: dict[Side, Row] = {
        "left": ((-1.0, 0.0, 0.0, 0.0), -v[0] - gap),
        "right": ((1.0, 0.0, 1.0, 0.0), v[0] - gap),
        "bottom": ((0.0, -1.0, 0.0, 0.0), -v[1] - gap),
        "head": ((0.0, 1.0, 0.0, 1.0), v[1] - gap),
    }
    return rows[side]


def _box(space: Space) -> list[tuple[float, float]]:
    """Bounds of place and size."""
    xs, ys = zip(*space.points, strict=True)
    width, height = max(xs) - min(xs), max(ys) - min(ys)
    least = min(LEAST_MM, LEAST_SHARE * width, LEAST_SHARE * height)
    return [(min(xs), max(xs)), (min(ys), max(ys)), (least, width), (least, height)]


def _most_size(row: Row, favour: tuple[float, float], box: list[tuple[float, float]]) -> float:
    """A bound on the size when one row holds: the others are taken at their best."""
    (a, b, c, d), limit = row
    (left, right), (low, high), (_, width), (_, height) = box
    if d == b == 0:
        width = min(width, right - limit / a if c == 0 else limit - left)
    elif c == a == 0:
        height = min(height, high - limit / b if d == 0 else limit - low)
    return favour[0] * width + favour[1] * height


def _solver() -> highspy.Highs:
    """One solver for a whole search; most of a small programme's time is making the solver."""
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("presolve", "off")
    return highs


def _solve(
    highs: highspy.Highs,
    rows: Sequence[Row],
    favour: tuple[float, float],
    box: list[tuple[float, float]],
) -> tuple[Rectangle | None, float]:
    programme = highspy.HighsLp()
    programme.num_col_, programme.num_row_ = 4, len(rows)
    programme.col_cost_ = np.array([0.0, 0.0, -favour[0], -favour[1]])
    programme.col_lower_, programme.col_upper_ = np.array(box, dtype=float).T
    programme.row_lower_ = np.full(len(rows), -np.inf)
    programme.row_upper_ = np.array([limit for _, limit in rows])
    matrix = programme.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = np.arange(0, 4 * len(rows) + 1, 4, dtype=np.int32)
    matrix.index_ = np.tile(np.arange(4, dtype=np.int32), len(rows))
    matrix.value_ = np.array([row for row, _ in rows], dtype=float).ravel()
    highs.passModel(programme)
    highs.run()
    if highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None, math.inf
    found = Rectangle(*highs.getSolution().col_value)
    return found, -(favour[0] * found.width + favour[1] * found.height)


def _inside(edge: tuple[Point, Point, Side], gaps: Gaps) -> Row:
    """The whole rectangle on the inner side of an edge's line; only one of its corners can touch."""
    (ax, ay), (bx, by), side = edge
    length = float(np.hypot(bx - ax, by - ay))
    nx, ny = (by - ay) / length, (ax - bx) / length
    return (nx, ny, max(nx, 0.0), max(ny, 0.0)), nx * ax + ny * ay - gaps.of(side)


def _supports(space: Space, edge: tuple[Point, Point, Side]) -> bool:
    """Whether the whole outline lies on the inner side of this edge's line."""
    (ax, ay), (bx, by), _ = edge
    return all(
        (bx - ax) * (py - ay) - (by - ay) * (px - ax) >= -1e-9 * np.hypot(bx - ax, by - ay)
        for px, py in space.points
    )


def _ways_past(edge: tuple[Point, Point, Side], gaps: Gaps) -> list[Row]:
    """Inside the edge, clear of it on one of four sides, or behind it, where another edge keeps the gap."""
    (ax, ay), (bx, by), side = edge
    return [
        _inside(edge, gaps),
        _inside(((bx, by), (ax, ay), side), NO_GAPS),
        _clear_of((max(ax, bx), 0.0), "left", gaps),
        _clear_of((min(ax, bx), 0.0), "right", gaps),
        _clear_of((0.0, max(ay, by)), "bottom", gaps),
        _clear_of((0.0, min(ay, by)), "head", gaps),
    ]


def _first_hit(space: Space, gaps: Gaps, r: Rectangle) -> tuple[Point, Point, Side] | None:
    """The edge the rectangle passes on no side, the worst one first."""
    at = np.array(r.numbers)
    worst, found = TOUCH_MM, None
    for edge in space.edges():
        over = min(float(np.dot(row, at)) - limit for row, limit in _ways_past(edge, gaps))
        if over > worst:
            worst, found = over, edge
    return found


def _wall(space: Space) -> list[tuple[Point, ...]]:
    """The hollows of the outline, where its hull is wall and not hole, as triangles that turn anticlockwise."""
    import shapely

    hole = shapely.Polygon(space.points)
    hollows = hole.convex_hull.difference(hole)
    return [
        _corners(part)[:-1] for part in shapely.get_parts(shapely.constrained_delaunay_triangles(hollows))
    ]


def _hull(space: Space) -> list[Row]:
    """The rectangle within the hull of the outline."""
    import shapely

    hull = _corners(shapely.MultiPoint(space.points).convex_hull)
    return [_inside((a, b, "left"), NO_GAPS) for a, b in itertools.pairwise(hull)]


def _corners(polygon: shapely.Geometry) -> tuple[Point, ...]:
    """Anticlockwise, the first one again at the end."""
    import shapely

    ring = shapely.get_coordinates(shapely.orient_polygons(polygon))
    return tuple((float(x), float(y)) for x, y in ring)


def _ways_round(block: Sequence[Point]) -> list[Row]:
    """Past a triangle of wall: beyond one of its edges, or clear of it on one of four sides."""
    xs, ys = [x for x, _ in block], [y for _, y in block]
    ends = (*block[1:], *block[:1])
    return [
        *(_inside((b, a, "left"), NO_GAPS) for a, b in zip(block, ends, strict=True)),
        _clear_of((max(xs), 0.0), "left", NO_GAPS),
        _clear_of((min(xs), 0.0), "right", NO_GAPS),
        _clear_of((0.0, max(ys)), "bottom", NO_GAPS),
        _clear_of((0.0, min(ys)), "head", NO_GAPS),
    ]


def _block_in(wall: Sequence[tuple[Point, ...]], r: Rectangle) -> tuple[Point, ...] | None:
    """The triangle of wall that the rectangle reaches furthest into."""
    at = np.array(r.numbers)
    worst, found = TOUCH_MM, None
    for block in wall:
        over = min(float(np.dot(row, at)) - limit for row, limit in _ways_round(block))
        if over > worst:
            worst, found = over, block
    return found
