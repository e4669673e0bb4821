"""A door's threshold cut across: its depth and height, the wall face and the leaf over it. An outline, no section."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from jambwright.paper.dimension import CLEAR_MM, ROW_MM, SMALL_MM, Rail, levels
from jambwright.paper.hatching import hatched
from jambwright.paper.scale import at_largest_scale
from jambwright.paper.scene import Box, Item, Line, Scene, Words, rectangle

GROUND_MM = 3.0
"""Depth of ground drawn under it, on paper."""
LEAF_MM = 7.0
"""Height of leaf drawn above it, on paper."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThresholdView:
    """What the section shows."""

    title: str
    depth_mm: float
    """Of the frame, front to back."""
    height_mm: float
    """From the frame's bottom edge to the top of the threshold."""
    set_back_mm: float
    """Front of the frame behind the wall face."""


def threshold_section(view: ThresholdView, box: Box) -> Scene:
    """Seen from the left end, outside at the left, at the largest scale that fits the box."""
    return at_largest_scale(partial(section_at, view), box)


def section_at(view: ThresholdView, scale: float) -> Scene:
    """The section at a given scale."""
    height, front = view.height_mm, view.set_back_mm
    back = front + view.depth_mm
    low = -GROUND_MM * scale
    items: list[Item] = [
        *hatched(rectangle(0, low, back + 2 * scale, -low), scale=scale),
        Line(points=((0, low), (0, 0), (back + 2 * scale, 0)), ink="wall"),
        Line(points=rectangle(front, 0, view.depth_mm, height), ink="frame", closed=True),
    ]
    top = height + LEAF_MM * scale
    items.append(Line(points=((front, top), (front, height), (back, height), (back, top)), ink="sash"))
    at = top - 0.6 * ROW_MM * scale
    items += [
        Words(at=((front + back) / 2, at), text="leaf", size_mm=SMALL_MM),
        Words(at=(front - 1.5 * scale, at), text="outside", size_mm=SMALL_MM, align="right"),
    ]
    foot = Rail(side="bottom", base_mm=low, scale=scale)
    items += levels(foot, (0, front, back), out_mm=CLEAR_MM)
    behind = Rail(side="right", base_mm=back + 2 * scale, scale=scale)
    items += levels(behind, (0, height), out_mm=CLEAR_MM)
    return Scene(title=f"{view.title} threshold section", items=tuple(items), scale=scale)
