"""An order that breaks a rule is marked on the order, on the fit sheet and in the summary: look before ordering.

Approved Document B volume 1, 2.10: an escape opening is at least 450 mm wide and high. Building Regulations 2010,
regulation 4(3): a door that is replaced is no worse to get through than before.
"""

import csv
import io
from dataclasses import replace

import openpyxl
import pypdfium2
import pytest
from jambwright.paper.before_ordering import LOOK, MEASURE_AGAIN, before_ordering, hold

from demo_house import house, opening
from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.checks.verdict import Verdict
from jambwright.paper.findings import findings
from jambwright.paper.fit_sheet import fit_sheets
from jambwright.paper.order_book import HEADERS, order_csv, order_xlsx
from jambwright.paper.summary import summary
from jambwright.readings.survey_file import read_survey
from jambwright.web.plan_view import plan_view

MISREAD = read_text("demo_house.yaml").replace("bottom: 1212, middle: [1207", "bottom: 1122, middle: [1207")
BREAK_A_RULE = ("W3", "W4", "D2")


def held(mark, plan=None):
    plan = plan or opening(mark)
    return hold(plan, house().rules_on(plan))


def text(pdf):
    document = pypdfium2.PdfDocument(pdf)
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


def test_the_order_names_the_rule_and_what_to_order_instead():
    said = {row["opening"]: row["hold"] for row in _csv() if row["hold"]}
    assert tuple(said) == BREAK_A_RULE
    assert all(each.startswith("Look before ordering. ") for each in said.values())
    assert "Fails: clear width of an escape opening: found 415.5 mm, limit 450 mm." in said["W3"]
    assert "Worse: openers air the room no less than before" in said["W3"]
    assert "Order instead: light A: 35 mm wider at the cost of light B" in said["W3"]
    assert "Worse: clear width of the door is no less than before: found 699 mm, limit 760 mm." in said["D2"]
    assert "Choose another product, or ask building control." in said["D2"]


def test_the_workbook_shows_it_wrapped_and_in_bold():
    sheet = openpyxl.load_workbook(io.BytesIO(order_xlsx(house()))).active
    column = HEADERS.index("hold")
    marked = {row[0].value: row[column] for row in sheet.iter_rows(min_row=4) if row[column].value}
    assert tuple(marked) == BREAK_A_RULE
    assert all(cell.font.bold and cell.alignment.wrap_text for cell in marked.values())
    assert sheet.column_dimensions["B"].width < 50


@pytest.mark.parametrize("mark", BREAK_A_RULE)
def test_the_fit_sheet_says_it_in_its_head_and_in_its_box(mark):
    [page] = text(fit_sheets(replace(house(), openings=(opening(mark),))))
    assert page.count(LOOK) == 1  # in its head
    assert "Look at this first" in page
    for said in before_ordering(opening(mark), house().rules_on(opening(mark))):
        assert said in page


def test_the_order_screen_gets_the_same_words():
    shown = {each["id"]: each["hold"] for each in plan_view(house())["openings"]}
    assert shown == {plan.opening.id: held(plan.opening.id) for plan in house().openings}


def test_a_check_that_fails_holds_the_order_too():
    weak = Verdict(rule="glass.strength", word="fails", why="Glass A breaks: order it thicker.")
    assert held("W1") is None
    assert held("W1", replace(opening("W1"), verdicts=(weak,))) == f"Look before ordering. Fails: {weak.why}"


def test_a_check_that_is_not_known_is_seen_in_the_summary():
    part = summary(house()).split("W8 study")[1].split("W9 utility")[0]
    assert "unknown: No figure is known for fixings in stone: have pull tests made" in part


def test_readings_that_disagree_hold_the_order_first_and_cast_doubt_on_every_remedy():
    survey = read_survey(MISREAD)
    plan = job.plan_house(survey)
    bedroom = next(each for each in plan.openings if each.opening.id == "W3")
    assert hold(bedroom, plan.rules_on(bedroom)) == MEASURE_AGAIN
    doubt = "This rests on readings that disagree: measure again"
    (told,) = [p.say for p in job.check_house(survey) if p.field == "openings.2"]
    (other,) = [p.say for p in job.check_house(survey) if p.field == "openings.3"]
    assert (doubt in told, doubt in other) == (True, False)
    assert doubt in summary(plan).split("W3 front bedroom")[1].split("W4 back bedroom")[0]
    assert sum(page.count(doubt) for page in text(findings(plan))) == 1
    assert doubt in text(fit_sheets(replace(plan, openings=(bedroom,))))[0]


def _csv():
    return csv.DictReader(io.StringIO(order_csv(house()).decode("utf-8-sig")))
