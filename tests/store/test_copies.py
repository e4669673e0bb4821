"""Copies put back over a dead database, looked through, and made by themselves; what goes wrong told by its cause."""

import errno
import os
import signal
import sqlite3
import stat
import subprocess
import sys
import time
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest
from test_changes import change
from test_released import in_sqlite

from jambwright.basis.problems import BadInput
from jambwright.store import (
    Backups,
    add_house,
    back_up,
    house_lines,
    new_tree,
    open_store,
    restore,
    take,
    verify,
)
from jambwright.store import copies as copying
from survey_trees import TREE


def labels(file):
    store = open_store(file)
    found = {line.label for line in house_lines(store)}
    store.close()
    return found


def mode(file):
    return stat.S_IMODE(file.stat().st_mode)


def with_a_house(file, label="1 Example Row (invented)"):
    store = open_store(file)
    add_house(store, new_tree(label))
    store.close()
    return file


DYING = """
import os, sys
sys.path[:0] = {path!r}
from jambwright.store import add_house, new_tree, open_store
store = open_store(sys.argv[1])
for n in range(3):
    add_house(store, new_tree(f"after {{n}}"))
os.kill(os.getpid(), 9)
"""
HOLDING = """
import sys
from jambwright.store import open_store
store = open_store(sys.argv[1])
print("open", flush=True)
sys.stdin.read()
"""


def die_over(file):
    """A program that writes three houses and is killed, its log left beside the database."""
    path = [p for p in sys.path if p.endswith("tests")]
    done = subprocess.run([sys.executable, "-c", DYING.format(path=path), file], check=False)
    assert done.returncode == -signal.SIGKILL
    assert file.with_name(f"{file.name}-wal").stat().st_size > 0


def test_a_copy_restored_over_a_dead_database_with_its_log_beside_it_gives_what_the_copy_holds(tmp_path):
    file, copy = with_a_house(tmp_path / "houses.db"), tmp_path / "monday.db"
    back_up(file, copy)
    die_over(file)
    holds, aside = restore(copy, file)
    assert holds.houses == 1
    assert labels(file) == {"1 Example Row (invented)"}
    assert aside.name.startswith("houses.db.before-20")
    assert labels(aside) == {"1 Example Row (invented)", "after 0", "after 1", "after 2"}
    assert labels(copy) == {"1 Example Row (invented)"}


def test_a_damaged_database_is_moved_aside_as_it_is(tmp_path):
    file, copy = with_a_house(tmp_path / "houses.db"), tmp_path / "monday.db"
    back_up(file, copy)
    file.write_bytes(b"Dear sir, " * 3000)
    log = tmp_path / "houses.db-wal"
    log.write_bytes(b"of another")
    _, aside = restore(copy, file)
    assert labels(file) == {"1 Example Row (invented)"}
    assert aside.read_bytes() == b"Dear sir, " * 3000
    assert aside.with_name(f"{aside.name}-wal").read_bytes() == b"of another"


