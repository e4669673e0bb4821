"""Databases of every version that was released come up with all that was in them, on either kind of server."""

import json
import math
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa
from alembic.config import Config
from alembic.runtime.environment import EnvironmentContext
from alembic.script import ScriptDirectory
from test_changes import change

from jambwright.basis.characters import mended_tree
from jambwright.basis.problems import BadInput
from jambwright.store import history, house_lines, open_store, paper, read_house, take
from jambwright.store.database import migration_script

RELEASED = Path(__file__).parent.parent / "data" / "released"
REVISIONS = sorted(file.stem.removeprefix("houses-") for file in RELEASED.glob("houses-*.sql"))
HOUSE, OTHER = "b25604e5a31bcbfa", "50fe42520b64ed57"
"""Houses of the first dump: one with something of everything, one with odd characters."""


def in_sqlite(revision, file):
    with closing(sqlite3.connect(file)) as connection:
        connection.executescript((RELEASED / f"houses-{revision}.sql").read_text())
    return file


def rows(engine):
    """Every row of every table but the mark of the revision, by table."""
    found = {}
    with engine.connect() as connection:
        kept = sa.MetaData()
        kept.reflect(connection)
        for name in sorted(set(kept.tables) - {"alembic_version"}):
            table = kept.tables[name]
            columns = [sa.cast(c, sa.Text) if isinstance(c.type, sa.JSON) else c for c in table.columns]
            listed = connection.execute(sa.select(*columns)).all()
            found[name] = [
                {c.name: as_value(v, c.type) for c, v in zip(table.columns, row, strict=True)}
                for row in listed
            ]
    return found


def as_value(value, kind):
    if isinstance(kind, sa.JSON) and value is not None:
        return json.loads(value)
    return bool(value) if isinstance(kind, sa.Boolean) else value


def with_new_columns(before, after):
    """The rows of before with the columns that came since, blank."""
    blank = {"shows": []}
    found = {}
    for name, listed in before.items():
        columns = after[name][0] if after.get(name) else ()
        found[name] = [{column: blank.get(column) for column in columns} | row for row in listed]
    return found


def in_order(found):
    return {name: sorted(map(repr, listed)) for name, listed in found.items()}


@pytest.fixture
def emptied(postgres_url):
    """The server with no table in it, before and after."""
    engine = sa.create_engine(postgres_url.replace("postgresql://", "postgresql+psycopg://"))

    def empty():
        with engine.begin() as connection:
            connection.exec_driver_sql("DROP SCHEMA public CASCADE; CREATE SCHEMA public")

    empty()
    yield engine
    empty()
    open_store(postgres_url).close()  # others go on with the tables they had
    engine.dispose()


def in_postgres(revision, engine, source):
    """The same rows in tables as that revision made them."""
    config = Config()
    config.set_main_option("script_location", migration_script())
    script = ScriptDirectory.from_config(config)
    with (
        engine.begin() as connection,
        EnvironmentContext(config, script, fn=lambda done, _: script._upgrade_revs(revision, done)) as to_do,
    ):
        to_do.configure(connection=connection)
        to_do.run_migrations()
        made = sa.MetaData()
        made.reflect(connection)
        for table in made.sorted_tables:
            for row in source.get(table.name, []):
                given = {
                    n: sa.null() if v is None else sa.literal(a_figure(v), table.c[n].type)
                    for n, v in row.items()
                }
                connection.execute(table.insert().values(given))


def a_figure(value):
    """What is no figure was never kept by this server: its JSON has none."""
    return str(value) if isinstance(value, float) and math.isnan(value) else value


def test_every_layout_has_its_dump_and_the_newest_is_the_one_in_use():
    script = ScriptDirectory(migration_script())
    assert sorted(each.revision for each in script.walk_revisions()) == REVISIONS


@pytest.mark.parametrize("revision", REVISIONS)
def test_a_database_of_an_earlier_version_comes_up_with_all_its_data(tmp_path, revision):
    file = in_sqlite(revision, tmp_path / "houses.db")
    engine = sa.create_engine(f"sqlite:///{file}")
    before = rows(engine)
    store = open_store(file)
    after = rows(engine)
    engine.dispose()
    expected = mended_tree(before) if revision == "v0001" else before
    assert in_order(after) == in_order(with_new_columns(expected, after))
    assert all(after.values()), "a table without a row tells nothing"
    for line in house_lines(store):
        kept = read_house(store, line.id)
        assert history(store, line.id) is not None
        _, [taken] = take(store, line.id, [change("/note", kept.tree.get("note"), "after")])
        assert taken.outcome == "taken"
    store.close()


@pytest.mark.parametrize("revision", REVISIONS)
def test_postgresql_comes_up_with_the_same(tmp_path, emptied, postgres_url, revision):
    file = in_sqlite(revision, tmp_path / "houses.db")
    engine = sa.create_engine(f"sqlite:///{file}")
    in_postgres(revision, emptied, rows(engine))
    open_store(postgres_url).close()
    open_store(file).close()
    assert in_order(rows(emptied)) == in_order(rows(engine))
    engine.dispose()


def test_a_house_that_answered_no_more_answers_again(tmp_path):
    """Half of a pair of code units, a control character and no figure at all had been kept by the first version."""
    store = open_store(in_sqlite("v0001", tmp_path / "houses.db"))
    house = read_house(store, OTHER)
    assert house.tree["note"] == "crack \ufffd in the sill"
    json.dumps(house.tree, ensure_ascii=False).encode()
    kept = history(store, OTHER)
    json.dumps([[c.before, c.after] for c in kept], ensure_ascii=False, allow_nan=False).encode()
    assert set(house.marks) == {"W5", "w5"}
    assert paper(store, HOUSE, "d31005472c22e997", "order.csv").decode() == "blåst;1"
    store.close()


def test_a_database_of_a_later_version_is_left_alone_and_named_so(tmp_path):
    file = in_sqlite(REVISIONS[-1], tmp_path / "houses.db")
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = 'v9999'")
        connection.commit()
    before = sqlite3.connect(file).execute("SELECT * FROM changes").fetchall()
    with pytest.raises(BadInput, match="newer version of Jambwright"):
        open_store(file)
    assert sqlite3.connect(file).execute("SELECT * FROM changes").fetchall() == before
