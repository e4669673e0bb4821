"""The heart of the fit sheet: the crooked opening as measured with the true frame in it.

The frame keeps its proportions; only what lies between frame and wall is drawn too large, by a stated
factor. A wall point is moved away from the nearest point of the frame, so lean, bow and gap grow alike.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import combinations
from typing import Literal

from jambwright.basis.units import show_mm
from jambwright.paper.dimension import CLEAR_MM, Rail, Strip
from jambwright.paper.edge_marks import FIGURE_MM, ROW_MM, EdgeMark, marks_strip
from jambwright.paper.hatching import hatched, kept_off
from jambwright.paper.lettering import advance_mm
from jambwright.paper.scale import NoScaleFits, at_largest_scale
from jambwright.paper.scene import Align, Area, Box, Item, Line, Point, Scene, Words, extent, rectangle
from jambwright.paper.symbols import fixing
from jambwright.record import FrameBar as Bar
from jambwright.record import Rect, Side

FACTORS = (50, 40, 30, 25, 20, 15, 10, 8, 5, 4, 3, 2, 1)
WIDEST_GAP_MM = 5.5
"""A gap drawn on paper stays under this."""
WALL_MM = 3.5
"""Least width of hatched wall on paper."""
LEAST_ROUND_MM = 8.0
"""Wall and marks never take less on paper on any side."""
HAIR_MM = 0.15
"""Boxes round lettering are this much larger than its strokes, paper millimetres."""
LARGEST_MM = 7.0
"""Lettering of the order size in the drawing."""
PACKER_MM = 3.0
"""Width of a packer sign on paper, along its edge."""
ARROWS: Mapping[Side, str] = {"left": "←", "right": "→", "head": "↑", "bottom": "↓"}
Station = Literal["start", "middle", "end"]
ALONG: Mapping[Station, Align] = {"start": "left", "middle": "middle", "end": "right"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """The true gap at one place of a side: at its start (bottom or left), middle or end."""

    side: Side
    place: Station
    mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FittingView:
    """What the drawing shows. The frame's own coordinates start at the bottom left of ``whole``."""

    title: str
    boundary_mm: tuple[Point, ...]
    """The opening as adjusted, closed ring without its repeated first point."""
    whole: Rect
    """Frame and sill together at their place in the opening."""
    sill_mm: float
    """Height of the sill under the frame, 0 without one."""
    face_mm: float
    bars: tuple[Bar, ...]
    gaps: tuple[Gap, ...]
    marks: tuple[EdgeMark, ...]
    size: str
    """The order size in figures."""
    nib_edges: tuple[tuple[Point, ...], ...]
    """Edges of the nibs in front of the frame, true; none in a straight reveal."""
    lean: Mapping[str, str]
    """What a level said, by corner: ``top_left``, ``top_right``, ``bottom_right``."""


def fitting_drawing(view: FittingView, box: Box) -> Scene:
    """The drawing at the largest common scale that fits the box.

    ``NoScaleFits`` when no scale fits, or marks would run into each other.
    """
    least = max(
        view.whole.width_mm / (box.width_mm - 2 * LEAST_ROUND_MM),
        view.whole.height_mm / (box.height_mm - 2 * LEAST_ROUND_MM),
    )
    scene = at_largest_scale(partial(drawn_at, view, across_mm=box.width_mm), box, least=least)
    if _words_meet(scene):
        raise NoScaleFits(f"marks run into each other on {box.width_mm:g} x {box.height_mm:g} mm of paper")
    return scene


def _words_meet(scene: Scene) -> bool:
    """Whether lettering stands on other lettering, as where a jamb has more marks than it is high on paper."""
    hair = HAIR_MM * scene.scale
    boxes = []
    for words in scene.words:
        xs, ys = zip(*words.corners(scene.scale), strict=True)
        boxes.append((min(xs) + hair, min(ys) + hair, max(xs) - hair, max(ys) - hair))
    return any(a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3] for a, b in combinations(boxes, 2))


def factor_at(view: FittingView, scale: float) -> int:
    """How many times too large gaps are drawn."""
    widest = max((abs(gap.mm) for gap in view.gaps), default=1.0)
    return next((f for f in FACTORS if f * widest / scale <= WIDEST_GAP_MM), 1)


