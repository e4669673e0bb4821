"""The order to be read: every figure of the record under its own name, once an item, in print that can be read."""

import functools
import re

import pypdfium2
import pytest

from demo_house import papers, record, recorded
from jambwright.basis.units import show_mm
from jambwright.paper.gate_words import hold, order_state
from jambwright.paper.order_sheet import order_pdf
from jambwright.paper.paper_frame import gates_words
from jambwright.record import order_of
from jambwright.record.house import Change, SinceIssue

MARKS = [each.id for each in record().openings]


def squeezed(text):
    return (
        "".join(text.split()).replace("-", "").replace("\ufffe", "").replace("\u00ad", "").replace("\x02", "")
    )


def lettering(content):
    document = pypdfium2.PdfDocument(content)
    try:
        return [squeezed(page.get_textpage().get_text_range()) for page in document]
    finally:
        document.close()


@functools.cache
def pages():
    return lettering(papers()["order.pdf"])


def page(mark):
    """The text of an item's page."""
    return pages()[1 + MARKS.index(mark)]


def holds(text, *words):
    """Whether a page says these one after another."""
    return squeezed("".join(map(str, words))) in text


def test_a_page_for_the_head_and_one_for_each_item_in_the_order_of_the_readings_file():
    assert len(pages()) == 1 + len(MARKS)
    for mark in MARKS:
        plan = recorded(mark)
        assert re.match(rf".*Seenfromoutside·{mark}{squeezed(plan.room)}", page(mark))


def test_every_page_says_how_it_is_seen_which_plan_it_is_of_and_which_page_it_is():
    for number, text in enumerate(pages(), 1):
        assert "Seenfromoutside" in text
        assert f"plan{record().plan_id}" in text
        assert f"page{number}of{len(pages())}" in text


@pytest.mark.parametrize("mark", MARKS)
def test_sizes_stand_under_their_names(mark):
    plan, text = recorded(mark), page(mark)
    order, frame = plan.order, plan.frame
    assert holds(text, show_mm(order.width.value), "×", show_mm(order.height.value), "frame, width × height")
    assert holds(
        text, "Frame width", show_mm(order.width.value), "mm", "Frame height", show_mm(order.height.value)
    )
    if frame.sill:
        sill = (
            show_mm(order.sill_length.value),
            "long,",
            show_mm(order.sill_depth.value),
            "deep,",
            frame.sill.ends,
        )
        assert holds(text, "Height with sill", show_mm(order.overall_height.value), "mm", "Sill", *sill)
        assert "Sectionofthesill" in text
    else:
        assert holds(text, "without sill Sill none")
    if frame.chosen.kind == "door":
        assert holds(text, "Threshold", plan.asked.threshold, "Threshold height")
        lowest = min(light.sight.y_mm for light in frame.layout.lights)
        assert holds(text, "Threshold height", show_mm(lowest), "mm")
        assert holds(
            text, show_mm(lowest), "high,", show_mm(frame.chosen.profile.frame_depth_mm), "deep. An outline"
        )
        assert "Sectionofthethreshold" in text
    for kind, words in (("mullion", "Mullions, from left"), ("transom", "Transoms, from bottom")):
        lines = frame.layout.centre_lines_mm(kind)
        assert holds(text, words, "; ".join(map(show_mm, lines))) == bool(lines)
    assert holds(text, f"U, reference size {plan.heat.unit.reference.u_w_m2k:.2f}")
    assert holds(text, "Colour", frame.chosen.colour)


@pytest.mark.parametrize("mark", MARKS)
def test_each_light_has_its_line(mark):
    plan, text = recorded(mark), page(mark)
    for light in plan.frame.layout.lights:
        wanted, glass = light.wanted, plan.glass[light.mark]
        swing = f", {wanted.swing}" if light.sash else ""
        opens = next(item for item in item_of(mark).lights if item.mark == light.mark).opens
        line = (
            light.mark, opens, swing, show_mm(glass.width.value), "×", show_mm(glass.height.value),
            glass.make_up or "panel", ", obscure" if glass.obscure else "",
            f"{wanted.vent_mm2:.0f}" if wanted.vent_mm2 else "–",
            show_mm(wanted.handle_height_mm) if wanted.handle_height_mm else "–",
            f"{wanted.open_angle_deg:.0f}°" if wanted.open_angle_deg else "–",
        )  # fmt: skip
        assert text.count(squeezed("".join(line))) >= 1 or all_cells(text, line), light.mark


def all_cells(text, line):
    """A line whose first cell is wrapped: what follows the wrap stands after the other cells."""
    mark, opens, swing, *others = line
    start, *rest = re.split(r"[ ,]", f"{opens}{swing}")
    return (
        squeezed(mark + start) in text and squeezed("".join(others)) in text and all(r in text for r in rest)
    )


