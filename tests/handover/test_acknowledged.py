"""The maker's answer beside the order: differences by item and field, and what is not confirmed."""

import csv
import functools
import io

import openpyxl
import pytest

from demo_house import record
from jambwright.basis.problems import BadInput
from jambwright.handover import acknowledged, answer_json, answer_lines
from jambwright.paper.order_book import order_csv, order_xlsx
from jambwright.record import order_of


@functools.cache
def order():
    return order_of(record())


def lines(**changed):
    """The order's own table as it comes back, with cells changed: ``lines(W1={"colour": "dark"})``."""
    rows = list(csv.DictReader(io.StringIO(order_csv(record()).decode("utf-8-sig"))))[:-1]
    for mark, cells in changed.items():
        next(row for row in rows if row["opening"] == mark).update(cells)
    return rows


def as_csv(rows, headings=None, between=","):
    text = io.StringIO()
    writer = csv.DictWriter(text, headings or [*rows[0]], delimiter=between, extrasaction="ignore")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue().encode()


def told(content):
    return answer_lines(acknowledged(order(), content))


@pytest.mark.parametrize("made", [order_csv, order_xlsx], ids=["csv", "workbook"])
def test_the_order_itself_agrees_with_itself(made):
    answer = acknowledged(order(), made(record()))
    assert answer.agrees
    assert (answer.differences, answer.held, answer.not_answered, answer.not_compared) == ((), (), (), ())
    assert (
        answer_lines(answer)[0]
        == f"The answer agrees with the order of plan {record().plan_id}: {answer.lines} lines."
    )


@pytest.mark.parametrize("between", [",", ";", "\t"])
def test_whatever_parts_the_cells(between):
    assert acknowledged(order(), as_csv(lines(), between=between)).agrees


@pytest.mark.parametrize(
    ("mark", "heading", "typed", "said"),
    [
        ("W1", "width mm", "1795", "W1, light A: width mm: ordered 1759, answered 1795."),
        ("W1", "glass height mm", "", "W1, light A: glass height mm: ordered 827, answered nothing."),
        ("D1", "swing", "out", "D1, light A: swing: ordered in, answered out."),
        ("W2", "opens (seen from outside)", "fixed", "W2, light A: opens (seen from outside): ordered"),
        ("all items", "unit kg", "500", "all items: unit kg: ordered 515.7, answered 500."),
        ("all glass", "count", "10", "all glass, 4-16Ar-4 low-e: count: ordered 12, answered 10."),
    ],
)
def test_a_difference_is_named_by_item_and_field(mark, heading, typed, said):
    found = told(as_csv(lines(**{mark: {heading: typed}})))
    assert len(found) == 1
    assert found[0].startswith(said)


def test_every_cell_that_is_changed_is_found():
    rows = lines()
    for n, row in enumerate(rows):
        for heading in row:
            if (
                row[heading]
                and heading not in ("opening", "light", "hold")
                and row["opening"] not in ("all glass", "glass to make now")
            ):
                wrong = [*rows[:n], row | {heading: f"{row[heading]}7"}, *rows[n + 1 :]]
                [change] = acknowledged(order(), as_csv(wrong)).differences
                assert (change.opening, change.light or "", change.field) == (
                    row["opening"],
                    row["light"],
                    heading,
                )


def test_units_decimal_commas_capitals_and_spaces_are_no_difference():
    own = {"width mm": "1759 mm", "make-up": "4-16AR-4  Low-E", "perimeter m": "5,532 m"}
    assert acknowledged(order(), as_csv(lines(W1=own))).agrees


def test_lines_that_are_missing_or_new_are_said():
    rows = [row for row in lines() if row["opening"] != "W2"]
    assert told(as_csv(rows)) == ["W2, light A: not in the answer."]
    assert told(as_csv([*lines(), lines()[0] | {"opening": "W77"}])) == [
        "W77, light A: in the answer, not on the order."
    ]


def test_columns_that_are_not_answered_are_not_taken_for_confirmed():
    few = ["opening", "light", "width mm", "height mm", "price"]
    answer = acknowledged(order(), as_csv([row | {"price": "1"} for row in lines()], few))
    assert (answer.differences, answer.agrees) == ((), False)
    assert {"colour", "make-up", "glass width mm"} <= set(answer.not_answered)
    assert "In the answer, not compared: price." in answer_lines(answer)


def test_an_answer_by_frame_alone_is_compared_by_frame_and_says_that_lights_are_not_confirmed():
    few = ["opening", "width mm", "height mm", "make-up"]
    rows = [row for row in lines(W1={"height mm": "1070"}) if row["width mm"]]
    answer = acknowledged(order(), as_csv(rows, few))
    assert [(c.opening, c.field, c.now) for c in answer.differences] == [("W1", "height mm", "1070")]
    assert {"make-up", "glass width mm"} <= set(answer.not_answered)
    assert "make-up" in answer.not_compared


def test_a_held_item_that_the_maker_confirms_is_said():
    answer = acknowledged(order(), as_csv(lines(W3={"hold": ""})))
    assert answer.held == ("W3",)
    assert not answer.agrees
    assert "W3: the order holds it, and the maker confirms it; tell the maker to wait." in answer_lines(
        answer
    )


def test_a_held_item_need_not_be_answered():
    assert acknowledged(order(), as_csv([row for row in lines() if row["opening"] != "W3"])).agrees


@pytest.mark.parametrize(
    ("content", "say"),
    [
        (b"", "no rows"),
        (b"a,b\n1,2\n", "no column `opening`"),
        (b"opening,light\n", "no rows under its headings"),
        (b"opening,light\nW1,A\nW1,A\n", "W1 A stands in the rows 2, 3; keep one of them"),
        (b'opening,light\n"W1,A\n', "a quote is opened and never closed"),
        (b"\xff\xfe\x00", "neither a workbook nor text in UTF-8"),
        (b"PK\x03\x04 no zip", "no workbook that can be read"),
        (b"\xd0\xcf\x11\xe0", "workbook of the old kind"),
    ],
)
def test_a_bad_file_is_told_in_words(content, say):
    with pytest.raises(BadInput, match=say):
        acknowledged(order(), content)


def test_a_formula_without_a_value_is_told():
    book = openpyxl.load_workbook(io.BytesIO(order_xlsx(record())))
    book["Order"]["G4"].value = "=1759+0"
    out = io.BytesIO()
    book.save(out)
    with pytest.raises(BadInput, match=r"Row 4: .* holds a formula that was never worked out"):
        acknowledged(order(), out.getvalue())


def test_the_same_for_programs():
    made = answer_json(acknowledged(order(), as_csv(lines(W1={"width mm": "1795"}))))
    assert made["agrees"] is False
    assert made["differences"] == [
        {
            "opening": "W1", "light": "A", "field": "width mm", "was": 1759.0, "now": "1795",
            "say": "W1, light A: width mm: ordered 1759, answered 1795.",
        }
    ]  # fmt: skip
