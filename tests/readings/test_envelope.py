"""What a survey may hold: what can't be is refused with its reason, what is unlikely asked about, by check and plan."""

import copy
import re
from pathlib import Path

import pytest

from jambwright import job, readings
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text, table
from jambwright.basis.tree import parse_tree
from jambwright.readings.plausible import cannot_be, unlikely_house, unlikely_opening
from jambwright.readings.survey import Survey
from jambwright.readings.survey_file import survey_from_tree

DEMO = parse_tree(read_text("demo_house.yaml"))


def changed(place, value, marks=("W9",)):
    """The demo house with one window alone, and one field of it changed."""
    tree = copy.deepcopy(DEMO)
    tree["openings"] = [opening for opening in tree["openings"] if opening["id"] in marks]
    *way, last = place.split(".")
    inside = tree
    for key in way:
        inside = inside[int(key)] if key.isdigit() else inside.setdefault(key, {})
    inside[int(last) if last.isdigit() else last] = value
    return tree


CANNOT_BE = [
    ("site.altitude_m", 5000, "no house in Britain or Ireland stands above 600 m"),
    ("site.wind_map_speed_ms", 220, "at most 35"),
    ("house.breadth_m", 6200, "metres?"),
    ("site.distance_to_sea_km", 400, "farther than 130 km"),
    ("openings.0.reveal_depth_mm", 10, "at least 20"),
    ("defaults.wall.outer_mm", 1, "at least 50"),
    ("defaults.wall.outer_mm", 10_000, "at most 900"),
    ("house.storeys", 99, "at most 60"),
    ("house.storeys", 12, "no house has more than 8"),
    ("house.built_year", 2090, "after the work in 2026"),
    ("house.heating.price_per_kwh", 7, "not pence or cents?"),
    ("house.rooms.1.floor_area_m2", 6400, "square metres, with the point?"),
    ("openings.0.wanted.glass", "12-40Ar-12-40Ar-12 low-e", "116 mm thick; Plain 70 mm PVC-U window takes at most 50"),
    ("openings.0.outside.width.top", [608] * 12_000, "12,000 are too many; 12 at most"),
    ("openings.0.outside.width.top", [1210, 5], "top width 5 mm is outside 200 to 6000 mm"),
    ("openings.0.note", "x" * 5000, "5,000 letters are too many"),
    ("site.altitude_m", True, "'true' is not a number"),
    ("openings.0.outside.width.top", [1210, True], "'true' is not a number"),
    ("tools", [{"name": f"tape {n}"} for n in range(30)], "30 are too many; 20 at most"),
    ("house.rooms", [{"name": f"room {n}", "use": "study"} for n in range(60)], "60 are too many; 40 at most"),
]  # fmt: skip


@pytest.mark.parametrize(("place", "value", "words"), CANNOT_BE)
def test_what_cannot_be_is_refused_by_check_and_plan_alike(place, value, words):
    for decide in (job.check, job.decide):
        with pytest.raises(BadInput) as caught:
            decide(survey_from_tree(changed(place, value)))
        assert words in str(caught.value)
        assert all(len(problem.say) < 400 for problem in caught.value.problems)


UNLIKELY = [
    ("openings.0.drop_outside_mm", 36_000, "a drop of 36000 mm is more than a house of 2 storeys has"),
    ("openings.0.reveal_depth_mm", 40, "less than half its depth"),
    ("house.storeys", 6, "6 storeys is much"),
    ("house.heating.price_per_kwh", 0.9, "0.9 a kWh is dear"),
    ("house.rooms.1.floor_area_m2", 120, "utility: 120 m² is large for a room"),
    ("house.rooms.1.storey", 4, "utility: it is on storey 4 of a house of 2"),
]


@pytest.mark.parametrize(("place", "value", "words"), UNLIKELY)
def test_what_is_unlikely_is_asked_about_by_check_and_plan_alike(place, value, words):
    for decide in (job.check, job.decide):
        record = decide(survey_from_tree(changed(place, value)))
        told = [*record.remarks, *(remark for opening in record.openings for remark in opening.remarks)]
        (found,) = [problem for problem in told if words in problem.say]
        assert found.kind == "caution"


def test_the_demo_house_is_asked_nothing_of_that_kind():
    survey = survey_from_tree(DEMO)
    assert [*cannot_be(survey), *unlikely_house(survey)] == []
    assert [caution for opening in survey.openings for caution in unlikely_opening(survey, opening)] == []


def test_every_figure_and_list_of_a_survey_has_its_bounds():
    """In the schema too, for whatever completes or checks a file by it; of a reading the kind sets the range."""
    unbounded = []

    def walk(schema, at):
        for inner in (*schema.get("anyOf", ()), *schema.get("oneOf", ())):
            walk(inner, at)
        kind = schema.get("type")
        of_a_reading = at.startswith(
            ("Taken.mm", "Widths.", "Heights.", "Diagonals.", "Levels.", "Plumbs.", "Bows.")
        )
        bounded = of_a_reading or {"maximum", "exclusiveMaximum", "const"} & set(schema)
        if kind in ("number", "integer") and not bounded:
            unbounded.append(at)
        if kind == "array" and "maxItems" not in schema:
            unbounded.append(at)
        if kind == "string" and not {"maxLength", "pattern", "format", "enum", "const"} & set(schema):
            unbounded.append(at)
        for name, inner in schema.get("properties", {}).items():
            walk(inner, f"{at}.{name}")
        for inner in (schema.get("items"), schema.get("additionalProperties")):
            if isinstance(inner, dict):
                walk(inner, f"{at}[]")

    schema = Survey.model_json_schema()
    walk(schema, "survey")
    for name, inner in schema["$defs"].items():
        walk(inner, name)
    assert unbounded == []


def test_the_envelope_holds_no_row_that_nothing_uses():
    assert set(table("envelope").column("field")) == names_in_models()


def names_in_models():
    texts = [path.read_text() for path in Path(readings.__file__).parent.glob("*.py")]
    return {name for text in texts for name in re.findall(r'(?:within|counted)\("(\w+)"', text)}
