"""The fit sheet: one A4 page an opening with everything the fitter does there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from jambwright import __version__
from jambwright.paper.blocks_drawing import blocks_drawing
from jambwright.paper.elevation import elevation
from jambwright.paper.fit_views import blocks_view, elevation_view, fitting_view, sill_view
from jambwright.paper.fit_words import block_note, sill_note, words
from jambwright.paper.fitting_drawing import factor_at, fitting_drawing
from jambwright.paper.legend import block_signs, fitting_signs, legend
from jambwright.paper.pdf import measured, typeset
from jambwright.paper.render import svg
from jambwright.paper.scale import scale_name
from jambwright.paper.scene import Box, Scene
from jambwright.paper.sill_drawing import sill_plan, sill_section
from jambwright.plan.house import HousePlan, OpeningPlan

TEMPLATE = "fit_sheets.typ"
TEXT_MM = 192.0
"""Width of the page between its margins."""
PAGE_MM = 280.0
"""Height of the page between its margins."""
GUTTER_MM = 4.0
WIDE_FROM = 1.3
"""Width over height from which the opening's drawing takes the whole width of the page."""
BESIDE_MM = 56.0
"""Width of the column of lights and blocks beside an opening that is not wide."""
MAIN_MM = TEXT_MM - BESIDE_MM - GUTTER_MM
BELOW = Box(width_mm=94.0, height_mm=42.0)
"""Lights, and blocks, in the row under a wide opening."""
BESIDE_WORDS_MM = 24.0
"""Titles, signs and notes in the column beside."""
SILL_PLAN = Box(width_mm=132.0, height_mm=30.0)
SILL_SECTION = Box(width_mm=56.0, height_mm=30.0)
LEAST_MM = 70.0
"""The main drawing is never lower than this."""

Page = dict[str, Any]


def fit_sheets(house: HousePlan, progress: Callable[[str], None] | None = None) -> bytes:
    """All fit sheets of a house as PDF, one page an opening, in the order of the readings file.

    The fixed parts are set and measured first; the opening's drawing takes what the page leaves over.
    """
    pages = [_fixed_part(house, index, plan) for index, plan in enumerate(house.openings)]
    heights = measured(TEMPLATE, {"pages": pages}, "fixed-part")
    for plan, page, fixed_mm in zip(house.openings, pages, heights, strict=True):
        page.update(_opening_drawing(plan, page["wide"], max(LEAST_MM, PAGE_MM - fixed_mm)))
        if progress:
            progress(plan.name)
    return typeset(TEMPLATE, {"pages": pages})


def _fixed_part(house: HousePlan, index: int, plan: OpeningPlan) -> Page:
    """Words, tables and the drawings of a given size."""
    whole = fitting_view(plan).whole
    wide = whole.width_mm / whole.height_mm >= WIDE_FROM
    page: Page = words(house, plan) | {
        "wide": wide,
        "signs": _picture(legend(fitting_signs(lugs=_has_lugs(plan)), TEXT_MM if wide else MAIN_MM)),
        "block_signs": _picture(legend(block_signs(), BELOW.width_mm if wide else BESIDE_MM)),
        "block_note": block_note(blocks_view(plan)),
        "foot": f"{house.survey.site.label} · jambwright {__version__}",
        "number": f"{index + 1} of {len(house.openings)}",
    }
    if wide:
        page |= _lights(plan, BELOW)
    sill = sill_view(plan)
    if sill:
        plan_scene, section = sill_plan(sill, SILL_PLAN), sill_section(sill, SILL_SECTION)
        page["sill"] = {
            "plan": _picture(plan_scene, SILL_PLAN.width_mm),
            "plan_scale": scale_name(plan_scene.scale),
            "section": _picture(section, SILL_SECTION.width_mm),
            "section_scale": scale_name(section.scale),
            "note": sill_note(sill.sill),
        }
    return page


def _opening_drawing(plan: OpeningPlan, wide: bool, height_mm: float) -> Page:
    """The opening, and beside it the lights where it does not take the whole width."""
    width = TEXT_MM if wide else MAIN_MM
    view = fitting_view(plan)
    scene = fitting_drawing(view, Box(width_mm=width, height_mm=height_mm))
    drawn: Page = {
        "opening": _picture(scene, width),
        "opening_scale": scale_name(scene.scale),
        "factor": factor_at(view, scene.scale),
    }
    if not wide:
        drawn |= _lights(plan, Box(width_mm=BESIDE_MM, height_mm=(height_mm - BESIDE_WORDS_MM) / 2))
    return drawn


def _lights(plan: OpeningPlan, box: Box) -> Page:
    lights, blocks = elevation(elevation_view(plan), box), blocks_drawing(blocks_view(plan), box)
    return {
        "elevation": _picture(lights, box.width_mm),
        "elevation_scale": scale_name(lights.scale),
        "blocks": _picture(blocks, box.width_mm),
        "blocks_scale": scale_name(blocks.scale),
    }


def _has_lugs(plan: OpeningPlan) -> bool:
    return any(side.held_by == "lug" and side.positions_mm for side in plan.fitting.fixings)


def _picture(scene: Scene, width_mm: float | None = None) -> dict[str, Any]:
    """A drawing for the typesetter, in the middle of a given width and as high as it needs."""
    needs = scene.paper_size()
    box = Box(width_mm=width_mm or needs.width_mm, height_mm=needs.height_mm)
    return {"svg": svg(scene, box), "width": box.width_mm, "title": scene.title}
