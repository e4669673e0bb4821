"""Two forms of an order beside each other: an issue and the one before, an order and what a maker answers."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from jambwright.basis.problems import BadInput
from jambwright.record.house import Change, SinceIssue
from jambwright.record.order_document import Order
from jambwright.record.order_rows import (
    HEADINGS,
    LIGHT,
    OPENING,
    Cell,
    Key,
    Row,
    check_rows,
    item_rows,
    key_of,
)

NEAR = 1e-6
"""Two figures nearer than this are one."""


def rows_of(order: Order) -> list[dict[str, Cell]]:
    """Every row that is made or checked."""
    return [*(row for item in order.items for row in item_rows(item)), *check_rows(order)]


def since_issue(order: Order, earlier: Order) -> SinceIssue:
    """What changed since an earlier issue of the order.

    Raises ``BadInput`` where the earlier one is of another order, or its issue is not before this one.
    """
    own, before = order.head, earlier.head
    if own.number != before.number:
        named = f"{before.number or 'without a number'}, this one {own.number or 'without a number'}"
        raise BadInput.one("order.number", f"The earlier order is {named}: give an issue of the same order.")
    if own.issue <= before.issue:
        raise BadInput.one(
            "order.issue",
            f"Issue {before.issue} of this order went out already; write issue: {before.issue + 1} under `order`.",
        )
    changes = (
        *_head_changes(order, earlier),
        *_freed_or_held(order, earlier),
        *changes_between(rows_of(earlier), rows_of(order)),
    )
    return SinceIssue(issue=before.issue, plan_id=earlier.plan_id, changes=changes)


def _head_changes(order: Order, earlier: Order) -> Iterator[Change]:
    was, now = (each.head.model_dump(mode="json", exclude={"issue"}) for each in (earlier, order))
    for name in now:
        if was[name] != now[name]:
            yield Change(opening="", field=name, was=was[name], now=now[name])


def _freed_or_held(order: Order, earlier: Order) -> Iterator[Change]:
    """Items that may be ordered now and were held, or the other way."""
    before = {item.opening: item.state for item in earlier.items}
    for item in order.items:
        was = before.get(item.opening, item.state)
        if was != item.state:
            yield Change(opening=item.opening, field="standing", was=was, now=item.state)


def changes_between(
    was: Sequence[Row], now: Sequence[Row], headings: Collection[str] = HEADINGS
) -> tuple[Change, ...]:
    """Every cell that is not the same, then lines that are only in one; ``headings`` are those to compare."""
    before, after = _by_key(was), _by_key(now)
    found: list[Change] = []
    for key, row in after.items():
        there = before.get(key)
        if there is None:
            found.append(_line(key, was=None, now="on the order"))
            continue
        found += _cells(key, there, row, headings)
    gone = [_line(key, was="on the order", now=None) for key in before if key not in after]
    return (*found, *gone)


def _by_key(rows: Iterable[Row]) -> Mapping[Key, Row]:
    return {key_of(row): row for row in rows}


def _line(key: Key, *, was: str | None, now: str | None) -> Change:
    mark, light, glass = key
    return Change(opening=mark, light=light or glass or None, field="", was=was, now=now)


def _cells(key: Key, was: Row, now: Row, headings: Collection[str]) -> Iterator[Change]:
    mark, light, glass = key
    for heading in HEADINGS:
        before, after = was.get(heading), now.get(heading)
        if heading in headings and heading not in (OPENING, LIGHT) and not same(before, after):
            yield Change(opening=mark, light=light or glass or None, field=heading, was=before, now=after)


def same(one: Cell, other: Cell) -> bool:
    """Whether two cells say the same: figures as figures, words without regard to spaces and capitals.

    >>> same(1210.0, "1210 mm"), same("4-16Ar-4  low-e", "4-16ar-4 low-e"), same(None, ""), same(1210.0, "1120")
    (True, True, True, False)
    """
    first, second = figure(one), figure(other)
    if first is not None and second is not None:
        return abs(first - second) < NEAR
    return _words(one) == _words(other)


_FIGURE = re.compile(r"([-+]?\d+(?:[.,]\d+)?)\s*(?:mm2|mm²|mm|m2|m²|m|kg|deg|°)?", re.IGNORECASE)


def figure(cell: Cell) -> float | None:
    """A figure with or without its unit; ``None`` for anything else.

    >>> figure("1210,5 mm"), figure(4), figure("4-16-4")
    (1210.5, 4.0, None)
    """
    if isinstance(cell, int | float) and not isinstance(cell, bool):
        return float(cell)
    found = _FIGURE.fullmatch(str(cell or "").strip())
    return float(found[1].replace(",", ".")) if found else None


def _words(cell: Cell) -> str:
    text = "" if cell is None else str(cell)
    if isinstance(cell, int | float):
        text = f"{cell:g}"
    return " ".join(text.split()).casefold()
