"""What the commands of the terminal share: files read, and a bar while long work is done."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from jambwright.basis.problems import BadInput

if TYPE_CHECKING:
    from jambwright.job import Progress


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
    if file == "-":
        return sys.stdin.read()
    try:
        return bytes_of(Path(file)).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadInput.one("file", f"{file} is not text in UTF-8.") from None


def bytes_of(file: Path) -> bytes:
    """A file as it is. Raises ``BadInput`` where it can't be read."""
    try:
        return file.read_bytes()
    except OSError as error:
        raise BadInput.one("file", f"{file}: {error.strerror}.") from None
