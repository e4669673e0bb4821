"""Who may do what: people with a role, one-time invitations, sessions, and the audit log."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from typing import Literal

from sqlalchemy import insert, select, update

from jambwright.store.database import Store, now
from jambwright.store.houses import NotThere
from jambwright.store.tables import audit, invitations, people, sessions

Role = Literal["office", "fitter", "read_only"]
ROLES: tuple[Role, ...] = ("office", "fitter", "read_only")

INVITATION_MINUTES = 10
SESSION_DAYS = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Someone with a session."""

    id: str
    name: str
    role: Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Login:
    """A session as the office sees it."""

    person: str
    name: str
    role: Role
    device: str
    began: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditLine:
    """One line of the audit log."""

    at: str
    who: str
    address: str
    action: str
    subject: str


def invite(store: Store, *, name: str, role: Role, minutes: float = INVITATION_MINUTES) -> str:
    """Make a secret that lets one device in once."""
    secret = secrets.token_urlsafe(16)
    row = {"secret": _hash(secret), "name": name, "role": role, "expires": _later(minutes=minutes)}
    with store.writing() as connection:
        connection.execute(insert(invitations).values(**row))
    return secret


def join(store: Store, secret: str, *, device: str) -> tuple[str, Person] | None:
    """Use an invitation up: a session token for its person, or None when it is used, late or unknown."""
    time, hashed = now(), _hash(secret)
    with store.writing() as connection:
        used = connection.execute(
            update(invitations)
            .where(invitations.c.secret == hashed, invitations.c.used.is_(None), invitations.c.expires > time)
            .values(used=time)
        )
        if not used.rowcount:
            return None
        row = connection.execute(select(invitations).where(invitations.c.secret == hashed)).one()
        person = Person(id=secrets.token_hex(8), name=row.name, role=row.role)
        connection.execute(
            insert(people).values(id=person.id, name=person.name, role=person.role, created=time)
        )
        token = secrets.token_urlsafe(32)
        connection.execute(
            insert(sessions).values(
                token=_hash(token), person=person.id, device=device[:120], began=time,
                expires=_later(minutes=SESSION_DAYS * 24 * 60),
            )
        )  # fmt: skip
    return token, person


def person_of(store: Store, token: str) -> Person | None:
    """Whose session a token is, None when it ended or never was."""
    wanted = (
        select(people.c.id, people.c.name, people.c.role)
        .join(sessions, sessions.c.person == people.c.id)
        .where(sessions.c.token == _hash(token), sessions.c.ended.is_(None), sessions.c.expires > now())
    )
    with store.reading() as connection:
        row = connection.execute(wanted).first()
    return None if row is None else Person(id=row.id, name=row.name, role=row.role)


def logins(store: Store) -> list[Login]:
    """Open sessions, the newest first."""
    wanted = (
        select(people.c.id, people.c.name, people.c.role, sessions.c.device, sessions.c.began)
        .join(people, people.c.id == sessions.c.person)
        .where(sessions.c.ended.is_(None), sessions.c.expires > now())
        .order_by(sessions.c.began.desc())
    )
    with store.reading() as connection:
        rows = connection.execute(wanted).all()
    names = Login.__slots__
    return [Login(**dict(zip(names, row, strict=True))) for row in rows]


def end_sessions(store: Store, person: str) -> None:
    """End every session of a person. Raises ``NotThere`` when there is none."""
    with store.writing() as connection:
        ended = connection.execute(
            update(sessions)
            .where(sessions.c.person == person, sessions.c.ended.is_(None))
            .values(ended=now())
        )
    if not ended.rowcount:
        raise NotThere(person)


def rename(store: Store, person: str, name: str) -> None:
    """Change the name that a person's readings are signed with from now on."""
    with store.writing() as connection:
        connection.execute(update(people).where(people.c.id == person).values(name=name))


def note(store: Store, *, who: str, address: str, action: str, subject: str = "") -> None:
    """Add a line to the audit log."""
    with store.writing() as connection:
        connection.execute(
            insert(audit).values(at=now(), who=who, address=address, action=action, subject=subject[:200])
        )


def audit_lines(store: Store, limit: int = 200) -> list[AuditLine]:
    """The audit log, the newest first."""
    columns = [audit.c[name] for name in AuditLine.__slots__]
    with store.reading() as connection:
        found = connection.execute(select(*columns).order_by(audit.c.seq.desc()).limit(limit)).mappings()
        return [AuditLine(**row) for row in found]


def _hash(secret: str) -> str:
    return sha256(secret.encode()).hexdigest()


def _later(*, minutes: float) -> str:
    later = datetime.now(UTC) + timedelta(minutes=minutes)
    return later.isoformat(timespec="milliseconds").replace("+00:00", "Z")
