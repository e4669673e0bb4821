"""What the commands of the terminal share: files read, a bar while long work is done, and what is told when not."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

import typer

from jambwright.basis.problems import BadInput

if TYPE_CHECKING:
    from jambwright.job import Progress

NEEDS_SOMEONE = 1
"""Exit status while a gate is shut: something must be measured, accepted or settled by a person."""
BAD_FILE = 2
"""Exit status when what was named can't be read or written; what stood there still stands."""
UNEXPECTED = 3
"""Exit status when the program itself failed; a report was kept."""

LARGEST_BYTES = 50_000_000
"""Of a file that is read; the plan of the largest house has a fifth."""


@contextmanager
def problems_told(as_json: bool = False) -> Iterator[None]:
    """Tell bad input on standard error and leave with status 2."""
    try:
        yield
    except BadInput as bad:
        if as_json:
            typer.echo(json.dumps({"problems": [p.as_json() for p in bad.problems]}), err=True)
        else:
            for problem in bad.problems:
                typer.echo(problem.say, err=True)
        raise typer.Exit(BAD_FILE) from None


@contextmanager
def progress() -> Iterator[Progress]:
    """A bar on standard error that knows its end."""
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn
    from rich.progress import Progress as Bar

    columns = (BarColumn(), TextColumn("{task.description}"))
    with Bar(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=None)
        yield lambda step, done, of: bar.update(task, completed=done, total=of, description=step)


def tree_of(file: str) -> Any:
    """Plain values of a YAML or JSON file."""
    from jambwright.basis.tree import parse_tree

    return parse_tree(text_of(file))


def text_of(file: str) -> str:
    """A file, or standard input for `-`. Raises ``BadInput`` where it can't be read."""
    name = "What came in" if file == "-" else file
    try:
        return (_given() if file == "-" else bytes_of(Path(file))).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadInput.one("file", f"{name} is not text in UTF-8.") from None


def bytes_of(file: Path) -> bytes:
    """A file as it is. Raises ``BadInput`` where it can't be read."""
    try:
        with file.open("rb") as opened:
            return _bounded(opened, str(file))
    except OSError as error:
        raise BadInput.one("file", f"{file}: {error.strerror}.") from None


def _given() -> bytes:
    if sys.stdin is None:  # closed by whoever started the program
        raise BadInput.one("file", "Nothing came in; name a file in place of the -.")
    return _bounded(sys.stdin.buffer, "What came in")


def _bounded(opened: BinaryIO, name: str) -> bytes:
    """What is there, never more than can be held."""
    content = opened.read(LARGEST_BYTES + 1)
    if len(content) > LARGEST_BYTES:
        raise BadInput.one(
            "file", f"{name} is over {LARGEST_BYTES // 1_000_000} MB; no file of a house is so large."
        )
    return content


def say_everything() -> None:
    """Let no letter stop the output: what goes to a file or another program is UTF-8, as files are read here."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding=None if stream.isatty() else "utf-8", errors="backslashreplace")


def never_over_what_is_read(out: Path, *files: str | None) -> None:
    """Raises ``BadInput`` where the file to write is one of those read, by whatever name."""
    for file in files:
        if file and file != "-" and (out.resolve() == Path(file).resolve() or _same_file(out, Path(file))):
            raise BadInput.one("out", f"{out} is a file that is read; name another one for --out.")


def _same_file(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return False
