"""The fit sheet: one A4 page an opening with everything the fitter does there.

Where the lights are so many or so small that they can't be read beside the opening, they get a page of their own.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from jambwright.paper.blocks_drawing import blocks_drawing
from jambwright.paper.elevation import elevation, signs_said
from jambwright.paper.fit_views import blocks_view, elevation_view, fitting_view, sill_view
from jambwright.paper.fit_words import block_note, gaps_in_words, sill_note, words
from jambwright.paper.fitting_drawing import FittingView, factor_at, fitting_drawing, gaps_are_figured
from jambwright.paper.legend import block_signs, fitting_signs, legend
from jambwright.paper.pdf import measured, typeset
from jambwright.paper.render import svg
from jambwright.paper.scale import NoScaleFits, scale_name
from jambwright.paper.scene import Box, Scene
from jambwright.paper.sill_drawing import SillView, sill_plan, sill_section
from jambwright.record import OpeningRecord, PlanRecord, Rect

TEMPLATE = "fit_sheets.typ"
TEXT_MM = 192.0
"""Width of the page between its margins."""
PAGE_MM = 280.0
"""Height of the page between its margins."""
GUTTER_MM = 4.0
ONE_OVER_THE_OTHER = Box(width_mm=TEXT_MM, height_mm=112.0)
SIDE_BY_SIDE = Box(width_mm=(TEXT_MM - GUTTER_MM) / 2, height_mm=225.0)
"""Lights, and blocks, on a page of their own."""
HIGHER = (1.0, 1.3, 1.6, 2.0)
"""How much higher the opening's drawing may become for its marks."""
BESIDE_MM = 56.0
"""Width of the column of lights and blocks beside an opening that is not wide."""
MAIN_MM = TEXT_MM - BESIDE_MM - GUTTER_MM
LEAST_WIDE_MM, LEAST_MM, LEAST_BRIEF_MM = 70.0, 100.0, 82.0
"""The opening's drawing is never lower than this: alone, with lights and blocks beside it, and where words are few."""

Page = dict[str, Any]


ROOMY_MM, TIGHT_MM = 42.0, 32.0
"""Height of lights, and of blocks, in the row under a wide opening; tight on pages with much to say."""
LEAST_LIGHTS_MM = 30.0
"""Lights and blocks beside an opening are never lower than this."""
BELOW_MM, SILL_MM, SECTION_MM = 94.0, 132.0, 56.0
"""Widths of the drawings in the rows."""
SILL_HEIGHT_MM, SECTION_HEIGHT_MM = 38.0, 30.0


def fit_sheets(record: PlanRecord) -> bytes:
    """All fit sheets of a house as PDF, one page an opening, in the order of the readings file.

    The fixed parts are set and measured first; the opening's drawing takes what the page leaves over.
    """
    pages = [_fixed_part(record, index, ROOMY_MM) for index in range(len(record.openings))]
    rooms = _rooms(record, pages)
    for brief in (False, True):
        scant = [n for n, page in enumerate(pages) if rooms[n][0] < _least(page)]
        if scant:
            for n in scant:
                pages[n] = _fixed_part(record, n, TIGHT_MM, brief=brief)
            rooms = _rooms(record, pages)
    for n, (plan, (height_mm, words_mm)) in enumerate(zip(record.openings, rooms, strict=True)):
        try:
            drawn = _opening_drawing(plan, pages[n], height_mm, words_mm)
        except NoScaleFits:
            pages[n] = _fixed_part(record, n, TIGHT_MM, brief=pages[n]["brief"], apart=True)
            drawn = _opening_drawing(plan, pages[n], *_rooms(record, [pages[n]])[0])
        pages[n].update(drawn)
    return typeset(TEMPLATE, record, {"pages": pages})


def _rooms(record: PlanRecord, pages: list[Page]) -> list[tuple[float, float]]:
    """Height left for the opening's drawing on each page, and that of the words in the column beside it."""
    return [
        (PAGE_MM - fixed, beside) for fixed, beside in measured(TEMPLATE, record, {"pages": pages}, "heights")
    ]


def _least(page: Page) -> float:
    if page["wide"]:
        return LEAST_WIDE_MM
    return LEAST_BRIEF_MM if page["brief"] else LEAST_MM


def lies_wide(whole: Rect) -> bool:
    """Whether the opening comes out larger over the whole width of the page than beside its lights.

    By what the marks usually leave of either place.
    """
    alone = max(whole.width_mm / (TEXT_MM - 58), whole.height_mm / 51)
    beside = max(whole.width_mm / (MAIN_MM - 58), whole.height_mm / 96)
    return alone < beside


