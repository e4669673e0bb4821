"""Papers on disk: every file is complete or not there."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path


def write_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files by relative name, each replaced atomically. Raises ``OSError`` when the disk refuses."""
    for name, content in files.items():
        write_file(folder / name, content)


def write_file(path: Path, content: bytes) -> None:
    """Replace one file: the content goes to a neighbour first and takes the name in one move."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(beside).chmod(0o644)
        Path(beside).replace(path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise
