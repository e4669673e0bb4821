"""The planes in which sashes or panes slide past each other: panes from above, sashes from the left end.

True along the leaves; across them drawn apart so that each plane is seen. Leaves that fold stand in one plane, and
are drawn half folded as well, true along and across.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from jambwright.paper.dimension import ROW_MM, SMALL_MM
from jambwright.paper.scale import at_largest_scale
from jambwright.paper.scene import Align, Area, Box, Item, Line, Point, Scene, Words, rectangle
from jambwright.paper.symbols import arrow

PITCH_MM = 6.0
"""From plane to plane, on paper."""
LEAF_MM = 4.0
"""Of a leaf across, on paper: its mark stands in it."""
ARROW = 0.3
"""Length of an arrow, of its leaf's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneLeaf:
    """One leaf along its plane, from the left or from the bottom."""

    mark: str
    from_mm: float
    to_mm: float
    plane: int
    """1 is outermost."""
    slides: int
    """1 towards the right or up, -1 the other way, 0 for one that stands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanesView:
    """What the drawing shows of one light."""

    title: str
    upright: bool
    """Sashes one over the other, seen from the left end; else panes seen from above."""
    frame_mm: tuple[float, float, float, float]
    """Where the frame begins, its sight lines, and where it ends."""
    leaves: tuple[PlaneLeaf, ...]
    folded: tuple[tuple[Point, ...], ...] = ()
    """Leaves half folded, from the jamb they are folded against: along, and how far inwards of the shut leaves."""


def planes_drawing(view: PlanesView, box: Box) -> Scene:
    """Outside at the bottom, or at the left, at the largest scale that fits the box."""
    return at_largest_scale(partial(drawn_at, view), box)


def drawn_at(view: PlanesView, scale: float) -> Scene:
    """The drawing at a given scale."""
    deep = max(leaf.plane for leaf in view.leaves) * PITCH_MM * scale
    start, near, far, end = view.frame_mm
    items: list[Item] = [
        Area(points=_box(view, low, high, 0.0, deep), ink="frame")
        for low, high in ((start, near), (far, end))
    ]
    for leaf in view.leaves:
        items += _leaf(view, leaf, scale)
    half = deep / 2
    turned_in = [tuple((along, half + inwards) for along, inwards in line) for line in view.folded]
    items += [Line(points=line, ink="opens_in") for line in turned_in]
    reached = [across for line in turned_in for _, across in line]
    low, high = min([0.0, *reached]), max([deep, *reached])
    middle, off = (near + far) / 2, 0.6 * ROW_MM * scale
    sides: tuple[tuple[str, float, Align], ...] = (
        ("outside", low - off, "right"),
        ("inside", high + off, "left"),
    )
    for text, at, align in sides:
        turned: Align = align if view.upright else "middle"
        items.append(Words(at=_at(view, middle, at), text=text, size_mm=SMALL_MM, align=turned))
    return Scene(title=view.title, items=tuple(items), scale=scale)


def _leaf(view: PlanesView, leaf: PlaneLeaf, scale: float) -> Iterator[Item]:
    across, half = (leaf.plane - 0.5) * PITCH_MM * scale, LEAF_MM / 2 * scale
    yield Line(
        points=_box(view, leaf.from_mm, leaf.to_mm, across - half, across + half), ink="sash", closed=True
    )
    yield Words(
        at=_at(view, (leaf.from_mm + leaf.to_mm) / 2, across), text=leaf.mark, size_mm=SMALL_MM, bold=True
    )
    if leaf.slides:
        tail = leaf.to_mm if leaf.slides > 0 else leaf.from_mm
        tip = tail + leaf.slides * ARROW * (leaf.to_mm - leaf.from_mm)
        yield from arrow(_at(view, tail, across), _at(view, tip, across), scale, ink="sash")


def _at(view: PlanesView, along_mm: float, across_mm: float) -> Point:
    return (across_mm, along_mm) if view.upright else (along_mm, across_mm)


def _box(view: PlanesView, low: float, high: float, near: float, far: float) -> tuple[Point, ...]:
    if view.upright:
        return rectangle(near, low, far - near, high - low)
    return rectangle(low, near, high - low, far - near)
