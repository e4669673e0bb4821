"""The last net under the command line: whatever happens, it ends with a sentence a person can use."""

from __future__ import annotations

import errno
import os
import platform
import re
import sys
import tempfile
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from typer.core import TyperGroup

from jambwright import __version__
from jambwright.terminal import BAD_FILE, UNEXPECTED

PASSWORD = re.compile(r"(://[^:/@\s]*):[^@\s]*@")
"""What stands between the name and the place in an address."""


class OutputLost(Exception):
    """Whoever read the output stopped reading."""


class Commands(TyperGroup):
    """The commands; an output that was closed is told apart from an answer."""

    def invoke(self, ctx: Any) -> Any:
        """Run one; the library would take a closed pipe for an answer of 1."""
        try:
            return super().invoke(ctx)
        except BrokenPipeError:
            raise OutputLost from None


@contextmanager
def last_net() -> Iterator[None]:
    """End with a sentence and a status, and a report where the fault is the program's own."""
    try:
        try:
            yield
        finally:
            if sys.stdout:
                sys.stdout.flush()  # what was held back fails here, while it can still be told
    except (SystemExit, KeyboardInterrupt, GeneratorExit):
        raise
    except (OutputLost, BrokenPipeError):
        _end(BAD_FILE, "The output was cut off: whoever read it stopped.")
    except BaseException as fault:
        if isinstance(fault, OSError) and fault.errno in (errno.ENOSPC, errno.EDQUOT):
            _end(BAD_FILE, "The output can't be written: the disk is full. Make room and try again.")
        if _folder_gone():
            _end(BAD_FILE, "The folder you are in is gone. Go to one that is there, then try again.")
        where = _report(fault)
        _end(UNEXPECTED, f"The program failed where it should not. All that was kept is still there. {where}")


def _end(status: int, say: str) -> None:
    """Say it and leave; nothing that can't be written any more is tried again on the way out."""
    for stream in (sys.stdout, sys.stderr):
        try:
            if stream is sys.stderr:
                print(say, file=stream)
            if stream:
                stream.flush()
        except (OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
    raise SystemExit(status) from None


def _folder_gone() -> bool:
    try:
        return not Path.cwd().exists()
    except OSError:
        return True


def _report(fault: BaseException) -> str:
    """Keep what is needed to find the fault, for its owner's eyes, and say where."""
    told = "".join(traceback.format_exception(fault))
    try:
        handle, name = tempfile.mkstemp(prefix="jambwright-report-", suffix=".txt")
        with os.fdopen(handle, "w", encoding="utf-8", errors="backslashreplace") as file:
            file.write(PASSWORD.sub(r"\1:…@", _head() + told))
    except OSError as refused:
        return f"No report could be kept ({refused.strerror}): {PASSWORD.sub('', told.splitlines()[-1])}"
    return f"Send the report {name} to whoever looks after it."


def _head() -> str:
    lines = (
        f"Jambwright {__version__}, Python {platform.python_version()}, {platform.platform()}",
        datetime.now(UTC).isoformat(timespec="seconds"),
        " ".join(sys.argv),
    )
    return "\n".join(lines) + "\n\n"
