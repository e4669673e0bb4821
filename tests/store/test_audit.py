"""The audit log: every act a line, refusals counted, and no way to fill the disk with either."""

import threading

import pytest

from jambwright.store import (
    Refusal,
    add_house,
    audit_lines,
    house_lines,
    note,
    note_refusals,
    remove_house,
)
from jambwright.store.audit import REFUSALS_KEPT


def test_the_audit_log_is_given_newest_first(store):
    note(store, who="Ada", address="127.0.0.1", action="joined")
    note(store, who="Ada", address="127.0.0.1", action="house added", subject="1 Example Row")
    assert [line.action for line in audit_lines(store)] == ["house added", "joined"]


def refusal(minute, address="192.0.2.9"):
    at = f"2026-03-02T{minute // 60:02}:{minute % 60:02}:00.000Z"
    return Refusal(minute=at, who="", address=address, why="no session")


def test_the_same_refusals_of_a_minute_are_one_line_with_their_number(store):
    note_refusals(store, {refusal(1): (3, "GET /api/me"), refusal(1, "192.0.2.8"): (1, "GET /")})
    note_refusals(store, {refusal(1): (700, "GET /api/houses")})
    told = {line.address: (line.action, line.subject) for line in audit_lines(store)}
    assert told == {
        "192.0.2.9": ("refused: no session", "700 times, GET /api/houses"),
        "192.0.2.8": ("refused: no session", "once, GET /"),
    }


def test_old_refusals_are_let_go_and_what_was_done_never_is(store):
    note(store, who="Ada", address="127.0.0.1", action="joined")
    for start in range(0, REFUSALS_KEPT + 400, 400):
        note_refusals(store, {refusal(n % 1440, f"address {n}"): (1, "") for n in range(start, start + 400)})
    lines = audit_lines(store, limit=10 * REFUSALS_KEPT)
    assert len(lines) == REFUSALS_KEPT + 1
    assert lines[-1].action == "joined"
    assert lines[-2].address == "address 400", "the oldest went"


def test_what_is_done_often_is_one_line_a_minute(store):
    for who in ("Ada", "Ada", "Bo", "Ada"):
        note(store, who=who, address="", action="paper taken", subject="order.csv", often=True)
    lines = [line.who for line in audit_lines(store)]
    assert sorted(lines) in (["Ada", "Bo"], ["Ada", "Ada", "Bo"]), "a minute may end meanwhile"


def test_what_is_done_and_its_line_are_kept_together_or_not_at_all(store):
    def removed(then):
        with store.writing():
            remove_house(store, house)
            assert house not in [line.id for line in house_lines(store)], (
                "a read within sees what was written"
            )
            note(store, who="Ada", address="", action="house removed", subject=house)
            then()

    def breaks():
        raise OSError("no line can be written")

    house = add_house(store, {"jambwright": 1, "site": {"label": "1 Example Row"}})
    with pytest.raises(OSError, match="no line"):
        removed(breaks)
    assert [line.id for line in house_lines(store)] == [house]
    assert audit_lines(store) == []
    removed(lambda: None)
    assert house_lines(store) == []
    assert [line.action for line in audit_lines(store)] == ["house removed"]


def test_another_thread_is_not_within_the_write(store):
    seen = []
    with store.writing():
        note(store, who="Ada", address="", action="joined")
        reader = threading.Thread(target=lambda: seen.append(audit_lines(store)))
        reader.start()
        reader.join()
    assert seen == [[]]
