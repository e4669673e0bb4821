"""Whatever the opening: lettering never touches, nothing is clipped, and every sheet begins on a front."""

import pypdfium2
from hypothesis import HealthCheck, given, settings

from jambwright import job
from jambwright.basis.border import accept
from jambwright.paper.blocks_drawing import blocks_drawing
from jambwright.paper.drawings import drawings
from jambwright.paper.elevation import elevation
from jambwright.paper.fit_joints import SECTION, SOLE, joint_view
from jambwright.paper.fit_sheet import fit_sheets
from jambwright.paper.fit_views import blocks_view, elevation_view, fitting_view, sill_view
from jambwright.paper.fitting_drawing import fitting_drawing
from jambwright.paper.joint_section import joint_section
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
        yield sill_section(sill, SOLE), SOLE
    for joint in plan.fitting.joints:
        yield joint_section(joint_view(plan, joint), SECTION), SECTION


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
def test_every_sheet_begins_on_a_front_and_every_drawing_is_made(survey):
    house = job.check(accept(Survey, survey))
    document = pypdfium2.PdfDocument(fit_sheets(house))
    fronts = [each.get_dest().get_index() for each in document.get_toc() if each.level == 0]
    assert len(fronts) == len(house.openings)
    assert all(at % 2 == 0 for at in fronts)
    text = " ".join(page.get_textpage().get_text_bounded() for page in document)
    assert text.count("As fitted, mm") == len(house.openings)
    for plan in house.openings:
        files = drawings(plan)
        assert {f"{plan.id}-{name}" for name in ("fitting.svg", "lights.svg", "fitting.dxf")} <= set(files)
