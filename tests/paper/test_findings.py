"""The findings as an inspector reads them: every figure with its source, failures with choices, low sureness shown."""

import csv
import functools
import io
import json
import re

import pypdfium2
import pytest
from jambwright.paper.plan_file import plan_file

from demo_house import house
from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.checks.verdict import GRAVITY
from jambwright.paper.findings import HEADERS, SURENESS, findings, findings_csv
from jambwright.paper.rule_words import merged, shown
from jambwright.readings.survey_file import read_survey


@functools.cache
def pages(nation="england"):
    """The text of every page, and how often the table's header stands on it."""
    plan = house() if nation == "england" else planned(f"nation: {nation}")
    document = pypdfium2.PdfDocument(findings(plan))
    try:
        texts = [page.get_textpage() for page in document]
        return [text.get_text_bounded().replace("\r\n", "\n") for text in texts]
    finally:
        document.close()


@functools.cache
def planned(nation, day="2026-12-07"):
    text = read_text("demo_house.yaml").replace("nation: england", nation).replace("2026-12-07", day)
    return job.plan_house(read_survey(text))


def rows(plan):
    return list(csv.DictReader(io.StringIO(findings_csv(plan).decode("utf-8-sig"))))


def flat(text):
    return re.sub(r"\s+", " ", text)


def test_the_list_holds_every_finding_of_house_and_openings():
    plan = house()
    wanted = len(plan.rules.house) + sum(len(each.verdicts) for each in plan.rules.openings.values())
    found = rows(plan)
    assert len(found) == wanted
    assert tuple(found[0]) == HEADERS
    assert {row["opening"] for row in found} == {"house", *(p.opening.id for p in plan.openings)}


@pytest.mark.parametrize("nation", ["england", "wales", "scotland", "northern_ireland", "ireland"])
def test_no_figure_stands_without_document_and_date(nation):
    for row in rows(planned(f"nation: {nation}")):
        assert row["verdict"] in GRAVITY
        assert re.search(r"in force from \d{4}-\d\d-\d\d", row["document"]), row
        assert row["place"]
        assert row["how sure"] in SURENESS


def test_failures_carry_the_choices_in_the_list_and_others_do_not():
    for row in rows(house()):
        offered = row["order instead"] != ""
        assert offered == (row["verdict"] in ("fails", "worse") and row["opening"] in ("W3", "W4"))


def test_every_page_repeats_the_header_of_its_table():
    for number, text in enumerate(pages()):
        assert "Verdict" in text, number
        assert "Source, in force" in flat(text), number
        assert f"page {number + 1} of {len(pages())}" in text


def test_a_failing_opening_shows_its_choices_under_what_fails():
    text = flat(" ".join(pages()))
    at = text.index("W3 front bedroom, first floor")
    part = text[at : text.index("W4 back bedroom, first floor")]
    assert "As ordered this does not pass: clear width of an escape opening: found 415.5 mm" in part
    assert "1. light A: 35 mm wider at the cost of light B." in part
    assert part.index("does not pass") < part.index("Order instead, one of") < part.index("Verdict")
    assert "No change tried mends: clear width of the door is no less than before" in text


def test_the_house_part_comes_first():
    text = flat(" ".join(pages()))
    assert text.index("The work as a whole") < text.index("W1 kitchen, ground floor")
    for said in ("registered installer", "asbestos", "compliance or completion certificate"):
        assert said in text[: text.index("W1 kitchen, ground floor")]


def test_low_sureness_and_unconfirmed_figures_are_seen_as_such():
    text = flat(" ".join(pages("northern_ireland")))
    assert "memory, low" in text
    assert "(not confirmed)" in text
    assert "The figure is not confirmed; ask building control." in text


def test_a_house_without_a_day_of_work_says_that_nothing_was_checked():
    text = read_text("demo_house.yaml").replace("date_of_work: 2026-12-07", "date_of_work:")
    plan = job.plan_house(read_survey(text))
    found = rows(plan)
    assert {row["verdict"] for row in found} == {"unknown"}
    assert "nothing was checked" in found[0]["why"]
    assert findings(plan).startswith(b"%PDF")


def test_the_same_house_gives_the_same_bytes():
    assert findings(house()) == findings(house())


def test_what_is_said_alike_of_several_lights_is_said_once():
    found = house().rules.openings["W1"].verdicts
    once = merged(found)
    guarding = [line for line in once if line.subject == "guarding"]
    assert [line.say.split(":")[0] for line in guarding] == ["Lights A, C"]
    panes = next(line for line in once if line.subject == "safety glass")
    assert panes.say.startswith("Panes A, B, C: no part of the pane")
    assert panes.found == "1222.8 mm, 1182.8 mm"
    assert len(found) > len(once)


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (12000.0, "mm2", "12000 mm²"),
        (413.46, "mm", "413.5 mm"),
        (0.5209785, "m2", "0.521 m²"),
        (1.4, "W/m2K", "1.4 W/m²K"),
        (1934, "year", "1934"),
        (False, "", "no"),
        ("class 3", "", "class 3"),
        (["W2 bathroom"], "", "W2 bathroom"),
    ],
)
def test_figures_are_shown_with_their_unit(value, unit, text):
    assert shown(value, unit) == text


def test_the_plan_file_holds_findings_and_choices():
    plan = json.loads(plan_file(house(), None).model_dump_json())
    front = next(each for each in plan["openings"] if each["id"] == "W3")["rules"]
    assert {f["verdict"] for f in front["findings"]} == {"meets", "advise", "worse", "fails"}
    assert front["remedies"][0]["changes"] == ["light A: 35 mm wider at the cost of light B"]
    door = next(each for each in plan["openings"] if each["id"] == "D2")["rules"]
    assert (door["not_mended"], door["air_told_at"]) == (["access.width_kept"], "W1 kitchen")
    assert any(f["rule"] == "notify.route" for f in plan["rules"])
