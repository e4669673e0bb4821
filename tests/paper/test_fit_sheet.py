"""The fit sheets as PDF: two sides an opening, with every word on them, and none set smaller."""

import functools
import re
from dataclasses import replace

import pypdfium2
import pytest

from demo_house import MARKS, papers, record, recorded
from jambwright.basis.problems import Problem
from jambwright.basis.units import show_mm
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


def flat(text: str) -> str:
    """With one space where a reader put any, and words that were parted at a line's end together."""
    return " ".join(re.sub(r"[\ufffe\u00ad\x02]\s*", "-", text).split())


@functools.cache
def fronts(content: bytes) -> tuple[int, ...]:
    """The page each sheet begins on, the first being 0."""
    marks = pypdfium2.PdfDocument(content).get_toc()
    return tuple(each.get_dest().get_index() for each in marks if each.level == 0)


def sheet(content: bytes, number: int = 0) -> str:
    """All pages of one sheet."""
    ends = (*fronts(content), None)
    return flat(" ".join(pages(content)[ends[number] : ends[number + 1]]))


def test_every_sheet_begins_on_a_front_and_its_back_follows():
    document = pypdfium2.PdfDocument(pdf())
    assert len(fronts(pdf())) == len(MARKS)
    assert all(page.get_size() == pytest.approx(A4_PT, abs=0.5) for page in document)
    assert [at % 2 for at in fronts(pdf())] == [0] * len(MARKS), "the first page of a leaf"
    for number, at in enumerate(fronts(pdf())):
        front, back = pages(pdf())[at], sheet(pdf(), number).split("Order of work", 1)[1]
        assert "Order of work" in front
        assert back.index("Glazing blocks") < back.index("As fitted")


def test_a_plain_opening_takes_one_leaf():
    ends = (*fronts(pdf()), len(pypdfium2.PdfDocument(pdf())))
    leaves = {mark: end - start for mark, start, end in zip(MARKS, ends[:-1], ends[1:], strict=True)}
    plain = [mark for mark in MARKS if len(words(recorded(mark))["remarks"]) <= 2]
    assert len(plain) >= 5
    assert {mark: leaves[mark] for mark in plain if leaves[mark] > 2} == {}


@pytest.mark.parametrize("number", range(len(MARKS)), ids=MARKS)
def test_a_sheet_tells_what_its_fitter_needs(number):
    text = sheet(pdf(), number)
    plan = record().openings[number]
    frame = plan.frame
    size = f"{show_mm(plan.order.width.value)} × {show_mm(plan.order.height.value)}"
    # lettering that stands upright is read back a letter at a time
    together = "".join(text.split())
    assert together.count("".join(size.split())) >= 2, "large at the top and in the drawing"
    assert "viewed from outside" in text
    assert "times too large" in text
    assert "Triangles point to the hinges; whole lines open out, dashed lines open in." in text
    assert plan.room in text
    instead = {note.instead_of for note in plan.access}
    assert [c.short for c in plan.cautions if c.short not in text and c.key not in instead] == []
    assert [note.short for note in plan.access if note.short not in text] == []
    assert "licensed people decide" in text
    if frame.sill:
        length, depth = plan.order.sill_length.value, plan.order.sill_depth.value
        assert f"Cut {show_mm(length)} from {show_mm(depth)} deep stock" in text


@pytest.mark.parametrize("number", range(len(MARKS)), ids=MARKS)
def test_steps_are_numbered_and_what_hands_forget_stands_under_its_step(number):
    text, steps = sheet(pdf(), number), record().openings[number].fitting.steps
    at = 0
    for count, step in enumerate(steps, 1):
        at = text.index(f"{count} {step.short[0].upper()}{step.short[1:]}", at)
        for said in step.remember:
            at = text.index(said, at)
    assert sum(len(step.remember) for step in steps) >= 6


def test_glass_put_in_on_site_is_beaded_in_order_and_its_slots_are_cleared_first():
    told = {mark: sheet(pdf(), number) for number, mark in enumerate(MARKS)}
    for mark, text in told.items():
        on_site = bool(recorded(mark).fitting.glass_in)
        assert ("Beads marked by light and side" in text) == on_site
        assert ("no block over a slot" in text) == on_site
        assert ("Bead that holds the glass first" in text) == on_site


