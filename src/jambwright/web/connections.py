"""Connections held to their time and their number: who is slow or takes many is let go, nobody else waits for them.

Uvicorn bounds how long a kept connection may idle; it has no bound on how long a request may take to arrive, nor on
how many connections one address has.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Sequence
from http import HTTPStatus
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

from jambwright.basis.problems import Problem
from jambwright.web.texts import say

HEAD_S = 10.0
"""From the opening of a connection, or the first byte of a later request, to the end of its head."""
BODY_S = 20.0
"""For a body to arrive, and a second more for every ..."""
BYTES_A_SECOND = 4000
"""... of these: a phone at the edge of a signal sends as much."""
UNREAD_S = 30.0
"""For an answer to be read on, once the system's buffers are full."""
LINGER_S = 2.0
"""For the rest of a body whose answer is sent already."""
KEPT_S = 15
"""A connection without a request is kept this long."""
LONGEST_HEAD = 32_000
OF_ONE_ADDRESS = 16
"""A browser opens six."""
OF_ALL = 300
TURNED_AWAY_S = 1.0
"""One too many is told so after this long, so that who comes again at once costs little ..."""
TURNED_AWAY = 64
"""... and this many are kept waiting for it; the rest are shut without a word."""


def _room_among(others: Sequence[Watched]) -> bool:
    """Whether one of them idles: the one that idles longest is let go."""
    idle = [each for each in others if each.idle and not each.transport.is_closing()]
    if idle:
        min(idle, key=lambda each: each.idle_since).transport.abort()
    return bool(idle)


class Watched(H11Protocol):
    """HTTP/1.1 with bounds on time and number. Past the number, whoever idles longest makes room."""

    def __init__(self, *given: Any, **more: Any) -> None:
        super().__init__(*given, **more)
        self._due: asyncio.TimerHandle | None = None
        self._unread: asyncio.TimerHandle | None = None
        self._in_head = False
        self._body_began = 0.0
        self._body_bytes = 0
        self._turned_away = False
        self.idle_since = 0.0

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]  # as uvicorn's
        """Let in, unless its address or everybody has too many."""
        super().connection_made(transport)
        self.idle_since = self.loop.time()
        host = self.client and self.client[0]
        all_of_them = [each for each in self.connections if isinstance(each, Watched) and each is not self]
        others = [each for each in all_of_them if not each._turned_away]
        own = [each for each in others if each.client and each.client[0] == host]
        if len(own) >= OF_ONE_ADDRESS and not _room_among(own):
            self._turn_away("connection.too_many_yours", len(all_of_them) - len(others))
        elif len(others) >= OF_ALL and not _room_among(others):
            self._turn_away("connection.too_many", len(all_of_them) - len(others))
        else:
            self._watch()

    @property
    def idle(self) -> bool:
        """Whether nothing is under way."""
        return self.cycle is None or self.cycle.response_complete

    def data_received(self, data: bytes) -> None:
        """Pass on what came, and look how far the request is."""
        if self.transport.is_closing() or self._turned_away:
            return
        self._body_bytes += len(data)
        super().data_received(data)
        self._watch()

    def on_response_complete(self) -> None:
        """An answer is sent."""
        self.idle_since = self.loop.time()
        super().on_response_complete()
        if self.conn.their_state is h11.SEND_BODY and self.idle:
            self._after(LINGER_S, self.transport.abort)
        elif self.timeout_keep_alive_task is not None:
            self._after(None)
        else:  # the next request is being read already
            self._watch()

    def timeout_keep_alive_handler(self) -> None:
        """Close what has idled; what is still unread then is given up after a while."""
        super().timeout_keep_alive_handler()
        self.loop.call_later(UNREAD_S, self.transport.abort)

    def pause_writing(self) -> None:
        """The answer is not being read as fast as it is sent."""
        super().pause_writing()
        self._unread = self.loop.call_later(UNREAD_S, self.transport.abort)

    def resume_writing(self) -> None:
        """It is read on."""
        super().resume_writing()
        if self._unread:
            self._unread.cancel()
            self._unread = None

    def connection_lost(self, exc: Exception | None) -> None:
        """Nothing is due any more."""
        super().connection_lost(exc)
        self._after(None)
        self.resume_writing()

    def _turn_away(self, why: str, waiting: int) -> None:
        """One too many: nothing of it is read."""
        self._turned_away = True
        if waiting >= TURNED_AWAY:
            self.transport.abort()
        else:
            self._after(TURNED_AWAY_S, lambda: self._let_go(HTTPStatus.SERVICE_UNAVAILABLE, say(why)))

    def _watch(self) -> None:
        """Set what is due by how far the request is."""
        their = self.conn.their_state
        if self.transport.is_closing():
            self._after(None)
        elif their is h11.IDLE:
            if not self._in_head:
                self._after(HEAD_S, self._late)
                self._in_head = True
        elif their is h11.SEND_BODY and not self.idle:
            if self._in_head or self._due is None:
                self._body_began, self._body_bytes = self.loop.time(), 0
                self._after(BODY_S, self._look_at_body)
        elif not self.idle:
            self._after(None)

    def _look_at_body(self) -> None:
        has_s = BODY_S + self._body_bytes / BYTES_A_SECOND
        left_s = self._body_began + has_s - self.loop.time()
        if left_s <= 0 and not self.flow.read_paused:
            self._late()
        else:
            self._after(max(left_s, 1.0), self._look_at_body)

    def _late(self) -> None:
        self._let_go(HTTPStatus.REQUEST_TIMEOUT, say("connection.slow"))

    def _after(self, seconds: float | None, do: Any = None) -> None:
        """What is due then, in place of what was."""
        if self._due:
            self._due.cancel()
        self._in_head = False
        self._due = None if seconds is None else self.loop.call_later(seconds, do)

    def _let_go(self, status: HTTPStatus, why: str) -> None:
        """Say why, as far as no answer has begun, and close."""
        self._after(None)
        if self.cycle is None or not self.cycle.response_started:
            body = json.dumps({"problems": [Problem("connection", why).as_json()]}).encode()
            head = (
                f"HTTP/1.1 {status.value} {status.phrase}\r\nContent-Type: application/json\r\n"
                f"Content-Length: {len(body)}\r\nRetry-After: {int(KEPT_S)}\r\nConnection: close\r\n\r\n"
            )
            self.transport.write(head.encode() + body)
        self.transport.close()
        self.loop.call_later(LINGER_S, self.transport.abort)
