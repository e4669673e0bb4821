"""How deep a body may be nested: looked at before anything reads it, so that no reader has to bear it."""

from __future__ import annotations

import re

import numpy as np
from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from jambwright.basis.tree import DEEPEST
from jambwright.web.texts import say

_STRING = re.compile(rb'"(?:[^"\\]++|\\.)*+"?', re.DOTALL)
_STEP = np.zeros(256, np.int8)
_STEP[[ord("["), ord("{")]] = 1
_STEP[[ord("]"), ord("}")]] = -1


def depth(body: bytes) -> int:
    """How deep a JSON text is nested, whether it is whole or not.

    >>> depth(b'{"a": [1, "[[[", {}]}')
    3
    """
    steps = _STEP[np.frombuffer(_STRING.sub(b"", body), np.uint8)]
    return int(np.cumsum(steps, dtype=np.int64).max(initial=0))


class NotTooDeep:
    """Refuses a JSON body that is nested deeper than anything of ours. Files are looked at by their own reader."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, its body watched."""
        if scope["type"] != "http" or "json" not in Headers(scope=scope).get("content-type", "json"):
            await self.app(scope, receive, send)
            return
        parts: list[bytes] = []

        async def watched() -> Message:
            message = await receive()
            parts.append(message.get("body", b""))
            if message["type"] == "http.request" and not message.get("more_body", False):
                if depth(b"".join(parts)) > DEEPEST:
                    raise HTTPException(422, say("refused.too_deep", n=DEEPEST))
                parts.clear()
            return message

        await self.app(scope, watched, send)
