"""Letting devices in: a one-time secret in an address or a QR code, guesses slowed down."""

from __future__ import annotations

import io
import time
from collections import deque
from typing import Annotated
from urllib.parse import urlsplit

import segno
from fastapi import APIRouter, Form, Path, Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse

from jambwright.store import end_sessions, invite, join, logins, rename
from jambwright.store.people import SESSION_DAYS, Login
from jambwright.web.asking import COOKIE, Office, Reader, StoreHere, address_of, audited, csrf_token
from jambwright.web.pages import page
from jambwright.web.shapes import Invited, Me, NewLogin
from jambwright.web.texts import say

router = APIRouter()

TRIES, WITHIN_S = 8, 60.0
LONGEST_REMEMBERED = 10_000
Secret = Annotated[str, Path(pattern=r"^[A-Za-z0-9_-]{8,64}$")]


class Slower:
    """Counts failed tries by address and over all; too many in a minute and nobody may try for a while."""

    def __init__(self) -> None:
        self._failed: deque[tuple[float, str]] = deque(maxlen=LONGEST_REMEMBERED)

    def too_many(self, address: str) -> bool:
        """Whether this address, or everybody together, has failed too often lately."""
        since = time.monotonic() - WITHIN_S
        while self._failed and self._failed[0][0] < since:
            self._failed.popleft()
        mine = sum(1 for _, who in self._failed if who == address)
        return mine >= TRIES or len(self._failed) >= TRIES * 5

    def failed(self, address: str) -> None:
        """Note a failed try."""
        self._failed.append((time.monotonic(), address))


@router.get("/join", include_in_schema=False)
def not_joined() -> HTMLResponse:
    """How to get in, for someone without a session."""
    return page("join_how.html", status=401)


@router.get("/join/{secret}", include_in_schema=False)
def ask_to_join(secret: Secret, request: Request) -> HTMLResponse:
    """Looking at the address uses nothing up; only the button does."""
    return page("join.html", secret=secret, kept_open=not _opens_without_signal(request))


def _opens_without_signal(request: Request) -> bool:
    """Browsers keep a page for use without signal only from https or from the machine itself."""
    return request.url.scheme == "https" or only_here(str(request.url))


def only_here(address: str) -> bool:
    """Whether an address leads to the machine itself, so that no other device can open it."""
    return urlsplit(address).hostname in ("127.0.0.1", "localhost", "::1")


@router.post("/join/{secret}", include_in_schema=False)
def let_in(
    secret: Secret, request: Request, store: StoreHere, name: Annotated[str, Form(max_length=60)] = ""
) -> Response:
    """Trade the secret for a session."""
    slower: Slower = request.app.state.slower
    address = address_of(request)
    if slower.too_many(address):
        audited(request, "", "joining slowed down")
        return page(
            "join_how.html", status=429, why=say("join.slow"), headers={"Retry-After": str(int(WITHIN_S))}
        )
    joined = join(store, secret, device=request.headers.get("user-agent", ""))
    if joined is None:
        slower.failed(address)
        audited(request, "", "joining refused")
        return page("join_how.html", status=403, why=say("join.used"))
    token, person = joined
    if name.strip():
        rename(store, person.id, name.strip())
    audited(request, name.strip() or person.name, "joined", person.role)
    answer = RedirectResponse("/" if person.role == "office" else "/site", 303)
    answer.set_cookie(
        COOKIE, token, max_age=SESSION_DAYS * 86400, httponly=True, samesite="strict", path="/",
        secure=request.url.scheme == "https",
    )  # fmt: skip
    return answer


@router.get("/api/me", tags=["people"], summary="Who this session is")
def me(request: Request, person: Reader) -> Me:
    """Name, role, and the token that our own pages send with every change."""
    return Me(name=person.name, role=person.role, token=csrf_token(request.cookies.get(COOKIE, "")))


@router.get("/api/people", tags=["people"], summary="Open sessions")
def all_people(store: StoreHere, _: Office) -> list[Login]:
    """Who is let in, on which device."""
    return logins(store)


@router.post("/api/people", status_code=201, tags=["people"], summary="Let a device in")
def let_someone_in(new: NewLogin, request: Request, store: StoreHere, person: Office) -> Invited:
    """A one-time address, and its QR code as SVG; none for an address that only this machine can open."""
    secret = invite(store, name=new.name.strip(), role=new.role)
    audited(request, person.name, "invited", f"{new.name} {new.role}")
    address = f"{request.app.state.address or request.base_url}".rstrip("/") + f"/join/{secret}"
    if only_here(address):
        return Invited(address=address, code="", only_here=True)
    drawing = io.BytesIO()
    segno.make(address, error="m").save(drawing, kind="svg", xmldecl=False, omitsize=True, border=2)
    return Invited(address=address, code=drawing.getvalue().decode(), only_here=False)


@router.delete("/api/people/{person_id}", status_code=204, tags=["people"], summary="End someone's sessions")
def shut_out(
    person_id: Annotated[str, Path(pattern=r"^[0-9a-f]{16}$")],
    request: Request,
    store: StoreHere,
    person: Office,
) -> None:
    """Their device must be let in anew."""
    end_sessions(store, person_id)
    audited(request, person.name, "session ended", person_id)
