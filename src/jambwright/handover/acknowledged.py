"""What the maker answers to an order, read from CSV or a workbook and laid beside the order line by line.

The answer is known by the headings of the order's own table. What the maker leaves out is said: it is not confirmed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from jambwright.basis.border import cut
from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.paper.order_words import cell_words, item_words
from jambwright.readings.tables import Formula, Table, is_blank, table_of_csv, table_of_xlsx, text_in
from jambwright.record import (
    CHECK_ROWS,
    GLASS_ROWS,
    HEADINGS,
    LIGHT,
    MADE_NOW,
    OF_LIGHTS,
    OPENING,
    Cell,
    Change,
    Order,
    Row,
    changes_between,
    key_of,
    rows_of,
)  # fmt: skip

HOLD = "hold"
"""A column of the order that the maker does not answer to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Acknowledged:
    """An answer beside its order."""

    plan_id: str
    """Of the order."""
    differences: tuple[Change, ...]
    """``was`` is what was ordered, ``now`` what the maker answers."""
    held: tuple[str, ...]
    """Items that the maker confirms though the order holds them."""
    lines: int
    """Lines of the answer that belong to the order."""
    not_answered: tuple[str, ...]
    """Columns of the order that the answer does not have."""
    not_compared: tuple[str, ...]
    """Columns of the answer that the order does not have."""
    notes: tuple[str, ...] = ()
    """What of the file was not read."""

    @property
    def agrees(self) -> bool:
        """Whether everything that was ordered is confirmed as ordered."""
        return not (self.differences or self.held or self.not_answered)


def acknowledged(order: Order, content: bytes) -> Acknowledged:
    """The maker's answer beside the order. Raises ``BadInput`` where the file can't be read or is of no order."""
    table = _table_of(content)
    if OPENING not in table.headings:
        say = f"The answer has no column `{OPENING}` with the marks of the items; ask for the order's table filled in."
        raise BadInput.one("answer", say)
    by_light = LIGHT in table.headings
    own = [h for h in HEADINGS if by_light or h not in OF_LIGHTS]
    answered, notes = _rows(order, table, own)
    ordered = [row for row in rows_of(order) if by_light or not _is_later_light(row)]
    marks = {str(row[OPENING]) for row in answered}
    free = {item.opening for item in order.items if item.state in MADE_NOW}
    checks = (*free, *(CHECK_ROWS if marks.intersection(CHECK_ROWS) else ()))
    wanted = [row for row in ordered if row[OPENING] in marks or row[OPENING] in checks]
    known = [h for h in own if h in table.headings]
    if not {"make-up", "obscure"}.issubset(known):  # by which the rows of glass are told apart
        wanted, answered = (
            [row for row in rows if row[OPENING] not in GLASS_ROWS] for rows in (wanted, answered)
        )
    if not by_light:
        wanted = [{**row, LIGHT: None} for row in wanted]
    used = [h for h in HEADINGS if any(row.get(h) is not None for row in rows_of(order))]
    return Acknowledged(
        plan_id=order.plan_id,
        differences=changes_between(wanted, answered, known),
        held=tuple(_held(order, answered)),
        lines=len(answered),
        not_answered=tuple(h for h in used if h not in known),
        not_compared=tuple(h for h in table.headings if h not in known and h != HOLD),
        notes=(*table.notes, *notes),
    )


def answer_lines(answer: Acknowledged) -> list[str]:
    """The answer beside its order, in words."""
    said = [_difference(change) for change in answer.differences]
    said += [
        f"{mark}: the order holds it, and the maker confirms it; tell the maker to wait."
        for mark in answer.held
    ]
    if answer.not_answered:
        said.append(f"Not in the answer, so not confirmed: {', '.join(answer.not_answered)}.")
    if answer.not_compared:
        said.append(f"In the answer, not compared: {', '.join(map(cut, answer.not_compared))}.")
    if answer.agrees:
        said.insert(0, f"The answer agrees with the order of plan {answer.plan_id}: {answer.lines} lines.")
    return [*said, *answer.notes]


def answer_json(answer: Acknowledged) -> dict[str, Any]:
    """The same for programs, with the sentences."""
    changes = [change.model_dump() | {"say": _difference(change)} for change in answer.differences]
    return {**asdict(answer), "differences": changes, "agrees": answer.agrees, "say": answer_lines(answer)}


def _difference(change: Change) -> str:
    at = item_words(change)
    if not change.field:
        return (
            f"{at}: in the answer, not on the order." if change.was is None else f"{at}: not in the answer."
        )
    return f"{at}: {change.field}: ordered {cell_words(change.was)}, answered {cell_words(change.now)}."


def _held(order: Order, answered: Sequence[Row]) -> Iterator[str]:
    """Items that are not to be made now, answered without a word of that."""
    told = {row[OPENING] for row in answered if row.get(HOLD) is not None}
    marks = {row[OPENING] for row in answered}
    stopped = [item.opening for item in order.items if item.state not in MADE_NOW]
    yield from (mark for mark in stopped if mark in marks - told)


def _is_later_light(row: Row) -> bool:
    """A line of a light that does not tell of its frame."""
    return row.get(LIGHT) is not None and "width mm" not in row


def _table_of(content: bytes) -> Table:
    text = text_in(content, "answer")
    return table_of_xlsx(content, titled=True) if text is None else table_of_csv(text, titled=True)


def _rows(order: Order, table: Table, headings: Sequence[str]) -> tuple[list[dict[str, Cell]], list[str]]:
    """The lines of the answer. Raises ``BadInput`` for one that stands twice, or that holds a formula alone."""
    problems = list(_formulas(table))
    rows: list[dict[str, Cell]] = []
    notes: list[str] = []
    numbers: dict[tuple[str, str, str], list[int]] = {}
    not_read = {each.opening for each in order.not_read}
    for number, cells in table.rows:
        row = {h: cells[h] for h in (*headings, HOLD) if h in cells and not is_blank(cells[h])}
        mark = str(row.get(OPENING, "")).strip()
        if [*row] == [OPENING] or not mark:
            first = str(next(cell for cell in cells.values() if not is_blank(cell)))
            notes += [] if first.startswith(order.view) else [f"Row {number} is not read: {cut(first)}."]
            continue
        if mark in not_read and HOLD in row:
            continue  # told of on the order, with nothing to make
        row[OPENING] = mark
        numbers.setdefault(key_of(row), []).append(number)
        rows.append(row)
    for key, many in numbers.items():
        if len(many) > 1:
            named = " ".join(part for part in key if part)
            say = f"{cut(named)} stands in the rows {', '.join(map(str, many))}; keep one of them."
            problems.append(Problem(f"row {many[-1]}", say))
    raise_if_any(problems)
    if not rows:
        raise BadInput.one("answer", "The answer has no rows under its headings.")
    return rows, notes


def _formulas(table: Table) -> Iterator[Problem]:
    for number, cells in table.rows:
        for heading, cell in cells.items():
            if isinstance(cell, Formula):
                say = (
                    f"Row {number}: {heading} holds a formula that was never worked out ({cut(cell.text)}); save the "
                    "workbook in a spreadsheet program."
                )
                yield Problem(f"row {number}, {heading}", say)
