"""The sill to mark out by: plan with notches, caps and screws, and a section at the wall face."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import partial

from jambwright.basis.tables import table
from jambwright.paper.dimension import CLEAR_MM, ROW_MM, SMALL_MM, Rail, levels
from jambwright.paper.edge_marks import EdgeMark, marks_strip
from jambwright.paper.hatching import hatched
from jambwright.paper.scale import at_largest_scale
from jambwright.paper.scene import Area, Box, Item, Line, Point, Scene, Words, rectangle
from jambwright.paper.symbols import fixing
from jambwright.record import Sill

WALL_MM = 4.0
"""Width of wall drawn beside and behind the sill, on paper."""
DEEPEST_MM = 12.5
"""A sill in plan is never drawn deeper on paper: its length is what is marked out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SillView:
    """What the sill drawings show."""

    title: str
    sill: Sill
    set_back_mm: float
    """Front of the frame behind the wall face."""

    @property
    def wall_mm(self) -> float:
        """Wall face from the nose."""
        return self.sill.nose_past_wall_mm

    @property
    def seat_mm(self) -> float:
        """Front of the frame from the nose."""
        return self.wall_mm + self.set_back_mm


def sill_plan(view: SillView, box: Box) -> Scene:
    """Seen from above, outside at the bottom, at the largest scale that fits the box."""
    least = max(view.sill.length_mm / box.width_mm, view.sill.depth_mm / DEEPEST_MM)
    return at_largest_scale(partial(plan_at, view), box, least=least)


def sill_section(view: SillView, box: Box) -> Scene:
    """Seen from the left end, outside at the left, at the largest scale that fits the box."""
    return at_largest_scale(partial(section_at, view), box)


def cut_outline(sill: Sill) -> tuple[Point, ...]:
    """The sill in plan: nose along y = 0, back at its depth, horns left standing in front of the wall."""
    length, depth, notch, wall = sill.length_mm, sill.depth_mm, sill.notch_along_mm, sill.nose_past_wall_mm
    if not notch:
        return rectangle(0, 0, length, depth)
    return (
        (0, 0), (length, 0), (length, wall), (length - notch, wall),
        (length - notch, depth), (notch, depth), (notch, wall), (0, wall),
    )  # fmt: skip


def plan_at(view: SillView, scale: float) -> Scene:
    """The plan at a given scale."""
    sill = view.sill
    length, depth, notch = sill.length_mm, sill.depth_mm, sill.notch_along_mm
    ends = (notch, length - notch) if notch else (0, length)
    items: list[Item] = [*_jambs(view, ends, scale)]
    items.append(Line(points=cut_outline(sill), ink="frame", closed=True))
    items.append(Line(points=((ends[0], view.seat_mm), (ends[1], view.seat_mm)), ink="hidden"))
    cap = 0.7 * scale
    items += [
        Area(points=rectangle(x, 0, cap, view.wall_mm if notch else depth), ink="block")
        for x in (0, length - cap)
    ]
    items += _screws(view, ends[0], scale)
    below = Rail(side="bottom", base_mm=0, scale=scale)
    items += levels(below, (0, *ends, length), out_mm=CLEAR_MM)
    beside = Rail(side="right", base_mm=length, scale=scale)
    items += levels(beside, (0, view.wall_mm, depth), out_mm=WALL_MM + CLEAR_MM)
    return Scene(title=f"{view.title} sill from above", items=tuple(items), scale=scale)


def _jambs(view: SillView, ends: tuple[float, float], scale: float) -> list[Item]:
    """Wall on both sides of the reveal, clear of the sill by its relief."""
    sill = view.sill
    relief = table("sill_rules").value(rule="notch_relief_mm")
    reveal = (ends[0] - relief, ends[1] + relief)
    far = (min(0.0, reveal[0]) - WALL_MM * scale, max(sill.length_mm, reveal[1]) + WALL_MM * scale)
    face, back = view.wall_mm, sill.depth_mm + 1.5 * scale
    items: list[Item] = []
    for inner, outer in zip(reveal, far, strict=True):
        block = rectangle(min(inner, outer), face, abs(outer - inner), back - face)
        items += hatched(block, scale=scale)
        items.append(Line(points=((outer, face), (inner, face), (inner, back)), ink="wall"))
    return items


def _screws(view: SillView, shoulder_mm: float, scale: float) -> list[Item]:
    """Screws up into the frame, figured from the left shoulder."""
    rail = Rail(side="head", base_mm=view.sill.depth_mm, scale=scale)
    middle = (view.seat_mm + view.sill.depth_mm) / 2
    marks = [
        EdgeMark(side="head", at_mm=shoulder_mm + at, figure=f"{at:.0f}", held="screw")
        for at in view.sill.screws_mm
    ]
    items: list[Item] = list(marks_strip(rail, marks, out_mm=0.5, room_mm=view.sill.length_mm / scale).items)
    for mark in marks:
        items += fixing((mark.at_mm, middle), scale)
    return items


def section_at(view: SillView, scale: float) -> Scene:
    """The section at a given scale."""
    sill, gap = view.sill, view.sill.packer_gap_mm
    depth, height, wall, seat = sill.depth_mm, sill.height_mm, view.wall_mm, view.seat_mm
    items: list[Item] = []
    below = -gap - 2.5 * scale
    block = rectangle(wall, below, depth - wall + 2 * scale, -gap - below)
    items += hatched(block, scale=scale)
    items.append(Line(points=((wall, below), (wall, -gap), (depth + 2 * scale, -gap)), ink="wall"))
    items.append(Line(points=profile(view), ink="frame", closed=True))
    packer = (depth - seat) * 0.6
    items.append(Area(points=rectangle(seat + (depth - seat - packer) / 2, -gap, packer, gap), ink="packer"))
    top = height + 6.5 * scale
    items.append(Line(points=((seat, top), (seat, height), (depth, height), (depth, top)), ink="frame"))
    items += _section_words(view, scale, top)
    foot = Rail(side="bottom", base_mm=below, scale=scale)
    items += levels(foot, (0, wall, seat, depth), out_mm=CLEAR_MM)
    behind = Rail(side="right", base_mm=depth + 2 * scale, scale=scale)
    items += levels(behind, (0, height), out_mm=CLEAR_MM)
    return Scene(title=f"{view.title} sill section", items=tuple(items), scale=scale)


def profile(view: SillView) -> tuple[Point, ...]:
    """A plain sill: level seat under the frame, falling top, upright nose, drip groove underneath."""
    sill, seat = view.sill, view.seat_mm
    fall = seat * math.tan(math.radians(table("sill_rules").value(rule="fall_deg")))
    nose = sill.height_mm - fall
    drip = view.wall_mm - sill.drip_clear_mm
    groove = min(3.0, drip / 2)
    return (
        (0, 0), (drip - groove / 2, 0), (drip, groove), (drip + groove / 2, 0), (sill.depth_mm, 0),
        (sill.depth_mm, sill.height_mm), (seat, sill.height_mm), (0, nose),
    )  # fmt: skip


def _section_words(view: SillView, scale: float, top: float) -> list[Item]:
    depth, seat = view.sill.depth_mm, view.seat_mm
    return [
        Words(at=((seat + depth) / 2, top - ROW_MM * scale * 0.6), text="frame", size_mm=SMALL_MM),
        Words(
            at=(seat - 1.5 * scale, top - ROW_MM * scale * 0.6),
            text="outside",
            size_mm=SMALL_MM,
            align="right",
        ),
    ]
