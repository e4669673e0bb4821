"""The application: routes, limits and headers put together around one store."""

from __future__ import annotations

import threading
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from typing import Any

from fastapi import FastAPI
from starlette.middleware import Middleware
from starlette.middleware.body_limit import RequestBodyLimitMiddleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.middleware.trustedhost import TrustedHostMiddleware

from jambwright import __version__
from jambwright.store import Store
from jambwright.web import (
    api_calc,
    api_changes,
    api_desk,
    api_drawing,
    api_houses,
    api_photos,
    api_plans,
    api_proposals,
    desk,
    first_page,
    forms,
    joining,
    pages,
    papers_page,
)
from jambwright.web.door import Door
from jambwright.web.house_states import Stands
from jambwright.web.json_bodies import JsonBodies
from jambwright.web.kept_plans import KeptPlans
from jambwright.web.progress import Works
from jambwright.web.refusals import Counted, Refusals
from jambwright.web.safety import LARGEST_BODY, SafeHeaders, install
from jambwright.web.shapes import Refused
from jambwright.web.shell import serve_shell, shell
from jambwright.web.workshop import Workshop

LOOPBACK = ("127.0.0.1", "localhost", "[::1]")


@asynccontextmanager
async def _open_workshop(app: FastAPI) -> AsyncIterator[None]:
    """The first worker is there before the first look at readings, and none is left afterwards."""
    workshop: Workshop = app.state.workshop
    threading.Thread(target=workshop.looks.warm, daemon=True).start()
    yield
    workshop.close()


def create_app(store: Store, *, hosts: Sequence[str] = (), address: str = "") -> FastAPI:
    """The application over a store.

    ``hosts`` are names it answers to beside the loopback; ``address`` is where other devices reach it.
    """
    refused = Counted(store)
    app = FastAPI(
        title="Jambwright",
        version=__version__,
        description="Surveys of openings, their plans, and calculations by name.",
        openapi_url=None,  # described below, for those let in
        lifespan=_open_workshop,
        docs_url=None,
        redoc_url=None,
        responses={
            code: {"model": Refused} for code in (400, 401, 403, 404, 409, 412, 413, 415, 422, 428, 503, 507)
        },
        middleware=[
            Middleware(SafeHeaders),
            Middleware(Refusals, counted=refused),
            Middleware(TrustedHostMiddleware, allowed_hosts=[*LOOPBACK, *hosts], www_redirect=False),
            Middleware(Door, store=store),
            Middleware(RequestBodyLimitMiddleware, max_body_size=LARGEST_BODY),
            Middleware(JsonBodies),
            Middleware(GZipMiddleware, minimum_size=800),
        ],
    )
    app.state.store = store
    app.state.address = address
    app.state.works = Works()
    app.state.plans = KeptPlans()
    app.state.stands = Stands()
    app.state.refused = refused
    app.state.workshop = Workshop()
    app.state.slower = joining.Slower()
    install(app)
    for module in (
        api_calc,
        first_page,
        api_houses,
        api_changes,
        api_photos,
        api_plans,
        api_proposals,
        api_desk,
        api_drawing,
        joining,
        pages,
        forms,
        papers_page,
        desk,
    ):
        app.include_router(module.router)
    serve_shell(app, shell())

    @app.get("/api/openapi.json", include_in_schema=False)
    async def described() -> dict[str, Any]:
        return app.openapi()

    return app
