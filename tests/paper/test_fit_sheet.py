"""The fit sheets as PDF: one page an opening, with every word on it."""

from dataclasses import replace

import pypdfium2
import pytest

from demo_house import MARKS, papers, record, recorded
from jambwright.basis.problems import Problem
from jambwright.basis.units import show_mm
from jambwright.checks.gates import Gate, Gates, Reason
from jambwright.paper.fit_sheet import fit_sheets
from jambwright.paper.fit_words import words
from jambwright.paper.gate_words import hold, work_hold
from jambwright.plan.lifts import Carry

A4_PT = (595.3, 841.9)


def pdf() -> bytes:
    return papers()["fit-sheets.pdf"]


def alone(mark, **changed):
    """A plan of one opening, with changes of its record."""
    opening = recorded(mark).model_copy(update=changed)
    return record().model_copy(update={"openings": (opening,)})


def pages(content: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(content)
    return [page.get_textpage().get_text_range() for page in document]


def test_there_is_one_a4_page_an_opening():
    document = pypdfium2.PdfDocument(pdf())
    assert len(document) == len(MARKS)
    assert all(page.get_size() == pytest.approx(A4_PT, abs=0.5) for page in document)


@pytest.mark.parametrize("number", range(len(MARKS)), ids=MARKS)
def test_a_sheet_tells_what_its_fitter_needs(number):
    text = pages(pdf())[number]
    plan = record().openings[number]
    frame = plan.frame
    size = f"{show_mm(plan.order.width.value)} × {show_mm(plan.order.height.value)}"
    # lettering that stands upright is read back a letter at a time
    together = "".join(text.split())
    assert together.count("".join(size.split())) >= 2, "large at the top and in the drawing"
    flat = " ".join(text.split())
    assert "viewed from outside" in flat
    assert "times too large" in flat
    assert "Triangles point to the hinges; whole lines open out, dashed lines open in." in flat
    assert plan.room in flat
    instead = {note.instead_of for note in plan.access}
    assert [c.short for c in plan.cautions if c.short not in flat and c.key not in instead] == []
    assert [note.short for note in plan.access if note.short not in flat] == []
    assert [s.short for s in plan.fitting.steps if s.short not in flat] == []
    assert "licensed people decide" in flat
    if frame.sill:
        length, depth = plan.order.sill_length.value, plan.order.sill_depth.value
        assert f"Cut {show_mm(length)} from {show_mm(depth)} deep stock" in flat


def test_no_lettering_is_smaller_than_eight_and_a_half_point():
    # a figure is 0.65 of its body high in this typeface; turned figures lie on their side
    least_pt = 8.5 * 0.65 - 0.1
    for page in pypdfium2.PdfDocument(pdf()):
        text = page.get_textpage()
        for index in range(text.count_chars()):
            mark = text.get_text_range(index, 1)
            if mark and mark in "23456789":
                left, bottom, right, top = text.get_charbox(index)
                assert max(right - left, top - bottom) >= least_pt


def test_the_same_house_gives_the_same_bytes():
    assert fit_sheets(record()) == pdf()


def test_what_needs_a_look_stands_in_a_box():
    remark = Problem("packers.left", "left, 150 mm along: only 0.4 mm to pack.", "caution")
    [text] = pages(fit_sheets(alone("W5", remarks=(remark,))))
    assert "Look at this first" in text
    assert remark.say in " ".join(text.split())


def test_many_remarks_still_leave_one_page():
    remark = Problem(
        "packers.left", "left, 150 mm along: " + "the gap is more than packers fill; " * 4, "caution"
    )
    asbestos = Reason(
        rule="hazard.asbestos", word="refer", say="Soffits may hold asbestos.", by=("person",),
        opens="Have an asbestos surveyor look.", name="asbestos", house=True,
    )  # fmt: skip
    gates = Gates(work=Gate(reasons=(asbestos,), state="shut"))
    [text] = pages(fit_sheets(alone("W7", remarks=(remark,) * 20, gates=gates)))
    assert "20 more: see summary.txt." in text, "no room for any, so all are counted"
    assert "Do not start yet. The house: Have an asbestos surveyor look." in " ".join(text.split())


def test_what_stops_stands_before_the_remarks_and_more_than_six_lines_are_counted():
    looks = tuple(Problem("x", f"Look at {n}.", "caution") for n in range(9))
    crowded = recorded("W8").model_copy(update={"remarks": looks})
    told = words(crowded)["remarks"]
    assert told[:2] == [hold(crowded), work_hold(crowded)]
    assert told[2:] == ["Look at 0.", "Look at 1.", "Look at 2.", "6 more: see summary.txt."]
    brief = words(crowded, brief=True)["remarks"]
    assert brief == [hold(crowded), work_hold(crowded, brief=True), "9 more: see summary.txt."]
    for reason in crowded.gates.work.reasons:
        assert reason.opens in brief[1]
        assert (reason.say in brief[1]) != reason.house


def test_a_sheet_with_far_too_much_to_say_is_set_smaller_and_no_line_runs_into_the_foot():
    long = Problem("x", "A remark that goes on for about as long as any of them does. " * 6, "caution")
    pages_made = pypdfium2.PdfDocument(fit_sheets(alone("W1", remarks=(long,) * 6)))
    text = pages_made[0].get_textpage()
    assert len(pages_made) == 1
    last, foot = (_box_of(text, words) for words in ("Local codes", "sheet 1 of 1"))
    assert last[1] > foot[3] - 0.5, "the last line stands over the foot, not across it"


def _box_of(text, words):
    """Left, bottom, right and top of the first letter of some words, in points from the page's foot."""
    index, _ = text.search(words).get_next()
    return text.get_charbox(index)


def test_door_leaves_alike_are_carried_under_one_name_and_their_marks():
    leaf = next(piece for piece in recorded("D1").frame.pieces if piece.called == "door leaf")
    other = replace(leaf, light="B")
    fitting = recorded("D1").fitting
    carried = tuple(
        Carry(called=p.called, light=p.light, state=p.state, lift=fitting.lifts.heaviest.lift)
        for p in (leaf, other)
    )
    lifted = replace(fitting, lifts=replace(fitting.lifts, carried=carried))
    (line,) = words(recorded("D1").model_copy(update={"fitting": lifted, "access": ()}))["carry"]
    assert line.startswith("door leaf A, B, unglazed ")
