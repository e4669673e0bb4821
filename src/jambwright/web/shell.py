"""The static files: served under a name that changes with their content, and kept by the phone's worker."""

from __future__ import annotations

import functools
import json
from dataclasses import dataclass
from hashlib import sha256
from importlib import resources
from pathlib import Path

from fastapi import FastAPI
from fastapi.responses import Response
from fastapi.staticfiles import StaticFiles
from starlette.types import Scope

from jambwright.web.limits import limits

WORKER = "worker.js"


@dataclass(frozen=True, slots=True)
class Shell:
    """Where the static files are and what they are called."""

    folder: Path
    mark: str
    """Fingerprint of all of them."""
    names: tuple[str, ...]

    @property
    def base(self) -> str:
        """The address they are served under."""
        return f"/static/{self.mark}"


class _Lasting(StaticFiles):
    """Files that never change under their address."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """One file, to be kept by the browser."""
        response = await super().get_response(path, scope)
        if response.status_code == 200:
            response.headers["Cache-Control"] = "public, max-age=31536000, immutable"
        return response


@functools.cache
def shell() -> Shell:
    """The static files of this installation."""
    folder = Path(str(resources.files("jambwright.web") / "static"))
    names = tuple(sorted(path.name for path in folder.iterdir() if path.is_file()))
    total = sha256(json.dumps(limits()).encode())
    for name in names:
        total.update(name.encode() + b"\0" + (folder / name).read_bytes())
    return Shell(folder, total.hexdigest()[:12], names)


def serve_shell(app: FastAPI, files: Shell) -> None:
    """Serve the static files, the limits beside them, and the worker from the root that it is to watch."""

    @app.get(f"{files.base}/limits.json", include_in_schema=False)
    def the_limits() -> Response:
        lasting = {"Cache-Control": "public, max-age=31536000, immutable"}
        return Response(json.dumps(limits()), media_type="application/json", headers=lasting)

    @app.get("/worker.js", include_in_schema=False)
    def worker() -> Response:
        kept = [f"{files.base}/{name}" for name in (*files.names, "limits.json") if name != WORKER]
        body = (files.folder / WORKER).read_text(encoding="utf-8")
        told = f"const MARK = {json.dumps(files.mark)};\nconst KEPT = {json.dumps(kept)};\n"
        return Response(told + body, media_type="text/javascript", headers={"Cache-Control": "no-cache"})

    app.mount(files.base, _Lasting(directory=files.folder), name="static")