def item_of(mark):
    return next(each for each in order_of(record()).items if each.opening == mark)


@pytest.mark.parametrize("mark", MARKS)
def test_check_figures_stand_on_the_item_and_in_the_list(mark):
    plan, made = recorded(mark), item_of(mark)
    check = (f"{made.perimeter_m:.3f}", f"{made.area_m2:.3f}", f"{made.mass_kg:.1f}")
    assert holds(
        page(mark), "Check: perimeter", check[0], "m, area", check[1], "m², mass with glass", check[2], "kg"
    )
    size = f"{show_mm(plan.order.width.value)} × {show_mm(plan.order.height.value)}"
    line = (mark, plan.room, plan.frame.chosen.kind, size, *check, order_state(plan))
    assert pages()[0].count(squeezed("".join(line))) == 1


def test_sums_and_glass_stand_on_the_first_page_once():
    order, first = record().order, pages()[0]
    for name, check in (("all items", order.listed), ("to make now", order.to_make)):
        row = (
            name, check.items, show_mm(check.widths_mm), show_mm(check.heights_mm), f"{check.perimeter_m:.3f}",
            f"{check.area_m2:.3f}", f"{check.mass_kg:.1f}",
        )  # fmt: skip
        assert first.count(squeezed("".join(map(str, row)))) == 1
    now = {(each.make_up, each.obscure): each.count for each in order.to_make.glass}
    for each in order.listed.glass:
        name = f"{each.make_up or 'panel'}{', obscure' if each.obscure else ''}"
        assert holds(first, name, each.count, now.get((each.make_up, each.obscure), 0))


def test_what_holds_an_item_is_said_in_the_words_of_the_other_papers():
    for mark in MARKS:
        plan, said = recorded(mark), hold(recorded(mark))
        assert bool(said) == (plan.gates.ordering.state == "shut")
        if said:
            assert holds(page(mark), said)
            for reason in plan.gates.ordering.reasons:
                assert holds(pages()[0], reason.opens)
        else:
            assert "notorderyet" not in page(mark).replace(squeezed(gates_words(record())), "")


def test_what_is_not_given_is_said_and_what_is_given_is_printed():
    for label in ("Order number", "Purchaser", "Wanted on", "Delivery place", "Access for the delivery"):
        assert holds(pages()[0], label, "not given")
    head = record().order.head.model_copy(
        update={
            "number": "A-7",
            "issue": 2,
            "purchaser": "Invented Firm",
            "deliver_to": "The yard",
            "access": "By ramp",
        }
    )
    change = Change(opening="W1", light="A", field="width mm", was=1760.0, now=1759.0)
    since = SinceIssue(issue=1, plan_id="abc123", changes=(change,))
    plan = record().model_copy(
        update={"order": record().order.model_copy(update={"head": head, "since": since})}
    )
    first, *others = lettering(order_pdf(plan))
    for said in (
        "Order number A-7",
        "Issue 2",
        "Purchaser Invented Firm",
        "Delivery place The yard",
        "By ramp",
    ):
        assert holds(first, said)
    assert holds(first, "Changed since issue 1, plan abc123")
    assert holds(first, "W1, light A: width mm was 1760, is now 1759.")
    assert all("OrderA7,issue2" in text for text in others)


def points(text, n):
    """Size of one letter as it is printed: drawings are lettered in millimetres and scaled."""
    matrix = pypdfium2.raw.FS_MATRIX()
    assert pypdfium2.raw.FPDFText_GetMatrix(text, n, matrix)
    return pypdfium2.raw.FPDFText_GetFontSize(text, n) * abs(matrix.a * matrix.d - matrix.b * matrix.c) ** 0.5


def test_lettering_is_nine_points_at_least_and_eight_on_drawings():
    document = pypdfium2.PdfDocument(papers()["order.pdf"])
    sizes = set()
    for sheet in document:
        text = sheet.get_textpage()
        sizes |= {
            round(points(text, n), 1) for n in range(text.count_chars()) if text.get_text_range(n, 1).strip()
        }
    document.close()
    assert min(sizes) >= 8, sorted(sizes)
    on_drawings = {3.1 / 25.4 * 72, 5.0 / 25.4 * 72}
    assert min(size for size in sizes if all(abs(size - own) > 0.1 for own in on_drawings)) >= 9


def test_nothing_is_coloured_so_that_it_prints_grey():
    document = pypdfium2.PdfDocument(papers()["order.pdf"])
    for sheet in document:
        red, green, blue = sheet.render(scale=1).to_pil().convert("RGB").split()
        assert red.tobytes() == green.tobytes() == blue.tobytes()
    document.close()
