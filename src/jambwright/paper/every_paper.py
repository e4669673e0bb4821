"""Every paper of a plan, in the order it is made."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from jambwright.paper.buying import buying_csv, picking_pdf
from jambwright.paper.calculation_json import calculations_json
from jambwright.paper.calculation_sheet import calculations
from jambwright.paper.comparison import comparison
from jambwright.paper.crew_papers import crew_ics, crew_pdf, household_note, household_pdf
from jambwright.paper.cutting_sheet import cutting_pdf
from jambwright.paper.delivery_sheet import delivery_pdf, to_deliver
from jambwright.paper.drawings import drawings, house_drawings
from jambwright.paper.estimate import estimate_csv, estimate_pdf
from jambwright.paper.findings import findings, findings_csv
from jambwright.paper.fit_sheet import fit_sheets
from jambwright.paper.labels import labels_pdf
from jambwright.paper.order_book import order_csv, order_xlsx
from jambwright.paper.order_sheet import order_pdf
from jambwright.paper.sill_template import templates, templates_pdf
from jambwright.paper.summary import summary
from jambwright.paper.survey_sheet import survey_sheets
from jambwright.record import PlanRecord, order_of

Files = Iterator[tuple[str, bytes]]


def _plan(record: PlanRecord) -> Files:
    if not record.issued:  # a plan of an earlier version stays as it was made
        yield "plan.json", record.model_dump_json(indent=1).encode()


def _order(record: PlanRecord) -> Files:
    if record.openings:
        yield "order.pdf", order_pdf(record)
    yield "order.csv", order_csv(record)
    yield "order.json", order_of(record).model_dump_json(indent=1).encode()
    yield "order.xlsx", order_xlsx(record)


def _delivery(record: PlanRecord) -> Files:
    if to_deliver(record):
        yield "delivery.pdf", delivery_pdf(record)


def _survey_sheets(record: PlanRecord) -> Files:
    if record.every_opening:
        yield "survey-sheets.pdf", survey_sheets(record)


def _labels(record: PlanRecord) -> Files:
    if record.openings:
        yield "labels.pdf", labels_pdf(record)


def _fit_sheets(record: PlanRecord) -> Files:
    if record.openings:
        yield "fit-sheets.pdf", fit_sheets(record)


def _templates(record: PlanRecord) -> Files:
    if any(templates(record)):
        yield "templates.pdf", templates_pdf(record)


def _calculations(record: PlanRecord) -> Files:
    if record.openings:
        yield "calculations.pdf", calculations(record)
        yield "calculations.json", calculations_json(record)


def _findings(record: PlanRecord) -> Files:
    if not record.issued:
        yield "findings.pdf", findings(record)
        yield "findings.csv", findings_csv(record)


def _comparison(record: PlanRecord) -> Files:
    if record.options:
        yield "comparison.pdf", comparison(record)


def _materials(record: PlanRecord) -> Files:
    if record.buying:
        yield "buying.csv", buying_csv(record, record.buying.to_buy)
        yield "cutting.pdf", cutting_pdf(record, record.buying.cuts)
        yield "picking.pdf", picking_pdf(record)


def _crew(record: PlanRecord) -> Files:
    if record.days:
        yield "crew.pdf", crew_pdf(record, record.days)
        yield "crew.ics", crew_ics(record, record.days)
        yield "household-note.pdf", household_pdf(record, record.days)
        yield "household-note.txt", household_note(record, record.days).encode()


def _estimate(record: PlanRecord) -> Files:
    if record.estimate:
        yield "estimate.pdf", estimate_pdf(record, record.estimate)
        yield "estimate.csv", estimate_csv(record.estimate)


def _drawings(record: PlanRecord) -> Files:
    made: Mapping[str, bytes] = {
        name: content for opening in record.openings for name, content in drawings(opening).items()
    } | (house_drawings(record.options) if record.options else {})
    yield from ((f"drawings/{name}", content) for name, content in made.items())


def _summary(record: PlanRecord) -> Files:
    yield "summary.txt", summary(record).encode()


PAPERS: Mapping[str, Callable[[PlanRecord], Files]] = {
    "the plan": _plan,
    "the order": _order,
    "survey sheets": _survey_sheets,
    "the delivery check": _delivery,
    "labels": _labels,
    "fit sheets": _fit_sheets,
    "sill templates": _templates,
    "calculations": _calculations,
    "findings": _findings,
    "comparison": _comparison,
    "materials": _materials,
    "the crew's days": _crew,
    "estimate": _estimate,
    "drawings": _drawings,
    "summary": _summary,
}
"""What is made, by what a person who waits is told."""


def printed(record: PlanRecord, told: Callable[[str], None] | None = None) -> dict[str, bytes]:
    """Every paper of a plan by file name; ``told`` is told after each step of ``PAPERS``."""
    files: dict[str, bytes] = {}
    for name, make in PAPERS.items():
        files |= dict(make(record))
        if told:
            told(name)
    return files