@pytest.mark.parametrize("number", range(len(MARKS)), ids=MARKS)
def test_every_side_says_what_its_joint_is_sealed_on(number):
    text, plan = sheet(pdf(), number), record().openings[number]
    for joint in plan.fitting.joints:
        assert show_mm(joint.seal.width_mm) in text
        if joint.seal.backing == "rod":
            assert f"on {show_mm(joint.rod_mm)} mm backing rod" in text
        else:
            assert "on bond-breaker tape, no rod" in text
    backings = {joint.seal.backing for joint in plan.fitting.joints}
    assert ("backing rod" in text) == ("rod" in backings)
    assert ("bond-breaker tape" in text) == ("tape" in backings)
    assert f"Set back: {show_mm(plan.frame.chosen.set_back_mm)}." in text


def test_a_fixing_is_named_in_words_with_the_hole_it_wants():
    assert words(recorded("W1"))["fix"] == [
        "10 mm nylon frame plug in brick, 120 mm long.",
        "Drill: 10 mm, hammer; 50 mm in the wall.",
        "Mind: site pull test advised.",
        "Head: 2 straps bent back into the side reveals, lintel not drilled.",
    ]


@pytest.mark.parametrize("mark", MARKS)
def test_the_gaps_to_write_down_stand_beside_those_planned_at_both_ends_of_every_side(mark):
    gaps = recorded(mark).frame.size.gaps_mm
    planned = words(recorded(mark))["planned"]
    assert len(planned) == 8
    for where, mm in planned:
        side, place = where.split(", ")
        assert show_mm(gaps[side][place]) == mm
    assert {where.split(", ")[1] for where, _ in planned} == {"bottom", "top", "left", "right"}


def test_a_plan_kept_before_joints_were_drawn_says_so_and_is_printed_all_the_same():
    fitting = replace(recorded("W1").fitting, joints=(), steps=tuple(
        replace(step, remember=()) for step in recorded("W1").fitting.steps
    ))  # fmt: skip
    text = sheet(fit_sheets(alone("W1", fitting=fitting, wall=None)))
    assert "plan the house again for their sections" in text
    assert "1 Protect the room" in text


def test_the_same_house_gives_the_same_bytes():
    assert fit_sheets(record()) == pdf()


def test_what_needs_a_look_stands_in_a_box():
    remark = Problem("packers.left", "left, 150 mm along: only 0.4 mm to pack.", "caution")
    text = sheet(fit_sheets(alone("W5", remarks=(remark,))))
    assert text.index("Look at this first") < text.index(remark.say) < text.index("Order of work")


def test_what_stops_stands_before_the_remarks_and_none_is_left_out():
    looks = tuple(Problem("x", f"Look at {n}.", "caution") for n in range(9))
    crowded = recorded("W8").model_copy(update={"remarks": looks})
    told = words(crowded)["remarks"]
    assert told[:2] == [hold(crowded, brief=True), work_hold(crowded, brief=True)]
    assert told[-9:] == [look.say for look in looks]
    for reason in crowded.gates.work.reasons:
        assert reason.opens in told[1]
        assert (reason.say in told[1]) != reason.house


def test_a_sheet_with_far_too_much_to_say_goes_on_and_nothing_is_set_smaller_or_sent_elsewhere():
    long = [
        Problem("x", f"Remark {n} goes on for about as long as any of them does. " * 6, "caution")
        for n in range(40)
    ]
    content = fit_sheets(alone("W1", remarks=tuple(long)))
    text = sheet(content)
    for remark in long:
        assert flat(remark.say) in text
    assert len(pages(content)) > 2
    assert text.index("Remark 39") < text.index("1 Protect the room") < text.index("As fitted")
    for page in pypdfium2.PdfDocument(content):
        read = page.get_textpage()
        foot = _box_of(read, "These figures support")
        lowest = min(
            read.get_charbox(n)[1]
            for n in range(read.count_chars())
            if read.get_charbox(n)[3] > foot[3] + 1.0
        )
        assert lowest > foot[3], "nothing runs into the foot"


def _box_of(text, words):
    """Left, bottom, right and top of the first letter of some words, in points from the page's foot."""
    index, _ = text.search(words).get_next()
    return text.get_charbox(index)


def test_sheets_of_many_openings_begin_with_contents_that_lead_to_each():
    openings = (*record().openings, *record().openings[:2])
    content = fit_sheets(record().model_copy(update={"openings": openings}))
    first, blank, *_ = pages(content)
    assert "Contents" in first
    assert "Order of work" not in blank
    begin = [at + 1 for at in fronts(content) if at]
    assert begin[0] == 3, "the first sheet begins on a front"
    told = [int(line.rsplit(".", 1)[-1]) for line in first.splitlines() if "...." in line.replace(" ", "")]
    assert told == begin
    assert "Contents" not in pages(pdf())[0]


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
