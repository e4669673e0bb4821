"""The joint of one side cut across, true to this opening's numbers: wall, set-back, gap, seal, backing and foam.

Outside at the left. The wall lies over the frame, as at the head and, seen from above, at a jamb; under it at the
bottom.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from jambwright.paper.dimension import CLEAR_MM, SMALL_MM, Rail, levels
from jambwright.paper.hatching import hatched
from jambwright.paper.scale import at_largest_scale
from jambwright.paper.scene import Area, Box, Circle, Item, Line, Point, Scene, Words
from jambwright.paper.wall_section import Closer

WALL_DEEP_MM, FRAME_DEEP_MM = 22.0, 26.0
"""How much of wall and frame is drawn off the joint."""
BEHIND_MM = 15.0
"""How much of the wall is drawn behind the frame."""
CLOSER_MM = 14.0
TAPE_MM = 1.5
TRIM_MM, TRIM_LAP_MM = 3.0, 20.0
"""A cover trim, drawn only: its thickness, and how far it lies over the frame."""
ZIGZAG_MM = 2.6
"""From one turn of the foam's line to the next, on paper."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JointView:
    """What the section shows."""

    title: str
    leaves_mm: tuple[tuple[float, bool], ...]
    """Of the wall from outside: thickness, and whether it is solid; empty where the build-up is not known."""
    closer: Closer
    set_back_mm: float
    """Front of the frame behind the wall face."""
    frame_depth_mm: float
    gap_mm: float
    seal_depth_mm: float
    rod: bool
    tape: bool
    foam: bool
    nib_mm: float = 0.0
    """How far a nib laps over the frame; the bead then lies in the corner of nib and frame."""
    cover_trim: bool = False
    under: bool = False
    """Whether the wall lies under the frame."""


def joint_section(view: JointView, box: Box) -> Scene:
    """The section at the largest scale that fits the box."""
    return at_largest_scale(partial(section_at, view), box)


def section_at(view: JointView, scale: float) -> Scene:
    """The section at a given scale."""
    gap, front = max(view.gap_mm, 0.0), view.set_back_mm
    back = front + view.frame_depth_mm
    low = -gap - max(FRAME_DEEP_MM, view.nib_mm + 12.0)
    items: list[Item] = [*_wall(view, back + BEHIND_MM, scale)]
    items.append(Line(points=_box(view, front, low, back, -gap), ink="frame", closed=True))
    items += _filled(view, gap, scale)
    middle = (low - gap - view.nib_mm) / 2
    items.append(Words(at=_at(view, (front + back) / 2, middle), text="frame", size_mm=SMALL_MM))
    # beside the frame, clear of a nib
    items.append(
        Words(at=_at(view, front - 8.0 - 2 * scale, middle), text="outside", size_mm=SMALL_MM, align="right")
    )
    foot = Rail(side="bottom", base_mm=-WALL_DEEP_MM if view.under else low, scale=scale)
    items += levels(foot, {0.0, front, back}, out_mm=CLEAR_MM)
    if gap >= 0.5:
        beside = Rail(side="right", base_mm=back + BEHIND_MM, scale=scale)
        items += levels(beside, {_y(view, 0.0), _y(view, -gap)}, out_mm=CLEAR_MM)
    return Scene(title=view.title, items=tuple(items), scale=scale)


def _y(view: JointView, y: float) -> float:
    return -y if view.under else y


def _at(view: JointView, x: float, y: float) -> Point:
    return (x, _y(view, y))


def _box(view: JointView, x: float, y: float, right: float, top: float) -> tuple[Point, ...]:
    return tuple(_at(view, *corner) for corner in ((x, y), (right, y), (right, top), (x, top)))


def _wall(view: JointView, end: float, scale: float) -> Iterator[Item]:
    """The leaves as far as they are drawn; a plain block where the build-up is not known."""
    x = 0.0
    for number, (thick, solid) in enumerate(view.leaves_mm or ((end, True),)):
        right = min(x + thick, end)
        if right <= x:
            return
        body = _box(view, x, 0.0, right, WALL_DEEP_MM)
        if solid:
            yield from hatched(body, scale=scale)
        else:
            yield from _closed(view, x, right, scale)
        whole = x + thick <= end
        # a leaf that goes on is left open where it is cut off
        yield Line(points=body if whole else (body[1], body[0], body[3], body[2]), ink="wall", closed=whole)
        if number == 0 and view.nib_mm:
            nib = _box(view, 0.0, -view.gap_mm - view.nib_mm, view.set_back_mm, 0.0)
            yield from hatched(nib, scale=scale)
            yield Line(points=nib, ink="wall", closed=True)
        x = right


def _closed(view: JointView, x: float, right: float, scale: float) -> Iterator[Item]:
    """How the cavity is closed behind the joint."""
    body = _box(view, x, 0.0, right, CLOSER_MM)
    if view.closer == "brick_return":
        yield from hatched(body, scale=scale)
    elif view.closer == "insulated":
        yield Line(points=(body[0], body[2]), ink="sash")
        yield Line(points=(body[1], body[3]), ink="sash")
    elif view.closer == "unknown" and right - x > 2 * SMALL_MM * scale:
        yield Words(at=_at(view, (x + right) / 2, CLOSER_MM / 2), text="?", size_mm=SMALL_MM, bold=True)


def _filled(view: JointView, gap: float, scale: float) -> Iterator[Item]:
    """Sealant in black, what backs it, the foam behind, and a trim that covers it."""
    front = view.set_back_mm
    back = front + view.frame_depth_mm
    foam = front
    if view.nib_mm:
        edge = -gap - view.nib_mm
        corners = ((front, edge), (front - view.seal_depth_mm, edge), (front, edge - view.seal_depth_mm))
        yield Area(points=tuple(_at(view, *corner) for corner in corners), ink="packer")
    elif gap > 0:
        sealed = foam = front + view.seal_depth_mm
        yield Area(points=_box(view, front, -gap, sealed, 0.0), ink="packer")
        if view.rod:
            yield Circle(centre=_at(view, sealed + gap / 2, -gap / 2), radius_mm=gap / 2, ink="block")
            foam = sealed + gap
        elif view.tape:
            foam = sealed + TAPE_MM
            yield Line(points=_box(view, sealed, -gap, foam, 0.0), ink="block", closed=True)
    if view.foam and gap > 0 and back > foam:
        yield _zigzag(view, foam, back, gap, scale)
    if view.cover_trim:
        trim = _box(view, front - TRIM_MM, -gap - TRIM_LAP_MM, front, 0.0)
        yield Area(points=trim, ink="block", fill="blank")


def _zigzag(view: JointView, left: float, right: float, gap: float, scale: float) -> Line:
    turns = max(2, round((right - left) / (ZIGZAG_MM * scale)))
    step = (right - left) / turns
    points = [_at(view, left + n * step, -gap if n % 2 else 0.0) for n in range(turns + 1)]
    return Line(points=tuple(points), ink="glass")
