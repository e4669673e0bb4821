"""Who may do what: people with a role, one-time invitations, and a session for each of their devices.

A person is known by name: to invite someone again under the same name and role lets in another device of theirs.
Nobody else gets a name that looks the same.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from typing import Literal

from sqlalchemy import Connection, insert, select, text, update

from jambwright.basis.problems import BadInput
from jambwright.store.database import Store, now
from jambwright.store.houses import NotThere
from jambwright.store.names import DEFAULTS, folded, require_own_role, tidy
from jambwright.store.tables import invitations, people, sessions

Role = Literal["office", "fitter", "read_only"]
ROLES: tuple[Role, ...] = ("office", "fitter", "read_only")

INVITATION_MINUTES = 10
SESSION_DAYS = 30
OTHER_NAME = "Give another name."
IF_IT_IS_YOU = "If it is you: ask the office to let you in once more under that name."


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Someone with a session."""

    id: str
    name: str
    role: Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Login:
    """A session as the office sees it: one device of a person."""

    id: str
    name: str
    role: Role
    device: str
    began: str


def invite(store: Store, *, name: str = "", role: Role, minutes: float = INVITATION_MINUTES) -> str:
    """Make a secret that lets one device in once.

    The invitation of whoever holds this machine carries no name. Raises ``BadInput`` for the name of another.
    """
    secret, name = secrets.token_urlsafe(16), tidy(name)
    row = {"secret": _hash(secret), "name": name, "role": role, "expires": _later(minutes=minutes)}
    with store.writing() as connection:
        if name:
            require_own_role(name, role)
            held = _named(connection, name)
            if held and not any(person.role == role for person in held):
                raise BadInput.one("name", _other_role(held[0]))
        connection.execute(insert(invitations).values(**row))
    return secret


def _other_role(person: Person) -> str:
    role = person.role.replace("read_only", "may look only")
    return (
        f"{person.name} is let in already, with another role: {role}. "
        "For another device of the same person choose that role; for someone else give another name."
    )


def is_known(store: Store, name: str) -> bool:
    """Whether there is somebody of that name."""
    with store.reading() as connection:
        return bool(_named(connection, name))


def join(store: Store, secret: str, *, device: str, name: str = "") -> tuple[str, Person] | None:
    """Use an invitation up: a session token for its person, or None when it is used, late or unknown.

    ``name`` is what they call themselves, else they are called as they were invited. Raises ``BadInput`` for the
    name of another; the invitation is not used up then.
    """
    time, wanted = now(), (invitations.c.secret == _hash(secret), invitations.c.used.is_(None))
    with store.reading() as connection:  # a guess does not wait for the one writer, nor hold it up
        if not connection.execute(select(invitations.c.secret).where(*wanted)).first():
            return None
    with store.writing() as connection:
        if connection.dialect.name == "postgresql":  # two at once must not both find a name free
            connection.execute(text("LOCK TABLE people IN SHARE ROW EXCLUSIVE MODE"))
        used = update(invitations).where(*wanted, invitations.c.expires > time).values(used=time)
        if not connection.execute(used).rowcount:
            return None
        row = connection.execute(select(invitations).where(wanted[0])).one()
        person = _known_or_new(connection, row.name, row.role, tidy(name))
        token = secrets.token_urlsafe(32)
        connection.execute(
            insert(sessions).values(
                token=_hash(token), person=person.id, device=device[:120], began=time,
                expires=_later(minutes=SESSION_DAYS * 24 * 60),
            )
        )  # fmt: skip
    return token, person


def _known_or_new(connection: Connection, invited: str, role: Role, typed: str) -> Person:
    """The person who was meant, when they are known, else someone new under a name that nobody has."""
    name = typed or invited or DEFAULTS[role]
    require_own_role(name, role)
    # who holds this machine holds the database with it, and may say which of the office they are
    meant = folded(name) == folded(invited) if invited else role == "office"
    if held := _named(connection, name):
        mine = [person for person in held if person.role == role]
        if meant and mine:
            return mine[0]
        raise BadInput.one(
            "name", f"{held[0].name} is the name of somebody here. {OTHER_NAME} {IF_IT_IS_YOU}"
        )
    if not meant and _is_invited(connection, name):
        raise BadInput.one("name", f"{name} is invited already. {OTHER_NAME} {IF_IT_IS_YOU}")
    person = Person(id=secrets.token_hex(8), name=name, role=role)
    connection.execute(insert(people).values(id=person.id, name=name, role=role, created=now()))
    return person


def _named(connection: Connection, name: str) -> list[Person]:
    """People of that name, the newest first; a database of an earlier version may hold several."""
    rows = connection.execute(select(people).order_by(people.c.created.desc()))
    return [Person(id=r.id, name=r.name, role=r.role) for r in rows if folded(r.name) == folded(name)]


def _is_invited(connection: Connection, name: str) -> bool:
    names = select(invitations.c.name).where(invitations.c.used.is_(None), invitations.c.expires > now())
    return any(folded(name) == folded(invited) for invited in connection.execute(names).scalars())


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
        select(sessions.c.token, people.c.name, people.c.role, sessions.c.device, sessions.c.began)
        .join(people, people.c.id == sessions.c.person)
        .where(sessions.c.ended.is_(None), sessions.c.expires > now())
        .order_by(sessions.c.began.desc())
    )
    with store.reading() as connection:
        rows = connection.execute(wanted).all()
    return [
        Login(id=row.token[:16], name=row.name, role=row.role, device=row.device, began=row.began)
        for row in rows
    ]


def end_session(store: Store, login: str) -> Login:
    """Shut one device out; its session as it was. Raises ``NotThere`` when it is not open."""
    found = next((each for each in logins(store) if each.id == login), None)
    if found is None:
        raise NotThere(login)
    with store.writing() as connection:
        mine = sessions.c.token.startswith(login, autoescape=True)
        connection.execute(update(sessions).where(mine, sessions.c.ended.is_(None)).values(ended=now()))
    return found


def login_of(token: str) -> str:
    """What the session of a token is called where it is listed; nothing can be done with it but end it."""
    return _hash(token)[:16]


def _hash(secret: str) -> str:
    return sha256(secret.encode()).hexdigest()


def _later(*, minutes: float) -> str:
    later = datetime.now(UTC) + timedelta(minutes=minutes)
    return later.isoformat(timespec="milliseconds").replace("+00:00", "Z")
