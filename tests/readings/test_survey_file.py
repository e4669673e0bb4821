"""The readings file: what is accepted, and that every fault is told at once in words a fitter can act on."""

import copy

import pytest

from jambwright import calc, job
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.readings import PLACES
from jambwright.readings.reading import reading_name
from jambwright.readings.survey import Survey
from jambwright.readings.survey_file import read_survey, survey_from_tree, unread


@pytest.fixture
def demo():
    return copy.deepcopy(parse_tree(read_text("demo_house.yaml")))


def complaints(tree) -> list[str]:
    with pytest.raises(BadInput) as caught:
        survey_from_tree(tree)
    return [p.say for p in caught.value.problems]


def test_the_demo_house_is_read_whole(demo):
    survey = survey_from_tree(demo)
    assert [o.id for o in survey.openings] == [
        "W1",
        "W2",
        "W3",
        "W4",
        "W5",
        "W6",
        "W7",
        "W8",
        "W9",
        "D1",
        "D2",
    ]


def test_reading_a_survey_and_writing_it_out_loses_nothing(demo):
    survey = survey_from_tree(demo)
    assert Survey.model_validate(survey.model_dump(mode="json", exclude_unset=True)) == survey


def test_five_mistakes_in_five_openings_are_all_reported_with_opening_and_remedy(demo):
    o = demo["openings"]
    o[0]["reveel_depth_mm"] = o[0].pop("reveal_depth_mm")
    o[1]["outside"]["width"]["middle"] = "12OO"
    o[2]["outside"]["width"]["top"] = 121.1
    o[3]["outside"]["height"]["left"] = -1196
    o[4]["wanted"]["profile"] = "plian_70"
    said = "\n".join(complaints(demo))
    assert "W1 kitchen: reveel_depth_mm: there is no such field here; did you mean `reveal_depth_mm`?" in said
    assert "W2 bathroom: outside width middle: '12OO' is not a number" in said
    assert "W3 front bedroom: outside: top width 121.1 mm looks like centimetres" in said
    assert "write it in mm: 1211" in said
    assert "W4 back bedroom: outside: left height -1196 mm can't be" in said
    assert (
        "W5 small bedroom: wanted profile: there is no profile `plian_70`. Did you mean `plain_70`?" in said
    )
    assert len(said.splitlines()) == 5


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            lambda t: t["openings"][0].update(room="kitchn"),
            "there is no room `kitchn`. Did you mean `kitchen`?",
        ),
        (lambda t: t["openings"][1].update(id="W1"), "the mark W1 is used twice"),
        (
            lambda t: t["openings"][0]["outside"]["plumb"].update(left=500),
            "plumb of the left jamb 500 mm is beyond",
        ),
        (lambda t: t["openings"][0]["outside"]["width"].update(top=[]), "an empty list says nothing"),
        (lambda t: t["openings"][0]["outside"]["width"].update(top="12OO"), "'12OO' is not a number"),
        (
            lambda t: t["openings"][0]["outside"]["width"].update(top={"mm": 1772, "tool": "tape Z"}),
            "no tool `tape Z`",
        ),
        (
            lambda t: t["openings"][0].update(inside={"width": {"top": {"mm": 1750, "tool": "tape Z"}}}),
            "inside width top: there is no tool `tape Z`",
        ),
        (lambda t: t["openings"][0]["outside"]["level"].update(sill=True), "write the figure in millimetres"),
        (lambda t: t["openings"][2]["now"].update(openers=10**30), "it must be at most 40"),
        (lambda t: t["site"].update(nation="englnd"), "Did you mean `england`?"),
        (
            lambda t: t["openings"][0]["wanted"]["layout"]["across"][0].update(opens="side_hung"),
            "is not one of",
        ),
        (lambda t: t.update(jambwright=2), "is not one of 1"),
        (lambda t: t["house"]["rooms"][0].update(floor_area_m2=0), "it must be at least 0.5 ("),
    ],
)
def test_one_mistake_is_named(demo, change, words):
    change(demo)
    assert words in "\n".join(complaints(demo))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a: 1\na: 2", "written twice"),
        ("a: &x [1]\nb: *x", "alias"),
        ("a: [1, 2", "Line 2"),
        ("? [1]\n: 2", "plain word"),
        ("!!python/object/apply:os.system ['true']", "can't be read"),
        ("- 1", "holds no survey"),
        ("[" * 60 + "]" * 60, "nested"),
    ],
)
def test_text_that_is_no_survey_is_refused_in_words(text, words):
    with pytest.raises(BadInput, match=words):
        read_survey(text)


