"""What every answer carries, and every refusal in one shape: ``{"problems": [{field, say, kind}]}``."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from starlette.datastructures import MutableHeaders
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from jambwright.basis.border import in_words
from jambwright.basis.problems import BadInput, Problem
from jambwright.store import AnotherHouse, NoRoom, NotThere, Outdated
from jambwright.web.asking import MayNot
from jambwright.web.pages import page
from jambwright.web.texts import say
from jambwright.web.workers import Busy

HEADERS = {
    "Content-Security-Policy": "; ".join(
        (
            "default-src 'none'",
            "script-src 'self'",
            "style-src 'self'",
            "img-src 'self' blob:",
            "connect-src 'self'",
            "manifest-src 'self'",
            "worker-src 'self'",
            "form-action 'self'",
            "base-uri 'none'",
            "frame-ancestors 'none'",
        )
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=()",
}
LARGEST_BODY = 1_000_000
MOST_TOLD = 100
"""Problems told of at once."""


class SafeHeaders:
    """Adds the headers above to every answer, and `no-store` where the answer named no other.

    A refusal that the framework wrote as plain text (too long, strange host) is put into our shape.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on."""
        held: list[Message] = []

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers[name] = value
                headers.setdefault("Cache-Control", "no-store")
                if message["status"] >= 400 and headers.get("Content-Type", "").startswith("text/plain"):
                    held.append(message)
                    return
            elif held:
                start = held.pop()
                answer = problems(start["status"], Problem("request", message.get("body", b"").decode()))
                headers = MutableHeaders(scope=start)
                headers["Content-Type"] = "application/json"
                headers["Content-Length"] = str(len(answer.body))
                await send(start)
                message = {"type": "http.response.body", "body": bytes(answer.body)}
            await send(message)

        await self.app(scope, receive, sending if scope["type"] == "http" else send)


def problems(status: int, *found: Problem) -> JSONResponse:
    """The one shape in which anything is refused; of very many problems the first."""
    told = [p.as_json() for p in found[:MOST_TOLD]]
    if more := len(found) - len(told):
        told.append(Problem(found[-1].field, say("refused.more", n=more)).as_json())
    return JSONResponse({"problems": told}, status)


def install(app: FastAPI) -> None:
    """Answer every exception in that shape."""
    handlers: dict[type[Exception], Callable[[Request, Any], Response]] = {
        BadInput: lambda _, bad: problems(422, *bad.problems),
        RequestValidationError: lambda _, bad: problems(422, *_from_request(bad)),
        NotThere: lambda _, gone: problems(404, Problem("path", say("refused.not_there", what=str(gone)))),
        Outdated: lambda _, old: problems(412, Problem("If-Match", say("refused.outdated", version=old.there_is))),
        AnotherHouse: lambda _, other: problems(409, Problem("id", say("refused.other_house", label=other.label))),
        MayNot: lambda _, no: problems(403, Problem("session", no.say)),
        Busy: _busy,
        NoRoom: lambda _, __: problems(507, Problem("disk", say("refused.disk_full"))),
        HTTPException: _http,
    }  # fmt: skip
    for kind, handler in handlers.items():
        app.add_exception_handler(kind, _for_whom(handler))


def _for_whom(handler: Callable[[Request, Any], Response]) -> Callable[[Request, Any], Response]:
    """The refusal, as a page with a way back where a person asked for a page."""

    def answer(request: Request, error: Any) -> Response:
        refused = handler(request, error)
        person = getattr(request.state, "person", None)
        if person is None or not _wants_page(request):
            return refused
        told = json.loads(bytes(refused.body))["problems"]
        return page("refused.html", status=refused.status_code, problems=told)

    return answer


def _wants_page(request: Request) -> bool:
    asked = request.method == "GET" and "text/html" in request.headers.get("accept", "")
    return asked and not request.url.path.startswith("/api/")


def _busy(_: Request, busy: Busy) -> Response:
    answer = problems(503, Problem("work", busy.say))
    answer.headers["Retry-After"] = str(busy.retry_after_s)
    return answer


def _http(_: Request, error: HTTPException) -> Response:
    answer = problems(error.status_code, Problem("request", str(error.detail)))
    answer.headers.update(error.headers or {})
    return answer


def _from_request(error: RequestValidationError) -> list[Problem]:
    errors = error.errors()
    told = [problem for each in errors[:MOST_TOLD] for problem in _in_words(each, error.body)]
    return told + told[-1:] * max(len(errors) - MOST_TOLD, 0)


def _in_words(error: Any, body: Any) -> list[Problem]:
    """One error of a request: in its address, its head or its body."""
    where, *place = error["loc"]
    if error["type"] == "json_invalid":
        return [Problem("body", say("refused.no_json"))]
    sent = body if where == "body" and isinstance(body, Mapping) else dict.fromkeys(place[:1], error["input"])
    named = tuple(place) or (where,)
    return [*in_words([{**error, "loc": named}], sent if place else {where: error["input"]}).values()]
