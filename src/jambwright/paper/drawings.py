"""The drawings of an opening as files: SVG for a screen, DXF in true millimetres for other software."""

from __future__ import annotations

from jambwright.paper import blocks_drawing, elevation, fitting_drawing, sill_drawing
from jambwright.paper.fit_views import blocks_view, elevation_view, fitting_view, sill_view
from jambwright.paper.render import dxf, svg
from jambwright.paper.scene import Box, Scene
from jambwright.plan.house import OpeningPlan

PHONE = Box(width_mm=110.0, height_mm=130.0)
"""Lettering stays readable when a sheet of this size fills a phone held upright."""
MARGIN_MM = 3.0
AS_DXF = ("fitting", "lights", "sill")


def drawings(plan: OpeningPlan) -> dict[str, bytes]:
    """Every drawing of an opening by file name."""
    scenes = _scenes(plan)
    files = {f"{plan.opening.id}-{name}.svg": _with_margin(scene) for name, scene in scenes.items()}
    view = fitting_view(plan)
    scenes["fitting"] = fitting_drawing.drawn_at(view, scenes["fitting"].scale, factor=1)
    return files | {f"{plan.opening.id}-{name}.dxf": dxf(scenes[name]) for name in AS_DXF if name in scenes}


def _scenes(plan: OpeningPlan) -> dict[str, Scene]:
    scenes = {
        "fitting": fitting_drawing.fitting_drawing(fitting_view(plan), PHONE),
        "lights": elevation.elevation(elevation_view(plan), PHONE),
        "blocks": blocks_drawing.blocks_drawing(blocks_view(plan), PHONE),
    }
    sill = sill_view(plan)
    if sill:
        scenes["sill"] = sill_drawing.sill_plan(sill, PHONE)
        scenes["sill-section"] = sill_drawing.sill_section(sill, PHONE)
    return scenes


def _with_margin(scene: Scene) -> bytes:
    needs = scene.paper_size()
    paper = Box(width_mm=needs.width_mm + 2 * MARGIN_MM, height_mm=needs.height_mm + 2 * MARGIN_MM)
    return svg(scene, paper).encode()
