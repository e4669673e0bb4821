"""Backups made by themselves while the houses are served: the newest are kept, the oldest of its own let go."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from jambwright.basis.problems import BadInput
from jambwright.store.copies import back_up, stamp
from jambwright.store.database import is_postgres

NAME, STAMP = "houses-{}.db", "%Y-%m-%dT%H%M%SZ"
AGAIN_AFTER = timedelta(minutes=10)
"""One that failed is tried again sooner than the next is due."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Backups:
    """Where copies go, how many are kept, and how often one is made."""

    folder: Path
    keep: int
    every: timedelta

    @contextmanager
    def going_on(self, data: str | Path, told: Callable[[str], None]) -> Iterator[None]:
        """Make copies as they fall due until the block is left; ``told`` hears of one that could not be made.

        Raises ``BadInput`` at once where there can be none at all.
        """
        if is_postgres(data):
            raise BadInput.one("backup", "PostgreSQL is backed up with its own pg_dump, not by --backup-to.")
        if not self.folder.is_dir():
            say = f"There is no folder {self.folder} for backups; make it, or plug in its disk."
            raise BadInput.one("backup", say)
        over = threading.Event()
        thread = threading.Thread(target=self._run, args=(data, told, over), daemon=True, name="backups")
        thread.start()
        try:
            yield
        finally:
            over.set()
            thread.join()

    def _run(self, data: str | Path, told: Callable[[str], None], over: threading.Event) -> None:
        wait = self.due_in()
        while not over.wait(max(wait.total_seconds(), 0)):
            try:
                self.make(data)
                wait = self.due_in()
            except (BadInput, OSError) as failed:
                told(f"No backup was made at {stamp()}: {failed} It is tried again in 10 minutes.")
                wait = min(AGAIN_AFTER, self.every)

    def due_in(self) -> timedelta:
        """How long until the next is due, by the newest in the folder that is not of a time to come."""
        made = self.made()
        if not made or _is_to_come(made[-1]):
            return timedelta()
        newest = datetime.strptime(made[-1].name, NAME.format(STAMP)).replace(tzinfo=UTC)
        return newest + self.every - datetime.now(UTC)

    def make(self, data: str | Path) -> Path:
        """Make a copy now and let the oldest beyond those kept go. Raises ``BadInput`` where there can be none."""
        copy = self.folder / NAME.format(stamp())
        back_up(data, copy)
        for old in self.made()[: -self.keep]:
            old.unlink()
        return copy

    def made(self) -> list[Path]:
        """The copies there are, the oldest first; a file of any other name is none of them.

        What is dated later than now was made while the clock was wrong: it neither puts off the next nor outlives it.
        """
        ours = (file for file in self.folder.glob(NAME.format("*")) if _is_ours(file))
        return sorted(ours, key=lambda file: (not _is_to_come(file), file.name))


def _is_to_come(file: Path) -> bool:
    return file.name > NAME.format(stamp())


def _is_ours(file: Path) -> bool:
    try:
        datetime.strptime(file.name, NAME.format(STAMP))
    except ValueError:
        return False
    return True
