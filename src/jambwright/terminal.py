"""What the terminal shows while long work is done."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def progress(openings: int) -> Iterator[Callable[[str], None]]:
    """A bar on standard error; each opening is told at every step."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    from jambwright.job import STEPS_OF_AN_OPENING

    columns = (BarColumn(), TextColumn("{task.description}"))
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=STEPS_OF_AN_OPENING * openings)
        yield lambda name: bar.update(task, advance=1, description=name)
