"""A shut gate is told alike on the order, the fit sheet, the summary, the buying list, the screen and by `check`.

Approved Document B volume 1, 2.10: an escape opening is at least 450 mm wide and high. Building Regulations 2010,
regulation 4(3): a door that is replaced is no worse to get through than before.
"""

import csv
import functools
import io

import icalendar
import openpyxl
import pypdfium2
import pytest

from demo_house import DECLARED, MARKS, SURVEY, changed, papers, record, recorded
from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.checks.gates import Gate, Gates, Reason, gates_of, stopped
from jambwright.checks.verdict import Verdict
from jambwright.paper.buying import buying_csv
from jambwright.paper.check_words import check_words, findings_json
from jambwright.paper.crew_papers import crew_ics, household_note
from jambwright.paper.findings import findings
from jambwright.paper.fit_sheet import fit_sheets
from jambwright.paper.gate_words import (
    ON_DOUBTED,
    ORDERED,
    hold,
    marked,
    order_state,
    stops,
    work_hold,
    work_state,
)
from jambwright.paper.order_book import HEADERS, order_csv
from jambwright.paper.summary import summary
from jambwright.readings.survey_file import read_survey, survey_from_tree
from jambwright.web.plan_view import plan_view

MISREAD = read_text("demo_house.yaml").replace("bottom: 1212, middle: [1207", "bottom: 1122, middle: [1207")


@functools.cache
def unsettled():
    """Two of its openings, with nothing settled of asbestos and lead."""
    tree = parse_tree(read_text("demo_house.yaml"))
    tree.pop("cleared")
    tree["openings"] = [each for each in tree["openings"] if each["id"] in ("W8", "W9")]
    return job.decide(survey_from_tree(tree))


NOT_TO_ORDER = ("W3", "W4", "W8", "D2")
"""Two bedrooms whose way out is too narrow, a wall no fixing is known for, and a door narrower than the old one."""


def flat(text):
    return " ".join(text.split())


def text(pdf):
    return [flat(page.get_textpage().get_text_range()) for page in pypdfium2.PdfDocument(pdf)]


def alone(opening, plan=None):
    """A plan of one opening."""
    return (plan or record()).model_copy(update={"openings": (opening,)})


def order_rows(content=None):
    return list(csv.DictReader(io.StringIO((content or papers()["order.csv"]).decode("utf-8-sig"))))


def test_the_order_names_the_rule_what_opens_it_and_what_to_order_instead():
    said = {row["opening"]: row["hold"] for row in order_rows() if row["hold"]}
    assert tuple(said) == NOT_TO_ORDER
    assert all(each.startswith("Do not order yet. ") for each in said.values())
    assert (
        "Fails: Light A: clear width of an escape opening: 415.5 mm, at least 450 mm is asked." in said["W3"]
    )
    assert "The free area is 0.525 m² where 0.541 m² was there, so it is worse." in said["W3"]
    assert "Accept a change that passes, or have building control decide." in said["W3"]
    assert "Order instead: light A: 35 mm wider at the cost of light B, or 1 other choice" in said["W3"]
    assert "Unknown: No figure is known for fixings in stone: have pull tests made" in said["W8"]
    assert "Worse: Clear width 699 mm where 760 mm was there" in said["D2"]
    assert "Order instead" not in said["D2"], "no change tried mends it"


def test_the_workbook_shows_it_wrapped_and_in_bold():
    sheet = openpyxl.load_workbook(io.BytesIO(papers()["order.xlsx"])).active
    column = HEADERS.index("hold")
    marked_cells = {row[0].value: row[column] for row in sheet.iter_rows(min_row=4) if row[column].value}
    assert {mark: cell.value for mark, cell in marked_cells.items()} == {
        m: hold(recorded(m)) for m in NOT_TO_ORDER
    }
    assert all(cell.font.bold and cell.alignment.wrap_text for cell in marked_cells.values())
    assert sheet.column_dimensions["B"].width < 50


@pytest.mark.parametrize("mark", NOT_TO_ORDER)
def test_the_fit_sheet_says_it_in_its_head_and_in_its_box(mark):
    page, *_ = text(fit_sheets(alone(recorded(mark))))
    head = "do not order yet; do not start yet" if mark == "W8" else "do not order yet"
    assert page.split("Look at this first")[0].count(head) == 1, "in its head"
    assert "Look at this first" in page
    for reason in recorded(mark).gates.ordering.reasons:
        assert flat(reason.say) in page
        assert flat(reason.opens) in page


