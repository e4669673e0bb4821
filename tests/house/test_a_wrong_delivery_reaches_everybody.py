"""A unit that came wrong, followed from what was written of it to every paper, the days and the household."""

import functools
import io
import json
from datetime import date

import openpyxl
import pypdfium2
import pytest

from delivered_units import WRONG, ordered_house, right, size
from jambwright import job
from jambwright.handover import acknowledged
from jambwright.paper import printed
from jambwright.paper.check_words import check_words
from jambwright.paper.gate_words import work_hold
from jambwright.readings.survey_file import survey_from_tree
from jambwright.record import order_of, read_order, read_record

OF_THE_WORK = (
    "fit-sheets.pdf",
    "findings.pdf",
    "crew.pdf",
    "picking.pdf",
    "household-note.pdf",
    "delivery.pdf",
)


@functools.cache
def planned(fault):
    """The record and papers of the house with that fault; of a right unit where it is empty."""
    tree = two_windows(WRONG[fault][0]() if fault else right())
    record = job.decide(survey_from_tree(tree))
    return record, printed(record)


def two_windows(delivered):
    """With a second window, not ordered yet, so that there are days and something to order besides."""
    tree = ordered_house(delivered)
    second = {
        name: value
        for name, value in tree["openings"][0].items()
        if name not in ("done", "ordered", "delivered")
    }
    tree["openings"].append(second | {"id": "W2"})
    return tree


def text_of(content):
    document = pypdfium2.PdfDocument(content)
    return flat(" ".join(page.get_textpage().get_text_range() for page in document))


def flat(text):
    """Without spaces and breaks: a line of paper breaks where it must."""
    return "".join(text.split())


def reason_of(record):
    [reason] = record.openings[0].gates.work.reasons
    return reason


@pytest.mark.parametrize("fault", WRONG)
def test_every_paper_that_sets_work_in_motion_says_it_in_the_same_words(fault):
    record, papers = planned(fault)
    reason = reason_of(record)
    assert WRONG[fault][2] in reason.say
    for name in OF_THE_WORK:
        assert flat(reason.say) in text_of(papers[name]), name
    for name in ("findings.csv", "household-note.txt", "summary.txt", "plan.json"):
        assert flat(reason.say) in flat(papers[name].decode()), name
    assert reason.say in work_hold(record.openings[0])
    assert any(reason.say in line and "Stops the work" in line for line in check_words(record))


@pytest.mark.parametrize("fault", WRONG)
def test_the_days_leave_it_out_and_the_household_is_told_why(fault):
    record, papers = planned(fault)
    assert {stay.opening_id for stay in record.days.stays} == {"W2"}
    [left] = record.days.left_out
    assert (left.opening, reason_of(record).say in left.say) == ("W1", True)
    assert "No day is set yet for W1; we tell you when there is one." in papers["household-note.txt"].decode()
    assert b"W1 " not in papers["crew.ics"]
    assert all("W1" not in load.openings for load in record.loads if load.when)


def test_a_right_unit_has_its_day_and_nothing_stops():
    record, papers = planned("")
    assert {stay.opening_id for stay in record.days.stays} == {"W1", "W2"}
    assert record.openings[0].gates.shut == ()
    assert "No day is set yet" not in papers["household-note.txt"].decode()


def test_one_that_is_made_again_is_on_the_order_in_all_its_forms():
    record, papers = planned("remake")
    says = "To be made again, in place of the one delivered: toughened mark missing. Promised for 3 December 2026."
    order = read_order(papers["order.json"])
    again, new = order.items
    assert (again.state, new.state) == ("remake", "order")
    assert (again.remake.reason, again.remake.promised_on) == ("toughened mark missing", date(2026, 12, 3))
    assert (again.width_mm, again.height_mm) == size()
    assert order.to_make.items == 2, "the check figures count what is made again"
    text = text_of(papers["order.pdf"])
    assert text.count(flat(says)) == 1
    assert flat("to be made again") in text
    assert says in papers["order.csv"].decode()
    sheet = openpyxl.load_workbook(io.BytesIO(papers["order.xlsx"]))["Order"]
    assert says in {cell.value for row in sheet.iter_rows() for cell in row}
    assert "do not order again" not in papers["order.csv"].decode()
    assert any(m.item == "frame" and "W1" in m.by_opening for m in record.buying.to_buy)


def test_one_that_came_wrong_and_is_not_made_again_stays_off_the_order():
    record, papers = planned("hand")
    first = read_order(papers["order.json"]).items[0]
    assert (first.state, first.remake, read_order(papers["order.json"]).to_make.items) == (
        "ordered already",
        None,
        1,
    )
    assert "ordered, do not order again" in papers["order.csv"].decode()
    assert not any(m.item == "frame" and "W1" in m.by_opening for m in record.buying.to_buy)


def test_what_is_made_again_can_be_held_by_the_order_s_own_gate():
    """A unit that may not be ordered as it is is not made again as it was."""
    tree = two_windows(WRONG["remake"][0]())
    tree["openings"][0]["lintel"] = {"kind": "unknown"}
    record = job.decide(survey_from_tree(tree))
    item = order_of(record).items[0]
    assert (item.state, bool(item.held), item.remake is not None) == ("hold", True, True)
    assert record.order.to_make.items == 1
    assert b"Do not order yet" in printed(record)["order.csv"]


def test_the_next_issue_tells_that_it_is_made_again_and_the_maker_may_confirm_it():
    before = order_of(planned("")[0])
    tree = two_windows(WRONG["remake"][0]()) | {"order": {"issue": 2}}
    record = job.decide(survey_from_tree(tree), job.Choices(earlier=before))
    changes = {(c.opening, c.field): (c.was, c.now) for c in record.order.since.changes}
    assert changes["W1", "standing"] == ("ordered already", "remake")
    answer = acknowledged(order_of(record), printed(record)["order.csv"])
    assert answer.held == ()
    assert answer.differences == ()


def test_a_plan_kept_before_there_was_a_list_is_still_read():
    tree = json.loads(planned("")[1]["plan.json"])
    for opening in tree["openings"]:
        del opening["delivery"], opening["remake"]
    record = read_record(json.dumps(tree))
    papers = printed(record)
    assert "delivery.pdf" not in papers
    assert record.openings[0].remake is None


def test_the_delivery_check_names_every_limit_and_leaves_room():
    _, papers = planned("")
    text = text_of(papers["delivery.pdf"])
    for said in ("Before anybody signs for it", "no more than 3 apart", "toughened (EN 12150)", "laminated (EN 14449)",
                 "face 3, from outside", "26.4, from 24.9 to 27.9", "A side hung, hinges left", "A outwards",
                 "A 4000 mm²; B 4000 mm²", "photo taken", "to be made again, because", "Looked at by",
                 "Danish window industry association, rules for PVC-U windows, 6.4, at 15 °C (read)"):  # fmt: skip
        assert flat(said) in text, said
