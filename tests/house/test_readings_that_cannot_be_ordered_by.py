"""A swapped digit is named and stops the order; a missing diagonal is said to be missed."""

import re

import pytest
from typer.testing import CliRunner

from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.cli import app
from jambwright.frame.sizing import weakened
from jambwright.paper.check_words import check_words
from jambwright.paper.fit_sheet import fit_sheets
from jambwright.paper.order_book import HEADERS, rows
from jambwright.paper.summary import summary
from jambwright.readings.survey_file import read_survey

DEMO = read_text("demo_house.yaml")
READ = re.search(r"id: W1\n.*?width: \{bottom: (\d{4})", DEMO, re.DOTALL).group(1)
SWAPPED = READ[:2] + READ[3] + READ[2]
WRONG = DEMO.replace(f"width: {{bottom: {READ}", f"width: {{bottom: {SWAPPED}", 1)


@pytest.fixture(scope="module")
def house():
    return job.check(read_survey(WRONG))


def test_check_names_the_swapped_reading_and_its_likely_value():
    told = CliRunner().invoke(app, ["check", "-"], input=WRONG)
    assert told.exit_code == 1
    assert (
        f"W1 kitchen: Stops the order and the work: bottom width {SWAPPED} mm is likely {READ} mm (two figures swapped"
        in told.stdout
    )
    assert "Measure again the readings named." in told.stdout


def test_no_paper_lets_it_be_ordered(house):
    said = " ".join(summary(house).replace("! ", "").split())
    for what in ("do not order yet.", "do not start yet."):
        assert f"W1 kitchen: {what} bottom width {SWAPPED} mm is likely {READ} mm" in said
    assert "W1 kitchen: do not order yet; do not start yet" in said
    listed = [dict(zip(HEADERS, row, strict=True)) for row in rows(house)]
    held = {row["opening"]: row["hold"] for row in listed if row["hold"]}
    assert held["W1"].startswith(f"Do not order yet. Fails: bottom width {SWAPPED} mm is likely {READ} mm")
    assert "do not order yet; do not start yet" in _text(fit_sheets(house))
    assert house.openings[0].gates.shut == ("ordering", "work")


def test_a_missing_diagonal_is_told_with_what_it_would_have_checked():
    bare = read_survey(re.sub(r"rising: \d+, ", "", DEMO, count=1))
    (said,) = weakened(bare, bare.openings[0])
    assert said.startswith("the rising diagonal was not read; measure it")
    assert "found from" in said
    plan = job.check(bare.model_copy(update={"openings": bare.openings[:2]}))
    assert f"W1 kitchen: {said}" in list(check_words(plan))
    assert said in " ".join(summary(plan).replace("! ", "").split())
    assert weakened(bare, bare.openings[1]) == []


def _text(pdf):
    import pypdfium2

    page = pypdfium2.PdfDocument(pdf)[0]
    return page.get_textpage().get_text_range()
