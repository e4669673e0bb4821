"""What people who may only look are shown of money: the sum of the estimate, and nothing else.

Not what a thing costs the firm, what it earns, its price list, a price part by part, nor a quote typed in for an
option. What the household pays for heat is its own, and stays.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from jambwright.record import PlanRecord
from jambwright.store import Kept, Person

QUOTES = "quotes"
"""Field of the house in a survey that holds what the firm asks, by option."""
WITHOUT_MONEY = (
    "order.pdf", "order.csv", "order.xlsx", "order.json", "delivery.pdf", "fit-sheets.pdf", "calculations.pdf",
    "calculations.json", "findings.pdf", "findings.csv", "buying.csv", "cutting.pdf", "picking.pdf", "crew.pdf",
    "crew.ics", "household-note.pdf", "household-note.txt", "survey-sheets.pdf",
    "labels.pdf", "templates.pdf",
)  # fmt: skip
"""Papers that hold none, beside the drawings. Any other, and one that is new, is for those who may see prices."""


def sees_money(person: Person) -> bool:
    """Whether someone may see more than the sum."""
    return person.role != "read_only"


def may_take(person: Person, paper: str) -> bool:
    """Whether a paper is for them."""
    return sees_money(person) or paper in WITHOUT_MONEY or paper.startswith("drawings/")


def survey_for(person: Person, tree: dict[str, Any]) -> dict[str, Any]:
    """A survey as they may see it."""
    house = tree.get("house")
    if sees_money(person) or not isinstance(house, Mapping):
        return tree
    return tree | {"house": {name: value for name, value in house.items() if name != QUOTES}}


def changes_for(person: Person, changes: Iterable[Kept]) -> list[Kept]:
    """Changes as they may see them: without those that speak of a quote."""
    return [c for c in changes if sees_money(person) or not _of_quotes(c.path, c.before, c.after)]


def _of_quotes(path: str, *values: Any) -> bool:
    return QUOTES in path or any(_holds(value) for value in values)


def _holds(value: Any) -> bool:
    if isinstance(value, Mapping):
        return QUOTES in value or any(_holds(inner) for inner in value.values())
    return isinstance(value, list) and any(_holds(inner) for inner in value)


def record_for(person: Person, record: PlanRecord) -> PlanRecord:
    """A plan's record as they may see it."""
    if sees_money(person):
        return record
    options, saving = record.options, record.saving
    if options:
        options = replace(options, whole=tuple(replace(each, cost=None) for each in options.whole))
    if saving:
        saving = replace(saving, cost=None, payback=None)
    return record.model_copy(
        update={"options": options, "saving": saving, "estimate": None, "price_missing": ()}
    )


def view_for(person: Person, view: dict[str, Any]) -> dict[str, Any]:
    """A plan as the screens show it, as they may see it."""
    price = view["price"]
    if sees_money(person) or price is None:
        return view
    if price["missing"]:
        return view | {"price": None}
    sums = {"total": price["sums"]["total"]}
    return view | {"price": price | {"parts": [], "wrong_sizes": [], "sums": sums}}