def test_the_order_screen_gets_the_same_words():
    shown = {each["id"]: each for each in plan_view(record())["openings"]}
    assert list(shown) == list(MARKS)
    for mark, each in shown.items():
        opening = recorded(mark)
        assert each["hold"] == hold(opening)
        assert each["state"] == {"ordering": order_state(opening), "work": work_state(opening.gates)}
        for name in ("ordering", "work"):
            said = [(r["say"], r["opens"]) for r in each["stops"][name]]
            assert said == [(r.say, r.opens) for r in getattr(opening.gates, name).reasons]
    assert {mark for mark, each in shown.items() if each["hold"]} == set(NOT_TO_ORDER)


def test_the_buying_list_marks_what_is_for_an_opening_that_must_not_be_ordered():
    content = buying_csv(record(), record().buying.to_buy)
    bought = list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))
    for row in bought:
        held = [mark for mark in row["openings"].split() if mark in NOT_TO_ORDER]
        assert not row["item"] or row["hold"] == (f"do not order yet: {' '.join(held)}" if held else "")
    why = [row["hold"] for row in bought if not row["item"]]
    assert why == [f"{heading} {words}" for heading, words in stops(record(), "ordering")]
    assert all(any(recorded(mark).name in said for said in why) for mark in NOT_TO_ORDER)


def test_the_estimate_names_the_openings_whose_price_may_change():
    assert record().estimate.unsettled == tuple(recorded(mark).name for mark in NOT_TO_ORDER)
    said = " ".join(text(papers()["estimate.pdf"])).split("Not settled yet")[1]
    named = ", ".join(record().estimate.unsettled)
    assert f"{named}: these must not be ordered yet." in said
    for heading, words in stops(record(), "ordering"):
        assert f"{heading} {words}" in said


def test_what_stops_the_house_is_said_of_every_opening_and_before_the_crews_days():
    """Lead paint and asbestos in a house of 1934: duties of the work, not of one window."""
    said = " ".join(reason.say for reason in unsettled().gates.work.reasons)
    assert "asbestos" in said
    assert "lead" in said
    assert unsettled().gates.ordering.state == "open"
    for opening in unsettled().openings:
        assert work_state(opening.gates) == "do not start yet"
        assert "The house: Refer:" in work_hold(opening)
    note = household_note(unsettled(), unsettled().days)
    assert "These days are not settled yet." in note
    for reason in unsettled().gates.work.reasons:
        assert reason.say in note
        assert reason.opens in note
    assert b"TENTATIVE" in crew_ics(unsettled(), unsettled().days)


def test_an_event_is_firm_only_where_its_frame_may_be_ordered():
    events = icalendar.Calendar.from_ical(papers()["crew.ics"]).walk("VEVENT")
    tentative = {
        str(e["summary"]).split()[0]: str(e["description"]) for e in events if e.get("status") == "TENTATIVE"
    }
    assert set(tentative) == {"W3", "W4", "D2"}, "W8 has no day at all"
    for mark, said in tentative.items():
        assert all(flat(reason.say) in flat(said) for reason in recorded(mark).gates.ordering.reasons)


def test_once_settled_the_house_is_stopped_by_it_no_more():
    assert record().gates == Gates()
    assert {v.cleared for v in record().rules if v.rule in ("hazard.asbestos", "hazard.lead")} == {
        f"{c.by}, {c.on.isoformat()}" for c in SURVEY.cleared
    }
    assert "not settled" not in papers()["household-note.txt"].decode()


def test_an_opening_with_a_reason_of_its_own_gets_no_day_and_its_household_is_told_so():
    days = record().days
    assert [each.opening for each in days.left_out] == ["W8"]
    assert "W8" not in {stay.opening_id for stay in days.stays}
    assert "No figure is known for fixings in stone" in days.left_out[0].say
    note = papers()["household-note.txt"].decode()
    assert "No day is set yet for W8" in note
    assert days.left_out[0].say in note


def judged(opening, *checks, rules=()):
    """An opening with other verdicts, its gates told anew."""
    told = tuple(stopped(each, ()) for each in checks)
    law = tuple(stopped(each, ()) for each in rules)
    return opening.model_copy(update={"checks": told, "rules": law, "gates": gates_of((*told, *law))})


def test_a_check_that_fails_holds_the_order_too():
    weak = Verdict(rule="glass.strength", word="fails", why="Glass A breaks: order it thicker.")
    assert hold(recorded("W1")) is None
    held = judged(recorded("W1"), weak)
    assert hold(held) == (
        "Do not order yet. Fails: Glass A breaks: order it thicker. "
        "Accept the glass proposed, or have the glass maker confirm it in writing."
    )
    assert work_hold(held) is None


