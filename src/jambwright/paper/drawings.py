"""The drawings of an opening as files: SVG for a screen, DXF in true millimetres for other software."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

from jambwright.paper import blocks_drawing, elevation, fitting_drawing, planes_drawing, sill_drawing
from jambwright.paper.comparison_chart import comparison_chart
from jambwright.paper.dimension import SMALL_MM
from jambwright.paper.elevation import ElevationView
from jambwright.paper.fit_views import blocks_view, elevation_view, fitting_view, planes_views, sill_view
from jambwright.paper.render import dxf, placed, svg
from jambwright.paper.scale import NoScaleFits
from jambwright.paper.scene import Box, Scene, Words
from jambwright.record import HouseOptions, OpeningRecord

V = TypeVar("V")

PHONE = Box(width_mm=110.0, height_mm=130.0)
"""Lettering stays readable when a sheet of this size fills a phone held upright."""
LYING = Box(width_mm=180.0, height_mm=110.0)
"""For an opening wider than high: a phone held on its side."""
MARGIN_MM = 3.0
LARGER = (1.0, 1.5, 2.0, 3.0)
"""Sides of the sheet against a phone's."""
LARGEST_MM = 2000.0
AS_DXF = ("fitting", "lights", "sill")


@dataclass(frozen=True, slots=True, kw_only=True)
class OnScreen:
    """A drawing on a screen, and where the true millimetres are on it."""

    svg: str
    left_mm: float
    """x of its left edge."""
    top_mm: float
    """y of its top edge."""
    unit_mm: float
    """True millimetres in one unit of the drawing."""


def lights_on_screen(view: ElevationView) -> OnScreen:
    """The lights as large as their lettering asks, for a screen that is touched."""
    phone = LYING if view.outer.width_mm > 1.3 * view.outer.height_mm else PHONE
    scene = _as_large_as_it_needs(elevation.elevation, view, phone)
    needs = scene.paper_size()
    paper = Box(width_mm=needs.width_mm + 2 * MARGIN_MM, height_mm=needs.height_mm + 2 * MARGIN_MM)
    left, top = placed(scene, paper)
    return OnScreen(svg=svg(scene, paper), left_mm=left, top_mm=top, unit_mm=scene.scale)


def drawings(plan: OpeningRecord) -> dict[str, bytes]:
    """Every drawing of an opening by file name."""
    scenes = _scenes(plan)
    files = {f"{plan.id}-{name}.svg": _on_paper(scene) for name, scene in scenes.items()}
    view = fitting_view(plan)
    scenes["fitting"] = fitting_drawing.drawn_at(view, scenes["fitting"].scale, factor=1)
    return files | {f"{plan.id}-{name}.dxf": dxf(scenes[name]) for name in AS_DXF if name in scenes}


def house_drawings(options: HouseOptions) -> dict[str, bytes]:
    """The drawings of the whole house by file name."""
    return {"comparison.svg": _on_paper(comparison_chart(options.whole))} if options.whole else {}


def _scenes(plan: OpeningRecord) -> dict[str, Scene]:
    phone = LYING if plan.order.width.value > 1.3 * plan.order.height.value else PHONE
    scenes = {
        "fitting": _as_large_as_it_needs(fitting_drawing.fitting_drawing, fitting_view(plan), phone),
        "lights": _as_large_as_it_needs(elevation.elevation, elevation_view(plan), phone),
        "blocks": _as_large_as_it_needs(blocks_drawing.blocks_drawing, blocks_view(plan), phone),
    }
    for number, view in enumerate(planes_views(plan), 1):
        scenes[f"planes-{number}"] = planes_drawing.planes_drawing(view, PHONE if view.upright else LYING)
    sill = sill_view(plan)
    if sill:
        scenes["sill"] = sill_drawing.sill_plan(sill, LYING)
        scenes["sill-section"] = sill_drawing.sill_section(sill, PHONE)
    return scenes


def _as_large_as_it_needs(draw: Callable[[V, Box], Scene], view: V, phone: Box) -> Scene:
    """The drawing on a phone, or on a sheet of several where it has so much to say; then it is zoomed into."""
    for times in LARGER:
        try:
            return draw(view, Box(width_mm=times * phone.width_mm, height_mm=times * phone.height_mm))
        except NoScaleFits:
            continue
    return draw(view, Box(width_mm=LARGEST_MM, height_mm=LARGEST_MM))


def _on_paper(scene: Scene) -> bytes:
    """The drawing with its title under it and a margin round both."""
    left, bottom, _, _ = scene.bounds()
    below = bottom - 2 * MARGIN_MM * scene.scale
    title = Words(at=(left, below), text=scene.title, size_mm=SMALL_MM, align="left")
    titled = replace(scene, items=(*scene.items, title))
    needs = titled.paper_size()
    paper = Box(width_mm=needs.width_mm + 2 * MARGIN_MM, height_mm=needs.height_mm + 2 * MARGIN_MM)
    return svg(titled, paper).encode()
