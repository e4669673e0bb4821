"""Glazing blocks of every light at its place: where the glass rests and where it is only held."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from jambwright.basis.units import show_mm
from jambwright.paper.dimension import CLEAR_MM, SMALL_MM
from jambwright.paper.hatching import kept_off
from jambwright.paper.lettering import advance_mm
from jambwright.paper.scale import at_largest_scale
from jambwright.paper.scene import Box, Item, Line, Point, Scene, Words, extent, rectangle
from jambwright.paper.symbols import arrow, block
from jambwright.record import Block, PlacedLight, Rect, toe_edges

THICK_MM = 1.7
"""Thickness of a block sign on paper; its length is true."""
SHORTEST_ARROW_MM = 12.0
"""A shorter diagonal is not drawn."""
SHORTEST_MM = 2.6
"""A block sign is never shorter on paper."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BlocksView:
    """What the drawing shows, in frame coordinates."""

    title: str
    outer: Rect
    lights: tuple[PlacedLight, ...]
    blocks: Mapping[str, Sequence[Block]]
    """By light mark."""

    @property
    def usual_mm(self) -> float:
        """The commonest distance from a corner; only others are figured."""
        places = [b.from_corner_mm for blocks in self.blocks.values() for b in blocks]
        return max(places, key=places.count)


def blocks_drawing(view: BlocksView, box: Box) -> Scene:
    """The drawing at the largest scale that fits the box."""
    least = max(view.outer.width_mm / box.width_mm, view.outer.height_mm / box.height_mm)
    return at_largest_scale(partial(drawn_at, view), box, least=least)


def drawn_at(view: BlocksView, scale: float) -> Scene:
    """The drawing at a given scale."""
    outer = view.outer
    corners = rectangle(outer.x_mm, outer.y_mm, outer.width_mm, outer.height_mm)
    items: list[Item] = [Line(points=corners, ink="glass", closed=True)]
    for light in view.lights:
        items += _light(view, light, scale)
    return Scene(title=f"{view.title} glazing blocks", items=tuple(items), scale=scale)


def _light(view: BlocksView, light: PlacedLight, scale: float) -> list[Item]:
    glass, thick = light.glass, THICK_MM * scale
    inner = rectangle(
        glass.x_mm + thick, glass.y_mm + thick, glass.width_mm - 2 * thick, glass.height_mm - 2 * thick
    )
    # the pane is drawn inside its true edge by the thickness of the signs, so that they stay in their own light
    pane, path, mark = Line(points=(*inner, inner[0]), ink="sash"), _load_path(light, scale), _mark(light)
    words = [mark] if _has_room(mark, light, [], scale) else []
    signs: list[Item] = []
    for b in view.blocks[light.mark]:
        middle, upright = sign_place(glass, b, scale)
        length = max(b.length_mm, SHORTEST_MM * scale)
        signs.append(block(middle, length, thick, setting=b.role == "setting", upright=upright))
        text = said_of(view, light.mark, b)
        figure = _figure(text, light, b, middle, scale)
        if text and _has_room(figure, light, [*path, *words], scale):
            words.append(figure)
    return [*kept_off([pane, *path], words, scale=scale), *signs, *words]


def sign_place(glass: Rect, b: Block, scale: float) -> tuple[Point, bool]:
    """Middle of a block's sign, and whether it stands upright."""
    half = THICK_MM * scale / 2
    start, end = (glass.x_mm, glass.right_mm) if b.edge in ("bottom", "top") else (glass.y_mm, glass.top_mm)
    along = {
        "left": start + b.from_corner_mm,
        "bottom": start + b.from_corner_mm,
        "middle": start + b.from_corner_mm,
        "right": end - b.from_corner_mm,
        "top": end - b.from_corner_mm,
    }[b.corner]
    return {
        "bottom": ((along, glass.y_mm + half), False),
        "top": ((along, glass.top_mm - half), False),
        "left": ((glass.x_mm + half, along), True),
        "right": ((glass.right_mm - half, along), True),
    }[b.edge]


def _mark(light: PlacedLight) -> Words:
    glass = light.glass
    at = (glass.x_mm + glass.width_mm / 2, glass.y_mm + glass.height_mm / 2)
    return Words(at=at, text=light.mark, size_mm=SMALL_MM, bold=True)


def figured(view: BlocksView, b: Block) -> bool:
    """Whether a block stands elsewhere than the usual distance from its corner."""
    return abs(b.from_corner_mm - view.usual_mm) > 0.5 and b.corner != "middle"


def said_of(view: BlocksView, mark: str, b: Block) -> str:
    """Distance from the corner where it is not the usual one, thickness where the block is raised.

    Empty for an ordinary block: one note on the sheet speaks for all of those.
    """
    said = [f"{b.from_corner_mm:.0f}"] if figured(view, b) else []
    thinnest = min(other.thickness_mm for other in view.blocks[mark])
    if b.thickness_mm > thinnest + 0.05:
        said.append(f"{show_mm(b.thickness_mm)} thick")
    return ", ".join(said)


def _figure(text: str, light: PlacedLight, b: Block, middle: Point, scale: float) -> Words:
    """Lettering inside the pane beside its block, pushed back from the pane's edges."""
    glass, step = light.glass, (THICK_MM / 2 + CLEAR_MM + SMALL_MM / 2) * scale
    half = advance_mm(text, SMALL_MM) * scale / 2
    keep = half + (THICK_MM + CLEAR_MM) * scale
    x, y = middle
    if b.edge in ("bottom", "top"):
        y += step if b.edge == "bottom" else -step
    x = min(max(x, glass.x_mm + keep), glass.right_mm - keep)
    return Words(at=(x, y), text=text, size_mm=SMALL_MM)


def _has_room(words: Words, light: PlacedLight, others: Sequence[Item], scale: float) -> bool:
    """Whether lettering stays in its pane and off what is drawn there; the sheet's note tells it anyway."""
    import shapely

    glass, edge = light.glass, (THICK_MM + 0.3) * scale
    pane = shapely.box(glass.x_mm + edge, glass.y_mm + edge, glass.right_mm - edge, glass.top_mm - edge)
    box = shapely.Polygon(words.corners(scale))
    drawn = (shapely.MultiPoint(extent(item, scale)).convex_hull for item in others)
    return bool(pane.contains(box)) and not any(box.intersects(other) for other in drawn)


def _load_path(light: PlacedLight, scale: float) -> list[Item]:
    """Heel to toe: the diagonal along which the blocks carry a side-hung sash."""
    toe = toe_edges(light.way)
    if toe is None:
        return []
    glass = light.glass
    heel_x, toe_x = (glass.x_mm, glass.right_mm) if toe[1] == "right" else (glass.right_mm, glass.x_mm)

    def on_diagonal(share: float) -> Point:
        return (heel_x + share * (toe_x - heel_x), glass.y_mm + share * glass.height_mm)

    # its ends stay clear of the figures in the corners
    tail, tip = on_diagonal(0.25), on_diagonal(0.75)
    if math.dist(tail, tip) < SHORTEST_ARROW_MM * scale:
        return []
    return list(arrow(tail, tip, scale))
