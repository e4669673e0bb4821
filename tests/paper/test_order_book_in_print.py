"""The order as a workbook: what a maker sees when it is opened and printed."""

import io

import openpyxl

from demo_house import record
from jambwright.paper.order_book import HEADERS, order_xlsx


def book():
    return openpyxl.load_workbook(io.BytesIO(order_xlsx(record())))


def sheet():
    return book()["Order"]


def pages(order):
    """Columns of each page: those on every page, then its own."""
    ends = [*(each.id for each in order.col_breaks.brk), order.max_column]
    starts = [2, *ends[:-1]]
    return [[1, 2, *range(first + 1, last + 1)] for first, last in zip(starts, ends, strict=True)]


def test_it_prints_items_down_and_groups_of_columns_over_pages_of_a4_lying():
    order = sheet()
    assert (order.page_setup.orientation, order.page_setup.paperSize) == ("landscape", 9)
    assert order.page_setup.pageOrder == "downThenOver"
    assert order.print_title_rows == "$1:$3"
    assert order.print_title_cols == "$A:$B"
    assert [cell.value for cell in order[3]][:2] == ["opening", "light"]
    assert order.freeze_panes == "C4"
    shown = [column for page in pages(order) for column in page[2:]]
    assert shown == list(range(3, order.max_column + 1)), "every column on one page, once"


def test_nothing_is_printed_smaller_than_seven_points_or_wider_than_the_page():
    """A4 lying is 297 mm wide; a column of width n is 7 n / 96 inch wide (ECMA-376-1, 18.3.1.13, from memory)."""
    order = sheet()
    assert order.page_setup.scale == 100
    assert not (order.sheet_properties.pageSetUpPr and order.sheet_properties.pageSetUpPr.fitToPage)
    assert min(cell.font.size for row in order.iter_rows() for cell in row) >= 9
    room = 297 - 25.4 * (order.page_margins.left + order.page_margins.right)
    for page in pages(order):
        letters = [order.column_dimensions[order.cell(1, column).column_letter].width for column in page]
        assert sum(7 * n for n in letters) * 25.4 / 96 <= room


def test_the_sheet_beside_it_holds_the_head_and_the_check_figures():
    head = {row[0]: row[1] for row in book()["Head"].iter_rows(values_only=True)}
    assert head["Order number"] == "not given"
    assert head["Delivery place"] == "not given"
    listed = record().order.listed
    wanted = (
        listed.items,
        f"{listed.perimeter_m:.3f} m",
        f"{listed.area_m2:.3f} m²",
        f"{listed.mass_kg:.1f} kg",
    )
    for figure in map(str, wanted):
        assert figure in head["Check, all items"]


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
        longest = min(max(map(len, values)), 46 if heading == "hold" else 30)
        wide = max(wanted, longest, 4) + 2
        assert wide <= width <= wide + 2, heading  # a whole figure is one decimal wider as it is kept
        for cell in column[1:]:
            assert cell.alignment.wrap_text or len(str(cell.value or "")) <= 30
