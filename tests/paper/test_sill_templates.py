"""Sill templates: every length measured on the PDF itself, on one page and over tiles."""

import functools
from dataclasses import replace
from itertools import pairwise

import pypdfium2
import pytest

from demo_house import SURVEY
from jambwright import job
from jambwright.paper.every_paper import PAPERS
from jambwright.paper.scene import Box
from jambwright.paper.sill_template import OVERLAP_MM, PAGE, REACH_MM, templates, templates_pdf, tiles
from pdf_paths import paths

WITHIN_MM = 0.5


def pages_of(body: bytes):
    return list(pypdfium2.PdfDocument(body))


@functools.cache
def record():
    return job.check(SURVEY)


@functools.cache
def whole() -> bytes:
    return dict(PAPERS["sill templates"](record()))["templates.pdf"]


def said(page) -> str:
    return " ".join(page.get_textpage().get_text_range().split())


@functools.cache
def sizes(page_number: int) -> list[tuple[float, float]]:
    """Width and height of every path of a page of the demo house."""
    page = pages_of(whole())[page_number]
    return [(right - left, top - bottom) for left, bottom, right, top in paths(page)]


def times(drawn, wide, high) -> int:
    """How many paths are that large, within what is allowed."""
    return sum(abs(w - wide) < WITHIN_MM and abs(h - high) < WITHIN_MM for w, h in drawn)


def test_a_page_for_every_sill_that_is_notched_and_the_check_line_on_it():
    cut = list(templates(record()))
    pages = pages_of(whole())
    assert len(pages) == len(cut) == 8
    for number, page in enumerate(pages):
        assert times(sizes(number), 100.0, 0.0) >= 1
        assert "Print at 100 %" in said(page)
        assert "100 mm." in said(page)


def test_notch_and_outline_measure_as_planned_on_both_ends():
    for number, (plan, _) in enumerate(templates(record())):
        sill = plan.frame.sill
        assert times(sizes(number), sill.notch_along_mm, sill.notch_back_mm) == 2, "what is cut away"
        assert times(sizes(number), sill.notch_along_mm + REACH_MM, sill.depth_mm) == 2, "what stays"


def changed_sill(**change):
    plan = record().openings[0]
    sill = replace(plan.frame.sill, **change)
    return record().model_copy(
        update={
            "openings": (plan.model_copy(update={"frame": replace(plan.frame, sill=sill)}),),
            "unread": (),
        }
    )


def test_what_is_larger_than_a_page_is_tiled_at_full_size():
    pages = pages_of(templates_pdf(changed_sill(notch_along_mm=210.0, notch_back_mm=200.0, depth_mm=250.0)))
    assert len(pages) == 2 * 4
    for number, page in enumerate(pages):
        drawn = list(paths(page))
        large = [(r - left, t - b) for left, b, r, t in drawn]
        assert times(large, 210.0 + REACH_MM, 250.0) == 1, "each piece is cut from the whole, unscaled"
        assert times(large, 100.0, 0.0) >= 1
        assert f"piece {number % 4 + 1} of 4" in said(page)
        assert ("Left end" if number < 4 else "Right end") in said(page)
    # a corner lies as much further to the left and up on the next piece as the pieces are apart
    places = [_outline(page) for page in pages[:4]]
    assert places[0][0] - places[1][0] == pytest.approx(PAGE.width_mm - OVERLAP_MM, abs=WITHIN_MM)
    assert places[2][1] - places[0][1] == pytest.approx(PAGE.height_mm - OVERLAP_MM, abs=WITHIN_MM)


def _outline(page) -> tuple[float, float]:
    """Left and top of the outline of the sill's end."""
    return next(
        (left, top) for left, bottom, right, top in paths(page) if abs(right - left - 210.0 - REACH_MM) < WITHIN_MM
        and abs(top - bottom - 250.0) < WITHIN_MM
    )  # fmt: skip


def test_tiles_cover_the_drawing_and_overlap():
    for width, height in ((50.0, 60.0), (186.0, 200.0), (186.1, 10.0), (500.0, 700.0)):
        found = tiles(Box(width_mm=width, height_mm=height))
        assert all(t.box.width_mm <= PAGE.width_mm and t.box.height_mm <= PAGE.height_mm for t in found)
        assert max(t.left_mm + t.box.width_mm for t in found) == pytest.approx(width)
        assert max(t.top_mm + t.box.height_mm for t in found) == pytest.approx(height)
        lefts = sorted({t.left_mm for t in found})
        assert all(b - a == PAGE.width_mm - OVERLAP_MM for a, b in pairwise(lefts))


def test_square_ends_need_none_and_are_named():
    square = changed_sill(notch_along_mm=0.0)
    assert not list(templates(square))
    assert not dict(PAPERS["sill templates"](square))
    plans = (*square.openings, record().openings[1])
    beside = square.model_copy(update={"openings": plans})
    assert "need no template: W1 kitchen." in said(pages_of(templates_pdf(beside))[0])
