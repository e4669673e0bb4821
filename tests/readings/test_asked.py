"""What is asked, described once: every field has its words, and everything that asks is written from them."""

import io
import json

import openpyxl
import pytest

from jambwright.basis.border import Strict
from jambwright.basis.tables import read_text, table
from jambwright.basis.tree import parse_tree
from jambwright.job import Prices
from jambwright.readings.asked import (
    BY_PROGRAM,
    choices_in,
    every_field,
    every_word,
    field_at,
    fields_of,
    needs_of,
    on_site,
    section_of,
    sections,
    uses_of,
    why_asked,
    words_of,
)
from jambwright.readings.asked_shape import VALUES
from jambwright.readings.blank_file import blank_file
from jambwright.readings.form_workbook import form_workbook
from jambwright.readings.sheets import columns
from jambwright.readings.survey_file import read_survey
from jambwright.web.crew_days import CrewChosen

TEXTS = parse_tree(read_text("asked.yaml"))
ROOTS = (*every_field(), *every_field(Prices), *every_field(CrewChosen))
DEMO = parse_tree(read_text("demo_house.yaml"))


def own_text(field):
    owners = (field.of, "Part") if field.of in ("Light", "Across", "Down") else (field.of, "Any")
    return next((key for owner in owners if (key := f"{owner}.{field.name}") in TEXTS["fields"]), None)


def test_every_field_of_every_model_has_its_words():
    assert [f"{field.of}.{field.name}" for _, field in ROOTS if own_text(field) is None] == []
    assert [field.name for _, field in ROOTS if not field.label or (not (field.help or field.unit or field.choices)
            and field.kind in VALUES and field.of not in TERSE)] == []  # fmt: skip


TERSE = (
    "FramePrice",
    "AccessPrice",
    "GlassPrice",
    "MaterialPrice",
    "Vat",
    "Labour",
    "DeclaredLight",
    "AcceptedChange",
    "Taken",
)
"""Models whose labels say all there is to say."""


def test_no_words_are_left_over():
    used = {own_text(field) for _, field in ROOTS}
    assert set(TEXTS["fields"]) - used == set()
    serves = {name for _, field in ROOTS for name in field.serves}
    assert set(TEXTS["serves"]) - serves <= {"security"}, "asked of nobody: a unit is ordered tested or not"


def test_every_value_is_asked_for_a_reason():
    """Why a field is asked: which checks and papers need it."""
    bare = [
        f"{f.of}.{f.name}" for _, f in ROOTS if f.kind in VALUES and not f.serves and f.by not in BY_PROGRAM
    ]
    assert set(bare) <= {"Prices.note"}
    for _, field in ROOTS:
        assert why_asked(field) or not field.serves


def test_every_choice_has_a_word():
    words = every_word()
    for path, field in ROOTS:
        for value in field.choices:
            text = str(value).lower() if isinstance(value, bool) else str(value)
            known = text in words or f"{field.of}.{field.name}.{text}" in words
            assert known or field.by == "program", (path, value)


def test_words_of_choices_are_all_used():
    used = set()
    for _, field in ROOTS:
        for value in field.choices:
            text = str(value).lower() if isinstance(value, bool) else str(value)
            used |= {text, f"{field.of}.{field.name}.{text}"}
    assert set(every_word()) - used == set()


def test_where_the_rules_want_an_input_the_field_says_so():
    """Inputs of the rules that a reading of the house gives are told as asked for a rule."""
    for row in table("rule_inputs"):
        for place in row["place"].split():
            root, *way = place.split(".")
            start = {"opening": ("openings", "W1"), "room": ("house", "rooms", "r")}.get(root, (root,))
            field = field_at((*start, *way))
            assert field is not None, place
            assert field.serves or field.inside or field.kind in ("layout", "group"), place


