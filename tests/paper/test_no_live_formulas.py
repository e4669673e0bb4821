"""A text of the house is never a formula in a list: signs are those of OWASP's page on CSV injection (second hand)."""

import copy
import csv
import io

import openpyxl
import pytest

from jambwright import job
from jambwright.basis.cells import guarded, unguarded
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.paper import printed
from jambwright.paper.csv_file import csv_bytes
from jambwright.plan.prices import prices_from_tree
from jambwright.readings.survey_file import survey_from_tree
from jambwright.readings.tables import table_of_csv

STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
ROOM, LABEL = "=1+1", "@SUM(A1)"


@pytest.fixture(scope="module")
def files():
    """Every list of a house whose texts all begin with a sign."""
    tree = copy.deepcopy(parse_tree(read_text("demo_house.yaml")))
    tree["openings"] = [opening for opening in tree["openings"] if opening["id"] in ("W3", "W9")]
    tree["site"]["label"] = LABEL
    tree["house"]["rooms"] = [
        room | {"name": ROOM} for room in tree["house"]["rooms"] if room["name"] == "front bedroom"
    ]
    for opening in tree["openings"]:
        opening |= {"room": ROOM, "note": "-2+3"}
        opening["wanted"].pop("match", None)
    prices = parse_tree(read_text("demo_prices.yaml"))
    return printed(job.decide(survey_from_tree(tree), job.Choices(prices=prices_from_tree(prices))))


def test_no_csv_file_holds_a_text_that_a_program_would_work_out(files):
    lists = {name: content for name, content in files.items() if name.endswith(".csv")}
    assert set(lists) == {"order.csv", "buying.csv", "findings.csv", "estimate.csv"}
    for name, content in lists.items():
        raw = content.decode("utf-8-sig")
        for row in csv.reader(io.StringIO(raw, newline="")):
            for cell in row:
                figure = cell.lstrip("+-").replace(".", "", 1).isdecimal()
                assert figure or not cell.startswith(STARTS), (name, cell)
    assert '"\'=1+1"' in files["order.csv"].decode("utf-8-sig")


def test_the_workbook_holds_texts_and_no_formula(files):
    sheet = openpyxl.load_workbook(io.BytesIO(files["order.xlsx"]))["Order"]
    cells = [cell for row in sheet.iter_rows() for cell in row]
    assert not [cell for cell in cells if cell.data_type == "f"]
    rooms = [cell for cell in cells if cell.value == ROOM]
    assert rooms
    assert all(cell.quotePrefix for cell in rooms)


@pytest.mark.parametrize("start", ["", "'", "''", *STARTS, "'=", "''@"])
def test_a_text_is_read_back_from_our_csv_as_it_was(start):
    text = f'{start}1+1, "a"; b'
    assert unguarded(guarded(text)) == text
    table = table_of_csv(csv_bytes([["opening", "note"], ["W1", text]]).decode("utf-8-sig"))
    assert table.rows[0][1]["note"] == text


def test_figures_stay_figures():
    assert csv_bytes([["mm", -2, 1.5, None]]).decode("utf-8-sig").splitlines() == ['"mm",-2,1.5,""']
