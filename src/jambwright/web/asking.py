"""Who is asking, and whether they may: sessions by cookie or bearer token, roles, and the CSRF token."""

from __future__ import annotations

import hmac
from hashlib import sha256
from typing import Annotated, Any

from fastapi import Depends, Request
from fastapi.security import APIKeyCookie, HTTPAuthorizationCredentials, HTTPBearer

from jambwright.store import Person, Store, note, person_of

COOKIE = "jambwright"
TOKEN_HEADER = "X-Jambwright-Token"
HARMLESS = ("GET", "HEAD", "OPTIONS")


# What decides at once is asked on the event loop ("async"); what reads the store takes a thread of its own.


class NotLetIn(Exception):
    """No open session."""


class MayNot(Exception):
    """The session's role does not allow it, or the request did not come from our own page."""

    def __init__(self, say: str) -> None:
        self.say = say
        super().__init__(say)


def store_of(request: Request) -> Store:
    """The store the app was made with."""
    store: Store = request.app.state.store
    return store


async def _store_here(request: Request) -> Store:
    return store_of(request)


StoreHere = Annotated[Store, Depends(_store_here)]

_by_cookie = APIKeyCookie(name=COOKIE, auto_error=False)
_by_header = HTTPBearer(auto_error=False)


def csrf_token(session: str) -> str:
    """The token that our own pages send along with every change."""
    return hmac.new(session.encode(), b"page token", sha256).hexdigest()[:32]


def reader(
    request: Request,
    store: StoreHere,
    cookie: Annotated[str | None, Depends(_by_cookie)],
    header: Annotated[HTTPAuthorizationCredentials | None, Depends(_by_header)],
) -> Person:
    """Anyone let in. Raises ``NotLetIn``, or ``MayNot`` when a change carries no page token."""
    token = header.credentials if header else cookie
    person = person_of(store, token) if token else None
    if token is None or person is None:
        raise NotLetIn
    if header is None and request.method not in HARMLESS:
        sent = request.headers.get(TOKEN_HEADER, "")
        if not hmac.compare_digest(sent.encode(), csrf_token(token).encode()):
            raise MayNot("This page is out of date; load it again.")
    return person


Reader = Annotated[Person, Depends(reader)]


async def fitter(person: Reader) -> Person:
    """Someone who may measure and plan."""
    if person.role == "read_only":
        raise MayNot("You may look at this, not change it. Ask the office for another role.")
    return person


async def office(person: Reader) -> Person:
    """Someone who may let people in and take houses away."""
    if person.role != "office":
        raise MayNot("Only the office may do this.")
    return person


Fitter = Annotated[Person, Depends(fitter)]
Office = Annotated[Person, Depends(office)]


def address_of(request: Request) -> str:
    """Where the request came from."""
    return request.client.host if request.client else ""


def audited(request: Request, who: str, action: str, subject: Any = "") -> None:
    """Add a line to the audit log."""
    note(store_of(request), who=who, address=address_of(request), action=action, subject=str(subject))
