"""Refusals, counted by the minute: a hostile client gets a few rows in the audit log, not one for each request."""

from __future__ import annotations

import threading
import time

from fastapi.concurrency import run_in_threadpool
from fastapi.requests import HTTPConnection
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from jambwright.store import Person, Refusal, Store, note_refusals, now

WHY = {
    400: "strange host name, or can't be read",
    401: "no session",
    403: "may not",
    413: "too large",
    429: "too often",
    503: "too much at once",
}
"""Answers that are counted, and what stands in the log for them."""
KINDS_A_MINUTE = 50
"""Different refusals told apart in one minute; what is more counts as of one address named so."""
MANY = "many addresses"
WRITE_EVERY_S = 5.0


class Counted:
    """What was refused lately, by minute, person, address and reason, until it is written."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._turn = threading.Lock()
        self._counted: dict[Refusal, tuple[int, str]] = {}
        self._written = 0.0

    def add(self, who: str, address: str, why: str, example: str) -> None:
        """Count one more."""
        minute = now()[: len("2026-01-01T00:00")] + ":00.000Z"
        refusal = Refusal(minute=minute, who=who, address=address, why=why)
        with self._turn:
            told_apart = sum(each.minute == minute for each in self._counted)
            if refusal not in self._counted and told_apart >= KINDS_A_MINUTE:
                refusal = Refusal(minute=minute, who="", address=MANY, why=why)
            times, _ = self._counted.get(refusal, (0, ""))
            self._counted[refusal] = (times + 1, example)

    @property
    def due(self) -> bool:
        """Whether it is time to write."""
        return bool(self._counted) and time.monotonic() - self._written >= WRITE_EVERY_S

    def write(self) -> None:
        """Put the counts into the audit log; those of minutes that are over are done with then."""
        with self._turn:
            self._written = time.monotonic()
            sent = dict(self._counted)
        if sent and note_refusals(self._store, sent):
            newest = max(each.minute for each in sent)
            with self._turn:
                for each in sent:
                    if each.minute < newest:
                        del self._counted[each]


class Refusals:
    """Counts the answers that are refusals."""

    def __init__(self, app: ASGIApp, counted: Counted) -> None:
        self.app, self.counted = app, counted

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, then count its answer."""
        status = 0

        async def sending(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
            await send(message)

        await self.app(scope, receive, sending)
        if scope["type"] == "http" and status in WHY:
            person: Person | None = getattr(HTTPConnection(scope).state, "person", None)
            address = (scope.get("client") or ("",))[0]
            example = f"{scope['method']} {_told(scope['path'])}"
            self.counted.add(person.name if person else "", address, WHY[status], example)
        if self.counted.due:
            await run_in_threadpool(self.counted.write)


def _told(path: str) -> str:
    """What was asked for, without a code that may still let someone in."""
    return "/join" if path.startswith("/join") else path[:100]
