"""The database: one SQLite file, or PostgreSQL by URL. One writer at a time; readers never wait for it."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import AbstractContextManager, closing, contextmanager, nullcontext
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib import resources
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DatabaseError, OperationalError

from jambwright.basis.problems import BadInput
from jambwright.store.tables import metadata

PATIENCE_S = 15.0
"""How long a writer waits for another program's writer."""


@dataclass(frozen=True, slots=True)
class Store:
    """An open database. Reads see one consistent state; a write is whole or never happened."""

    engine: Engine
    turn: AbstractContextManager[Any]
    """Taken by the one writer of this program."""

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection to read with."""
        with self.engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """The one connection to write with; on return everything is on the disk."""
        with (
            self.turn,
            self.engine.connect().execution_options(writes=True) as connection,
            connection.begin(),
        ):
            yield connection

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()


def open_store(where: str | Path) -> Store:
    """Open, check and bring up to date a SQLite file (made when missing) or a PostgreSQL URL."""
    address = str(where)
    store = _postgres(address) if address.startswith("postgresql") else _sqlite(Path(address))
    try:
        _check(store)
        _migrate(store)
    except OperationalError as error:
        raise BadInput.one("database", f"The database can't be opened: {error.orig}.") from None
    except DatabaseError as error:
        raise _damaged(str(error.orig)) from None
    return store


def now() -> str:
    """The time as the store writes it.

    >>> len(now())
    24
    """
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def back_up(where: str | Path, copy: Path) -> None:
    """Copy a SQLite file, also while it is in use, and check the copy. PostgreSQL has `pg_dump` for this."""
    if str(where).startswith("postgresql"):
        raise BadInput.one("database", "PostgreSQL is backed up with its own pg_dump.")
    if not Path(where).is_file():
        raise BadInput.one("database", f"There is no database at {where}.")
    if copy.exists():
        raise BadInput.one("copy", f"{copy} exists already; name a new file.")
    half = copy.with_name(copy.name + ".part")
    try:
        with closing(sqlite3.connect(where)) as source, closing(sqlite3.connect(half)) as target:
            source.backup(target)
            found = [row[0] for row in target.execute("PRAGMA integrity_check(10)")]
        if found != ["ok"]:
            raise _damaged("; ".join(found))
        half.rename(copy)
    except sqlite3.DatabaseError as error:
        raise _damaged(str(error)) from None
    finally:
        half.unlink(missing_ok=True)


def _sqlite(file: Path) -> Store:
    file.parent.mkdir(parents=True, exist_ok=True)
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


def _check(store: Store) -> None:
    """The whole file is read and checked before anything is served from it."""
    if store.engine.dialect.name != "sqlite":
        return
    with store.reading() as connection:
        found = [row[0] for row in connection.exec_driver_sql("PRAGMA integrity_check(10)")]
        loose = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    if found != ["ok"] or loose:
        raise _damaged("; ".join(found) if not loose else f"{len(loose)} rows point nowhere")


def _damaged(what: str) -> BadInput:
    return BadInput.one(
        "database",
        f"The database is damaged ({what}). Nothing was changed; put the last backup in its place.",
    )


def _migrate(store: Store) -> None:
    """Run the schema changes that have not run here yet, in one transaction with the record that they ran."""
    from alembic.config import Config
    from alembic.runtime.environment import EnvironmentContext
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", str(resources.files("jambwright.store") / "migrations"))
    script = ScriptDirectory.from_config(config)
    with (
        store.writing() as connection,
        EnvironmentContext(config, script, fn=lambda done, _: script._upgrade_revs("head", done)) as to_do,
    ):
        to_do.configure(connection=connection, target_metadata=metadata)
        to_do.run_migrations()
