"""Who is asking, and what they may: sessions by cookie or bearer token, the token of our pages, roles."""

from __future__ import annotations

import hmac
from hashlib import sha256
from typing import Annotated

from fastapi import Depends, Request
from fastapi.requests import HTTPConnection
from fastapi.security import APIKeyCookie, HTTPAuthorizationCredentials, HTTPBearer

from jambwright.store import Person, Store, note, person_of

COOKIE = "jambwright"
HOST_COOKIE = f"__Host-{COOKIE}"
"""Its name over https: browsers keep such a one for this host alone, and only when it came over https."""
TOKEN_HEADER = "X-Jambwright-Token"


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


def cookie_name(asking: HTTPConnection) -> str:
    """What the session's cookie is called."""
    return HOST_COOKIE if asking.url.scheme == "https" else COOKIE


def token_of(asking: HTTPConnection) -> str:
    """The token of the session: a program's header, else the cookie; nothing when there is neither."""
    return _of_program(asking) or asking.cookies.get(cookie_name(asking), "")


def _of_program(asking: HTTPConnection) -> str:
    scheme, _, token = asking.headers.get("authorization", "").partition(" ")
    return token.strip() if scheme.lower() == "bearer" else ""


def person_asking(store: Store, asking: HTTPConnection) -> Person | None:
    """Whose open session came along with what is asked, None when there is none."""
    token = token_of(asking)
    return person_of(store, token) if token else None


def from_our_page(asking: HTTPConnection) -> bool:
    """Whether a change carries the token of our own pages, or the header that only a program can send."""
    if _of_program(asking):
        return True
    sent = asking.headers.get(TOKEN_HEADER, "")
    return hmac.compare_digest(sent.encode(), csrf_token(token_of(asking)).encode())


async def reader(
    request: Request,
    _cookie: Annotated[str | None, Depends(_by_cookie)],
    _header: Annotated[HTTPAuthorizationCredentials | None, Depends(_by_header)],
) -> Person:
    """Anyone let in, as the door found them; cookie and header stand here for the description of the API."""
    person: Person = request.state.person
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


def audited(request: Request, who: str, action: str, subject: str = "", *, often: bool = False) -> None:
    """Add a line to the audit log; for what may be done ``often``, one a minute."""
    note(store_of(request), who=who, address=address_of(request), action=action, subject=subject, often=often)