def drawn_at(
    view: FittingView, scale: float, *, across_mm: float = math.inf, factor: float | None = None
) -> Scene:
    """The drawing at a given scale, its marks on paper ``across_mm`` wide; ``factor`` 1 draws the gaps true."""
    factor = factor or factor_at(view, scale)
    wall = exaggerated(view.boundary_mm, view.whole, factor)
    edges = _outer(wall, scale)
    items: list[Item] = list(hatched(edges, wall, scale=scale))
    items.append(Line(points=wall, ink="wall", closed=True))
    items += _frame(view)
    items += [Line(points=edge, ink="hidden") for edge in view.nib_edges]
    items += _packers(view, wall, scale)
    strips = _marks(view, edges, scale, across_mm)
    items += [item for strip in strips.values() for item in strip.items]
    words = [*_gap_figures(view, scale), *_middle(view, scale)]
    items += kept_off(_bars(view), words, scale=scale)
    items += words
    items += _lean(view, edges, strips, scale)
    return Scene(
        title=f"{view.title}: gaps drawn {factor:g} times too large", items=tuple(items), scale=scale
    )


def exaggerated(boundary: Sequence[Point], whole: Rect, factor: float) -> tuple[Point, ...]:
    """The wall with its distance from the frame multiplied; the frame stays true.

    >>> frame = Rect(x_mm=5, y_mm=4, width_mm=100, height_mm=200)
    >>> exaggerated([(0, 0), (110, 0), (110, 210), (0, 210)], frame, 10)[0]
    (-45.0, -36.0)
    """
    drawn = []
    for x, y in _with_crossings(boundary, whole):
        near_x = min(max(x, whole.x_mm), whole.right_mm)
        near_y = min(max(y, whole.y_mm), whole.top_mm)
        drawn.append((near_x + factor * (x - near_x), near_y + factor * (y - near_y)))
    return tuple(drawn)


def _with_crossings(boundary: Sequence[Point], whole: Rect) -> list[Point]:
    """The ring with a point wherever it crosses the frame's edge lines, where the drawing bends."""
    ring: list[Point] = []
    for (ax, ay), (bx, by) in zip(boundary, [*boundary[1:], boundary[0]], strict=True):
        places = [(x - ax) / (bx - ax) for x in (whole.x_mm, whole.right_mm) if bx != ax]
        places += [(y - ay) / (by - ay) for y in (whole.y_mm, whole.top_mm) if by != ay]
        between = sorted({0.0, *(t for t in places if 0 < t < 1)})
        ring += [(ax + t * (bx - ax), ay + t * (by - ay)) for t in between]
    return ring


def _outer(wall: Sequence[Point], scale: float) -> tuple[Point, ...]:
    xs, ys = [p[0] for p in wall], [p[1] for p in wall]
    band = WALL_MM * scale
    return rectangle(
        min(xs) - band, min(ys) - band, max(xs) - min(xs) + 2 * band, max(ys) - min(ys) + 2 * band
    )


def _frame(view: FittingView) -> list[Item]:
    whole, sill = view.whole, view.sill_mm
    outer = rectangle(whole.x_mm, whole.y_mm + sill, whole.width_mm, whole.height_mm - sill)
    face = view.face_mm
    inner = rectangle(
        whole.x_mm + face,
        whole.y_mm + sill + face,
        whole.width_mm - 2 * face,
        whole.height_mm - sill - 2 * face,
    )
    items: list[Item] = [
        Line(points=outer, ink="frame", closed=True),
        Line(points=inner, ink="sash", closed=True),
        *(Line(points=(a, b), ink="glass") for a, b in zip(outer, inner, strict=True)),
    ]
    if sill:
        under = rectangle(whole.x_mm, whole.y_mm, whole.width_mm, sill)
        items.append(Line(points=under, ink="frame", closed=True))
    return items


def _bars(view: FittingView) -> list[Item]:
    """Mullions and transoms by their centre lines: fixings stay clear of them."""
    x0, y0 = view.whole.x_mm, view.whole.y_mm + view.sill_mm
    items: list[Item] = []
    for bar in view.bars:
        ends = ((bar.at_mm, bar.from_mm), (bar.at_mm, bar.to_mm))
        if bar.kind == "transom":
            ends = ((bar.from_mm, bar.at_mm), (bar.to_mm, bar.at_mm))
        items.append(Line(points=tuple((x0 + x, y0 + y) for x, y in ends), ink="centre"))
    return items