def test_a_complaint_carries_the_mark_of_its_opening_beside_its_words(demo):
    o = demo["openings"]
    o[1]["room"] = "bath: upstairs"
    o[1]["outside"]["width"]["middle"] = 0
    o[4]["wanted"]["profile"] = "plian_70"
    with pytest.raises(BadInput) as refused:
        survey_from_tree(demo)
    of = {(p.opening, p.of): p.bare for p in refused.value.problems}
    assert of["W2", "W2 bath: upstairs: outside"].startswith("middle width 0 mm can't be")
    assert of["W5", "W5 small bedroom: wanted profile"].startswith("there is no profile `plian_70`")


@pytest.mark.parametrize(
    ("top", "field", "words"),
    [
        ("1773mm", "", "outside width top: '1773mm' is not a number."),
        ([1200, "x"], ".1", "outside width top 1: 'x' is not a number."),
        ({"mm": [1200, "x"]}, ".mm.1", "outside width top mm 1: 'x' is not a number."),
        ({"mn": 1200}, ".mm", "outside width top mm: is missing; give it a value."),
    ],
)
def test_a_figure_is_complained_of_once_as_it_was_written_and_the_rest_is_still_checked(
    demo, top, field, words
):
    demo["openings"][0]["outside"]["width"]["top"] = top
    demo["openings"][2]["room"] = "nowhere"
    with pytest.raises(BadInput) as caught:
        survey_from_tree(demo)
    found = {p.field.removeprefix("openings."): p.say for p in caught.value.problems}
    assert found.pop(f"0.outside.width.top{field}") == f"W1 kitchen: {words}"
    assert "there is no room `nowhere`" in found.pop("2.room")
    assert set(found) <= {"0.outside.width.top.mn"}


def test_the_names_of_what_was_tried_are_no_part_of_a_complaint():
    with pytest.raises(BadInput) as caught:
        calc.answer(
            "opening-outline", {"readings": [{"kind": "width", "at": "top", "mm": "wide"}], "shape": 3}
        )
    said = [p.say for p in caught.value.problems]
    assert "readings.0.mm: 'wide' is not a number." in said
    assert not any("constrained" in each or "[" in each or "list[" in each for each in said)


def test_a_unit_is_guessed_from_lengths_alone(demo):
    width = demo["openings"][2]["outside"]["width"]
    width["top"], width["middle"], width["bottom"] = 0, 0, 121.1
    said = "\n".join(complaints(demo))
    assert "bottom width 121.1 mm is outside 200 to 6000 mm" in said
    width["middle"] = 1211
    assert "bottom width 121.1 mm looks like centimetres beside 1211" in "\n".join(complaints(demo))


def test_the_blank_form_asks_only_for_the_readings_that_size_a_frame():
    plan = job.check(read_survey(read_text("blank_survey.yaml")))
    [blank] = plan.unread
    assert plan.openings == ()
    assert blank.missing == (
        "bottom width", "middle width", "top width", "left height", "centre height", "right height",
    )  # fmt: skip
    assert blank.gates.shut == ("ordering", "work")


@pytest.mark.parametrize(
    ("kind", "place"),
    [(kind, place) for kind in ("width", "height") for place in PLACES[kind]],
)
def test_an_opening_that_lacks_a_width_or_a_height_is_read_and_said_to_lack_it(demo, kind, place):
    del demo["openings"][1]["outside"][kind][place]
    survey = survey_from_tree(demo)
    assert unread(survey.openings[1]) == [reading_name(kind, place)]
    assert [unread(o) for o in survey.openings if o.id != "W2"] == [[]] * 10


def test_marks_that_differ_only_in_capitals_are_refused(demo):
    demo["openings"][1]["id"] = demo["openings"][0]["id"].lower()
    said = "\n".join(complaints(demo))
    assert "the marks W1 and w1 differ only in capitals" in said


def test_a_character_that_no_paper_can_hold_is_named_with_its_field(demo):
    demo["note"] = "half of a pair \ud83d"
    demo["openings"][2]["note"] = "a bell \x07"
    said = complaints(demo)
    assert "note: it holds a character that can't be written (U+D83D); type it again." in said
    assert any("W3" in line and "(U+0007)" in line for line in said)
