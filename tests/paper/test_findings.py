"""The findings as an inspector reads them: every figure with its source, failures with choices, low sureness shown."""

import csv
import functools
import io
import re

import pypdfium2
import pytest

from demo_house import MARKS, papers, record, recorded
from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.checks.verdict import AGAINST, GRAVITY
from jambwright.paper.findings import HEADERS, SURENESS, by_group, findings, findings_csv
from jambwright.paper.rule_words import GROUPS, merged, short, shown
from jambwright.readings.survey_file import read_survey


@functools.cache
def pages(nation="england"):
    """The text of every page, and how often the table's header stands on it."""
    content = papers()["findings.pdf"] if nation == "england" else findings(planned(f"nation: {nation}"))
    document = pypdfium2.PdfDocument(content)
    try:
        texts = [page.get_textpage() for page in document]
        return [text.get_text_bounded().replace("\r\n", "\n") for text in texts]
    finally:
        document.close()


@functools.cache
def planned(nation, day="2026-12-07"):
    text = read_text("demo_house.yaml").replace("nation: england", nation).replace("2026-12-07", day)
    return job.check(read_survey(text))


def rows(plan):
    return list(csv.DictReader(io.StringIO(findings_csv(plan).decode("utf-8-sig"))))


def flat(text):
    return re.sub(r"\s+", " ", text)


def test_the_list_holds_every_finding_of_house_and_openings():
    plan = record()
    found = rows(plan)
    assert tuple(found[0]) == HEADERS
    wanted = [("house", v) for v in plan.rules] + [(o.id, v) for o in plan.openings for v in o.verdicts]
    assert [(row["opening"], row["rule"], row["verdict"]) for row in found] == [
        (mark, v.rule, v.word) for mark, v in wanted
    ]
    for row, (_, verdict) in zip(found, wanted, strict=True):
        assert (row["stops"], row["what opens it"]) == (" ".join(verdict.stops), verdict.opens)


def test_what_stops_stands_first_with_what_opens_it():
    text = flat(" ".join(pages()[:2])).split("The work as a whole 2 refer")[0]
    for mark in ("W3", "W4", "W8", "D2"):
        assert f"{recorded(mark).name}: do not order yet." in text
        for reason in recorded(mark).gates.ordering.reasons:
            assert flat(reason.say) in text
            assert flat(reason.opens) in text
    assert f"{recorded('W8').name}: do not start yet." in text


@pytest.mark.parametrize("nation", ["england", "wales", "scotland", "northern_ireland", "ireland"])
def test_no_figure_stands_without_document_and_date(nation):
    checked = planned(f"nation: {nation}")
    law = {v.rule for v in checked.rules} | {v.rule for o in checked.openings for v in o.rules}
    of_law = [row for row in rows(checked) if row["rule"] in law]
    assert {row["opening"] for row in of_law} == {"house", *(o.id for o in checked.openings)}
    for row in rows(checked):
        assert row["verdict"] in GRAVITY
        if "–" not in (row["found"], row["limit"]):
            assert row["document"], row
            assert row["how sure"], row
    for row in of_law:
        assert re.search(r"in force from \d{4}-\d\d-\d\d", row["document"]), row
        assert row["place"]
        assert row["how sure"] in SURENESS


def test_failures_carry_the_choices_in_the_list_and_others_do_not():
    for row in rows(record()):
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
    assert "As ordered this does not pass. • asked: clear width of an escape opening; found 415.5 mm" in part
    assert "1. light A: 35 mm wider at the cost of light B." in part
    assert part.index("does not pass") < part.index("Order instead, one of") < part.index("Verdict")
    assert "No change tried mends: clear width of the door is no less than before" in text


@pytest.mark.parametrize("mark", MARKS)
def test_findings_stand_by_what_to_do_and_what_stops_comes_first(mark):
    ordered = by_group(merged(recorded(mark).verdicts))
    assert sorted(ordered, key=str) == sorted(merged(recorded(mark).verdicts), key=str), "none is left out"
    places = [GROUPS.index(line.group) for line in ordered]
    assert places == sorted(places)
    stopped = {v.rule for v in recorded(mark).verdicts if v.stops and not v.cleared}
    assert {line.rule for line in ordered if line.group in GROUPS[:2]} == stopped
    assert {line.word for line in ordered if line.group == "Met"} <= {"meets"}


def test_structure_and_strength_are_told_under_names_that_are_spoken():
    told = {line.subject for mark in MARKS for line in merged(recorded(mark).verdicts)}
    assert {"what carries the wall", "glass", "bars", "fixings", "weight and fixings", "damp"} <= told
    assert not {"members", "structure", "condensation", "system"} & told
    text = flat(" ".join(pages()))
    for said in ("What carries the wall.", "Glass.", "Bars.", "Fixings.", "To settle before ordering", "Met"):
        assert said in text


def test_a_sentence_never_says_the_contrary_of_its_verdict():
    against = [v for o in record().openings for v in o.verdicts if v.word in AGAINST]
    assert any("no less than before" in v.asks for v in against)
    for verdict in against:
        assert short(verdict).startswith(f"asked: {verdict.asks}; found "), "asked, not found so"
    [unknown] = [v for v in recorded("W8").verdicts if v.word == "unknown"]
    assert unknown.opens in short(unknown)
    assert "see the findings" not in flat(" ".join(pages()))


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


def test_a_house_without_a_day_of_work_says_that_no_rule_was_checked_and_shuts_every_gate():
    text = read_text("demo_house.yaml").replace("date_of_work: 2026-12-07", "date_of_work:")
    plan = job.check(read_survey(text))
    law = [v.rule for each in plan.openings for v in each.rules]
    assert law == ["date_of_work"] * len(plan.openings)
    undated = [row for row in rows(plan) if row["rule"] == "date_of_work"]
    assert [row["opening"] for row in undated] == ["house", *(o.id for o in plan.openings)]
    for row in undated:
        assert (row["verdict"], row["stops"]) == ("unknown", "ordering work")
        assert "nothing was checked" in row["why"]
        assert "Give the day of the work" in row["what opens it"]
    assert all(o.gates.shut == ("ordering", "work") for o in plan.openings)
    assert "day of the work not given" in flat(" ".join(_text(findings(plan))))


def _text(content):
    return [page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(content)]


def test_the_same_house_gives_the_same_bytes():
    assert findings(record()) == papers()["findings.pdf"]


def test_what_is_said_alike_of_several_lights_is_said_once():
    found = recorded("W1").rules
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
        (533.333, "N", "533 N"),
        (0.609, "-", "0.609"),
        (False, "", "no"),
        ("class 3", "", "class 3"),
        (["W2 bathroom"], "", "W2 bathroom"),
    ],
)
def test_figures_are_shown_with_their_unit(value, unit, text):
    assert shown(value, unit) == text


def test_the_record_holds_findings_and_choices():
    front, door = recorded("W3"), recorded("D2")
    assert {v.word for v in front.rules} == {"meets", "advise", "worse", "fails"}
    assert front.proposed[0].say == "light A: 35 mm wider at the cost of light B"
    assert (door.not_mended, door.air_told_at) == (("access.width_kept",), "W1 kitchen")
    assert any(v.rule == "notify.route" for v in record().rules)
