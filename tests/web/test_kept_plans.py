"""A plan is read and formatted once, kept at hand with a few others, and never changed by a page."""

from contextlib import contextmanager

import pytest
from sqlalchemy import event

from jambwright.record import record_of_tree
from jambwright.store import house_plans, keep_plan, read_house
from jambwright.web.desk import PARTS
from jambwright.web.kept_plans import KeptPlans
from jambwright.web.plan_view import plan_view


@pytest.fixture
def planned(store, demo, demo_plan):
    keep_plan(store, read_house(store, demo), "Ada", *demo_plan)
    return demo


@contextmanager
def records_read(store):
    """Statements that take a plan's record out of the store."""
    asked = []

    def note(_connection, _cursor, statement, *_):
        if "plans.result" in statement:
            asked.append(statement)

    event.listen(store.engine, "before_cursor_execute", note)
    yield asked
    event.remove(store.engine, "before_cursor_execute", note)


def test_every_page_of_a_house_shows_the_plan_read_once(client, store, planned, demo_plan, app):
    with records_read(store) as asked:
        for part in PARTS:
            path = f"/houses/{planned}" + ("" if part == "house" else f"/{part}")
            assert client.get(path).status_code == 200
    assert len(asked) == 1
    [line] = house_plans(store, planned)
    assert app.state.plans.find(store, line).view == plan_view(record_of_tree(demo_plan[0]))


def test_a_new_plan_is_shown_at_once(client, store, planned, demo_plan):
    assert "4 stop the order" in client.get(f"/houses/{planned}").text
    record, papers = demo_plan
    whole = [each for each in record["openings"] if each["id"] != "W8"]
    keep_plan(store, read_house(store, planned), "Ada", {**record, "openings": whole}, papers)
    assert "3 stop the order" in client.get(f"/houses/{planned}").text


def test_only_the_plans_looked_at_last_are_kept_at_hand(store, planned):
    for _ in range(2):
        keep_plan(store, read_house(store, planned), "Ada", {"of": "another version"}, {})
    lines = house_plans(store, planned)
    plans = KeptPlans(most=2)
    with records_read(store) as asked:
        for line in (lines[0], lines[1], lines[0], lines[2], lines[0]):
            plans.find(store, line)
        assert len(asked) == 3
        assert plans.find(store, lines[1]) is None
    assert len(asked) == 4
