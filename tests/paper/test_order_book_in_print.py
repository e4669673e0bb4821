"""The order as a workbook: what a maker sees when it is opened and printed."""

import io

import openpyxl

from demo_house import record
from jambwright.paper.order_book import HEADERS, order_xlsx


def sheet():
    return openpyxl.load_workbook(io.BytesIO(order_xlsx(record())))["Order"]


def test_it_prints_landscape_on_a4_one_page_wide_with_its_headings_on_every_page():
    order = sheet()
    assert (order.page_setup.orientation, order.page_setup.paperSize) == ("landscape", 9)
    assert (order.page_setup.fitToWidth, order.page_setup.fitToHeight) == (1, 0)
    assert order.sheet_properties.pageSetUpPr.fitToPage is True
    assert order.print_title_rows == "$1:$3"
    assert order.freeze_panes == "B4"


def test_title_and_headings_stand_out_and_are_wrapped():
    order = sheet()
    assert order["A1"].value == f"Order for {record().site.label}"
    assert (order["A1"].font.bold, order["A1"].font.size) == (True, 14)
    assert record().plan_id in order["A2"].value
    assert [cell.value for cell in order[3]] == list(HEADERS)
    for cell in order[3]:
        assert cell.font.bold
        assert (cell.alignment.wrap_text, cell.alignment.vertical) == (True, "top")
        assert cell.border.bottom.style == "thin"
    assert not any(cell.font.bold for cell in order[4] if cell.column != HEADERS.index("hold") + 1)


def test_what_holds_an_order_is_seen_and_read_whole():
    held = [row[HEADERS.index("hold")] for row in sheet().iter_rows(min_row=4)]
    shut = [cell for cell in held if cell.value]
    assert shut
    for cell in shut:
        assert cell.font.bold
        assert (cell.fill.fill_type, cell.fill.start_color.rgb) == ("solid", "00DDDDDD")
        assert (cell.alignment.wrap_text, cell.alignment.vertical) == (True, "top")


def test_every_column_is_wide_enough_for_the_longest_word_of_its_heading_and_its_longest_value():
    order = sheet()
    for column in order.iter_cols(min_row=3):
        width = order.column_dimensions[column[0].column_letter].width
        heading, *values = (str(cell.value or "") for cell in column)
        wanted = max(map(len, (heading.replace(" ", "\n").split("\n"))))
        longest = max(map(len, values))
        if heading == "hold":
            longest = min(longest, 46)
        wide = max(wanted, longest, 4) + 2
        assert wide <= width <= wide + 2, heading  # a whole figure is one decimal wider as it is kept
