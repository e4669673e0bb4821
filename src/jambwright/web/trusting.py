"""The page that walks a phone through trusting this computer's certificate: plain http, and nothing else on it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from fastapi import FastAPI
from fastapi.responses import HTMLResponse, Response
from fastapi.staticfiles import StaticFiles
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware

from jambwright.web.certificates import fingerprint
from jambwright.web.pages import page
from jambwright.web.safety import SafeHeaders
from jambwright.web.shell import shell


def trusting_app(authority: Path, *, hosts: Sequence[str], leads_to: str) -> FastAPI:
    """Serves the page and the authority; ``leads_to`` is where the houses are once it is trusted."""
    app = FastAPI(
        openapi_url=None, docs_url=None, redoc_url=None,
        middleware=[
            Middleware(SafeHeaders),
            Middleware(TrustedHostMiddleware, allowed_hosts=[*hosts], www_redirect=False),
        ],
    )  # fmt: skip

    @app.get("/")
    def steps() -> HTMLResponse:
        return page("trust.html", leads_to=leads_to, marks=grouped(fingerprint(authority)))

    @app.get("/authority.crt")
    def the_authority() -> Response:
        return Response(authority.read_bytes(), media_type="application/x-x509-ca-cert")

    app.mount(shell().base, StaticFiles(directory=shell().folder))
    return app


def grouped(marks: str) -> tuple[str, ...]:
    """A fingerprint in rows short enough to compare by eye.

    >>> grouped("AB:CD:EF:01:23:45:67:89:AB")
    ('AB CD EF 01', '23 45 67 89', 'AB')
    """
    pairs = marks.split(":")
    return tuple(" ".join(pairs[at : at + 4]) for at in range(0, len(pairs), 4))
