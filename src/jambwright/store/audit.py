"""The audit log: what was done, by whom, from where; what was refused, counted by the minute and bounded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy import and_, delete, insert, select, update
from sqlalchemy.exc import DatabaseError

from jambwright.store.database import Store, now
from jambwright.store.tables import audit

REFUSED = "refused: "
"""How the action of a refusal begins."""
REFUSALS_KEPT = 2_000
"""Rows of refusals; older ones are let go, so that nobody can fill the disk with them."""
LONGEST_SUBJECT = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditLine:
    """One line of the audit log."""

    at: str
    who: str
    address: str
    action: str
    subject: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """What was refused to whom in one minute: all that counts as the same."""

    minute: str
    who: str
    address: str
    why: str


def note(
    store: Store, *, who: str, address: str, action: str, subject: str = "", often: bool = False
) -> None:
    """Add a line. What may be done ``often`` has one line a minute, however often it is done."""
    row = {"who": who, "address": address, "action": action, "subject": subject[:LONGEST_SUBJECT]}
    at = now()
    with store.writing() as connection:
        if often:
            same = (audit.c[name] == value for name, value in row.items())
            in_minute = audit.c.at.startswith(at[: len("2026-01-01T00:00")])
            if connection.execute(select(audit.c.seq).where(*same, in_minute).limit(1)).first():
                return
        connection.execute(insert(audit).values(at=at, **row))


def note_refusals(store: Store, counted: Mapping[Refusal, tuple[int, str]]) -> bool:
    """Keep how often each was refused, with an example of what was asked; a count in place of the one before.

    False when nothing can be written now: the counts are to be sent again.
    """
    try:
        _keep_refusals(store, counted)
    except DatabaseError:
        return False
    return True


def _keep_refusals(store: Store, counted: Mapping[Refusal, tuple[int, str]]) -> None:
    with store.writing() as connection:
        for refusal, (times, example) in counted.items():
            row = {"at": refusal.minute, "who": refusal.who, "address": refusal.address,
                   "action": REFUSED + refusal.why}  # fmt: skip
            same = and_(*(audit.c[name] == value for name, value in row.items()))
            subject = f"{'once' if times == 1 else f'{times} times'}, {example}"[:LONGEST_SUBJECT]
            if not connection.execute(update(audit).where(same).values(subject=subject)).rowcount:
                connection.execute(insert(audit).values(**row, subject=subject))
        refusals = audit.c.action.startswith(REFUSED, autoescape=True)
        newest = select(audit.c.seq).where(refusals).order_by(audit.c.seq.desc())
        oldest_kept = connection.execute(newest.offset(REFUSALS_KEPT - 1).limit(1)).scalar()
        if oldest_kept is not None:
            connection.execute(delete(audit).where(refusals, audit.c.seq < oldest_kept))


def audit_lines(store: Store, limit: int = 200) -> list[AuditLine]:
    """The audit log, the newest first."""
    columns = [audit.c[name] for name in AuditLine.__slots__]
    with store.reading() as connection:
        found = connection.execute(select(*columns).order_by(audit.c.seq.desc()).limit(limit)).mappings()
        return [AuditLine(**row) for row in found]