def test_nothing_is_touched_for_a_copy_that_is_damaged_strange_or_newer(tmp_path):
    file = with_a_house(tmp_path / "houses.db")
    before = file.read_bytes()
    letter, strange, newer = tmp_path / "letter.db", tmp_path / "strange.db", tmp_path / "newer.db"
    letter.write_text("Dear sir, " * 1000)
    with closing(sqlite3.connect(strange)) as connection:
        connection.execute("CREATE TABLE songs (name)")
    back_up(file, newer)
    with closing(sqlite3.connect(newer)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = 'v9999'")
        connection.commit()
    for copy, says in (
        (letter, "letter.db is damaged"),
        (strange, "of another program"),
        (newer, "newer version"),
        (tmp_path / "none.db", "no database at"),
        (file, "is the database itself"),
    ):
        with pytest.raises(BadInput, match=says):
            restore(copy, file)
    assert file.read_bytes() == before
    assert {f.name for f in tmp_path.iterdir()} == {"houses.db", "letter.db", "strange.db", "newer.db"}


def test_a_copy_takes_no_name_under_which_something_lies_or_that_a_database_takes_for_its_log(tmp_path):
    file, copy = with_a_house(tmp_path / "houses.db"), tmp_path / "monday.db"
    for ending in (".part", "-wal", "-shm", "-journal"):
        beside = tmp_path / f"monday.db{ending}"
        beside.write_text("someone's")
        with pytest.raises(BadInput, match="would be taken for a part of the copy"):
            back_up(file, copy)
        assert beside.read_text() == "someone's"
        beside.unlink()
    for ending in ("-wal", "-journal"):
        with pytest.raises(BadInput, match="for the log of a database"):
            back_up(file, tmp_path / f"houses.db{ending}")
    assert sorted(f.name for f in tmp_path.iterdir()) == ["houses.db"]
    assert labels(file) == {"1 Example Row (invented)"}


def test_a_copy_under_the_name_that_a_restore_writes_first_is_not_lost(tmp_path):
    file = with_a_house(tmp_path / "houses.db")
    copy = with_a_house(tmp_path / "other.db", "2 Example Row (invented)").rename(tmp_path / "houses.db.part")
    with pytest.raises(BadInput, match="give the copy another name"):
        restore(copy, file)
    assert labels(file) == {"1 Example Row (invented)"}
    assert labels(copy) == {"2 Example Row (invented)"}


def test_nothing_but_a_file_is_moved_aside(tmp_path):
    copy, pipe = with_a_house(tmp_path / "monday.db"), tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(BadInput, match="is no file; name the database"):
        restore(copy, pipe)
    assert pipe.is_fifo()


def test_a_log_without_its_database_is_not_dropped_by_a_new_one(tmp_path):
    file = tmp_path / "houses.db"
    die_over(file)
    away = file.rename(tmp_path / "away.db")
    with pytest.raises(BadInput, match=r"its log houses\.db-wal is there"):
        open_store(file)
    away.rename(file)
    assert labels(file) == {"after 0", "after 1", "after 2"}


def test_a_database_that_is_served_is_not_restored_over(tmp_path):
    file, copy = with_a_house(tmp_path / "houses.db"), tmp_path / "monday.db"
    back_up(file, copy)
    with subprocess.Popen([sys.executable, "-c", HOLDING, file], stdin=-1, stdout=-1, text=True) as server:
        assert server.stdout.readline() == "open\n"
        with pytest.raises(BadInput, match=r"is in use. Stop `jambwright serve` first"):
            restore(copy, file)
        server.stdin.close()
    assert restore(copy, file)[0].houses == 1


def test_a_restore_cut_off_at_any_move_serves_nothing_until_it_is_run_again(tmp_path, monkeypatch):
    file, copy = with_a_house(tmp_path / "houses.db"), tmp_path / "monday.db"
    back_up(file, copy)
    die_over(file)
    body = {f.name: f.read_bytes() for f in tmp_path.iterdir()}
    real, moves = Path.rename, 0

    class PowerGone(BaseException):
        pass

    def rename(self, target):
        nonlocal moves
        if moves == 0:
            raise PowerGone
        moves -= 1
        return real(self, target)

    monkeypatch.setattr(Path, "rename", rename)
    for last in range(4):  # log, its index, the database, the copy
        for found in tmp_path.iterdir():
            found.unlink()
        for name, content in body.items():
            (tmp_path / name).write_bytes(content)
        moves = last
        with pytest.raises(PowerGone):
            restore(copy, file)
        with pytest.raises(BadInput, match=r"was cut off. Run it again: jambwright restore"):
            open_store(file)
        moves = 99
        restore(copy, file)
        assert labels(file) == {"1 Example Row (invented)"}
        kept = {content for f in tmp_path.iterdir() if (content := f.read_bytes())}
        assert {body["houses.db"], body["houses.db-wal"]} <= kept


def test_what_a_copy_holds_is_told_and_nothing_is_left_beside_it(tmp_path):
    file, copy = with_a_house(tmp_path / "houses.db"), tmp_path / "monday.db"
    store = open_store(file)
    house = add_house(store, TREE)
    take(store, house, [change("/note", TREE["note"], "x")])
    assert str(back_up(file, copy)).startswith("2 houses, 2 openings, 1 changes")
    store.close()
    before = copy.read_bytes()
    assert verify(copy) == verify(file)
    assert copy.read_bytes() == before
    assert sorted(f.name for f in tmp_path.iterdir()) == ["houses.db", "monday.db"]


def test_a_page_gone_bad_is_found_by_verify(tmp_path):
    file = tmp_path / "houses.db"
    store = open_store(file)
    for _ in range(30):
        add_house(store, TREE)
    store.close()
    body = bytearray(file.read_bytes())
    body[4096 * 6 : 4096 * 9] = b"\x5a" * 4096 * 3
    file.write_bytes(body)
    with pytest.raises(BadInput, match="is damaged"):
        verify(file)


def test_database_log_and_copies_are_for_their_owner_alone_and_an_old_one_is_closed_to_strangers(tmp_path):
    old = os.umask(0o022)
    try:
        file = tmp_path / "new folder" / "houses.db"
        store = open_store(file)
        add_house(store, TREE)
        assert {mode(each) for each in file.parent.iterdir()} == {0o600}
        assert mode(file.parent) == 0o700
        store.close()
        back_up(file, tmp_path / "copy.db")
        assert mode(tmp_path / "copy.db") == 0o600
        file.chmod(0o664)
        open_store(file).close()
        assert mode(file) == 0o660
        restore(tmp_path / "copy.db", file)
        assert mode(file) == 0o600
    finally:
        os.umask(old)


def test_a_missing_folder_a_full_disk_and_a_lock_are_told_apart(tmp_path, monkeypatch):
    file = with_a_house(tmp_path / "houses.db")
    with pytest.raises(BadInput, match=r"There is no folder .*nowhere; make it"):
        back_up(file, tmp_path / "nowhere" / "copy.db")

    old = in_sqlite("v0001", tmp_path / "old.db")
    with closing(sqlite3.connect(old)) as other:
        monkeypatch.setattr("jambwright.store.database.PATIENCE_S", 0.1)
        other.execute("PRAGMA journal_mode = WAL")
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(BadInput, match="in use by another program"):
            open_store(old)
    old.unlink()

    class Full(sqlite3.Connection):
        def backup(self, *_):
            raise_full = sqlite3.OperationalError("database or disk is full")
            raise_full.sqlite_errorcode = sqlite3.SQLITE_FULL
            raise raise_full

    real = sqlite3.connect
    monkeypatch.setattr(copying.sqlite3, "connect", lambda *words, **more: real(*words, factory=Full, **more))
    with pytest.raises(BadInput, match=r"copy.db can't be written: the disk is full") as full:
        back_up(file, tmp_path / "copy.db")
    assert "damaged" not in str(full.value)
    monkeypatch.undo()
    assert [f.name for f in tmp_path.iterdir()] == ["houses.db"]

    def no_room(*_):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("jambwright.store.database.os.open", no_room)
    with pytest.raises(BadInput, match="the disk is full"):
        open_store(tmp_path / "other.db")


def test_a_database_in_a_place_that_is_no_folder_is_told_so(tmp_path):
    (tmp_path / "letter").write_text("Dear sir")
    with pytest.raises(BadInput, match="a file stands where a folder is wanted"):
        open_store(tmp_path / "letter" / "houses.db")


def test_backups_made_while_serving_are_restored_and_the_oldest_go(tmp_path):
    file, folder = tmp_path / "houses.db", tmp_path / "copies"
    folder.mkdir()
    for name in ("houses-2026-01-01T000000Z.db", "houses-2026-01-02T000000Z.db", "houses-mine.db"):
        (folder / name).write_text("old")
    store = open_store(file)
    add_house(store, TREE)
    told = []
    with Backups(folder=folder, keep=2, every=timedelta(hours=24)).going_on(file, told.append):
        until = time.monotonic() + 20
        while len(list(folder.iterdir())) != 3 or (folder / "houses-2026-01-01T000000Z.db").exists():
            assert time.monotonic() < until, sorted(folder.iterdir())
            time.sleep(0.02)
    store.close()
    assert told == []
    made = sorted(f.name for f in folder.iterdir())
    assert made[0] == "houses-2026-01-02T000000Z.db"
    assert made[2] == "houses-mine.db"
    file.unlink()
    restore(folder / made[1], file)
    assert labels(file) == {TREE["site"]["label"]}


def test_copies_dated_by_a_clock_that_ran_ahead_neither_put_off_the_next_nor_outlive_it(tmp_path):
    file = with_a_house(tmp_path / "houses.db")
    backups = Backups(folder=tmp_path, keep=2, every=timedelta(hours=24))
    for name in ("houses-2098-01-01T000000Z.db", "houses-2099-01-01T000000Z.db"):
        (tmp_path / name).write_text("of a clock that was wrong")
    assert backups.due_in() <= timedelta()
    made = backups.make(file)
    assert backups.made() == [tmp_path / "houses-2099-01-01T000000Z.db", made]
    assert timedelta(hours=23) < backups.due_in() <= timedelta(hours=24)


def test_a_backup_is_due_by_the_newest_there_is_and_one_that_fails_is_told_and_tried_again(
    tmp_path, monkeypatch
):
    file = with_a_house(tmp_path / "houses.db")
    backups = Backups(folder=tmp_path / "copies", keep=3, every=timedelta(hours=1))
    with (
        pytest.raises(BadInput, match=r"There is no folder .*copies for backups"),
        backups.going_on(file, print),
    ):
        pass
    with pytest.raises(BadInput, match="pg_dump"), backups.going_on("postgresql://x", print):
        pass
    backups.folder.mkdir()
    assert backups.due_in() <= timedelta()
    backups.make(file)
    assert timedelta(minutes=59) < backups.due_in() <= timedelta(hours=1)
    [made] = backups.made()
    made.unlink()

    tries, told = [], []

    def first_in_vain(data, copy):
        tries.append(copy)
        if len(tries) == 1:
            raise BadInput.one("database", "The disk is full.")
        return back_up(data, copy)

    monkeypatch.setattr("jambwright.store.schedule.AGAIN_AFTER", timedelta(seconds=0.05))
    monkeypatch.setattr("jambwright.store.schedule.back_up", first_in_vain)
    with backups.going_on(file, told.append):
        until = time.monotonic() + 20
        while not backups.made():
            assert time.monotonic() < until
            time.sleep(0.02)
    assert len(told) == 1
    assert "No backup was made" in told[0]
    assert "The disk is full." in told[0]
    assert verify(backups.made()[0]).houses == 1
