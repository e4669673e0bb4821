"""Whatever the opening: lettering never touches, nothing is clipped, and there is one page, or two."""

import pypdfium2
from hypothesis import HealthCheck, given, settings

from jambwright import job
from jambwright.basis.border import accept
from jambwright.paper.blocks_drawing import blocks_drawing
from jambwright.paper.drawings import drawings
from jambwright.paper.elevation import elevation
from jambwright.paper.fit_sheet import fit_sheets
from jambwright.paper.fit_views import blocks_view, elevation_view, fitting_view, sill_view
from jambwright.paper.fitting_drawing import fitting_drawing
from jambwright.paper.scale import NoScaleFits
from jambwright.paper.scene import Box
from jambwright.paper.sill_drawing import sill_plan, sill_section
from jambwright.readings.survey import Survey
from made_up_houses import surveys
from scene_checks import overlapping_words, struck_words

LARGE, SMALL = Box(width_mm=132, height_mm=105), Box(width_mm=56, height_mm=37)
SILL = Box(width_mm=132, height_mm=38)


PAGE = Box(width_mm=192, height_mm=280)
"""What a sheet gives a drawing whose marks need more room."""


def drawn(drawing, view, box):
    """A drawing in its box, else, as on the sheets, on a page of its own."""
    try:
        return drawing(view, box), box
    except NoScaleFits:
        return drawing(view, PAGE), PAGE


def scenes(plan):
    yield drawn(fitting_drawing, fitting_view(plan), LARGE)
    yield drawn(elevation, elevation_view(plan), SMALL)
    yield drawn(blocks_drawing, blocks_view(plan), SMALL)
    sill = sill_view(plan)
    if sill:
        yield sill_plan(sill, SILL), SILL
        yield sill_section(sill, SMALL), SMALL


@settings(max_examples=30, suppress_health_check=[HealthCheck.too_slow])
@given(surveys())
def test_lettering_is_legible_in_every_drawing(survey):
    [plan] = job.check(accept(Survey, survey)).openings
    for scene, box in scenes(plan):
        assert overlapping_words(scene) == []
        assert struck_words(scene) == []
        needs = scene.paper_size()
        assert needs.width_mm <= box.width_mm
        assert needs.height_mm <= box.height_mm


@settings(max_examples=6, suppress_health_check=[HealthCheck.too_slow])
@given(surveys(count=2))
def test_there_is_one_page_an_opening_another_for_small_lights_and_every_drawing_is_made(survey):
    house = job.check(accept(Survey, survey))
    pages = [page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(fit_sheets(house))]
    small = [text for text in pages if ", lights" in text.splitlines()[-1]]
    assert len(small) == sum("on the next page" in text for text in pages)
    assert len(pages) - len(small) == len(house.openings)
    for plan in house.openings:
        files = drawings(plan)
        assert {f"{plan.id}-{name}" for name in ("fitting.svg", "lights.svg", "fitting.dxf")} <= set(files)
