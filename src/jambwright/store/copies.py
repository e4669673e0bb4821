"""Copies of a SQLite database: made while it is in use, looked through, and put back. Nothing is ever deleted."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from jambwright.basis.problems import BadInput
from jambwright.store.database import (
    HALF_RESTORED,
    LOG_ENDINGS,
    beside,
    faults,
    is_postgres,
    logs_of,
    make_private,
    require_known,
)
from jambwright.store.trouble import damaged, of_database, of_disk

PATIENCE_S = 5.0
HALF_COPIED = ".part"
"""What follows the name of a copy until it is whole."""
SHARED_LOCK = (0x40000002, 510)
"""Bytes that every program with the database open holds (the file format of SQLite 3, 1.4, the lock-byte page)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Holds:
    """What was found in a database that holds together."""

    layout: str
    houses: int
    openings: int
    changes: int

    def __str__(self) -> str:
        return (
            f"{self.houses} houses, {self.openings} openings, {self.changes} changes (layout {self.layout})"
        )


def back_up(where: str | Path, copy: Path) -> Holds:
    """Copy a SQLite file, also while it is in use, and check the copy. PostgreSQL has `pg_dump` for this."""
    source = _file(where)
    if not copy.parent.is_dir():
        raise BadInput.one("copy", f"There is no folder {copy.parent}; make it, or plug in its disk.")
    half = beside(copy, HALF_COPIED)
    _require_free(copy, half)
    try:
        holds = _copied(source, half)
        half.rename(copy)
    except OSError as error:
        raise of_disk(error, copy) from None
    finally:
        half.unlink(missing_ok=True)
    return holds


def verify(where: str | Path) -> Holds:
    """Look through a database or a copy. Raises ``BadInput`` with what is wrong; changes nothing."""
    file = _file(where)
    try:
        with _opened(file) as connection:
            return _holds(connection, file)
    except sqlite3.Error as error:
        raise of_database(error, file) from None


def restore(copy: Path, where: str | Path) -> tuple[Holds, Path | None]:
    """Put a copy in place of a database, which is moved aside with its log under the name that is returned.

    The copy is checked before anything is touched. Cut off at any moment, it can be run again.
    """
    _file(copy)
    target = Path(where)
    if is_postgres(where):
        raise BadInput.one("database", "PostgreSQL is restored with its own pg_restore.")
    if target.exists() and not target.is_file():
        raise BadInput.one("database", f"{target} is no file; name the database.")
    if target.exists() and copy.samefile(target):
        raise BadInput.one("copy", f"{copy} is the database itself; name a copy of it.")
    half, ready = beside(target, HALF_COPIED), beside(target, HALF_RESTORED)
    if half.exists() and copy.samefile(half):
        say = f"{copy} has the name under which a restore writes first; give the copy another name."
        raise BadInput.one("copy", say)
    try:
        target.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        half.unlink(missing_ok=True)
        holds = _copied(copy, half)
        with _nobody_at(target):
            half.replace(ready)
            aside = _moved_aside(target)
            ready.rename(target)
    except OSError as error:
        raise of_disk(error, target) from None
    finally:
        half.unlink(missing_ok=True)
    return holds, aside


def _require_free(copy: Path, half: Path) -> None:
    """Refuse a name under which something lies, or by which the copy would be one with a log: SQLite would undo it."""
    if copy.exists():
        raise BadInput.one("copy", f"{copy} exists already; name a new file.")
    if beside_it := [*([half] if half.exists() else []), *logs_of(copy)]:
        say = f"{beside_it[0]} lies there and would be taken for a part of the copy; move it away, or name a new file."
        raise BadInput.one("copy", say)
    if copy.name.endswith(LOG_ENDINGS):
        say = f"{copy} would be taken for the log of a database; give the copy a name that ends otherwise, such as .db."
        raise BadInput.one("copy", say)


def stamp() -> str:
    """The time for a file's name, in UTC, sorted as it went by."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H%M%SZ")


def _moved_aside(target: Path) -> Path | None:
    """The old database under a dated name, with what lies beside it still beside it."""
    olds = [*logs_of(target), *([target] if target.exists() else [])]
    if not olds:
        return None
    aside, again = beside(target, f".before-{stamp()}"), 1
    while aside.exists() or logs_of(aside):
        again += 1
        aside = beside(target, f".before-{stamp()}-{again}")
    for old in olds:
        old.rename(beside(aside, old.name.removeprefix(target.name)))
    return aside


def _file(where: str | Path) -> Path:
    if is_postgres(where):
        raise BadInput.one(
            "database", "PostgreSQL is backed up and checked with its own programs, such as pg_dump."
        )
    if not Path(where).is_file():
        raise BadInput.one("database", f"There is no database at {where}.")
    return Path(where)


def _copied(source: Path, half: Path) -> Holds:
    """A checked copy in one file of its own, for its owner's eyes."""
    make_private(half)
    try:
        with _opened(source) as reading, closing(sqlite3.connect(half)) as writing:
            reading.backup(writing)
            writing.execute("PRAGMA journal_mode = DELETE")  # nothing else need lie beside it
            return _holds(writing, source)
    except sqlite3.Error as error:
        # a full disk is that of the copy; what can't be read or isn't whole is the source
        full = getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_FULL
        raise of_database(error, half.with_suffix("") if full else source) from None
    finally:
        for log in logs_of(half):
            log.unlink()


def _opened(file: Path) -> closing[sqlite3.Connection]:
    """To read alone. Where no log lies beside it nobody has it open, and nothing is made beside it."""
    mode = "mode=ro" if logs_of(file) else "mode=ro&immutable=1"
    return closing(sqlite3.connect(f"{file.resolve().as_uri()}?{mode}", uri=True, timeout=PATIENCE_S))


def _holds(connection: sqlite3.Connection, file: Path) -> Holds:
    if found := faults(lambda words: connection.execute(words).fetchall()):
        raise damaged(file, found)
    tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if not {"alembic_version", "houses", "openings", "changes"} <= tables:
        raise BadInput.one("database", f"{file} is a database of another program: it holds no houses.")
    layouts = [row[0] for row in connection.execute("SELECT version_num FROM alembic_version")]
    require_known(layouts[0] if layouts else "none")
    count = {
        name: connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0]
        for name in ("houses", "openings", "changes")
    }
    return Holds(layout=layouts[0], **count)


@contextmanager
def _nobody_at(file: Path) -> Iterator[None]:
    """Hold a database while no other program has it open; refuse when one has."""
    try:
        import fcntl
    except ImportError:  # elsewhere a file that is open can't be moved, which is told then
        yield
        return
    if not file.exists():
        yield
        return
    with file.open("r+b") as held:
        start, length = SHARED_LOCK
        try:
            fcntl.lockf(held, fcntl.LOCK_EX | fcntl.LOCK_NB, length, start, os.SEEK_SET)
        except OSError:
            say = f"The database {file} is in use. Stop `jambwright serve` first, then restore."
            raise BadInput.one("database", say) from None
        yield
