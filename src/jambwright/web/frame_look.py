"""What each opening will look like from outside, to be drawn on a face of the house: millimetres, x right, y up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from jambwright.basis.border import accept
from jambwright.basis.problems import BadInput
from jambwright.one_opening import sketched
from jambwright.paper.scene import rectangle
from jambwright.paper.symbols import opening_triangle
from jambwright.readings.survey import Opening
from jambwright.readings.usual import Defaults
from jambwright.record import Layout, OpeningRecord, PlacedLight, PlanRecord, Rect

Filling = Literal["glass", "obscure", "panel"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pane:
    """What fills one light, as far as it is seen."""

    filling: Filling
    seen: Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameLook:
    """One frame; its own coordinates start at its bottom left outer corner, and its sill lies below."""

    width_mm: float
    height_mm: float
    sill_mm: float
    """Height of the sill; 0 for none."""
    sill_length_mm: float
    colour: str
    sashes: tuple[Rect, ...]
    panes: tuple[Pane, ...]
    signs: tuple[str, ...]
    """Triangles whose point touches the hinges, as points of a line."""

    @property
    def whole_mm(self) -> float:
        """Height with the sill."""
        return self.height_mm + self.sill_mm


def frame_looks(tree: Mapping[str, Any], record: PlanRecord | None) -> dict[str, FrameLook]:
    """By mark: as planned where a plan of these readings holds it, else as asked at about its size.

    An opening whose lights can't be made is left out.
    """
    planned = {each.id: each for each in record.openings} if record else {}
    found = {}
    for opening in tree["openings"]:
        mark = opening["id"]
        look = _planned(planned[mark]) if mark in planned else _asked(opening, tree.get("defaults") or {})
        if look:
            found[mark] = look
    return found


def _planned(opening: OpeningRecord) -> FrameLook:
    frame = opening.frame
    sill = frame.size.sill_height_mm
    length = frame.sill.length_mm if frame.sill else 0.0
    return _look(frame.layout, frame.outer, frame.chosen.colour, sill, length)


def _asked(opening: Mapping[str, Any], defaults: Mapping[str, Any]) -> FrameLook | None:
    try:
        sketch = sketched(accept(Opening, opening), accept(Defaults, defaults))
    except BadInput:
        return None
    return _look(sketch.layout, sketch.outer, sketch.colour, sketch.sill_mm, sketch.outer.width_mm)


def _look(layout: Layout, outer: Rect, colour: str, sill_mm: float, sill_length_mm: float) -> FrameLook:
    return FrameLook(
        width_mm=outer.width_mm,
        height_mm=outer.height_mm,
        sill_mm=sill_mm,
        sill_length_mm=sill_length_mm,
        colour=colour,
        sashes=tuple(light.sash for light in layout.lights if light.sash),
        panes=tuple(Pane(filling=_filling(light), seen=light.daylight) for light in layout.lights),
        signs=tuple(sign for light in layout.lights for sign in _signs(light)),
    )


def _filling(light: PlacedLight) -> Filling:
    if light.wanted.infill == "panel":
        return "panel"
    return "obscure" if light.wanted.obscure else "glass"


def _signs(light: PlacedLight) -> Iterator[str]:
    """Within what fills the light, so that they stand clear of sash and frame; of what slides an arrow."""
    seen = light.daylight
    corners = rectangle(seen.x_mm, seen.y_mm, seen.width_mm, seen.height_mm)
    for hinges in light.way.hinges:
        line = opening_triangle(corners, hinges, outwards=light.wanted.swing == "out")
        yield " ".join(f"{x:.0f},{y:.0f}" for x, y in line.points)
    if light.moves.slides:
        yield _arrow(seen, light.moves.slides)


def _arrow(seen: Rect, to: str) -> str:
    """Along the middle of what is seen, its head as two strokes back from the tip."""
    x, y = {"up": (0.0, 1.0), "down": (0.0, -1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}[to]
    half = 0.3 * (seen.height_mm if y else seen.width_mm)
    middle = seen.x_mm + seen.width_mm / 2, seen.y_mm + seen.height_mm / 2

    def at(along: float, aside: float = 0.0) -> str:
        return f"{middle[0] + half * (along * x + aside * y):.0f},{middle[1] + half * (along * y - aside * x):.0f}"

    return " ".join((at(-1), at(1), at(0.75, 0.15), at(1), at(0.75, -0.15)))
