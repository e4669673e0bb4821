"""Labels: on their places to the millimetre, nothing over an edge, and the code that is meant, large enough to read."""

import functools
import json
import re

import pypdfium2
import pytest
import segno
from typer.testing import CliRunner

from demo_house import SURVEY
from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.basis.units import show_mm
from jambwright.cli import app
from jambwright.paper import label_sheets, labels_pdf
from jambwright.paper.gate_words import state
from jambwright.paper.labels import PADDING_MM, QUIET, code_text
from pdf_paths import paths

ADDRESS = "https://192.0.2.7:8321/site/0123456789abcdef"
MM = 72 / 25.4
A4_MM = (210.0, 297.0)


@functools.cache
def record():
    return job.check(SURVEY)


@functools.cache
def document(sheet: str) -> pypdfium2.PdfDocument:
    return pypdfium2.PdfDocument(labels_pdf(record(), sheet=sheet, leads_to=ADDRESS))


def said(page) -> str:
    return " ".join(page.get_textpage().get_text_range().split())


def areas(sheet: str):
    """Left, bottom, right, top of each label of a page, millimetres from the bottom left."""
    laid = table("label_sheets").find(sheet=sheet)
    for row in range(int(laid["rows"])):
        for column in range(int(laid["columns"])):
            left = laid["left_mm"] + column * laid["pitch_x_mm"]
            top = A4_MM[1] - laid["top_mm"] - row * laid["pitch_y_mm"]
            yield left, top - laid["height_mm"], left + laid["width_mm"], top


@pytest.mark.parametrize("sheet", label_sheets())
def test_the_sheets_fill_a_page_evenly_as_many_times_as_they_are_named_for(sheet):
    laid = table("label_sheets").find(sheet=sheet)
    found = list(areas(sheet))
    assert len(found) == int(sheet)
    assert A4_MM[0] - max(a[2] for a in found) == pytest.approx(laid["left_mm"]), "as much right as left"
    assert min(a[1] for a in found) == pytest.approx(laid["top_mm"]), "as much below as above"
    assert laid["pitch_x_mm"] >= laid["width_mm"]
    assert laid["pitch_y_mm"] >= laid["height_mm"]


def _within(page, area) -> str:
    left, bottom, right, top = (side * MM for side in area)
    return page.get_textpage().get_text_bounded(left, bottom, right, top)