def _fixed_part(
    record: PlanRecord, index: int, below_mm: float, *, brief: bool = False, apart: bool = False
) -> Page:
    """Words, tables and the drawings of a given size; in fewer words where there is no room for all.

    ``apart`` puts the lights on a page of their own.
    """
    plan = record.openings[index]
    view = fitting_view(plan)
    wide = apart or lies_wide(view.whole)
    least = Box(width_mm=TEXT_MM if wide else MAIN_MM, height_mm=LEAST_WIDE_MM if wide else LEAST_MM)
    figured = not apart and gaps_are_figured(view, _opening_in(view, least).scale)
    signs = fitting_signs(lugs=_has_lugs(plan), nibs=bool(plan.readings.nibs))
    page: Page = words(plan, brief=brief) | {
        "gaps": [] if figured else gaps_in_words(plan),
        "wide": wide,
        "brief": brief,
        "apart": None,
        "signs": _picture(legend(signs, TEXT_MM if wide else MAIN_MM)),
        "block_signs": _picture(legend(block_signs(), BELOW_MM if wide else BESIDE_MM)),
        "opening_signs": signs_said(plan.frame.layout),
        "block_note": block_note(blocks_view(plan)),
        "foot": f"{record.site.label} · {record.made_with} · plan {record.plan_id}",
        "number": f"{index + 1} of {len(record.openings)}",
    }
    if apart:
        page["apart"] = _lights_apart(plan, upright=not lies_wide(view.whole))
    elif wide:
        try:
            page |= _lights(plan, Box(width_mm=BELOW_MM, height_mm=below_mm))
        except NoScaleFits:
            return _fixed_part(record, index, below_mm, brief=brief, apart=True)
    sill = sill_view(plan)
    if sill:
        page["sill"] = _sill(sill)
    return page


def _sill(view: SillView) -> Page:
    plan = sill_plan(view, Box(width_mm=SILL_MM, height_mm=SILL_HEIGHT_MM))
    section = sill_section(view, Box(width_mm=SECTION_MM, height_mm=SECTION_HEIGHT_MM))
    return {
        "plan": _picture(plan, SILL_MM),
        "plan_scale": scale_name(plan.scale),
        "section": _picture(section, SECTION_MM),
        "section_scale": scale_name(section.scale),
        "note": sill_note(view.sill),
    }


def _opening_in(view: FittingView, box: Box) -> Scene:
    """The opening's drawing in a box, or in one so much higher as its marks need."""
    for higher in HIGHER:
        try:
            return fitting_drawing(view, replace(box, height_mm=higher * box.height_mm))
        except NoScaleFits:
            continue
    return fitting_drawing(view, replace(box, height_mm=PAGE_MM))


def _opening_drawing(plan: OpeningRecord, page: Page, height_mm: float, words_mm: float) -> Page:
    """The opening, and beside it the lights where it does not take the whole width."""
    wide, height_mm = page["wide"], max(_least(page), height_mm)
    width = TEXT_MM if wide else MAIN_MM
    view = fitting_view(plan)
    scene = _opening_in(view, Box(width_mm=width, height_mm=height_mm))
    drawn: Page = {
        "opening": _picture(scene, width),
        "opening_scale": scale_name(scene.scale),
        "factor": factor_at(view, scene.scale),
    }
    if not wide:
        drawn |= _lights(
            plan, Box(width_mm=BESIDE_MM, height_mm=max(LEAST_LIGHTS_MM, (height_mm - words_mm) / 2))
        )
    return drawn


def _lights(plan: OpeningRecord, box: Box) -> Page:
    lights, blocks = elevation(elevation_view(plan), box), blocks_drawing(blocks_view(plan), box)
    return {
        "elevation": _picture(lights, box.width_mm),
        "elevation_scale": scale_name(lights.scale),
        "blocks": _picture(blocks, box.width_mm),
        "blocks_scale": scale_name(blocks.scale),
    }


def _lights_apart(plan: OpeningRecord, *, upright: bool) -> Page:
    """Lights and blocks on a page of their own: one over the other, or side by side where they stand upright."""
    size = SIDE_BY_SIDE if upright else ONE_OVER_THE_OTHER
    return _lights(plan, size) | {"upright": upright, "opening_signs": signs_said(plan.frame.layout)}


def _has_lugs(plan: OpeningRecord) -> bool:
    return any(side.held_by == "lug" and side.positions_mm for side in plan.fitting.fixings)


def _picture(scene: Scene, width_mm: float | None = None) -> dict[str, Any]:
    """A drawing for the typesetter, in the middle of a given width and as high as it needs."""
    needs = scene.paper_size()
    box = Box(width_mm=width_mm or needs.width_mm, height_mm=needs.height_mm)
    return {"svg": svg(scene, box), "width": box.width_mm, "title": scene.title}
