"""A starter on the desktop: a small file that a press opens, and that runs the program in a terminal of its own."""

from __future__ import annotations

import shlex
import subprocess
import sys
from collections.abc import Sequence
from importlib import resources
from pathlib import Path

from jambwright.basis.problems import BadInput

NAME = "Jambwright"


def put_starter(words: Sequence[str], desktop: Path, system: str = sys.platform) -> Path:
    """Write the starter of `jambwright WORDS` into the desktop's folder, in place of the one before; where it is.

    ``system``: as ``sys.platform``. Raises ``BadInput`` where there is no such folder, or nothing can be written.
    """
    program = [sys.executable, "-m", "jambwright", *words]
    ending, text = _starter(program, system)
    file = desktop / f"{NAME}{ending}"
    try:
        file.write_text(text, encoding="utf-8", newline="")
        file.chmod(0o700)  # a desktop asks before it runs a file that may not be run
    except OSError as error:
        say = f"No starter can be put into {desktop}: {error.strerror}. Start with: {shlex.join(program)}"
        raise BadInput.one("shortcut", say) from None
    return file


def _starter(program: Sequence[str], system: str) -> tuple[str, str]:
    """The ending of its name, and what is in it."""
    if system == "win32":
        return ".cmd", f"@{subprocess.list2cmdline(program).replace('%', '%%')}\r\n"
    if system == "darwin":
        return ".command", f"#!/bin/sh\nexec {shlex.join(program)}\n"
    icon = resources.files("jambwright.web") / "static" / "icon.svg"
    lines = {
        "Type": "Application",
        "Name": NAME,
        "Comment": "Windows and doors: readings, order, days, papers",
        "Icon": str(icon),
        "Terminal": "true",
        "Exec": " ".join(map(_quoted, program)),
    }
    return ".desktop", "".join(["[Desktop Entry]\n", *(f"{key}={value}\n" for key, value in lines.items())])


def _quoted(word: str) -> str:
    """As the Desktop Entry Specification 1.5 has it: quoted, and the quoting itself kept from being read as escapes."""
    for sign in ("\\", '"', "`", "$"):
        word = word.replace(sign, f"\\{sign}")
    return '"' + word.replace("\\", "\\\\").replace("%", "%%") + '"'
