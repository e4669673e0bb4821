import signal
import sqlite3
import subprocess
import sys

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from jambwright.basis.problems import BadInput
from jambwright.store import add_house, back_up, open_store, read_house
from jambwright.store.tables import metadata
from survey_trees import TREE


def test_the_migrations_make_exactly_the_tables_in_use(store):
    with store.reading() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []


def test_a_database_opened_again_holds_what_was_put_in(tmp_path):
    first = open_store(tmp_path / "new folder" / "houses.db")
    house = add_house(first, TREE)
    first.close()
    again = open_store(tmp_path / "new folder" / "houses.db")
    assert read_house(again, house).tree == TREE
    again.close()


def test_foreign_keys_and_the_write_ahead_log_are_on(tmp_path):
    store = open_store(tmp_path / "houses.db")
    with store.reading() as connection:
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
        assert connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2
    store.close()


def test_a_damaged_file_is_not_served_and_not_touched(tmp_path):
    file = tmp_path / "houses.db"
    store = open_store(file)
    for _ in range(30):
        add_house(store, TREE)
    store.close()
    body = bytearray(file.read_bytes())
    body[4096 * 4 : -4096] = b"\x5a" * (len(body) - 4096 * 5)
    file.write_bytes(body)
    with pytest.raises(BadInput, match="damaged"):
        open_store(file)
    assert file.read_bytes() == bytes(body)


def test_a_file_that_is_no_database_is_named_so(tmp_path):
    (tmp_path / "letter.txt").write_text("Dear sir, " * 1000)
    with pytest.raises(BadInput, match="damaged"):
        open_store(tmp_path / "letter.txt")


def test_a_postgresql_server_that_is_not_there_is_told_in_words():
    with pytest.raises(BadInput, match="can't be opened"):
        open_store("postgresql://nobody@127.0.0.1:9/none")


def test_a_backup_of_a_database_in_use_opens_and_holds_the_same(tmp_path):
    store = open_store(tmp_path / "houses.db")
    house = add_house(store, TREE)
    with store.writing() as connection:
        connection.exec_driver_sql("UPDATE houses SET label = 'half done'")
        back_up(tmp_path / "houses.db", tmp_path / "copy.db")
    copy = open_store(tmp_path / "copy.db")
    assert read_house(copy, house).label == TREE["site"]["label"]
    copy.close()
    store.close()


def test_a_backup_never_writes_over_a_file(tmp_path):
    store = open_store(tmp_path / "houses.db")
    store.close()
    (tmp_path / "copy.db").write_text("mine")
    with pytest.raises(BadInput, match="exists already"):
        back_up(tmp_path / "houses.db", tmp_path / "copy.db")
    assert (tmp_path / "copy.db").read_text() == "mine"
    with pytest.raises(BadInput, match="no database"):
        back_up(tmp_path / "nothing.db", tmp_path / "copy2.db")


WRITER = """
import sys
sys.path[:0] = {path!r}
from survey_trees import TREE
from jambwright.store import open_store, add_house
store = open_store(sys.argv[1])
while True:
    print(add_house(store, TREE), flush=True)
"""


def test_every_house_acknowledged_before_a_kill_is_there_after_it(tmp_path):
    file = tmp_path / "houses.db"
    writer = subprocess.Popen(
        [sys.executable, "-c", WRITER.format(path=[p for p in sys.path if p.endswith("tests")]), file],
        stdout=subprocess.PIPE,
        text=True,
    )
    acknowledged = [writer.stdout.readline().strip() for _ in range(20)]
    writer.send_signal(signal.SIGKILL)
    acknowledged += writer.stdout.read().split()
    writer.stdout.close()
    writer.wait()
    store = open_store(file)
    for house in (h for h in acknowledged if len(h) == 16):
        assert read_house(store, house).tree == TREE
    store.close()
    connection = sqlite3.connect(file)
    assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    connection.close()
