"""How fast one address may ask: who asks for more waits for it, and nobody else does."""

from __future__ import annotations

import asyncio
import time

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

HERE = ("127.0.0.1", "::1")
"""This machine itself, whose user could stop the server anyhow."""
A_SECOND = 10.0
"""Requests an address may make in the long run; a phone makes one or two."""
AT_ONCE = 400.0
"""And in one go: pages opened, a day's readings sent."""
BYTES_A_REQUEST = 10_000
"""A body that has to be read counts as a request for every so many bytes ..."""
PHOTO_BYTES_A_REQUEST = 100_000
"""... and a photo for every so many: it is kept aside unread until a worker has time."""
REMEMBERED = 5000


class Pace:
    """What each address has left."""

    def __init__(self) -> None:
        self._left: dict[str, tuple[float, float]] = {}

    def wait_s(self, address: str, cost: float) -> float:
        """Take that much, and tell how long to wait for it."""
        now = time.monotonic()
        left, since = self._left.pop(address, (AT_ONCE, now))
        left = min(AT_ONCE, left + (now - since) * A_SECOND) - cost
        self._left[address] = left, now
        while len(self._left) > REMEMBERED:  # whoever asked longest ago, who has all of it back soonest
            self._left.pop(next(iter(self._left)))
        return max(0.0, -left / A_SECOND)


class Paced:
    """Every request, and what its body brings, waits for its address to have enough left."""

    def __init__(self, app: ASGIApp) -> None:
        self.app, self._pace = app, Pace()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on in its time."""
        address = (scope.get("client") or HERE)[0]
        if scope["type"] != "http" or address in HERE:
            await self.app(scope, receive, send)
            return
        photo = Headers(scope=scope).get("content-type", "").startswith("multipart/")
        each = PHOTO_BYTES_A_REQUEST if photo else BYTES_A_REQUEST

        async def paced() -> Message:
            message = await receive()
            if body := message.get("body"):
                await asyncio.sleep(self._pace.wait_s(address, len(body) / each))
            return message

        await asyncio.sleep(self._pace.wait_s(address, 1.0))
        await self.app(scope, paced, send)