def test_a_field_nobody_wrote_words_for_is_asked_all_the_same():
    class Made(Strict):
        """A model made up here."""

        colour_of_door: str | None = None
        """What colour the door has."""
        width_mm: float = 3.0

    colour, width = fields_of("Made", Made)
    assert (colour.label, colour.help, colour.kind) == (
        "Colour of door",
        "What colour the door has.",
        "words",
    )
    assert (width.unit, width.kind, width.default) == ("mm", "figure", 3.0)


def test_every_field_belongs_to_a_part_of_its_form():
    for form in ("house", "opening"):
        for listed in sections(form).values():
            for start in listed:
                way = start.split(".")
                assert field_at(tuple(way if form == "house" else ("openings", "W1", *way))), start
    assert section_of("house", ("house", "breadth_m")) == "exposure"
    assert section_of("house", ("house", "children")) == "house"
    assert section_of("house", ("made_up",)) == "other"
    assert all(field_at(("openings", "W1", *path)) for path in on_site())


def test_a_group_says_what_it_needs():
    assert needs_of("Declared") == ("by",)
    assert needs_of("Wall") == ()


def test_where_a_name_is_used_is_found():
    assert [*uses_of(DEMO, "rooms", "kitchen")] == [("openings", "W1", "room"), ("openings", "D2", "room")]
    assert ("defaults", "tape") in [*uses_of(DEMO, "tools", "tape A")]


def test_names_listed_in_the_file_are_offered():
    room = field_at(("openings", "W1", "room"))
    assert ("bathroom", "bathroom") in choices_in(room, DEMO)
    profile = field_at(("defaults", "profile"))
    assert words_of(profile, "timber_68") == "Softwood 68 mm window"


def test_the_blank_file_holds_every_field_and_is_read():
    text = blank_file()
    assert read_survey(text).openings[0].id == "W1"
    names = {
        field.name
        for path, field in every_field()
        if field.by != "proposals"
        and not {"accepted", "cleared", "across", "down", "lights", "systems"} & set(path)
    }
    names -= {"mm", "tool", "who", "when", "how"}
    missing = [name for name in names if f"{name}:" not in text]
    assert missing == []
    assert max(map(len, text.splitlines())) <= 122


@pytest.mark.parametrize("group", ["heating", "flue", "declared", "ordered", "delivered", "wall", "sill"])
def test_a_group_of_the_blank_file_is_used_by_taking_the_signs_away(group):
    """Each optional group stands behind #, well indented; what it needs is then asked for."""
    lines = blank_file().splitlines()
    tree = parse_tree("\n".join(_without_sign(lines, group)))
    found = {"heating": ("house",), "flue": ("openings", 0)}.get(group, ())
    where = tree
    for key in found:
        where = where[key]
    assert group in where or group in tree["openings"][0] or group in tree["openings"][0]["wanted"]


def _without_sign(lines, group):
    inside = None
    for line in lines:
        if line.startswith("# ") and line[2:].strip().startswith(f"{group}:"):
            inside = len(line) - len(line[2:].lstrip())
        elif inside and not line.startswith("# "):
            inside = None
        yield line[2:] if inside else line


def test_the_workbook_asks_for_every_single_value_of_an_opening():
    asked = {".".join(path[2:]) for path, field in every_field()
             if path[:2] == ("openings", "*") and field.kind in VALUES and "*" not in path[2:]
             and "layout" not in path and not {"mm", "tool", "who", "when", "how"} & {path[-1]}}  # fmt: skip
    own = {"id", "room", "note"}
    assert asked - own == {".".join(c.path) for c in columns() if c.field.kind != "reading"}
    headers = [cell.value for cell in openpyxl.load_workbook(io.BytesIO(form_workbook()))["Readings"][1]]
    assert len(headers) == len(set(headers)) == len(columns()) + 3


def test_the_schema_carries_labels_and_help():
    schema = json.loads(read_text("survey.schema.json"))
    site = schema["$defs"]["Site"]["properties"]
    assert site["wind_map_speed_ms"]["title"] == "Wind speed off the map"
    assert "National Annex" in site["wind_map_speed_ms"]["description"]
