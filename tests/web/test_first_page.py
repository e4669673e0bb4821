"""The firm's first page: every state from what is really kept, dates ahead, quick with many houses."""

import copy
import time
from datetime import date

import pytest
from test_desk_on_any_house import words

from jambwright.store import (
    Change,
    PlanLine,
    add_house,
    house_lines,
    keep_plan,
    new_id,
    new_tree,
    read_house,
    take,
)
from jambwright.web.gist import rests_on
from jambwright.web.house_states import STATES, next_date, stand_of
from survey_trees import AS_FITTED, FULL_OPENING, tree

OTHER = FULL_OPENING | {"id": "W2", "room": "Hall/stairs"}
ALL_DONE = ["ordered", "fitted", "sealed", "finished"]
READ = tree(openings=[FULL_OPENING, OTHER], date_of_work="2026-03-02")


def with_done(*done, other=None):
    marks = (list(done), list(done if other is None else other))
    return READ | {"openings": [o | {"done": d} for o, d in zip(READ["openings"], marks, strict=True)]}


def plan_of(of, ordering=(), work=(), days=None, **more):
    gist = {
        "shut": {"ordering": list(ordering), "work": list(work)}, "days": days,
        "open_on": {mark: on[0] for mark, on in (days or {}).items()}, "rests": rests_on(of, None, None, {}),
    }  # fmt: skip
    return PlanLine(id="p", house="h", version=1, made="", who="", engine="", rules="", gist=gist | more)


DAYS = {"W1": ["2026-03-02"], "W2": ["2026-03-03", "2026-03-04"]}
ORDERED, HALF = with_done("ordered"), with_done("ordered", other=())
BARE = tree(openings=[FULL_OPENING, {"id": "W2", "room": "Hall/stairs"}])
CASES = {
    "nothing in it": (new_tree("x"), {}, None, "to_read", "No opening yet."),
    "one not read": (BARE, {}, None, "to_read", "1 of 2 openings not all read: W2."),
    "one not read, planned": (BARE, {}, plan_of(BARE), "to_read", "W2"),
    "read": (READ, {}, None, "to_settle", "Not planned yet."),
    "planned long ago": (READ, {}, plan_of(READ, rests=None), "to_settle", "earlier version"),
    "changed since": (READ | {"note": "x"}, {}, plan_of(READ), "to_settle", "changed since"),
    "order stopped": (READ, {}, plan_of(READ, ["W2"]), "to_settle", "stopped for: W2."),
    "stopped by the house": (READ, {}, plan_of(READ, [""]), "to_settle", "the whole house"),
    "free to order": (READ, {}, plan_of(READ), "to_order", "To order: W1, W2."),
    "one ordered": (HALF, {}, plan_of(HALF), "to_order", "To order: W2."),
    "the stopped one is ordered": (HALF, {}, plan_of(HALF, ["W1"]), "to_order", "To order: W2."),
    "ordered": (ORDERED, {}, plan_of(ORDERED), "ordered", "no day"),
    "ordered since planned": (ORDERED, {}, plan_of(READ), "ordered", "plan it again"),
    "work stopped": (ORDERED, {}, plan_of(ORDERED, (), ["W1"], DAYS), "ordered", "work is stopped for: W1."),
    "one without a day": (ORDERED, {}, plan_of(ORDERED, days={"W1": ["2026-03-02"]}), "ordered", "no day"),
    "to fit": (ORDERED, {}, plan_of(ORDERED, days=DAYS), "to_fit", "2 of 2 openings to fit."),
    "one frame signed": (ORDERED, {"W1": AS_FITTED}, plan_of(ORDERED, days=DAYS), "to_fit", "1 of 2"),
    "fitted": (with_done("fitted"), {}, None, "fitted", "not finished: W1, W2."),
    "frames signed": (ORDERED, {"W1": AS_FITTED, "W2": AS_FITTED}, None, "fitted", "not finished"),
    "finished, not signed": (with_done(*ALL_DONE), {"W1": AS_FITTED}, None, "fitted", "not signed: W2."),
    "handed over": (with_done(*ALL_DONE), {"W1": AS_FITTED, "W2": AS_FITTED}, None, "handed_over", "signed"),
    "all but one handed over": (
        with_done(*ALL_DONE, other=()), {"W1": AS_FITTED}, None, "to_settle", "Not planned"),
}  # fmt: skip


