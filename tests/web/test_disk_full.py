"""A full disk: told in words, nothing half written, and all goes on once there is room."""

import contextlib
import resource
import sqlite3

import httpx2
import pytest
from sqlalchemy import event
from starlette.testclient import TestClient
from test_on_site import UNSENT, at_opening, type_reading, wait_sent

from jambwright.store import (
    NoRoom,
    add_house,
    audit_lines,
    history,
    house_lines,
    invite,
    join,
    new_tree,
    open_store,
    read_house,
)
from jambwright.store.trouble import no_room
from jambwright.web import create_app
from jambwright.web.progress import Work
from jambwright.web.workers import Ticket
from survey_trees import TREE
from web_server import Served


@contextlib.contextmanager
def full(store):
    """SQLite's own word for a full disk (SQLITE_FULL), from a bound on the pages of the file."""

    def bound(connection, _):
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count = {pages}")

    event.listen(store.engine, "connect", bound)
    store.engine.dispose()
    yield
    event.remove(store.engine, "connect", bound)
    store.engine.dispose()


def change(n, value):
    return {"id": f"c{n}", "path": "/note", "was": TREE["note"], "value": value, "at": "2026-03-02T10:00:00Z"}


def test_a_change_on_a_full_disk_is_refused_whole_and_taken_once_there_is_room(client, house, store):
    sent = {"device": "a", "changes": [change(n, "x" * 1900) for n in range(100)]}
    at = f"/api/houses/{house}/changes"
    with full(store):
        answer = client.post(at, json=sent)
        assert answer.status_code == 507
        assert "disk" in answer.json()["problems"][0]["say"]
        assert client.get(f"/api/houses/{house}").json()["survey"] == TREE
        assert client.get(at).json()["changes"] == []
    assert client.post(at, json=sent).status_code == 200
    assert client.get(at).json()["changes"] != []


def test_a_plan_that_cannot_be_kept_says_so():
    def planning(_):
        raise NoRoom

    work = Work(Ticket("a"), "ada")
    work.run(planning)
    assert "The disk of the computer that keeps the houses is full" in work.problems[0]["say"]


@pytest.mark.parametrize(
    ("made", "is_so"),
    [
        (sqlite3.SQLITE_FULL, True),
        (sqlite3.SQLITE_IOERR_WRITE, True),
        (sqlite3.SQLITE_IOERR_READ, False),
        (sqlite3.SQLITE_BUSY, False),
        (sqlite3.SQLITE_CORRUPT, False),
    ],
)
def test_a_full_disk_is_told_from_other_trouble(made, is_so):
    error = sqlite3.OperationalError("told by code alone")
    error.sqlite_errorcode = made
    assert no_room(error) is is_so


def test_a_served_house_outlives_a_disk_that_takes_no_more(tmp_path):
    """The system's bound on the length of files, set on the server while it runs and lifted again."""
    data = tmp_path / "houses.db"
    store = open_store(data)
    house = add_house(store, TREE)
    token, _ = join(store, invite(store, name="Ada", role="fitter"), device="test")
    store.close()
    served = Served(data)
    at = f"/api/houses/{house}/changes"
    try:
        with httpx2.Client(base_url=served.address, headers={"Authorization": f"Bearer {token}"}) as phone:
            first = phone.post(at, json={"device": "a", "changes": [change(1, "first")]})
            assert first.status_code == 200
            soft, hard = resource.prlimit(served.process.pid, resource.RLIMIT_FSIZE)
            resource.prlimit(served.process.pid, resource.RLIMIT_FSIZE, (1024, hard))
            again = {"device": "a", "changes": [{**change(2, "second"), "was": "first"}]}
            assert phone.post(at, json=again).status_code == 507
            resource.prlimit(served.process.pid, resource.RLIMIT_FSIZE, (soft, hard))
            assert phone.post(at, json=again).json()["outcomes"][0]["outcome"] == "taken"
    finally:
        served.kill()
    kept = open_store(data)
    assert read_house(kept, house).tree["note"] == "second"
    assert len(history(kept, house)) == 2
    kept.close()


def test_on_the_phone_what_the_disk_did_not_take_stays_in_the_queue(new_page, store):
    house = add_house(store, {**new_tree("3 Example Row (invented)"), "openings": [
        {"id": "W1", "room": "Kitchen", "outside": {}}]})  # fmt: skip
    page = new_page()
    at_opening(page, house, "W1")
    refused = {"problems": [{"field": "disk", "say": "The disk is full.", "kind": "bad"}]}
    page.route("**/changes", lambda route: route.fulfill(status=507, json=refused))
    type_reading(page, "width bottom", "1210")
    page.get_by_text("1 not sent yet").wait_for()
    assert page.evaluate(UNSENT) == 1
    page.unroute("**/changes")
    page.evaluate("dispatchEvent(new Event('online'))")
    wait_sent(page)
    assert read_house(store, house).tree["openings"][0]["outside"]["width"]["bottom"]["mm"] == 1210


def test_nothing_is_lost_of_the_audit_for_a_disk_that_was_full_once(store, client, house):
    with full(store):
        client.get(f"/api/houses/{house}/survey.yaml")
    assert client.get(f"/api/houses/{house}/survey.yaml").status_code == 200
    assert audit_lines(store)[0].action == "house exported"


def test_a_store_that_was_full_is_whole(tmp_path):
    store = open_store(tmp_path / "houses.db")
    app = create_app(store)
    token, _ = join(store, invite(store, name="Ada", role="office"), device="test")
    client = TestClient(app, base_url="http://127.0.0.1", headers={"Authorization": f"Bearer {token}"})
    sent = [{"label": "9 Example Row (invented)", "id": f"{n:016x}"} for n in range(100)]
    with full(store):
        tries = [client.post("/api/houses", json=one).status_code for one in sent]
    assert set(tries) == {201, 507}
    assert [client.post("/api/houses", json=one).status_code for one in sent] == [201] * len(sent)
    store.close()
    again = open_store(tmp_path / "houses.db")  # checks the whole file
    assert len(house_lines(again)) == len(sent)
    again.close()


def test_where_the_line_in_the_audit_log_finds_no_room_nothing_is_done(client, house, store, monkeypatch):
    def no_line(*_, **__):
        raise NoRoom

    monkeypatch.setattr("jambwright.web.asking.note", no_line)
    there = {"If-Match": client.get(f"/api/houses/{house}").headers["ETag"]}
    assert client.delete(f"/api/houses/{house}", headers=there).status_code == 507
    assert [line.id for line in house_lines(store)] == [house]
    assert client.post("/api/people", json={"name": "Bo", "role": "fitter"}).status_code == 507
    assert client.post("/api/houses", json={"label": "2 Example Row"}).status_code == 507
    assert len(house_lines(store)) == 1
