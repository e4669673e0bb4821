"""The door: nobody passes without a session, but to what lets them in and to the empty shell of the phone's app.

It stands before the routes, so that a new one is shut until it is named here, and before a body is read.
"""

from __future__ import annotations

from fastapi.concurrency import run_in_threadpool
from fastapi.requests import HTTPConnection
from fastapi.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from jambwright.basis.problems import Problem
from jambwright.store import Store
from jambwright.web.asking import from_our_page, person_asking
from jambwright.web.safety import problems
from jambwright.web.texts import say

OPEN = ("/join", "/site", "/static", "/worker.js")
"""Joining; the page of the phone's app, which holds no data; its files; the worker that keeps them."""
HARMLESS = ("GET", "HEAD", "OPTIONS")


class Door:
    """Finds whose session it is (``request.state.person``) or refuses; a change must come from our own page."""

    def __init__(self, app: ASGIApp, store: Store) -> None:
        self.app, self.store = app, store

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let the request pass, or answer it."""
        if scope["type"] == "http" and not is_open(scope["path"]):
            asking = HTTPConnection(scope)
            person = await run_in_threadpool(person_asking, self.store, asking)
            asking.state.person = person
            if person is None:
                return await _not_let_in(scope, asking)(scope, receive, send)
            if scope["method"] not in HARMLESS and not from_our_page(asking):
                refused = problems(403, Problem("session", say("refused.old_page")))
                return await refused(scope, receive, send)
        return await self.app(scope, receive, send)


def is_open(path: str) -> bool:
    """Whether a path is for anyone."""
    return any(path == way or path.startswith(f"{way}/") for way in OPEN)


def _not_let_in(scope: Scope, asking: HTTPConnection) -> Response:
    if scope["method"] == "GET" and "text/html" in asking.headers.get("accept", ""):
        return RedirectResponse("/join", 303)
    return problems(401, Problem("session", say("refused.not_let_in")))
