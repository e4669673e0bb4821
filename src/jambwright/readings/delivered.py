"""What was found when an ordered unit came, before anybody signed for it; blank is what nobody looked at."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import field_validator

from jambwright.basis.border import Strict
from jambwright.basis.envelope import Day, Name, Words, counted, within

MarkSeen = Literal["toughened", "laminated", "none", "not_looked"]
"""What is stamped in the corner of a pane, seen from that side."""


class DeliveredLight(Strict):
    """The glass of one light as it came."""

    outside_mark: MarkSeen | None = None
    """Of the pane to the outside, or of a single one."""
    middle_mark: MarkSeen | None = None
    """Of the middle pane of three."""
    inside_mark: MarkSeen | None = None
    low_e: bool | None = None
    """Its coating is on the face ordered."""
    pattern: bool | None = None
    """The pattern of obscure glass, and its side, are as ordered."""
    thickness_mm: Annotated[float, within("unit_thickness_mm")] | None = None
    """Of the whole unit."""
    glass_width_mm: Annotated[float, within("glass_side_mm")] | None = None
    glass_height_mm: Annotated[float, within("glass_side_mm")] | None = None
    """Of glass that came loose."""
    glass_diagonals_differ_mm: Annotated[float, within("diagonals_differ_mm")] | None = None


class ItsParts(Strict):
    """What comes with a frame: whether all of it was there, counted against the order."""

    vents: bool | None = None
    frame_sill: bool | None = None
    keys: bool | None = None
    hardware: bool | None = None
    trims: bool | None = None


class Remake(Strict):
    """A unit that is made again."""

    reason: Words = ""
    promised_on: Day | None = None
    """The day the maker promises the new one for."""


class Delivered(Strict):
    """One unit as it came, seen from outside."""

    on: Day | None = None
    by: Name | None = None
    """Who looked."""
    width_mm: Annotated[float, within("width_mm")] | None = None
    height_mm: Annotated[float, within("height_mm")] | None = None
    """Of the frame, without its sill."""
    rising_mm: Annotated[float, within("frame_diagonal_mm")] | None = None
    falling_mm: Annotated[float, within("frame_diagonal_mm")] | None = None
    """Diagonals of the frame, laid flat."""
    hand: bool | None = None
    """Every light has its hinges on the side ordered."""
    way: bool | None = None
    """Every light opens the way ordered, in or out."""
    colour: bool | None = None
    """The colour is as ordered on both faces."""
    parts: ItsParts = ItsParts()
    lights: Annotated[dict[Name, DeliveredLight], counted("settled")] = {}
    """Its glass by the mark of the light, A first as on the drawing."""
    damaged: bool | None = None
    damage: Words = ""
    """What is damaged, and where."""
    remake: Remake | None = None

    @field_validator("remake")
    @classmethod
    def _blank_is_none(cls, remake: Remake | None) -> Remake | None:
        return remake if remake != Remake() else None
