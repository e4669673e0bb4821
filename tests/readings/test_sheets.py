"""Readings from a workbook, a CSV table or a laser meter's list."""

import csv
import io

import openpyxl
import pytest
import yaml
from typer.testing import CliRunner

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.cli import app
from jambwright.readings.form_workbook import form_workbook
from jambwright.readings.laser_list import openings_of_laser
from jambwright.readings.sheets import columns, laid_over, openings_of_table
from jambwright.readings.survey_file import survey_from_tree
from jambwright.readings.tables import table_of_csv, table_of_xlsx
from made_up_houses import rebated_house

DEMO = parse_tree(read_text("demo_house.yaml"))


def demo_rows():
    """The demo house's readings as a table's rows."""
    return rows_of(DEMO)


def rows_of(house):
    rows = []
    for opening in house["openings"]:
        row = {"opening": opening["id"], "room": opening["room"]}
        for column in columns():
            value = opening
            for name in column.path:
                value = value.get(name, {}) if isinstance(value, dict) else {}
            if value != {}:
                row[column.header] = " ".join(map(str, value)) if isinstance(value, list) else value
        rows.append(row)
    return rows


def written(rows, headers):
    text = io.StringIO()
    writer = csv.DictWriter(text, headers)
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def without_readings():
    base = {**DEMO, "openings": [{k: v for k, v in o.items() if k != "outside"} for o in DEMO["openings"]]}
    return parse_tree(yaml.safe_dump(base))


def test_a_table_gives_back_the_house_it_was_made_from():
    headers = ["opening", "room", *(c.header for c in columns())]
    openings = openings_of_table(table_of_csv(written(demo_rows(), headers)))
    assert survey_from_tree(laid_over(without_readings(), openings)) == survey_from_tree(DEMO)


def test_a_table_holds_both_faces_and_the_nibs_of_a_rebated_reveal():
    house = rebated_house()
    table = written(rows_of(house), ["opening", "room", *(c.header for c in columns())])
    assert "inside width bottom mm" in table
    bare = {k: v for k, v in house["openings"][0].items() if k not in ("outside", "inside", "nibs")}
    openings = openings_of_table(table_of_csv(table))
    assert survey_from_tree(laid_over({**house, "openings": [bare]}, openings)) == survey_from_tree(house)


def test_the_inside_figures_of_the_workbook_are_checked_like_those_of_the_outside():
    sheet = openpyxl.load_workbook(io.BytesIO(form_workbook()))["Readings"]
    limits = {
        sheet.cell(row=1, column=area.min_col).value: (rule.formula1, rule.formula2)
        for rule in sheet.data_validations.dataValidation
        for area in rule.sqref.ranges
    }
    for name in ("width top mm", "level sill mm", "bow left mm"):
        assert limits[f"inside {name}"] == limits[name]
    assert limits["nib left mm"][0] == "0.0"


def test_an_inside_set_left_blank_is_none():
    house = rebated_house(inside={"width": {"bottom": None}, "plumb": {}})
    assert survey_from_tree(house).openings[0].inside is None


def test_the_blank_workbook_filled_in_is_read_back():
    book = openpyxl.load_workbook(io.BytesIO(form_workbook()))
    sheet = book["Readings"]
    headers = [cell.value for cell in sheet[1]]
    for row in demo_rows():
        sheet.append([row.get(h) for h in headers])
    out = io.BytesIO()
    book.save(out)
    openings = openings_of_table(table_of_xlsx(out.getvalue()))
    assert survey_from_tree(laid_over(without_readings(), openings)) == survey_from_tree(DEMO)


def test_the_workbook_helps_and_checks_every_reading():
    sheet = openpyxl.load_workbook(io.BytesIO(form_workbook()))["Readings"]
    assert all(cell.comment for cell in sheet[1])
    checked = {
        str(area).split(":")[0]
        for rule in sheet.data_validations.dataValidation
        for area in rule.sqref.ranges
    }
    assert len(checked) == len(columns())


def test_semicolons_decimal_commas_and_repeats_are_understood():
    (opening,) = openings_of_table(table_of_csv("opening;width top mm;width middle mm\nW1;1210,5;1211 1210"))
    assert opening["outside"]["width"] == {"top": 1210.5, "middle": [1211.0, 1210.0]}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("room,width top mm\nkitchen,1210", "no column `opening`"),
        ("opening,width tip mm\nW1,1210", "Column `width tip mm` is not known"),
        ("opening,width top mm\nW1,12l0", "W1 \\(row 2\\): width top mm holds '12l0'"),
        ("opening,width top mm\n,1210", "Row 2: the opening's mark is missing"),
        ("opening,width top mm\n", "no rows under its headings"),
        ("", "no rows under its headings"),
    ],
)
def test_a_table_that_cannot_be_read_says_where(text, words):
    with pytest.raises(BadInput, match=words):
        openings_of_table(table_of_csv(text))


def test_a_laser_list_is_placed_by_label_and_repeats_are_kept():
    text = "W1 width top, 1.2105\nW1 width top, 1.211\n\nA7, 1.204\n"
    (opening,) = openings_of_laser(text, {"A7": "W1 height left"})
    assert opening == {
        "id": "W1",
        "outside": {"width": {"top": [1210.5, 1211.0]}, "height": {"left": 1204.0}},
    }


def test_every_line_of_a_laser_list_that_cannot_be_placed_is_named():
    with pytest.raises(BadInput) as caught:
        openings_of_laser("A7, 1.2\nW1 width top, far\nW1 width, 1.1")
    assert [p.field for p in caught.value.problems] == ["line 1", "line 2", "line 3"]


def test_no_workbook_is_refused_in_words():
    with pytest.raises(BadInput, match="no workbook"):
        table_of_xlsx(b"not a workbook")


def test_gathering_writes_a_file_that_checks_and_leaves_the_base_alone(tmp_path):
    headers = ["opening", "room", *(c.header for c in columns())]
    (tmp_path / "site.csv").write_text(written(demo_rows(), headers))
    base = tmp_path / "house.yaml"
    base.write_text(read_text("demo_house.yaml"))
    out = tmp_path / "read.yaml"
    told = CliRunner().invoke(
        app, ["gather", str(tmp_path / "site.csv"), "--into", str(base), "--out", str(out)]
    )
    assert told.exit_code == 0, told.output
    assert base.read_text() == read_text("demo_house.yaml")
    assert survey_from_tree(parse_tree(out.read_text())) == survey_from_tree(DEMO)
