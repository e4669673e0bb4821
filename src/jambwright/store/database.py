"""The database: one SQLite file, or PostgreSQL by URL. One writer at a time; readers never wait for it."""

from __future__ import annotations

import os
import stat
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext, suppress
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib import resources
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DatabaseError

from jambwright.basis.problems import BadInput
from jambwright.store.tables import metadata
from jambwright.store.trouble import NoRoom, damaged, no_room, of_database, of_disk

PATIENCE_S = 15.0
"""How long a writer waits for another program's writer."""

STRANGERS = 0o007
"""What anyone may do with a file who is neither its owner nor of its group."""
LOG_ENDINGS = ("-wal", "-shm", "-journal")
"""What follows a database's name in those of its write-ahead log, the log's index and its journal."""
HALF_RESTORED = ".restoring"
"""Ending of the checked copy that is to take a database's place; while it lies there, a restore was cut off."""


_writes: ContextVar[tuple[Engine, Connection] | tuple[None, None]] = ContextVar(
    "writes", default=(None, None)
)
"""The write that this thread is within."""


@dataclass(frozen=True, slots=True)
class Store:
    """An open database. Reads see one consistent state; a write is whole or never happened."""

    engine: Engine
    turn: AbstractContextManager[Any]
    """Taken by the one writer of this program."""

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection to read with; within a write, the one written with.

        Raises ``NoRoom``: a read may need some too.
        """
        if (under_way := self._under_way()) is not None:
            yield under_way
            return
        with _room_told(), self.engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """The one connection to write with; on return everything is on the disk. Raises ``NoRoom``.

        What is written within another write belongs to it: all of it is kept, or nothing.
        """
        if (under_way := self._under_way()) is not None:
            yield under_way
            return
        with (
            _room_told(),
            self.turn,
            self.engine.connect().execution_options(writes=True) as connection,
            connection.begin(),
        ):
            before = _writes.set((self.engine, connection))
            try:
                yield connection
            finally:
                _writes.reset(before)

    def _under_way(self) -> Connection | None:
        """The connection of the write that this is within."""
        engine, connection = _writes.get()
        return connection if engine is self.engine else None

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()


@contextmanager
def _room_told() -> Iterator[None]:
    try:
        yield
    except DatabaseError as error:
        if no_room(error.orig):
            raise NoRoom from error
        raise


def open_store(where: str | Path) -> Store:
    """Open, check and bring up to date a SQLite file (made when missing) or a PostgreSQL URL."""
    address = str(where)
    try:
        store = _postgres(address) if is_postgres(address) else _sqlite(Path(address))
    except OSError as error:
        raise of_disk(error, address, doing="can't be opened") from None
    try:
        _check(store, address)
        _migrate(store)
    except DatabaseError as error:
        store.close()
        if is_postgres(address):
            raise BadInput.one("database", f"The database can't be opened: {error.orig}.") from None
        raise of_database(error.orig, address) from None
    except BadInput:
        store.close()
        raise
    return store


def is_postgres(where: str | Path) -> bool:
    """Whether it is the address of a PostgreSQL server rather than a file."""
    return str(where).startswith("postgresql")


def now() -> str:
    """The time as the store writes it.

    >>> len(now())
    24
    """
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def beside(file: Path, ending: str) -> Path:
    """A file that goes with a database: the write-ahead log and its index have such names."""
    return file.with_name(file.name + ending)


def logs_of(file: Path) -> list[Path]:
    """What of the write-ahead log lies beside a database."""
    return [log for ending in LOG_ENDINGS if (log := beside(file, ending)).exists()]


def make_private(file: Path) -> None:
    """Make the file where there is none, for its owner alone; one that is there is closed to strangers.

    Raises ``OSError``.
    """
    try:
        os.close(os.open(file, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    except FileExistsError:
        for each in (file, *logs_of(file)):
            mode = stat.S_IMODE(each.stat().st_mode)
            if mode & STRANGERS:
                with suppress(PermissionError):  # it is someone else's
                    each.chmod(mode & ~STRANGERS)


def _sqlite(file: Path) -> Store:
    if beside(file, HALF_RESTORED).exists():
        say = f"A restore of {file} was cut off. Run it again: jambwright restore COPY --data {file}"
        raise BadInput.one("database", say)
    if not file.exists() and (log := next((each for each in logs_of(file) if each.stat().st_size), None)):
        # a new database would take the log for its own and drop it, with all that was not yet in the old one
        say = f"There is no database at {file}, but its log {log.name} is there. "
        raise BadInput.one("database", f"{say}Put the database back beside it, or restore a copy.")
    file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    make_private(file)
    engine = create_engine(
        f"sqlite:///{file}", pool_size=8, max_overflow=56, connect_args={"timeout": PATIENCE_S}
    )
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    return Store(engine, threading.Lock())


def _prepare(connection: Any, _: Any) -> None:
    """Write-ahead log, every commit on the disk before it is acknowledged, foreign keys enforced."""
    connection.isolation_level = None  # transactions are begun below, not by the driver
    for pragma in ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON", "trusted_schema = OFF"):
        connection.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _postgres(url: str) -> Store:
    plain = url.replace("postgresql://", "postgresql+psycopg://", 1)
    try:
        engine = create_engine(plain, pool_size=8, max_overflow=56, pool_pre_ping=True)
    except ModuleNotFoundError:
        raise BadInput.one(
            "database", "PostgreSQL needs its driver: pip install 'jambwright[postgres]'."
        ) from None
    return Store(engine, nullcontext())


def _check(store: Store, address: str) -> None:
    """The whole file is read and checked before anything is served from it."""
    if store.engine.dialect.name != "sqlite":
        return
    with store.reading() as connection:
        if found := faults(lambda words: connection.exec_driver_sql(words).fetchall()):
            raise damaged(address, found)


def faults(ask: Callable[[str], Sequence[Any]]) -> str:
    """What is wrong with a SQLite file, nothing when it holds together."""
    found = "; ".join(row[0] for row in ask("PRAGMA integrity_check(10)"))
    loose = len(ask("PRAGMA foreign_key_check"))
    return found if found != "ok" else f"{loose} rows point nowhere" if loose else ""


def migration_script() -> str:
    """Folder of the changes of the schema."""
    return str(resources.files("jambwright.store") / "migrations")


def known_revisions() -> list[str]:
    """The layouts of the database that this version can read."""
    from alembic.script import ScriptDirectory

    return [each.revision for each in ScriptDirectory(migration_script()).walk_revisions()]


def require_known(revision: str | None) -> None:
    """Refuse a database that a newer version has changed already."""
    if revision is not None and revision not in known_revisions():
        say = f"The database was made by a newer version of Jambwright (its layout is {revision}). Install that one."
        raise BadInput.one("database", say)


def _migrate(store: Store) -> None:
    """Run the schema changes that have not run here yet, in one transaction with the record that they ran."""
    from alembic.config import Config
    from alembic.runtime.environment import EnvironmentContext
    from alembic.runtime.migration import MigrationContext
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", migration_script())
    script = ScriptDirectory.from_config(config)
    with store.reading() as connection:
        standing = MigrationContext.configure(connection).get_current_revision()
    if standing == script.get_current_head():
        return
    require_known(standing)
    with (
        store.writing() as connection,
        EnvironmentContext(config, script, fn=lambda done, _: script._upgrade_revs("head", done)) as to_do,
    ):
        to_do.configure(connection=connection, target_metadata=metadata)
        to_do.run_migrations()
