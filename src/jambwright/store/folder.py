"""One file on disk: complete under its name, or not there."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from jambwright.basis.problems import BadInput
from jambwright.store.trouble import of_disk


def write_file(path: Path, content: bytes, *, mode: int = 0o644) -> None:
    """Replace one file: the content goes to a neighbour first and takes the name in one move. Raises ``BadInput``."""
    if path.is_dir():
        raise BadInput.one("file", f"{path} is a folder; name a file in it.")
    if path.exists() and not path.is_file():  # the move below would take a device's place
        raise BadInput.one("file", f"{path} is no file but a device or a pipe; name a file.")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        try:
            with os.fdopen(handle, "wb") as file:
                _to_disk(file.fileno(), content)
            Path(beside).chmod(mode)
            Path(beside).replace(path)
        except BaseException:
            Path(beside).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise of_disk(error, path) from None


def write_new(path: Path, content: bytes) -> None:
    """Write a file that nobody looks at yet. Raises ``OSError``."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o644)
    try:
        _to_disk(handle, content)
    finally:
        os.close(handle)


def _to_disk(handle: int, content: bytes) -> None:
    left = memoryview(content)
    while left:
        left = left[os.write(handle, left) :]
    os.fsync(handle)
