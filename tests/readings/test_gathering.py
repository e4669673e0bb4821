"""Gathering loses nothing in silence: whatever is not read is refused by name or told."""

import io
import os

import openpyxl
import pytest
from typer.testing import CliRunner

from jambwright.basis.problems import BadInput
from jambwright.basis.tree import parse_tree
from jambwright.cli import app
from jambwright.readings.gathering import gathered, openings_in
from jambwright.readings.sheets import figures_of, openings_of_table
from jambwright.readings.survey_file import survey_from_tree
from jambwright.readings.tables import table_of_csv, table_of_xlsx

HEADINGS = ["opening", "room", "width bottom mm", "width top mm", "level sill mm", "note"]
BASE = """\
jambwright: 1
site: {label: Invented house}   # up the lane
openings:
  - id: W1                      # over the sink
    room: kitchen
    outside:
      width: {bottom: {mm: 1210, tool: tape A, who: Ada}, top: 1211}   # read twice
    wanted: {layout: {opens: top_hung}}
  - {id: W2, room: hall}        # not read yet
tools: [{name: tape A}]
"""


def book(*rows, change=lambda _: None, headings=HEADINGS):
    """A workbook as bytes."""
    made = openpyxl.Workbook()
    made.active.append(headings)
    for row in rows:
        made.active.append(row)
    change(made)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def refused(content, labels=None):
    with pytest.raises(BadInput) as caught:
        openings_in(content, labels)
    return "\n".join(problem.say for problem in caught.value.problems)


def test_a_formula_that_was_never_worked_out_is_named_with_its_row():
    said = refused(book(["W1", "kitchen", "=1200+10", 1211], ["W2", "=A2", 900, 901]))
    assert "W1 (row 2): width bottom mm holds a formula that was never worked out (=1200+10)" in said
    assert "W2 (row 3): room holds a formula" in said


def test_merged_cells_are_named():
    said = refused(
        book(["W1", "kitchen", 1210, 1211], ["W2", "hall"], change=lambda b: b.active.merge_cells("C2:C3"))
    )
    assert "The cells C2:C3 are merged" in said


def test_one_mark_in_two_rows_is_named():
    assert "W1 stands in the rows 2, 4; keep one" in refused(
        book(["W1", "a", 1210], ["W2", "a", 900], ["W1", "a", 1215])
    )
    assert "W1 stands in the rows 2, 3" in refused(b"opening,width top mm\nW1,1210\nW1,1215\n")


def test_one_column_twice_is_named():
    assert "Column `width top mm` stands 2 times" in refused(
        b"opening,width top mm,width top mm\nW1,1210,1215\n"
    )
    assert "stands 2 times" in refused(
        book(["W1", 1210, 1215], headings=["opening", "width top mm", "width top mm"])
    )


@pytest.mark.parametrize(
    ("cell", "figures"),
    [
        ("911 1/2", (911.5,)), ("911½", (911.5,)), ("911 ¼", (911.25,)),
        ("-3 1/2", (-3.5,)), ("911 1/2 912", (911.5, 912)),
        ("1210 1211", (1210, 1211)), ("1210/1211", (1210, 1211)), ("1210,5", (1210.5,)),
        ("-2", (-2,)), (1210.5, (1210.5,)),
        ("1/2", None), ("911 1/0", None), ("911 5/4", None), ("1_210", None), ("nan", None), ("1e3", None),
        ("inf", None),
        (True, None), ("12l0", None), ("15:04", None), (float("nan"), None), ("1210 mm", None),
        ("9" * 400, None),
    ],
)  # fmt: skip
def test_a_cell_is_read_as_it_is_meant_or_not_at_all(cell, figures):
    assert figures_of(cell) == figures


def test_the_sheet_with_the_openings_is_read_and_a_hidden_one_told_of():
    def hide_the_first(made):
        made.active.sheet_state = "hidden"
        made.active.title = "Last year"
        sheet = made.create_sheet("Readings")
        sheet.append(HEADINGS)
        sheet.append(["W1", "kitchen", 1300])
        made.active = 1

    openings, notes = openings_in(book(["W1", "kitchen", 1210], change=hide_the_first))
    assert openings == [{"id": "W1", "room": "kitchen", "outside": {"width": {"bottom": 1300}}}]
    assert notes == ("Sheet Last year is hidden and not read.",)


