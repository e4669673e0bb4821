"""The fit sheets: two sides an opening. The front is read at the sill, the back holds the rest and what was fitted.

What has no room goes on to a next page; nothing is set smaller for it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from jambwright.paper.blocks_drawing import blocks_drawing
from jambwright.paper.elevation import elevation, signs_said
from jambwright.paper.fit_joints import joints, picture
from jambwright.paper.fit_views import blocks_view, elevation_view, fitting_view, sill_view
from jambwright.paper.fit_words import block_note, gaps_in_words, sill_note, words
from jambwright.paper.fitting_drawing import FittingView, factor_at, fitting_drawing, gaps_are_figured
from jambwright.paper.legend import block_signs, fitting_signs, legend
from jambwright.paper.pdf import measured, typeset
from jambwright.paper.scale import NoScaleFits, scale_name
from jambwright.paper.scene import Box, Scene
from jambwright.paper.sill_drawing import SillView, sill_plan
from jambwright.record import OpeningRecord, PlanRecord, order_of

TEMPLATE = "fit_sheets.typ"
TEXT_MM, MAIN_MM, PAGE_MM = 192.0, 118.0, 258.0
"""Width of a page between its margins and of the drawing's column, and height between head and foot."""
GUTTER_MM = 4.0
HALF = Box(width_mm=(TEXT_MM - GUTTER_MM) / 2, height_mm=44.0)
"""Lights, and blocks, side by side."""
ONE_OVER_THE_OTHER = Box(width_mm=TEXT_MM, height_mm=112.0)
SIDE_BY_SIDE = Box(width_mm=(TEXT_MM - GUTTER_MM) / 2, height_mm=215.0)
"""The same where they can't be read so small, lying or upright."""
GAPS_MM = 6.0
"""Between the parts of a front."""
LEAST_WIDE_MM, LEAST_MM, LEAST_UPRIGHT_MM, MOST_MM = 71.0, 84.0, 110.0, 150.0
"""How high the opening's drawing is, by what the front leaves for it: at least as its shape asks, and at most."""
WIDE, UPRIGHT = 1.8, 0.77
"""Width over height from which an opening lies wide, and to which it stands."""
HIGHER = (1.0, 1.3, 1.6, 2.0)
"""How much higher it may become for its marks."""
SILL = Box(width_mm=TEXT_MM, height_mm=38.0)

Page = dict[str, Any]


def fit_sheets(record: PlanRecord) -> bytes:
    """All fit sheets of a house as PDF, in the order of the readings file; each begins on a front."""
    thresholds = {item.opening: item.threshold_mm for item in order_of(record).items}
    sheets = [_fixed_part(plan, thresholds.get(plan.id)) for plan in record.openings]
    heights = measured(TEMPLATE, record, {"sheets": sheets}, "heights")
    for plan, sheet, of in zip(record.openings, sheets, heights, strict=True):
        sheet.update(_opening_drawing(plan, of, wide=sheet["wide"]))
    return typeset(TEMPLATE, record, {"sheets": sheets})


def _fixed_part(plan: OpeningRecord, threshold_mm: float | None) -> Page:
    """Words, tables and all drawings but the opening's own."""
    view = fitting_view(plan)
    wide = lies_wide(view)
    width_mm = TEXT_MM if wide else MAIN_MM
    figured = gaps_are_figured(view, _drawn_in(view, _least_mm(view), width_mm).scale)
    signs = fitting_signs(lugs=_has_lugs(plan), nibs=bool(plan.readings.nibs))
    sheet: Page = words(plan) | {
        "wide": wide,
        "gaps": [] if figured else gaps_in_words(plan),
        "signs": picture(legend(signs, width_mm)),
        "joints": joints(plan, threshold_mm),
        **_lights(plan),
    }
    sill = sill_view(plan)
    return sheet | {"sill": _sill(sill)} if sill else sheet


def _sill(view: SillView) -> Page:
    plan = sill_plan(view, SILL)
    return {
        "plan": picture(plan, SILL.width_mm),
        "plan_scale": scale_name(plan.scale),
        "note": sill_note(view.sill),
    }


def lies_wide(view: FittingView) -> bool:
    """Whether the opening's drawing takes the whole width of the page: much wider than high, or crowded."""
    if view.whole.width_mm > WIDE * view.whole.height_mm:
        return True
    try:
        _drawn_in(view, _least_mm(view), MAIN_MM)
    except NoScaleFits:
        return True
    return False


def _least_mm(view: FittingView) -> float:
    share = view.whole.width_mm / view.whole.height_mm
    return LEAST_WIDE_MM if share > WIDE else LEAST_UPRIGHT_MM if share < UPRIGHT else LEAST_MM


def _opening_drawing(plan: OpeningRecord, of: Mapping[str, float], *, wide: bool) -> Page:
    """The opening as large as the parts of its front leave it, and whether they then fit the page."""
    taken_mm = GAPS_MM + of["around"] + (max(of["column"], of["beside"]) if wide else of["column"])
    view, width_mm = fitting_view(plan), TEXT_MM if wide else MAIN_MM
    scene = _drawn_in(view, min(max(_least_mm(view), PAGE_MM - taken_mm), MOST_MM), width_mm)
    high_mm = scene.paper_size().height_mm
    return {
        "opening": picture(scene, width_mm),
        "opening_scale": scale_name(scene.scale),
        "factor": factor_at(view, scene.scale),
        "fits": taken_mm + high_mm <= PAGE_MM and GAPS_MM + of["around"] + of["beside"] <= PAGE_MM,
    }


def _drawn_in(view: FittingView, height_mm: float, width_mm: float) -> Scene:
    """The opening's drawing that high, or so much higher as its marks need."""
    box = Box(width_mm=width_mm, height_mm=height_mm)
    for higher in HIGHER:
        try:
            return fitting_drawing(view, replace(box, height_mm=min(higher * height_mm, PAGE_MM - 20.0)))
        except NoScaleFits:
            continue
    return fitting_drawing(view, replace(box, height_mm=PAGE_MM - 20.0))


def _lights(plan: OpeningRecord) -> Page:
    """Lights and blocks side by side, larger or one over the other where they could not be read."""
    upright = plan.frame.height_mm > plan.frame.width_mm
    large = SIDE_BY_SIDE if upright else ONE_OVER_THE_OTHER
    try:
        box, drawn = HALF, (elevation(elevation_view(plan), HALF), blocks_drawing(blocks_view(plan), HALF))
    except NoScaleFits:
        box, drawn = large, (elevation(elevation_view(plan), large), blocks_drawing(blocks_view(plan), large))
    lights, blocks = drawn
    return {
        "beside": box is not ONE_OVER_THE_OTHER,
        "elevation": picture(lights, box.width_mm),
        "elevation_scale": scale_name(lights.scale),
        "opening_signs": signs_said(plan.frame.layout),
        "blocks": picture(blocks, box.width_mm),
        "blocks_scale": scale_name(blocks.scale),
        "block_signs": picture(legend(block_signs(), HALF.width_mm)),
        "block_note": block_note(blocks_view(plan)),
    }


def _has_lugs(plan: OpeningRecord) -> bool:
    return any(side.held_by == "lug" and side.positions_mm for side in plan.fitting.fixings)
