"""What a maker must know beside sizes and glass: followed from the readings file to every form of the order.

Glazing bars: EN 14351-1 Table J.1 adds 0.4 W/m2K for bars that divide the glass. Spacers: EN ISO 10077-1, Tables G.1
and G.2. Letter plates: EN 13724, height of the aperture 700 to 1700 mm (from memory, medium).
"""

import copy
import csv
import io

import pypdfium2
import pytest

from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.paper.order_book import order_csv
from jambwright.paper.order_sheet import order_pdf
from jambwright.readings.asked import fields_of
from jambwright.readings.specified import FIELDS, NONE_IF_NOT_SAID, Specified
from jambwright.readings.survey_file import survey_from_tree
from jambwright.record import HEADINGS, order_of
from made_up_houses import settled_house

EVERYTHING = {
    "colour_outside": "slate 7 (invented)",
    "colour_inside": "chalk 2 (invented)",
    "drainage": "hidden",
    "glazed": "site",
    "beads": "inside",
    "fixings_supplied": False,
    "trims": "quadrant 20 mm",
    "security_tested": True,
    "spacer": "normal",
    "bars": "on_glass",
    "bars_across": 3,
    "bars_down": 5,
    "pattern": "reed (invented)",
    "pattern_grade": 2,
    "handle_finish": "chrome",
    "handle_key": True,
    "lock": "five hooks",
    "cylinder": "35 and 50 mm",
    "keyed_alike": "doors",
    "letter_plate_mm": 835,
    "spy_hole": True,
    "door_chain": False,
    "floor_build_up_mm": 75,
    "sill_loose": True,
    "sill_end_caps": False,
}


def door_with_a_side_light(**own):
    """A door: obscure glass, bars, a leaf with a panel below; no sill."""
    tree = settled_house()
    opening = tree["openings"][0]
    opening["outside"] = {
        "width": {"bottom": 1456, "middle": 1453, "top": 1457},
        "height": {"left": 2103, "centre": 2103, "right": 2105},
        "diagonal": {"rising": 2561, "falling": 2556},
        "level": {"sill": 2, "head": 1},
        "plumb": {"left": 3, "right": 1},
        "bow": {"left": 1, "right": 2, "sill": 0, "head": 0},
    }
    opening["wanted"] = {
        "kind": "door",
        "profile": "plain_door_70",
        "glass": "4T-16Ar-4T low-e",
        "specified": own,
        "layout": {
            "across": [
                {
                    "mm": 985,
                    "opens": "side_hung_left",
                    "swing": "in",
                    "infill": "panel",
                    "handle_height_mm": 1000,
                },
                {"opens": "fixed", "obscure": True},
            ]
        },
    }
    return tree


def decided(tree):
    return job.check(survey_from_tree(tree))


def told(record):
    """Field by field as the first row of order.csv has it."""
    row = next(csv.DictReader(io.StringIO(order_csv(record).decode("utf-8-sig"))))
    return {name: row[name.replace("_", " ")] for name in FIELDS}


def printed(record):
    document = pypdfium2.PdfDocument(order_pdf(record))
    return " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in document)


def verdicts(record, rule):
    return [v for o in record.openings for v in o.verdicts if v.rule == rule]


def test_every_field_is_told_of_what_has_it_and_stands_on_every_form_of_the_order():
    door = {name: value for name, value in EVERYTHING.items() if FIELDS[name] != "sill"}
    sill = {name: value for name, value in EVERYTHING.items() if FIELDS[name] in ("unit", "sill")}
    window = settled_house()
    window["openings"][0]["wanted"]["specified"] = sill
    fields = {field.name: field for field in fields_of("Specified")}
    assert {*door, *sill} == set(FIELDS) == set(Specified.model_fields) == set(fields)
    for tree, said in ((door_with_a_side_light(**door), door), (window, sill)):
        record = decided(tree)
        (item,) = order_of(record).items
        assert item.specified.model_dump(exclude_none=True) == said
        paper, row = printed(record), told(record)
        for name, value in said.items():
            word = row[name] if isinstance(value, str | bool) else f"{value:g}"
            assert row[name], name
            assert f"{fields[name].label} {word}" in paper, name
        assert {name for name, cell in row.items() if cell} == set(said)


def test_headings_of_the_table_are_the_names_of_the_fields():
    assert [name.replace("_", " ") for name in FIELDS] == [
        h for h in HEADINGS if h.replace(" ", "_") in FIELDS
    ]