def test_what_is_ordered_is_never_offered_again():
    ordered = recorded("W3").model_copy(update={"ordered": True})
    assert (hold(ordered), order_state(ordered)) == (ORDERED, "ordered")
    [row, *_] = order_rows(order_csv(alone(ordered)))
    assert row["hold"] == ORDERED


def test_a_check_that_is_not_known_is_seen_in_the_summary():
    part = summary(record()).split("\nW8 study:")[1].split("\nW9 utility:")[0]
    assert "unknown: No figure is known for fixings in stone: have pull tests made" in flat(part)


def test_the_summary_begins_with_what_stops_house_first():
    said = flat(summary(record()).split("\nW1 kitchen:")[0]).replace("! ", "")
    at = [said.index(f"{recorded(mark).name}: do not order yet.") for mark in NOT_TO_ORDER]
    assert at == sorted(at)
    for opening in record().openings:
        for reason in (*opening.gates.ordering.reasons, *opening.gates.work.reasons):
            assert flat(reason.say) in said
            assert flat(reason.opens) in said
    house = flat(summary(unsettled()))
    assert house.index("The house: do not start yet.") < house.index("W8 study: do not start yet.")


def test_readings_that_disagree_hold_the_order_first_and_cast_doubt_on_every_remedy():
    plan = job.check(read_survey(MISREAD))
    bedroom, other = (next(o for o in plan.openings if o.id == mark) for mark in ("W3", "W4"))
    first = bedroom.gates.ordering.reasons[0]
    assert (first.rule, first.word, first.by) == ("readings.agree", "fails", ("reading",))
    assert "1122 mm is likely" in first.say
    assert bedroom.gates.work.reasons[0] == first, "a wall is not opened for a size that is not known"
    assert hold(bedroom).endswith(ON_DOUBTED)
    assert ON_DOUBTED not in hold(other)
    assert ON_DOUBTED in flat(summary(plan).split("\nW3 front bedroom:")[1].split("\nW4 back bedroom:")[0])
    assert sum(page.count(ON_DOUBTED) for page in text(findings(plan))) == 1
    assert ON_DOUBTED in text(fit_sheets(alone(bedroom, plan)))[0]


def test_check_says_a_reason_once_with_the_gates_it_shuts_and_ends_with_the_marks():
    assert sum("Stops the work: Soffits" in line for line in check_words(unsettled())) == 1, (
        "not every opening"
    )
    lines = list(check_words(record()))
    both = [line for line in lines if line.startswith("W8 study: Stops the order and the work: ")]
    assert len(both) == 1
    assert lines[-2:] == [f"Do not order yet: {', '.join(NOT_TO_ORDER)}.", "Do not start yet: W8."]


def test_check_for_a_machine_holds_every_gate_and_reason():
    told = findings_json(record())
    assert told["plan_id"] == record().plan_id
    assert list(told["gates"]) == ["house", *MARKS]
    for mark in MARKS:
        for name in ("ordering", "work"):
            gate = getattr(recorded(mark).gates, name)
            assert told["gates"][mark][name]["state"] == gate.state
            assert [r["say"] for r in told["gates"][mark][name]["reasons"]] == [r.say for r in gate.reasons]


def reason(rule, *, house=False):
    return Reason(
        rule=rule, word="fails", say=f"{rule} it is.", by=("person",), opens="Do it.", name=rule, house=house
    )


def test_a_house_that_is_shut_needs_no_list_of_marks():
    shut = Gate(reasons=(reason("listed", house=True),), state="shut")
    whole = record().model_copy(update={"gates": Gates(ordering=shut)})
    assert marked(whole, "ordering") == "Do not order yet: the whole house."
    assert marked(record(), "ordering") == f"Do not order yet: {', '.join(NOT_TO_ORDER)}."


def test_an_opening_shut_for_its_house_alone_is_not_told_as_one_of_its_own():
    ordering, work = (dict(stops(record(), name)) for name in ("ordering", "work"))
    assert tuple(ordering) == tuple(f"{recorded(mark).name}: do not order yet." for mark in NOT_TO_ORDER)
    assert tuple(work) == ("W8 study: do not start yet.",)


def test_a_change_of_the_order_opens_its_gate():
    wider = {"layout": {"across": [
        {"opens": "side_hung_left", "handle_height_mm": 450, "open_angle_deg": 90, "vent_mm2": 4000, "mm": 636},
        {"opens": "fixed", "vent_mm2": 4000},
    ]}}  # fmt: skip
    plan = job.check(read_survey(changed(W3={"wanted": wider | {"declared": DECLARED}})))
    front = next(o for o in plan.openings if o.id == "W3")
    assert front.gates.ordering == Gate()
    assert hold(front) is None