@pytest.mark.parametrize(("given", "fitted", "plan", "state", "why"), CASES.values(), ids=CASES)
def test_a_house_stands_where_its_opening_stands_that_has_come_least_far(given, fitted, plan, state, why):
    stand = stand_of(given, fitted, plan)
    assert (stand.state, why in stand.why) == (state, True), stand


def test_every_state_is_reached():
    assert {case[3] for case in CASES.values()} == set(STATES)


def test_the_next_date_is_the_first_from_today_on_with_all_that_is_on_it():
    stand = stand_of(READ, {}, plan_of(READ, days=DAYS))
    on, said = next_date(stand, date(2026, 3, 2))
    assert (on, said) == ("2026-03-02", "day of the work, work at W1")
    assert next_date(stand, date(2026, 3, 4)) == ("2026-03-04", "work at W2")
    assert next_date(stand, date(2026, 3, 5)) is None


def test_the_page_follows_every_change(client, store):
    house = add_house(store, copy.deepcopy(READ))
    assert "To settle 1" in words(client.get("/"))
    standing = read_house(store, house)
    rests = rests_on(standing.tree, None, None, {})
    keep_plan(store, standing, "Ada", {}, {}, {"shut": {}, "days": None, "open_on": {}, "rests": rests})
    assert "To order 1" in words(client.get("/"))
    at = {"who": "Bo", "at": "", "device": "p", "id": new_id()}
    take(store, house, [Change(path="/openings/W3", was=None, value={"id": "W3", "room": "x"}, **at)])
    said = words(client.get("/"))
    assert "To read 1" in said
    assert "1 of 3 openings not all read: W3." in said


def test_a_newcomer_is_told_what_to_do_and_gets_a_house_to_practise_on_marked_so(client, store):
    first = words(client.get("/"))
    assert "New here?" in first
    assert "Find a house" not in first
    made = client.post("/api/houses/practice")
    assert made.status_code == 201
    [line] = house_lines(store)
    assert (line.id, line.practice) == (made.json()["id"], True)
    page = client.get("/")
    assert "practice, invented" in words(page)
    assert "7 Bramblecroft End (invented)" in words(page)
    assert page.text.index("New here?") < page.text.index("Find a house"), "it is no house of the firm's own"
    add_house(store, new_tree("2 Example Row (invented)"))
    page = client.get("/")
    assert page.text.index("New here?") > page.text.index("Find a house")


def test_nobody_who_may_only_look_adds_a_practice_house(client_for, store):
    looker = client_for("read_only")
    assert looker.post("/api/houses/practice").status_code == 403
    assert "Practise on" not in words(looker.get("/"))
    assert house_lines(store) == []


def test_two_hundred_houses_are_shown_at_once(client, store):
    many = copy.deepcopy(READ)
    many["openings"] = [FULL_OPENING | {"id": f"W{n}"} for n in range(1, 12)]
    for n in range(200):
        house = add_house(store, many | {"site": {"label": f"{n} Example Row (invented)"}})
        standing = read_house(store, house)
        rests = rests_on(standing.tree, None, None, {})
        gist = {"shut": {"ordering": ["W1"], "work": []}, "days": None, "open_on": {}, "rests": rests}
        keep_plan(store, standing, "Ada", {"much": ["x" * 1000] * 100}, {}, gist)
    times = []
    for _ in range(3):
        began = time.process_time()
        page = client.get("/")
        times.append(time.process_time() - began)
    assert page.text.count("Example Row") >= 200
    assert times[0] < 3.0, times
    assert min(times[1:]) < 1.0, times


def test_houses_are_found_by_part_of_their_name(new_page, store):
    for name in ("1 Elm Row (invented)", "2 Oak Row (invented)", "12 Elm Close (invented)"):
        add_house(store, new_tree(name))
    page = new_page(role="office", width=1280)
    page.goto("/")
    page.get_by_label("Find a house").fill("elm 1")
    page.get_by_text("2 found").wait_for()
    assert page.locator(".houses li:visible a").all_inner_texts() == [
        "12 Elm Close (invented)",
        "1 Elm Row (invented)",
    ]
    page.get_by_label("Find a house").fill("ash")
    page.get_by_text("0 found").wait_for()
    assert page.locator("section.state:visible").count() == 0
    page.get_by_text("New here?").click()
    page.get_by_role("button", name="Practise on a made-up house").click()
    page.wait_for_url("**/houses/*")
    page.get_by_role("heading", name="7 Bramblecroft End (invented)").wait_for()
