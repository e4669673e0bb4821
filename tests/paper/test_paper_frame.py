"""One frame round every paper, and files that a screen reader and a bookmark list can be used on (ISO 14289-1)."""

import functools
import re

import pypdfium2
import pytest

from demo_house import MARKS, papers, record, recorded
from jambwright.checks.gates import Gates
from jambwright.paper.paper_frame import CAUTION, NOTHING_STOPS, author_of, gates_words, issue_words
from jambwright.record import PlanRecord

PDFS = (
    "order.pdf", "delivery.pdf", "fit-sheets.pdf", "calculations.pdf", "findings.pdf", "comparison.pdf",
    "cutting.pdf", "picking.pdf", "crew.pdf", "household-note.pdf", "estimate.pdf",
    "survey-sheets.pdf", "templates.pdf",
)  # fmt: skip
LONG = (
    "order.pdf",
    "delivery.pdf",
    "fit-sheets.pdf",
    "calculations.pdf",
    "findings.pdf",
    "survey-sheets.pdf",
)


def squeezed(text: str) -> str:
    """Without the spaces and line ends that a reader may put anywhere."""
    return re.sub(r"[\s\ufffe\u00ad-]", "", text)


@functools.cache
def texts(name: str) -> tuple[str, ...]:
    document = pypdfium2.PdfDocument(papers()[name])
    return tuple(squeezed(page.get_textpage().get_text_range()) for page in document)


def test_every_pdf_of_a_plan_is_looked_at_here():
    assert {name for name in papers() if name.endswith(".pdf")} == {*PDFS, "labels.pdf"}, (
        "labels leave no room for it"
    )


@pytest.mark.parametrize("name", PDFS)
def test_every_page_says_whose_house_which_plan_which_page_and_who_decides(name):
    pages = texts(name)
    for number, text in enumerate(pages, start=1):
        for said in (
            record().site.label, issue_words(record()), f"plan {record().plan_id}", record().made_with, CAUTION,
            f"page {number} of {len(pages)}",
        ):  # fmt: skip
            assert squeezed(said) in text, (number, said)


@pytest.mark.parametrize("name", [name for name in PDFS if name != "household-note.pdf"])
def test_every_page_that_moves_work_or_money_says_what_the_gates_stop(name):
    assert all(squeezed(gates_words(record())) in text for text in texts(name))


@pytest.mark.parametrize("name", PDFS)
def test_a_file_names_paper_house_and_author_and_claims_to_be_readable_aloud(name):
    document = pypdfium2.PdfDocument(papers()[name])
    told = document.get_metadata_dict()
    assert told["Title"].endswith(f", {record().site.label}")
    by = record().estimate.prices.firm if name == "estimate.pdf" else record().site.label
    assert told["Author"] == by, "no name of a firm stands on the order, so the house does"
    assert document.is_tagged()
    assert b"pdfuaid:part>1<" in papers()[name]
    assert b"/Lang" in papers()[name]


@pytest.mark.parametrize("name", LONG)
def test_a_long_paper_has_a_bookmark_for_every_opening(name):
    marks = [each.get_title() for each in pypdfium2.PdfDocument(papers()[name]).get_toc()]
    assert [title for title in marks if title in {recorded(mark).name for mark in MARKS}] == [
        recorded(mark).name for mark in MARKS
    ]


@pytest.mark.parametrize("name", ["calculations.pdf", "findings.pdf"])
def test_the_first_page_leads_to_every_opening(name):
    document = pypdfium2.PdfDocument(papers()[name])
    bookmarks = {each.get_title(): each.get_dest().get_index() for each in document.get_toc()}
    led = set(_linked_pages(document))
    assert {bookmarks[recorded(mark).name] for mark in MARKS} <= led


def _linked_pages(document):
    """Pages that the links of the first two pages lead to."""
    raw = pypdfium2.raw
    for page in (document[0], document[1]):
        width, height = (int(side) for side in page.get_size())
        for y in range(0, height, 4):
            for x in range(20, width, 20):
                link = raw.FPDFLink_GetLinkAtPoint(page.raw, x, y)
                if link:
                    yield raw.FPDFDest_GetDestPageIndex(
                        document.raw, raw.FPDFLink_GetDest(document.raw, link)
                    )


@pytest.mark.parametrize("name", PDFS)
def test_no_lettering_is_under_nine_point_and_none_on_drawings_under_eight(name):
    # a figure is 0.65 of its body high in this typeface; turned figures lie on their side
    least_pt = 8.0 * 0.65 - 0.1
    for page in pypdfium2.PdfDocument(papers()[name]):
        text = page.get_textpage()
        for index, mark in enumerate(text.get_text_range()[: text.count_chars()]):
            if mark in "23456789":
                left, bottom, right, top = text.get_charbox(index)
                high = max(right - left, top - bottom)
                lowered = high < 6.0 and name == "calculations.pdf"  # an index of a letter
                assert lowered or high >= least_pt, (mark, high)


def with_gates(record: PlanRecord, *, order=None) -> PlanRecord:
    """Without prices, and with nothing that stops."""
    calm = [each.model_copy(update={"gates": Gates()}) for each in record.openings]
    return record.model_copy(update={"openings": tuple(calm), "estimate": None, "order": order})


def test_where_nothing_stops_it_says_so_and_the_house_signs_where_no_firm_is_named():
    calm = with_gates(record())
    assert gates_words(calm) == NOTHING_STOPS
    assert author_of(calm) == record().site.label
    assert issue_words(calm) == "work dated 7 December 2026"
    head = record().order.head.model_copy(update={"purchaser": "An invented firm"})
    named = with_gates(record(), order=record().order.model_copy(update={"head": head}))
    assert author_of(named) == "An invented firm"


def test_what_stops_is_counted_by_gate():
    assert gates_words(record()) == "Do not order yet: 4 of 11 openings; do not start yet: 1 of 11 openings"
