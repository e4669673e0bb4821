"""Openings as large, narrow and divided as a readings file may hold them: all are drawn and can be read."""

import json

import pypdfium2
import pytest

from jambwright import job
from jambwright.paper import blocks_drawing, elevation, fitting_drawing
from jambwright.paper.drawings import drawings
from jambwright.paper.fit_sheet import ONE_OVER_THE_OTHER, SIDE_BY_SIDE, fit_sheets
from jambwright.paper.fit_views import blocks_view, elevation_view, fitting_view
from jambwright.paper.scale import NoScaleFits
from jambwright.paper.scene import Box
from jambwright.readings.survey_file import read_survey
from jambwright.record import PlanRecord
from made_up_houses import readings
from scene_checks import overlapping_words, struck_words

FIXED = {"opens": "fixed"}
HUNG = {"opens": "side_hung_left", "handle_height_mm": 300, "vent_mm2": 4000}


def rows(across: int, down: int, light: dict[str, object]) -> dict[str, object]:
    column = {"down": [light] * down} if down > 1 else light
    return {"across": [column] * across} if across > 1 else column


LARGE = {
    "thirty lights": (5400, 2000, rows(10, 3, HUNG)),
    "fifteen over fifteen": (5400, 2000, rows(15, 2, FIXED)),
    "twenty in a row": (5400, 2000, rows(20, 1, FIXED)),
    "thirty in a row": (5400, 2000, rows(30, 1, FIXED)),
    "tall and narrow": (300, 5900, FIXED),
    "twelve over each other": (300, 5900, rows(1, 12, FIXED)),
    "one large pane": (5990, 2990, FIXED),
    "the largest": (5990, 5990, FIXED),
    "low and wide": (5990, 240, FIXED),
    "low, wide and divided": (5990, 300, rows(12, 1, FIXED)),
    "many transoms": (3000, 5900, rows(1, 20, FIXED)),
    "small": (215, 215, FIXED),
    "two narrow ones": (1013, 2100, {"across": [FIXED, HUNG]}),
}


def planned(name: str) -> PlanRecord:
    width, height, layout = LARGE[name]
    outside = {kind: mm for kind, mm in readings(width, height, 2, 1, -1, 1).items() if kind != "diagonal"}
    profile = "slim_alu_65" if name == "small" else "plain_70"
    opening = {
        "id": "W1", "room": "room", "outside": outside,
        "wanted": {"layout": layout, "profile": profile, "sill": {"kind": "none"}},
    }  # fmt: skip
    site = {"label": "Invented", "distance_to_sea_km": 10, "wind_map_speed_ms": 23}
    house = {"breadth_m": 9, "depth_m": 8, "height_m": 8, "rooms": [{"name": "room", "use": "living"}]}
    tree = {"jambwright": 1, "site": site, "house": house, "openings": [opening]}
    return job.check(read_survey(json.dumps(tree)))


@pytest.mark.parametrize("name", LARGE)
def test_every_opening_is_drawn_and_its_lights_can_be_read(name: str) -> None:
    plan = planned(name)
    [opening] = plan.openings
    assert all(drawings(opening).values())
    sheets = pypdfium2.PdfDocument(fit_sheets(plan))
    words = " ".join(page.get_textpage().get_text_range() for page in sheets).split()
    assert all(light.mark in words for light in elevation_view(opening).layout.lights)


@pytest.mark.parametrize("name", LARGE)
def test_no_lettering_touches_on_a_page_of_their_own(name: str) -> None:
    [opening] = planned(name).openings
    upright = opening.frame.height_mm > opening.frame.width_mm
    box = SIDE_BY_SIDE if upright else ONE_OVER_THE_OTHER
    whole = Box(width_mm=192, height_mm=200)
    for scene, size in (
        (elevation.elevation(elevation_view(opening), box), box),
        (blocks_drawing.blocks_drawing(blocks_view(opening), box), box),
        (fitting_drawing.fitting_drawing(fitting_view(opening), whole), whole),
    ):
        assert overlapping_words(scene) == []
        assert struck_words(scene) == []
        needs = scene.paper_size()
        assert needs.width_mm <= size.width_mm
        assert needs.height_mm <= size.height_mm


def test_marks_that_would_run_into_each_other_ask_for_more_paper() -> None:
    [opening] = planned("many transoms").openings
    with pytest.raises(NoScaleFits):
        fitting_drawing.fitting_drawing(fitting_view(opening), Box(width_mm=192, height_mm=100))
    svg = drawings(opening)["W1-fitting.svg"].decode()
    assert f"{opening.frame.width_mm:.0f} × {opening.frame.height_mm:.0f}" in svg


def test_a_light_too_small_for_its_mark_is_no_drawing() -> None:
    [opening] = planned("tall and narrow").openings
    with pytest.raises(NoScaleFits):
        elevation.elevation(elevation_view(opening), Box(width_mm=56, height_mm=30))


def test_marks_of_narrow_lights_are_written_smaller_where_they_would_touch() -> None:
    [opening] = planned("two narrow ones").openings
    scene = elevation.drawn_at(elevation_view(opening), 200)
    assert {"A", "B"} <= {words.text for words in scene.words}
    assert overlapping_words(scene) == []
    assert struck_words(scene) == []