def test_two_sheets_of_openings_are_not_chosen_between():
    def again(made):
        made.create_sheet("More").append(HEADINGS)

    assert "The sheets Sheet, More all hold openings" in refused(book(["W1", "a", 1210], change=again))


def test_a_figure_under_no_heading_is_named():
    assert "Row 2: `5` stands under no heading. A figure with a decimal comma" in refused(
        b"opening,width top mm\nW1,1210,5\n"
    )
    assert "Row 2: `1300` stands under no heading." in refused(
        book(["W1", 1210, 1300], headings=["opening", "width top mm"])
    )


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "no rows under its headings"),
        (b"\n\n", "no rows under its headings"),
        (b"opening,width top mm\n,\n", "no rows under its headings"),
        (b"opening,width top mm\nW1,\"1210\nW2,900\n", "a quote is opened and never closed"),
        (b"opening,note\nW1," + b"x" * 200_000 + b"\n", "a cell is far too long"),
        (b"opening,note\n" + b"W1,x\n" * 30_000, "over 2000 rows"),
        (b"\xff\xfeo\x00p\x00", "neither a workbook nor text in UTF-8"),
        (b"\xd0\xcf\x11\xe0old", "save it as .xlsx"),
        (b"PK\x03\x04 broken", "no workbook that can be read"),
    ],
)  # fmt: skip
def test_what_is_no_table_is_refused_in_words(content, words):
    assert words in refused(content)


def test_a_workbook_with_spoilt_parts_is_refused_in_words():
    import zipfile

    whole = book(["W1", "kitchen", 1210])
    for part in ("xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/styles.xml", "[Content_Types].xml"):
        out = io.BytesIO()
        with zipfile.ZipFile(io.BytesIO(whole)) as old, zipfile.ZipFile(out, "w") as new:
            for name in old.namelist():
                new.writestr(name, old.read(name)[: -40 if name == part else None])
        assert "no workbook that can be read" in refused(out.getvalue()), part


def test_a_workbook_that_unpacks_without_end_is_refused():
    import zipfile

    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/worksheets/sheet1.xml", b" " * 60_000_000)
    assert "unpacks to far more" in refused(out.getvalue())


def test_a_workbook_of_millions_of_cells_is_refused_before_they_are_read():
    import zipfile

    whole, out = book(["W1", "kitchen", 1210]), io.BytesIO()
    sheet = "xl/worksheets/sheet1.xml"
    with zipfile.ZipFile(io.BytesIO(whole)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(
                name, old.read(name) if name != sheet else old.read(name) + b"<c><v>1</v></c>" * 400_000
            )
    assert "unpacks to far more" in refused(out.getvalue())


def test_pictures_in_a_workbook_do_not_keep_it_from_being_read():
    import zipfile

    out = io.BytesIO(book(["W1", "kitchen", 1210]))
    with zipfile.ZipFile(out, "a", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/media/photo.jpg", bytes(6_000_000))
    assert openings_in(out.getvalue())[0][0]["outside"] == {"width": {"bottom": 1210}}


def test_a_table_larger_than_any_is_refused_before_it_is_taken_apart():
    assert "over 4 MB" in refused(b"opening,width top mm\nW1" + b"," * 4_000_000)


def test_hidden_rows_columns_and_comments_are_told_of():
    def hide(made):
        made.active.row_dimensions[2].hidden = True
        made.active.column_dimensions.group("C", "D", hidden=True)
        made.active["E3"].comment = openpyxl.comments.Comment("misread, it is 4", "Ada")

    openings, notes = openings_in(
        book(["W1", "kitchen", 1210], ["W2", "hall", 900, 901, 3], [], change=hide),
    )
    assert [opening["id"] for opening in openings] == ["W1", "W2"]
    assert notes == (
        "Row 2 is hidden and was read all the same.",
        "Column `width bottom mm, width top mm` is hidden and was read all the same.",
        "The comment at E3 is not read: misread, it is 4",
    )


def test_a_figure_that_was_crossed_out_is_not_taken():
    def cross_out(made):
        for cell in ("C2", "D2"):
            made.active[cell].font = openpyxl.styles.Font(strike=True)

    said = refused(book(["W1", "kitchen", 1210, None], change=cross_out))
    assert said == "C2 is crossed out: empty it, or take the line off the figure that holds."


def test_a_far_away_cell_is_not_waited_for():
    assert "reaches to row 900000" in refused(book(["W1"], change=lambda b: b.active.cell(900_000, 3, 1)))


def test_a_meters_list_is_known_by_what_it_holds():
    openings, _ = openings_in(b"W1 width top; 1,2105\nW1 width top\t1.211 m\n")
    assert openings == [{"id": "W1", "outside": {"width": {"top": [1210.5, 1211]}}}]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("W1 width top, 1210", "is the list in millimetres?"),
        ("W1 width top, 1.2105 1.3", "is no length in metres"),
        ("W1 width top, 1210 mm", "is no length in metres"),
        ("W1 width tip, 1.2", "says no reading"),
    ],
)
def test_a_line_that_is_no_reading_is_named(line, words):
    assert words in refused(f"W1 width bottom, 1.2\n{line}\n".encode())


