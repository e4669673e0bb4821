"""The parts of a layout as it is made: where each split puts its bars, and what would make its parts look alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from jambwright.basis.problems import BadInput
from jambwright.frame.frame import Chosen
from jambwright.frame.layout import Layout, LayoutPath, lay_out
from jambwright.frame.rect import Rect
from jambwright.readings.wanted import Across, Down, LayoutNode, Wanted

Alike = Literal["sight", "glass"]
"""What is to be equal: the holes in the frame from sight line to sight line, or the glass seen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """A part of the frame divided side by side or one above another."""

    path: LayoutPath
    way: Literal["across", "down"]
    rect: Rect
    """All of it, from outer edge or a bar's centre line to the next."""
    sizes_mm: tuple[float, ...]
    """Of its parts, from the left or from the head down."""


def splits_of(node: LayoutNode, layout: Layout, path: LayoutPath = ()) -> Iterator[Split]:
    """Every split of a layout that was placed, the outermost first."""
    if not isinstance(node, Across | Down):
        return
    way, parts = _parts_of(node)
    paths = [(*path, way, index) for index in range(len(parts))]
    sizes = tuple(_along(layout.part_rect(each), way) for each in paths)
    yield Split(path=path, way=way, rect=layout.part_rect(path), sizes_mm=sizes)
    for part, to in zip(parts, paths, strict=True):
        yield from splits_of(part, layout, to)


def even_shares(node: LayoutNode, layout: Layout, path: LayoutPath, alike: Alike) -> tuple[float, ...]:
    """Shares of the parts of the split at ``path`` with which all show the same of what is to be alike.

    Frame, bars and sashes take more of one part than of another; what they leave is made equal. Of a part
    that is split again, all between its outermost lines counts. Raises ``BadInput`` where nothing is split
    or nothing would be left.
    """
    split = next((each for each in splits_of(node, layout) if each.path == path), None)
    if split is None:
        raise BadInput.one("path", "layout: there is no bar here to move; choose a part that is divided.")
    count, whole = len(split.sizes_mm), sum(split.sizes_mm)
    taken = [
        size - _along(layout.seen_rect((*path, split.way, index), alike), split.way)
        for index, size in enumerate(split.sizes_mm)
    ]
    left = (whole - sum(taken)) / count
    if left <= 0:
        raise BadInput.one("path", "layout: frame and bars leave nothing to share out; leave a bar out.")
    return tuple(round((left + each) / whole * count, 5) for each in taken)


def rough_layout(wanted: Wanted, chosen: Chosen, *, width_mm: float, height_mm: float) -> Layout:
    """The layout at a size that is not an order size, to be drawn before the opening is read."""
    return lay_out(
        wanted.layout, width_mm=width_mm, height_mm=height_mm, profile=chosen.profile,
        door=chosen.kind == "door", low=wanted.threshold == "low",
    )  # fmt: skip


def _parts_of(node: Across | Down) -> tuple[Literal["across", "down"], Sequence[LayoutNode]]:
    return ("across", node.across) if isinstance(node, Across) else ("down", node.down)


def _along(rect: Rect, way: Literal["across", "down"]) -> float:
    return rect.width_mm if way == "across" else rect.height_mm
