"""What the commands of the terminal share: files read, a bar while long work is done, and what is told when not."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

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
    try:
        return sys.stdin.read() if file == "-" else bytes_of(Path(file)).decode("utf-8-sig")
    except UnicodeDecodeError:
        name = "What came in" if file == "-" else file
        raise BadInput.one("file", f"{name} is not text in UTF-8.") from None


def bytes_of(file: Path) -> bytes:
    """A file as it is. Raises ``BadInput`` where it can't be read."""
    try:
        return file.read_bytes()
    except OSError as error:
        raise BadInput.one("file", f"{file}: {error.strerror}.") from None
