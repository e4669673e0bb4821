"""A job of one panelled door: nothing is glazed, and every paper is made all the same. The house is invented."""

import json

import pypdfium2
import pytest

from jambwright import job
from jambwright.readings.survey_file import read_survey
from jambwright.record import PlanRecord
from made_up_houses import readings

DOOR = {
    "id": "D1",
    "room": "hall",
    "lintel": {"kind": "steel"},
    "outside": readings(960, 2080, lean=3, level=1, taper=-2, bow=1),
    "sill_above_floor_mm": 0,
    "drop_outside_mm": 100,
    "wanted": {
        "kind": "door",
        "profile": "plain_door_70",
        "layout": {"opens": "side_hung_left", "infill": "panel"},
    },
}


@pytest.fixture(scope="module")
def decided() -> tuple[PlanRecord, dict[str, bytes]]:
    return job.plan_and_print(read_survey(json.dumps({
        "jambwright": 1,
        "date_of_work": "2026-12-07",
        "site": {"label": "Invented house with one door", "distance_to_sea_km": 40, "wind_map_speed_ms": 22},
        "house": {
            "built_year": 1975, "breadth_m": 6, "depth_m": 8, "height_m": 7,
            "rooms": [{"name": "hall", "use": "hall", "way_out": "hall"}],
        },
        "openings": [DOOR],
    })))  # fmt: skip


def words_of(pdf: bytes) -> str:
    return " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf))


def test_every_paper_of_a_house_without_glass_is_made(decided: tuple[PlanRecord, dict[str, bytes]]) -> None:
    record, files = decided
    assert all(files.values())
    assert {"plan.json", "fit-sheets.pdf", "comparison.pdf", "findings.pdf", "crew.pdf"} <= set(files)
    assert json.loads(files["plan.json"])["openings"][0]["id"] == "D1"
    assert [glass.make_up for glass in record.openings[0].glass.values()] == [None]
    assert "No unit of the order has glass" in words_of(files["comparison.pdf"])


def test_nothing_is_offered_for_glass_that_is_not_there(decided: tuple[PlanRecord, dict[str, bytes]]) -> None:
    options = decided[0].options
    assert options is not None
    assert options.whole == ()
    assert options.single == ()