@pytest.mark.parametrize("sheet", label_sheets())
def test_each_label_tells_mark_room_size_mass_state_and_plan(sheet):
    pages = list(document(sheet))[1:]
    places = [(page, area) for page in pages for area in areas(sheet)]
    assert len(pages) == -(-len(record().openings) // int(sheet))
    for plan, (page, area) in zip(record().openings, places, strict=False):
        told = " ".join(_within(page, area).split())
        order = plan.order
        assert plan.id in told
        for words in (
            plan.room, f"{show_mm(order.width.value)} × {show_mm(order.height.value)} mm",
            f"{order.whole_kg.value:.0f} kg", state(plan), f"plan {record().plan_id}",
        ):  # fmt: skip
            assert re.sub(r"\s", "", words) in re.sub(r"\s", "", told), (plan.id, words)


@pytest.mark.parametrize("sheet", label_sheets())
def test_no_letter_comes_near_an_edge_even_of_the_longest_names(sheet):
    long = {"id": "W" * 16, "room": "Réception derrière l'ancienne orangerie nord"[:40]}
    plans = tuple(plan.model_copy(update=long) for plan in record().openings)
    pages = list(
        pypdfium2.PdfDocument(labels_pdf(record().model_copy(update={"openings": plans}), sheet=sheet))
    )
    clear = PADDING_MM - 1.0
    inner = [
        (left + clear, low + clear, right - clear, high - clear) for left, low, right, high in areas(sheet)
    ]
    for page in pages[1:]:
        text = page.get_textpage()
        black = list(paths(page))
        for index, letter in enumerate(text.get_text_range()[: text.count_chars()]):
            if not letter.isspace():
                left, low, right, high = (side / MM for side in text.get_charbox(index))
                assert _any_holds(inner, (left, low, right, high)), (letter, left, low)
                if letter == "W":
                    assert _any_holds(black, (left, low, right, high)), (
                        "a letter of the mark is white on white"
                    )


def _any_holds(areas_mm, box) -> bool:
    left, low, right, high = box
    return any(a <= left and b <= low and right <= c and high <= d for a, b, c, d in areas_mm)


@pytest.mark.parametrize("sheet", label_sheets())
def test_what_is_printed_is_the_code_of_the_opening_and_a_phone_can_read_it(sheet):
    plan = record().openings[0]
    text = f"{ADDRESS}/{plan.id}"
    assert code_text(record(), plan, ADDRESS) == text
    wanted = segno.make(text, error="m", micro=False).matrix
    count, page = len(wanted), document(sheet)[1]
    drawn = next(iter(areas(sheet)))
    left, top, module_mm = _code(page, drawn, count)
    picture = page.render(scale=8).to_pil().convert("L")

    def dark(x_mm: float, y_mm: float) -> bool:
        return picture.getpixel((int(8 * MM * x_mm), int(8 * MM * (A4_MM[1] - y_mm)))) < 128

    found = [
        [dark(left + (n + 0.5) * module_mm, top - row * module_mm) for n in range(count)]
        for row in range(count)
    ]
    assert found == [[bool(cell) for cell in row] for row in wanted]
    # what a phone's camera wants; from memory, low
    assert module_mm >= 0.5
    assert left + (count + QUIET) * module_mm <= drawn[2], "blank round it on the label itself"


def _code(page, area, count: int) -> tuple[float, float, float]:
    """Left edge, middle of the top row and side of a module of the code in an area, millimetres."""
    for left, bottom, right, top in paths(page):
        module = (right - left) / count
        rows = abs(top - bottom - (count - 1) * module) < 0.02
        if rows and area[0] < left < right < area[2] and area[1] < bottom and module > 0.2:
            return left, top, module
    raise AssertionError("no code on the label")


def test_without_an_address_the_sheet_says_so_and_the_code_holds_plan_and_mark():
    plan = record().openings[0]
    assert code_text(record(), plan, None) == f"plan {record().plan_id} {plan.id}"
    page = pypdfium2.PdfDocument(labels_pdf(record()))[0]
    assert "The codes open no page" in said(page)
    assert ADDRESS in said(document("8")[0])
    assert "The codes open no page" not in said(document("8")[0])


def test_the_first_page_has_the_frame_of_every_paper_and_lists_the_labels():
    text = said(document("14")[0])
    for words in (record().site.label, f"plan {record().plan_id}", "Print at 100 %", "14 labels"):
        assert words in text
    assert all(plan.id in text for plan in record().openings)


def test_a_mark_with_odd_letters_makes_an_address():
    odd = record().openings[0].model_copy(update={"id": "W/1 ä"})
    assert code_text(record(), odd, ADDRESS) == f"{ADDRESS}/W%2F1%20%C3%A4"


def test_a_sheet_that_is_not_listed_is_refused_with_those_that_are():
    with pytest.raises(BadInput, match="known are 2, 4, 8, 14"):
        labels_pdf(record(), sheet="9")


def test_papers_of_a_kept_plan_are_printed_with_labels_for_the_sheets_at_hand(tmp_path):
    kept, out = tmp_path / "plan.json", tmp_path / "papers"
    alone = record().model_copy(update={"openings": record().openings[:1], "heat": None})
    kept.write_text(alone.model_dump_json())
    done = CliRunner().invoke(app, ["papers", str(kept), "--out", str(out), "--labels", "14"])
    assert done.exit_code == 0, done.output
    assert "14 labels" in said(pypdfium2.PdfDocument((out / "labels.pdf").read_bytes())[0])
    listed = {each["name"] for each in json.loads((out / "manifest.json").read_text())["papers"]}
    assert {"labels.pdf", "survey-sheets.pdf", "templates.pdf"} <= listed
    refused = CliRunner().invoke(app, ["papers", str(kept), "--out", str(out), "--labels", "9"])
    assert refused.exit_code != 0
    assert "known are 2, 4, 8, 14" in refused.output
