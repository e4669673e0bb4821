"""Blank survey sheets: every place of measuring and every question has its box, for a gloved hand."""

import functools
from itertools import pairwise

import pypdfium2
import pytest
from typer.testing import CliRunner

from demo_house import SURVEY
from jambwright import job
from jambwright.basis.envelope import most
from jambwright.cli import app
from jambwright.paper.every_paper import PAPERS
from jambwright.paper.help_pictures import help_picture
from jambwright.paper.survey_sheet import BOX_MM, blank_sheets, survey_sheets
from jambwright.readings.asked import choices_in, field_at, fields_of, on_site, pictures
from jambwright.readings.reading import EVERY_PLACE
from jambwright.readings.survey_file import survey_from_tree
from jambwright.record import Unread
from made_up_houses import rebated_house
from pdf_paths import paths

GLOVED_MM = 9.0
"""Least height of a box for a gloved hand with a pencil: common practice, no published source."""


@functools.cache
def record():
    return job.check(SURVEY)


@functools.cache
def blank() -> pypdfium2.PdfDocument:
    return pypdfium2.PdfDocument(blank_sheets(2))


def said(page) -> str:
    return " ".join(page.get_textpage().get_text_range().split())


def test_a_sheet_has_two_sides_and_one_more_for_rebated_reveals():
    assert len(blank()) == 2 * 2 + 1
    assert [each.get_title() for each in blank().get_toc()] == [
        "Sheet 1 of 2", "Sheet 2 of 2", "One more for each rebated reveal: copy it",
    ]  # fmt: skip
    assert "Upstand at the sill" in said(blank()[4])


@pytest.mark.parametrize("page", [0, 2, 4])
def test_every_place_of_every_kind_is_there_in_the_order_of_measuring(page):
    text = said(blank()[page])
    labels = [
        next(each for each in fields_of(kind.inside) if each.name == at).label
        for kind in fields_of("ReadingSet")
        for at in EVERY_PLACE[kind.name]
    ]
    places = [text.find(label) for label in labels]
    assert -1 not in places
    assert places == sorted(places)
    for label in ("Mark", "Room", "Measured by", "Tool and its mark", "Date"):
        assert label in text


def test_what_is_asked_on_site_is_asked_with_every_word_to_choose_from():
    text = said(blank()[1])
    for path in on_site():
        field = field_at(("openings", "W1", *path))
        assert field.ask in text
        assert all(word in text for _, word in choices_in(field, {}))
    assert all(seen.ask in text for seen in fields_of("Seen") if seen.kind == "yes")


def test_signs_are_told_on_the_sheet_outside_and_the_inside_is_never_told_to_be_brick():
    outside, inside = said(blank()[0]), said(blank()[4])
    for sign in ("+ when the right end is high", "+ when the top leans right", "+ into the opening"):
        assert sign in outside
        assert sign in inside
    assert "Brick to brick" in outside
    assert "Plaster to plaster" in inside
    assert "brick" not in inside


def test_every_question_has_a_box_or_a_box_for_each_word_that_a_gloved_hand_can_fill_in():
    asked = [field_at(("openings", "W1", *path)) for path in on_site()]
    words = sum(len(choices_in(f, {})) or (2 if f.kind == "yes" else 1) for f in asked if f.kind != "layout")
    suspected = 2 * sum(seen.kind == "yes" for seen in fields_of("Seen"))
    high = [round(top - bottom, 2) for _, bottom, _, top in paths(blank()[1])]
    assert high.count(BOX_MM) == words + suspected
    assert BOX_MM >= GLOVED_MM
    assert round(45.0, 2) in high, "the sketch of what is to go in"


def test_rows_of_the_readings_leave_room_for_a_gloved_hand():
    drawn = {
        round(top, 1) for _, bottom, right, top in paths(blank()[0]) if top - bottom < 0.1 and right > 198
    }
    steps = [high - low for low, high in pairwise(sorted(drawn))]
    assert len(steps) == sum(map(len, EVERY_PLACE.values())) + 1, "a row each, and the head"
    assert min(steps[:-1]) >= GLOVED_MM


def test_openings_known_by_their_room_alone_get_sheets_too():
    known = record().openings[0]
    bare = Unread(id="W12", room="Böxchen", gates=known.gates, missing=("width middle",))
    document = pypdfium2.PdfDocument(
        survey_sheets(record().model_copy(update={"openings": (known,), "unread": (bare,)}))
    )
    assert len(document) == 2 + 2 + 1
    assert "Read before: measure again without looking at the first readings." in said(document[0])
    assert "Böxchen" in said(document[2])
    assert "Not read yet." in said(document[2])
    order = str(round(known.order.width.value))
    assert all(order not in said(page) for page in document), "nobody reads to please a figure"


def test_every_opening_of_a_plan_has_its_sheet_of_two_sides():
    document = pypdfium2.PdfDocument(dict(PAPERS["survey sheets"](record()))["survey-sheets.pdf"])
    assert len(document) == 2 * len(record().openings)


def test_every_picture_prints_in_black_and_white_alone():
    for name in pictures():
        drawn = help_picture(name)
        assert "var(" not in drawn
        assert "currentColor" not in drawn


def test_sheets_for_a_house_that_holds_nothing_yet(tmp_path):
    out = tmp_path / "sheets.pdf"
    done = CliRunner().invoke(app, ["form", "--sheets", "3", "--out", str(out)])
    assert done.exit_code == 0, done.output
    assert len(pypdfium2.PdfDocument(out.read_bytes())) == 7
    alone = CliRunner().invoke(app, ["form", "--sheets", "3"])
    assert alone.exit_code == 2
    assert "give both" in alone.output
    assert (
        CliRunner().invoke(app, ["form", "--sheets", f"{most('openings') + 1}", "--out", str(out)]).exit_code
        == 2
    )


def test_an_opening_with_a_rebated_reveal_has_a_third_side_for_the_inside():
    rebated = job.check(survey_from_tree(rebated_house()))
    document = pypdfium2.PdfDocument(survey_sheets(rebated))
    assert len(document) == 3 * len(rebated.openings)
    assert "Inside of a rebated reveal" in said(document[2])
    assert rebated.openings[0].id in said(document[2])