def test_labels_that_are_a_list_are_refused():
    assert "`A7: W1 width top`" in refused(b"A7, 1.2\n", labels=["A7"])
    assert "Labels are for a meter's list" in refused(
        b"opening,width top mm\nW1,1210\n", labels={"A7": "W1 width top"}
    )


@pytest.mark.parametrize("base", [[1], "x", None, {"openings": {"W1": 1}}, {"openings": ["W1"]}])
def test_a_base_that_is_no_readings_file_is_refused(base):
    with pytest.raises(BadInput, match="no readings file"):
        gathered(base, [{"id": "W1"}])


def test_half_read_openings_are_gathered_and_what_is_replaced_or_new_is_told():
    openings = openings_of_table(
        table_of_csv("opening,room,width bottom mm,width top mm\nW1,,1210,1215\nW9,hall,900,\n")
    )
    tree, told = gathered(parse_tree(BASE), openings)
    assert told == [
        "W1 outside width top: 1211 is replaced by 1215.",
        "W9 is new in the file. It is written as one fixed light: say what is to go in.",
    ]
    assert tree["openings"][0]["outside"]["width"]["bottom"] == {"mm": 1210, "tool": "tape A", "who": "Ada"}
    assert survey_from_tree(tree)


def test_comments_of_the_file_are_kept_and_nothing_read_is_written_over(tmp_path):
    (tmp_path / "house.yaml").write_text(BASE)
    (tmp_path / "site.txt").write_text("A7, 1.206\n")
    (tmp_path / "labels.yaml").write_text("A7: W2 height left\n")
    os.link(tmp_path / "site.txt", tmp_path / "same.txt")
    words = ["gather", str(tmp_path / "site.txt"), "--into", str(tmp_path / "house.yaml"),
             "--labels", str(tmp_path / "labels.yaml"), "--out"]  # fmt: skip
    for taken in ("site.txt", "house.yaml", "labels.yaml", "same.txt"):
        before = (tmp_path / taken).read_text()
        told = CliRunner().invoke(app, [*words, str(tmp_path / taken)])
        assert (told.exit_code, (tmp_path / taken).read_text()) == (2, before)
        assert "is a file that is read" in told.stderr
    told = CliRunner().invoke(app, [*words, str(tmp_path / "new.yaml")])
    assert told.exit_code == 0, told.output
    new = (tmp_path / "new.yaml").read_text()
    assert all(comment in new for comment in ("# up the lane", "# over the sink", "# read twice"))
    assert parse_tree(new)["openings"][1]["outside"] == {"height": {"left": 1206}}


def test_a_guarded_text_of_a_csv_file_is_read_as_it_was_written():
    (opening,) = openings_of_table(table_of_csv("opening,note,level sill mm\nW1,'=north side,-2\n"))
    assert opening == {"id": "W1", "note": "=north side", "outside": {"level": {"sill": -2}}}


def test_the_rows_of_a_workbook_keep_their_numbers():
    table = table_of_xlsx(book([], ["W1", "a", 1210], [None], ["W2", "a", "far"]))
    assert [number for number, _ in table.rows] == [3, 5]
    with pytest.raises(BadInput, match="W2 \\(row 5\\)"):
        openings_of_table(table)