def test_what_is_usual_in_the_house_is_taken_where_an_opening_says_nothing():
    tree = door_with_a_side_light(lock="three hooks", door_chain=False)
    tree["defaults"]["specified"] = {
        "lock": "latch",
        "door_chain": True,
        "glazed": "works",
        "sill_loose": True,
    }
    said = told(decided(tree))
    assert (said["lock"], said["door_chain"], said["glazed"]) == ("three hooks", "No", "At the works")
    assert said["sill_loose"] == "", "a door has no sill of the frame; the usual says nothing of it"


def test_what_is_not_said_is_listed_for_the_maker_to_ask():
    record = decided(door_with_a_side_light(lock="three hooks"))
    (item,) = order_of(record).items
    wanted = {
        name for name, needs in FIELDS.items() if needs in ("unit", "glass", "obscure", "openers", "door")
    }
    assert set(item.not_said) == wanted - {"lock", *NONE_IF_NOT_SAID}
    assert "Not said: colour outside; colour inside; drainage" in printed(record)


@pytest.mark.parametrize(
    ("own", "said"),
    [
        ({"lock": "three hooks", "cylinder": "x"}, "Said of lock, cylinder, but this is no door"),
        ({"pattern": "reed"}, "Said of pattern, but no light has obscure glass"),
        ({"bars_across": 3}, "Said of bars across, but no glazing bars are asked for"),
    ],
)
def test_what_is_said_of_a_thing_the_unit_has_not_is_told(own, said):
    tree = settled_house()
    tree["openings"][0]["wanted"]["specified"] = own
    (found,) = verdicts(decided(tree), "specification.of_nothing")
    assert found.why.startswith(said)


@pytest.mark.parametrize(
    ("height", "word"),
    [(699, "advise"), (700, None), (1700, None), (1701, "advise"), (110, "fails"), (2080, "fails")],
)
def test_a_letter_plate_stands_in_the_leaf_and_where_it_is_reached(height, word):
    record = decided(door_with_a_side_light(letter_plate_mm=height))
    found = verdicts(record, "specification.letter_plate")
    assert [v.word for v in found] == ([word] if word else [])
    stopped = {reason.rule for reason in record.openings[0].gates.ordering.reasons}
    assert ("specification.letter_plate" in stopped) == (word == "fails")


def test_a_letter_plate_under_the_frame_is_refused():
    with pytest.raises(BadInput, match="at least 100"):
        decided(door_with_a_side_light(letter_plate_mm=80))


def test_the_spacer_and_bars_that_are_ordered_are_those_the_heat_is_worked_out_with():
    tree = settled_house()

    def unit(**own):
        changed = copy.deepcopy(tree)
        changed["openings"][0]["wanted"].pop("declared", None)
        changed["openings"][0]["wanted"]["specified"] = own
        house = job.plan_house(survey_from_tree(changed))
        record = decided(changed)
        (plan,) = house.openings
        assert record.openings[0].heat.unit.reference.u_w_m2k == plan.heat.unit.reference.u_w_m2k
        return plan.heat.unit.reference

    usual, warm, cold = unit(), unit(spacer="improved"), unit(spacer="normal")
    assert warm.u_w_m2k == usual.u_w_m2k < cold.u_w_m2k
    assert unit(bars="on_glass").u_w_m2k == usual.u_w_m2k
    assert unit(bars="dividing").u_w_m2k - usual.u_w_m2k == pytest.approx(0.4)


@pytest.mark.parametrize(("glass", "told_of"), [("4-16Ar-4 low-e", False), ("4-14Ar-4 low-e", True)])
def test_bars_between_the_panes_need_room_there(glass, told_of):
    tree = settled_house()
    tree["openings"][0]["wanted"] |= {"glass": glass, "specified": {"bars": "grid_in_cavity"}}
    found = verdicts(decided(tree), "specification.bars")
    assert bool(found) == told_of
    assert all((v.word, v.found, v.limit) == ("advise", 14.0, 16.0) for v in found)


def test_a_unit_tested_against_break_in_is_taken_as_such():
    for tested, word in ((True, "meets"), (None, "advise")):
        own = {"security_tested": tested} if tested else {}
        (found,) = verdicts(decided(door_with_a_side_light(**own)), "security.product")
        assert found.word == word