def _place(view: FittingView, mark: EdgeMark) -> Point:
    """Where a mark stands on the edge of frame and sill together."""
    whole = view.whole
    return {
        "left": (whole.x_mm, whole.y_mm + mark.at_mm),
        "right": (whole.right_mm, whole.y_mm + mark.at_mm),
        "head": (whole.x_mm + mark.at_mm, whole.top_mm),
        "bottom": (whole.x_mm + mark.at_mm, whole.y_mm),
    }[mark.side]


INWARD: Mapping[Side, Point] = {"left": (1, 0), "right": (-1, 0), "head": (0, -1), "bottom": (0, 1)}


def _packers(view: FittingView, wall: Sequence[Point], scale: float) -> list[Item]:
    """Packers fill the drawn gap; fixing signs sit on the frame's face."""
    import shapely

    hole = shapely.Polygon(wall)
    half, reach = PACKER_MM / 2 * scale, 3 * WIDEST_GAP_MM * scale
    items: list[Item] = []
    for mark in view.marks:
        (x, y), (ix, iy) = _place(view, mark), INWARD[mark.side]
        if mark.packers:
            across = shapely.box(
                x - abs(iy) * half - (ix > 0) * reach,
                y - abs(ix) * half - (iy > 0) * reach,
                x + abs(iy) * half + (ix < 0) * reach,
                y + abs(ix) * half + (iy < 0) * reach,
            )
            for part in shapely.get_parts(hole.intersection(across)):
                if not part.area:  # the frame stands against the wall, or in it
                    continue
                corners = shapely.get_coordinates(part)[:-1]
                items.append(Area(points=tuple((float(px), float(py)) for px, py in corners), ink="packer"))
        if mark.held != "none":
            deep = view.face_mm / 2 + (view.sill_mm if mark.side == "bottom" else 0.0)
            items += fixing((x + ix * deep, y + iy * deep), scale, mark.held)
    return items


def _marks(view: FittingView, edges: Sequence[Point], scale: float, across_mm: float) -> dict[Side, Strip]:
    """Marks round the wall; their places along an edge are those of the opening."""
    (left, bottom), (right, top) = edges[0], edges[2]
    base: dict[Side, float] = {"left": left, "right": right, "head": top, "bottom": bottom}
    said = [line for each in view.lean.values() for line in each.split("\n")]
    room = across_mm - 2 * max((advance_mm(line, FIGURE_MM) + 2 * CLEAR_MM for line in said), default=0.0)
    strips: dict[Side, Strip] = {}
    for side, at in base.items():
        rail = Rail(side=side, base_mm=at, scale=scale)
        shift = view.whole.y_mm if rail.upright else view.whole.x_mm
        placed = [
            EdgeMark(side=side, at_mm=m.at_mm + shift, figure=m.figure, packers=m.packers, held=m.held)
            for m in view.marks
            if m.side == side
        ]
        strips[side] = marks_strip(rail, placed, out_mm=0.0, room_mm=room)
    return strips


@dataclass(frozen=True, slots=True, kw_only=True)
class _Inside:
    """The paper inside the frame's faces and how the gap figures share it."""

    left: float
    right: float
    low: float
    high: float
    scale: float
    figure_mm: float
    """Length of the longest gap figure."""

    @property
    def width_mm(self) -> float:
        return (self.right - self.left) / self.scale - 2 * CLEAR_MM

    @property
    def height_mm(self) -> float:
        return (self.high - self.low) / self.scale - CLEAR_MM

    @property
    def in_one_row(self) -> bool:
        """Whether start, middle and end of head or sill stand side by side."""
        return 3 * self.figure_mm + 2 * CLEAR_MM <= self.width_mm

    @property
    def has_room(self) -> bool:
        rows = 5 if self.in_one_row else 7
        return 2 * self.figure_mm + CLEAR_MM <= self.width_mm and rows * ROW_MM <= self.height_mm


