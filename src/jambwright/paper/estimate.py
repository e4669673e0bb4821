"""The estimate: one clean page for the owner as PDF, and every line of its cost for the office as CSV."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from operator import attrgetter
from typing import Any

from jambwright.basis.problems import Problem
from jambwright.paper.csv_file import csv_bytes
from jambwright.paper.gate_words import stops
from jambwright.paper.paper_frame import day
from jambwright.paper.pdf import typeset
from jambwright.record import PENNY, Estimate, Part, PlanRecord

TEMPLATE = "estimate.typ"
HEADERS = ("part", "kind", "what", "quantity", "unit", "each", "amount")


def estimate_pdf(record: PlanRecord, estimate: Estimate) -> bytes:
    """The owner's page: parts with their prices, VAT, options, exclusions, and how long it stands."""
    return typeset(TEMPLATE, record, _page(record, estimate))


def estimate_csv(estimate: Estimate) -> bytes:
    """Cost line by line, then the sums, then what a wrong size would cost. For the office, not the owner."""
    return csv_bytes([HEADERS, *_cost_rows(estimate)])


def _cost_rows(estimate: Estimate) -> Iterator[tuple[Any, ...]]:
    for part in estimate.parts:
        for line in part.lines:
            each = line.each.quantize(PENNY)
            yield part.name, line.kind, line.what, line.quantity, line.unit, each, line.amount
        yield part.name, "cost", "", "", "", "", part.cost
        yield part.name, "price", "before VAT", "", "", "", part.price
    for kind, what, amount in _sums(estimate):
        yield "whole house", kind, what, "", "", "", amount
    for wrong in estimate.wrong_sizes:
        yield wrong.name, "wrong size", "frame and glass again", "", "", "", wrong.remake
        yield wrong.name, "wrong size", "come and fit again", "", "", "", wrong.visit
        yield wrong.name, "wrong size", "cost to the firm", "", "", "", wrong.cost


def estimate_words(estimate: Estimate) -> Iterator[str]:
    """The total, and what a wrong size would cost, for the summary."""
    sign = estimate.prices.sign
    yield f"Estimate: {money(estimate.total, sign)} with VAT, stands until {day(estimate.valid_until)}."
    least, most = (pick(estimate.wrong_sizes, key=attrgetter("cost")) for pick in (min, max))
    yield (
        f"A wrong size would cost the firm {money(least.cost, sign)} ({least.name}) to "
        f"{money(most.cost, sign)} ({most.name}): frame and glass again, and a second visit."
    )


def missing_words(missing: tuple[Problem, ...]) -> Iterator[str]:
    """Why there is no estimate, for the summary."""
    if not missing:
        return
    are = "price is" if len(missing) == 1 else "prices are"
    yield f"No estimate: {len(missing)} {are} missing in the price file."
    yield from (f"! {problem.say}" for problem in missing)


def money(amount: Decimal, sign: str) -> str:
    """Pounds and pence as printed.

    >>> money(Decimal("12345.6"), "£")
    '£12,345.60'
    """
    return f"{sign}{amount.quantize(PENNY):,}"


def _page(record: PlanRecord, estimate: Estimate) -> dict[str, Any]:
    prices, site = estimate.prices, record.site
    sign = prices.sign
    by_line = prices.vat.per == "line"
    return {
        "firm": prices.firm,
        "for": site.label,
        "note": prices.note,
        "dated": day(prices.dated),
        "until": day(estimate.valid_until),
        "vat_by_line": by_line,
        "openings": [_row(part, estimate) for part in estimate.openings],
        "whole_house": [_row(part, estimate) for part in estimate.whole_house],
        "net": money(estimate.net, sign),
        "vat_name": f"VAT {prices.vat.percent.normalize():f} %, {prices.vat.treatment}",
        "vat": money(estimate.vat, sign),
        "total": money(estimate.total, sign),
        "rounding": "Each price is rounded half up to the penny; VAT is worked out on "
        + ("each line, rounded half up, and added up." if by_line else "the total and rounded half up."),
        "options": prices.options,
        "exclusions": prices.exclusions,
        "unsettled": list(estimate.unsettled),
        "why": [f"{heading} {words}" for heading, words in stops(record, "ordering")],
        "left_out": [each.name for each in record.unread],
    }


def _row(part: Part, estimate: Estimate) -> list[str]:
    sign = estimate.prices.sign
    return [part.name, part.detail, money(part.price, sign), money(estimate.vat_on(part.price), sign)]


def _sums(estimate: Estimate) -> Iterator[tuple[str, str, Decimal]]:
    prices = estimate.prices
    yield "cost", "before VAT", estimate.cost
    if prices.margin_percent is not None:
        yield "margin", f"{prices.margin_percent} % of the price, put on each part", estimate.earned
    else:
        yield "mark-up", f"{prices.mark_up_percent} % of the cost, put on each part", estimate.earned
    yield "price", "before VAT", estimate.net
    yield "VAT", f"{prices.vat.percent} % on {prices.vat.per}, {prices.vat.treatment}", estimate.vat
    yield "total", "with VAT", estimate.total
