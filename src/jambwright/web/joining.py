"""Letting devices in and out: a one-time secret in an address or a QR code, wrong ones slowed down."""

from __future__ import annotations

import asyncio
import io
import time
from collections import OrderedDict
from contextlib import suppress
from typing import Annotated
from urllib.parse import urlsplit

import segno
from fastapi import APIRouter, Form, Path, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse

from jambwright.basis.problems import BadInput
from jambwright.store import NotThere, end_session, invite, is_known, join, login_of, logins
from jambwright.store.names import tidy
from jambwright.store.people import SESSION_DAYS, Login
from jambwright.web.asking import (
    Office,
    Reader,
    StoreHere,
    address_of,
    audited,
    cookie_name,
    csrf_token,
    token_of,
)
from jambwright.web.pages import page
from jambwright.web.shapes import Invited, Me, NewLogin
from jambwright.web.texts import say

router = APIRouter()

TRIES, WITHIN_S = 8, 60.0
"""Wrong codes of one address that are answered at once, in so long."""
SLOWED_S = 1.0
"""Each further one is answered after so long. A right code is never kept waiting: it can't be guessed (128 bits)."""
ADDRESSES_REMEMBERED = 10_000
Secret = Annotated[str, Path(pattern=r"^[A-Za-z0-9_-]{8,64}$")]


class Slower:
    """Counts wrong codes by address, so that nobody is slowed by another; the oldest address is forgotten first."""

    def __init__(self) -> None:
        self._failed: OrderedDict[str, tuple[float, int]] = OrderedDict()

    def failed(self, address: str) -> bool:
        """Note a wrong code; whether this address has sent too many lately."""
        since, before = self._failed.pop(address, (time.monotonic(), 0))
        if time.monotonic() - since > WITHIN_S:
            since, before = time.monotonic(), 0
        self._failed[address] = (since, before + 1)
        while len(self._failed) > ADDRESSES_REMEMBERED:
            self._failed.popitem(last=False)
        return before >= TRIES


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
async def let_in(
    secret: Secret,
    request: Request,
    store: StoreHere,
    name: Annotated[str, Form(max_length=60)] = "",
    screen: Annotated[str, Form(max_length=10)] = "",
) -> Response:
    """Trade the secret for a session; the office is led to the desk, from a phone's screen to the phone's pages."""
    device = request.headers.get("user-agent", "")
    try:
        joined = await run_in_threadpool(join, store, secret, device=device, name=name)
    except BadInput as bad:
        return page("join.html", status=422, secret=secret, kept_open=False, why=bad.problems[0].bare)
    if joined is None:
        slower: Slower = request.app.state.slower
        if not slower.failed(address_of(request)):
            return page("join_how.html", status=403, why=say("join.used"))
        await asyncio.sleep(SLOWED_S)
        headers = {"Retry-After": str(int(WITHIN_S))}
        return page("join_how.html", status=429, why=say("join.slow"), headers=headers)
    token, person = joined
    if before := token_of(request):
        with suppress(NotThere):
            await run_in_threadpool(end_session, store, login_of(before))
    await run_in_threadpool(audited, request, person.name, "joined", person.role)
    answer = RedirectResponse("/" if person.role == "office" and screen != "narrow" else "/site", 303)
    answer.set_cookie(
        cookie_name(request), token, max_age=SESSION_DAYS * 86400, httponly=True, samesite="strict", path="/",
        secure=request.url.scheme == "https",
    )  # fmt: skip
    return answer


@router.get("/api/me", tags=["people"], summary="Who this session is")
def me(request: Request, person: Reader) -> Me:
    """Name, role, and the token that our own pages send with every change."""
    return Me(name=person.name, role=person.role, token=csrf_token(token_of(request)))


@router.delete("/api/me", status_code=204, tags=["people"], summary="Leave: end this session")
def leave(request: Request, response: Response, store: StoreHere, person: Reader) -> None:
    """This device must be let in anew; what it typed and did not send stays on it."""
    with store.writing():
        end_session(store, login_of(token_of(request)))
        audited(request, person.name, "left")
    response.delete_cookie(cookie_name(request), httponly=True, samesite="strict")
    response.headers["Clear-Site-Data"] = '"cache"'


@router.get("/api/people", tags=["people"], summary="Open sessions")
def all_people(store: StoreHere, _: Office) -> list[Login]:
    """Who is let in, on which device."""
    return logins(store)


@router.post("/api/people", status_code=201, tags=["people"], summary="Let a device in")
def let_someone_in(new: NewLogin, request: Request, store: StoreHere, person: Office) -> Invited:
    """A one-time address, and its QR code as SVG; none for an address that only this machine can open."""
    if not tidy(new.name):
        raise BadInput.one("name", say("people.no_name"))
    with store.writing():
        secret = invite(store, name=new.name, role=new.role)
        audited(request, person.name, "invited", f"{tidy(new.name)} {new.role}")
    address = f"{request.app.state.address or request.base_url}".rstrip("/") + f"/join/{secret}"
    known = is_known(store, new.name)
    if only_here(address):
        return Invited(address=address, code="", only_here=True, known=known)
    drawing = io.BytesIO()
    segno.make(address, error="m").save(drawing, kind="svg", xmldecl=False, omitsize=True, border=2)
    return Invited(address=address, code=drawing.getvalue().decode(), only_here=False, known=known)


@router.delete("/api/people/{login}", status_code=204, tags=["people"], summary="End one device's session")
def shut_out(
    login: Annotated[str, Path(pattern=r"^[0-9a-f]{16}$")], request: Request, store: StoreHere, person: Office
) -> None:
    """That device must be let in anew, at once; other devices of the same person stay."""
    with store.writing():
        ended = end_session(store, login)
        audited(request, person.name, "session ended", f"{ended.name}, {ended.device}")