def _inside(view: FittingView, scale: float) -> _Inside:
    whole, face = view.whole, view.face_mm
    return _Inside(
        left=whole.x_mm + face,
        right=whole.right_mm - face,
        low=whole.y_mm + view.sill_mm + face,
        high=whole.top_mm - face,
        scale=scale,
        figure_mm=max((advance_mm(_gap_text(gap), FIGURE_MM) for gap in view.gaps), default=0.0),
    )


def gaps_are_figured(view: FittingView, scale: float) -> bool:
    """Whether the frame has room inside for the figures of its gaps; else the sheet lists them in words."""
    return _inside(view, scale).has_room


def _gap_text(gap: Gap) -> str:
    arrow, figure = ARROWS[gap.side], show_mm(gap.mm)
    return f"{figure} {arrow}" if gap.side == "right" else f"{arrow} {figure}"


def _gap_figures(view: FittingView, scale: float) -> list[Words]:
    """Twelve figures just inside the frame, each with an arrow to the gap it tells."""
    inside = _inside(view, scale)
    if not inside.has_room:
        return []
    left, right = inside.left + CLEAR_MM * scale, inside.right - CLEAR_MM * scale
    row = ROW_MM * scale
    low, high = inside.low + row / 2 + 0.3 * scale, inside.high - row / 2 - 0.3 * scale
    heights = {"start": low + row, "middle": (low + high) / 2, "end": high - row}
    across = {"start": left, "middle": (left + right) / 2, "end": right}
    words = []
    for gap in view.gaps:
        if gap.side in ("left", "right"):
            at = (left if gap.side == "left" else right, heights[gap.place])
            align: Align = gap.side
        else:
            further = 2 * row if gap.place == "middle" and not inside.in_one_row else 0.0
            at = (across[gap.place], high - further if gap.side == "head" else low + further)
            align = ALONG[gap.place]
        words.append(Words(at=at, text=_gap_text(gap), size_mm=FIGURE_MM, align=align))
    return words


def _middle(view: FittingView, scale: float) -> list[Words]:
    """The order size between the rows of gap figures, as large as there is room for, upright in a narrow frame."""
    inside = _inside(view, scale)
    rows = (2.0 if inside.in_one_row else 3.0) if inside.has_room else 0.0
    free = inside.height_mm / 2 - (rows + 0.5) * ROW_MM if inside.has_room else inside.height_mm
    unit = advance_mm(view.size, 1.0, bold=True)
    lying = min(LARGEST_MM, inside.width_mm / unit, free)
    standing = 0.0 if inside.has_room else min(LARGEST_MM, free / unit, inside.width_mm)
    size, turn = (lying, 0.0) if lying >= FIGURE_MM else (standing, 90.0)
    if size < FIGURE_MM:
        return []
    up = inside.height_mm * scale / 2 + (free + ROW_MM) / 2 * scale if inside.has_room else 0.0
    y = inside.low + up if inside.has_room else (inside.low + inside.high) / 2
    at = ((inside.left + inside.right) / 2, y)
    return [Words(at=at, text=view.size, size_mm=size, bold=True, turn_deg=turn)]


def _lean(
    view: FittingView, edges: Sequence[Point], strips: Mapping[Side, Strip], scale: float
) -> list[Words]:
    """What the level said, at the corners outside the wall and clear of the marks along it."""
    (left, bottom), (right, top) = edges[0], edges[2]
    out, row = 1.2 * scale, FIGURE_MM / 2 * scale
    head, foot = (_ends(strips[side], scale, left, right) for side in ("head", "bottom"))
    corner: dict[str, tuple[float, float, Align]] = {
        "top_left": (head[0] - out, top + row, "right"),
        "top_right": (head[1] + out, top + row, "left"),
        "bottom_right": (foot[1] + out, bottom - row, "left"),
    }
    words = []
    for name, said in view.lean.items():
        x, y, align = corner[name]
        for n, line in enumerate(said.split("\n")):
            step = (ROW_MM * scale * n) * (1 if name.startswith("top") else -1)
            words.append(Words(at=(x, y + step), text=line, size_mm=FIGURE_MM, align=align))
    return words


def _ends(strip: Strip, scale: float, left: float, right: float) -> tuple[float, float]:
    xs = [x for item in strip.items for x, _ in extent(item, scale)]
    return min([left, *xs]), max([right, *xs])
