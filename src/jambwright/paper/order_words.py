"""The words of an order that are the same in its every form: its head, and what changed since an issue."""

from __future__ import annotations

from collections.abc import Iterator

from jambwright.basis.units import show_mm
from jambwright.record import VIEW, Cell, Change, Order, OrderCheck, OrderHead, SinceIssue

NOT_GIVEN = "not given"
LABELS = {
    "number": "Order number",
    "issue": "Issue",
    "purchaser": "Purchaser",
    "contact": "Whom to ask",
    "wanted_on": "Wanted on",
    "deliver_to": "Delivery place",
    "access": "Access for the delivery",
}
"""What stands at the head of an order, in the order it is read."""
NO_CHECKS = "This plan keeps no check figures; plan the house again for them."


def head_of(head: OrderHead) -> list[tuple[str, str]]:
    """Label and what was given, said where it was not."""
    given = {
        "number": head.number,
        "issue": str(head.issue),
        "purchaser": head.purchaser,
        "contact": head.contact,
        "wanted_on": head.wanted_on and f"{head.wanted_on:%-d %B %Y}",
        "deliver_to": head.deliver_to,
        "access": head.access,
    }
    return [(label, given[name] or NOT_GIVEN) for name, label in LABELS.items()]


def head_sentences(head: OrderHead) -> list[str]:
    """The same in a line."""
    return [f"{label}: {said.rstrip('.')}." for label, said in head_of(head)]


def head_lines(order: Order) -> list[tuple[str, str]]:
    """The head of the order, what must come out, and what changed, as label and words."""
    since = order.since
    changed = [(f"Changed since issue {since.issue}", said) for said in since_words(since)] if since else []
    return [("House", order.house), *head_of(order.head), ("View", VIEW), *check_lines(order), *changed]


def check_lines(order: Order) -> list[tuple[str, str]]:
    """What the maker must come to."""
    if not (order.listed and order.to_make):
        return [("Check", NO_CHECKS)]
    return [
        ("Check, all items", check_words(order.listed)),
        ("Check, to make now", check_words(order.to_make)),
    ]


def check_cells(order: Order) -> list[list[str]]:
    """Check figures of all items and of those to make now, a row each."""
    return [
        [
            named, str(check.items), show_mm(check.widths_mm), show_mm(check.heights_mm), f"{check.perimeter_m:.3f}",
            f"{check.area_m2:.3f}", f"{check.mass_kg:.1f}",
        ]
        for named, check in (("all items", order.listed), ("to make now", order.to_make))
        if check
    ]  # fmt: skip


def glass_lines(order: Order) -> list[list[str]]:
    """Each glass with how often it stands on the order, and how often it is to be made now."""
    if not (order.listed and order.to_make):
        return []
    now = {(each.make_up, each.obscure): each.count for each in order.to_make.glass}
    return [
        [
            glass_words(each.make_up, each.obscure),
            str(each.count),
            str(now.get((each.make_up, each.obscure), 0)),
        ]
        for each in order.listed.glass
    ]


def glass_words(make_up: str, obscure: bool) -> str:
    """A glass as it is ordered; a panel has no make-up."""
    return f"{make_up or 'panel'}{', obscure' if obscure else ''}"


def check_words(check: OrderCheck) -> str:
    """Check figures in a line."""
    if not check.items:
        return "no item."
    glass = ", ".join(f"{each.count} × {glass_words(each.make_up, each.obscure)}" for each in check.glass)
    return (
        f"{check.items} items; widths together {show_mm(check.widths_mm)} mm, heights {show_mm(check.heights_mm)} mm; "
        f"perimeters {check.perimeter_m:.3f} m; areas {check.area_m2:.3f} m²; {check.mass_kg:.1f} kg; {glass}."
    )


def since_words(since: SinceIssue) -> Iterator[str]:
    """What changed since an issue, a sentence each."""
    if not since.changes:
        yield "Nothing on the order changed."
    yield from map(change_words, since.changes)


def change_words(change: Change, *, was: str = "was", now: str = "is now") -> str:
    """One change.

    >>> change_words(Change(opening="W1", light="A", field="glass width mm", was=594.0, now=584.0))
    'W1, light A: glass width mm was 594, is now 584.'
    """
    at = item_words(change)
    if not change.field:
        return f"{at}: new on the order." if change.was is None else f"{at}: no longer on the order."
    named = LABELS.get(change.field, change.field) if not change.opening else change.field
    return f"{at}{': ' if at else ''}{named} {was} {cell_words(change.was)}, {now} {cell_words(change.now)}."


def item_words(change: Change) -> str:
    """Which line is meant: `W1, light A`."""
    if not change.light:
        return change.opening
    light = f"light {change.light}" if len(change.light) <= 2 else change.light
    return f"{change.opening}, {light}"


def cell_words(cell: Cell) -> str:
    """A cell as it is read.

    >>> cell_words(1210.0), cell_words(None), cell_words(4.454)
    ('1210', 'nothing', '4.454')
    """
    if cell is None:
        return "nothing"
    return f"{cell:.6g}" if isinstance(cell, int | float) else cell
