"""JSON as it comes in, before anything reads it: no deeper than a survey can be, no character that can't be kept.

What is nested without end would stop whoever reads it later, and half a pair of code units (``\\ud83d`` alone) could
be kept but in no answer be sent.
"""

from __future__ import annotations

import json
import re

from fastapi.concurrency import run_in_threadpool
from fastapi.requests import HTTPConnection
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from jambwright.basis.characters import mended_tree
from jambwright.basis.problems import Problem
from jambwright.basis.tree import DEEPEST
from jambwright.web.safety import problems
from jambwright.web.texts import say

TEXTS = re.compile(rb'"[^"\\]*+(?:\\.[^"\\]*+)*+"?', re.DOTALL)
"""Texts; one that is never closed goes to the end, so that no body takes long."""
NO_BRACKET = bytes(set(range(256)) - set(b"[]{}"))
SUSPECT = re.compile(rb"\\u|[\xed\x00-\x08\x0b\x0c\x0e-\x1f\xef]")
"""What an odd character starts with, escaped or as it is."""


MOST_VALUES = 30_000
"""In lists and groups: the largest house has half as many."""
READ_AS_YAML = ("/import", ".yaml", "/api/prices")
"""How the paths end whose bodies are files, of whatever kind they say: what reads those has bounds of its own."""


class JsonBodies:
    """Reads a JSON body whole, refuses what is nested too deep and mends odd characters, then hands it on."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on with the body as it may be read."""
        if scope["type"] != "http" or not _is_json(scope):
            return await self.app(scope, receive, send)
        body = await _whole(receive)
        if body is None:  # they went away
            return None
        if await run_in_threadpool(depth, body) > DEEPEST:
            refused = problems(422, Problem("body", say("refused.too_deep", most=DEEPEST)))
            return await refused(scope, receive, send)
        if len(body) > MOST_VALUES and await run_in_threadpool(values, body) > MOST_VALUES:
            refused = problems(422, Problem("body", say("refused.too_long", most=MOST_VALUES)))
            return await refused(scope, receive, send)
        body = await run_in_threadpool(mended_json, body)
        return await self.app(scope, _given(body, receive), send)


def _is_json(scope: Scope) -> bool:
    kind = HTTPConnection(scope).headers.get("content-type", "").lower()
    return "json" in kind and not scope["path"].endswith(READ_AS_YAML)


async def _whole(receive: Receive) -> bytes | None:
    parts = []
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            return None
        parts.append(message.get("body", b""))
        if not message.get("more_body", False):
            return b"".join(parts)


def _given(body: bytes, receive: Receive) -> Receive:
    """The body at once, then whatever comes after it."""
    first: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

    async def given() -> Message:
        return first.pop() if first else await receive()

    return given


def depth(body: bytes) -> int:
    """How deep JSON is nested, whether it can be read or not; counted up to the first that is too deep.

    >>> depth(b'{"a": [[1], "[[[["]}')
    3
    """
    deep = deepest = 0
    for bracket in TEXTS.sub(b"", body).translate(None, NO_BRACKET):
        deep += 1 if bracket in b"[{" else -1
        deepest = max(deepest, deep)
        if deepest > DEEPEST:
            break
    return deepest


def values(body: bytes) -> int:
    """How many values JSON holds in lists and groups, near enough: those before a comma.

    >>> values(b'{"a": [1, 2], "b, c": 3}')
    2
    """
    return TEXTS.sub(b"", body).count(b",")


def mended_json(body: bytes) -> bytes:
    """The same JSON with a mark in place of every odd character; as it came where it can't be read.

    >>> mended_json(b'{"note": "crack \\\\ud83d"}').decode()
    '{"note": "crack \\\\ufffd"}'
    """
    if not SUSPECT.search(body):
        return body
    try:
        tree = json.loads(body)
    except ValueError:
        return body
    mended = mended_tree(tree)
    return body if mended == tree else json.dumps(mended).encode()
