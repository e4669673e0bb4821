"""On the phone: what stops the order and the work, in the plan's words, and at once by an answer that stops them."""

import pytest
from test_on_site import at_opening, wait_sent

from jambwright.job import lintel_gates
from jambwright.paper.gate_words import HOUSE, SHUT, order_state
from jambwright.record import record_of_tree
from jambwright.store import (
    add_house,
    house_lines,
    keep_plan,
    new_tree,
    read_house,
    remove_house,
)
from jambwright.store.houses import NotThere
from jambwright.web.limits import limits
from jambwright.web.planning import rests_now

GATES = ("ordering", "work")
OLD = {"of": "another version"}


@pytest.fixture
def planned(store, demo, demo_plan):
    keep_plan(store, read_house(store, demo), "Ada", *demo_plan)
    return demo


def test_the_gates_of_the_latest_plan_are_given_with_their_reasons(client, planned, demo_plan):
    record = record_of_tree(demo_plan[0])
    told = client.get(f"/api/houses/{planned}/gates").json()
    assert (told["version"], told["who"], told["latest"]) == (1, "Ada", True)
    assert list(told["openings"]) == [each.id for each in record.every_opening]
    for each in record.openings:
        shown = told["openings"][each.id]
        assert shown["state"]["ordering"] == order_state(each)
        assert shown["ordered"] == each.ordered
        for name in GATES:
            reasons = getattr(each.gates, name).reasons
            said = [{key: r[key] for key in ("word", "say", "opens", "whose")} for r in shown["stops"][name]]
            assert said == [
                {"word": r.word, "say": r.say, "opens": r.opens, "whose": HOUSE if r.house else ""}
                for r in reasons
            ]
            led = [tuple(place["path"] for place in r["places"]) for r in shown["stops"][name]]
            assert led == [r.places for r in reasons]
    for name in GATES:
        assert [r["say"] for r in told["house"][name]] == [r.say for r in getattr(record.gates, name).reasons]


def test_a_house_that_was_never_planned_has_no_gates_to_tell_of(client, store, house):
    told = client.get(f"/api/houses/{house}/gates").json()
    assert (told["plan"], told["version"], told["latest"], told["openings"]) == (None, None, True, {})
    assert [line.plan for line in house_lines(store)] == [None]


def test_where_the_last_plan_cannot_be_read_the_one_before_is_told_and_that_it_is(client, store, planned):
    last = keep_plan(store, read_house(store, planned), "Bo", OLD, {})
    told = client.get(f"/api/houses/{planned}/gates").json()
    assert (told["plan"], told["who"], told["latest"]) == (last.id, "Ada", False)
    assert told["openings"]["W4"]["stops"]["ordering"]
    assert [line.plan for line in house_lines(store)] == [last.id]


def test_a_plan_that_cannot_be_read_alone_tells_of_no_gate(client, store, house):
    last = keep_plan(store, read_house(store, house), "Bo", OLD, {})
    told = client.get(f"/api/houses/{house}/gates").json()
    assert (told["plan"], told["version"], told["latest"]) == (last.id, None, False)


def test_a_house_taken_off_the_list_tells_nothing(client, store, planned):
    remove_house(store, planned)
    assert client.get(f"/api/houses/{planned}/gates").status_code == 404
    with pytest.raises(NotThere):
        read_house(store, planned)


def test_what_an_answer_stops_is_told_in_the_words_of_the_plan():
    told = limits()
    assert told["shut"] == SHUT
    assert set(told["stopping"]["lintel/kind"]) == {"none", "unknown"}
    for kind, stop in told["stopping"]["lintel/kind"].items():
        for name in GATES:
            [reason] = getattr(lintel_gates(kind), name).reasons
            assert (stop["say"], stop["opens"], stop["name"]) == (reason.say, reason.opens, "lintel")
        assert stop["gates"] == list(GATES)
    assert lintel_gates("steel").shut == ()


def test_house_and_opening_say_what_stops_them_and_why(new_page, planned, demo_plan):
    record = record_of_tree(demo_plan[0])
    page = new_page(width=320, height=568)
    page.goto(f"/site/{planned}")
    page.get_by_text("4 stop the order").tap()
    page.get_by_text("1 stops the work").wait_for()
    told = page.locator(".stops").inner_text()
    for each in record.openings:
        card = page.locator(f"a.opening-card[href$='/{each.id}']").inner_text()
        for name in GATES:
            shut = getattr(each.gates, name)
            assert (SHUT[name] in card.lower()) == (
                shut.state == "shut" and not (name == "ordering" and each.ordered)
            )
            for reason in shut.reasons:
                assert name == "work" or (reason.say in told and reason.opens in told)
    page.locator(".stops").get_by_role("link", name="W4").tap()
    page.get_by_role("heading", name="Do not order yet").wait_for()
    w4 = next(each for each in record.openings if each.id == "W4")
    assert w4.gates.ordering.reasons[0].say in page.locator(".reasons").inner_text()
    page.get_by_role("link", name="Readings").tap()
    page.locator(".dim.active").wait_for()
    page.get_by_role("link", name="Do not order yet").tap()
    page.get_by_text("Nothing stops the work.").wait_for()


def test_readings_changed_since_and_news_without_signal_are_marked(new_page, planned):
    page = new_page()
    page.goto(f"/site/{planned}")
    page.get_by_text("Planned ").wait_for()
    page.evaluate("navigator.serviceWorker.ready")
    assert page.get_by_text("The readings have changed since.").count() == 0
    page.wait_for_load_state("networkidle")  # an answer on its way would still tell of a signal
    page.context.set_offline(True)
    page.get_by_text("No signal: as last heard").wait_for()
    page.get_by_text("4 stop the order").wait_for()
    page.reload()
    page.get_by_text("4 stop the order").wait_for()
    page.get_by_text("No signal: as last heard").wait_for()
    page.goto(f"/site/{planned}/W4/questions")
    page.get_by_label("Anything else?").fill("Damp at the head")
    page.get_by_label("Room").focus()
    page.get_by_role("link", name="Do not order yet").tap()
    page.get_by_text("The readings have changed since.").wait_for()
    page.get_by_role("heading", name="Do not order yet").wait_for()


CHANGED = "The readings have changed since."


def test_a_frame_signed_as_fitted_leaves_the_plan_as_it_is(new_page, client, store, demo, demo_plan):
    """On the desk and on the phone, sent or waiting; a reading changed does not."""
    before = read_house(store, demo)
    keep_plan(store, before, "Ada", *demo_plan, {"rests": rests_now(store, before)})
    page = new_page(role="office")
    page.goto(f"/site/{demo}")
    page.get_by_text("Planned ").wait_for()
    page.evaluate("navigator.serviceWorker.ready")
    page.wait_for_load_state("networkidle")
    page.context.set_offline(True)
    page.goto(f"/site/{demo}/W4/fitted")
    page.get_by_role("button", name="Today, by me").tap()
    page.locator(".sent.waiting").wait_for()
    page.goto(f"/site/{demo}")
    page.get_by_text("Planned ").wait_for()
    assert page.get_by_text(CHANGED).count() == 0
    page.context.set_offline(False)
    wait_sent(page)
    assert read_house(store, demo).fitted["W4"]["by"] == "Ada"
    page.get_by_text("Planned ").wait_for()
    page.wait_for_timeout(300)
    assert page.get_by_text(CHANGED).count() == 0
    for part in ("", "/papers", "/openings/W4"):
        assert CHANGED not in client.get(f"/houses/{demo}{part}").text

    path, was = "/openings/W4/note", read_house(store, demo).tree["openings"][3].get("note")
    sent = {
        "id": "c" * 32,
        "at": "2026-03-02T10:00:00Z",
        "path": path,
        "was": was,
        "value": "Damp at the head",
    }
    client.post(f"/api/houses/{demo}/changes", json={"device": "desk", "changes": [sent]})
    assert CHANGED in client.get(f"/houses/{demo}").text
    page.reload()
    page.get_by_text(CHANGED).wait_for()


def test_a_plan_made_meanwhile_reaches_the_phone_though_no_reading_changed(new_page, store, demo, demo_plan):
    page = new_page()
    page.goto(f"/site/{demo}")
    page.get_by_text("Not planned yet.").wait_for()
    keep_plan(store, read_house(store, demo), "Ada", *demo_plan)
    page.evaluate("dispatchEvent(new Event('online'))")
    page.get_by_text("4 stop the order").wait_for()


@pytest.mark.parametrize(("answer", "kind"), [("None", "none"), ("Don't know", "unknown")])
def test_an_answer_that_stops_order_and_work_says_so_at_once_without_plan_or_signal(
    new_page, store, house, answer, kind
):
    page = new_page()
    at_opening(page, house, "W2")
    page.get_by_role("link", name="Questions").tap()
    asked = page.get_by_role("group", name="What carries the wall above?")
    asked.wait_for()
    page.context.set_offline(True)
    assert page.locator(".shut").count() == 0
    asked.get_by_role("button", name=answer).tap()
    caution = page.get_by_role("alert").filter(has_text="Do not order yet; do not start yet")
    caution.wait_for()
    [reason] = lintel_gates(kind).work.reasons
    assert reason.say in caution.inner_text()
    assert reason.opens in caution.inner_text()
    page.get_by_role("link", name="Do not order yet; do not start yet").tap()
    page.get_by_role("heading", name="Do not start yet").wait_for()
    page.get_by_role("link", name="Questions").tap()
    asked.get_by_role("button", name="Steel").tap()
    caution.wait_for(state="detached")
    page.context.set_offline(False)
    wait_sent(page)
    assert read_house(store, house).tree["openings"][1]["lintel"] == {"kind": "steel"}


def test_what_a_named_person_settled_is_no_caution_any_more(new_page, store):
    tree = new_tree("9 Example Row (invented)")
    by = {"by": "R. Vale, chartered engineer (invented)", "on": "2026-11-03"}
    bare = {"room": "Hall", "outside": {}, "lintel": {"kind": "none"}}
    tree["openings"] = [
        bare | {"id": "W1", "cleared": [{"what": "lintel"} | by]},
        bare | {"id": "W2", "cleared": [{"what": "structure"} | by]},
        bare | {"id": "W3", "cleared": [{"what": "listed"} | by]},
    ]
    house = add_house(store, tree)
    page = new_page()
    page.goto(f"/site/{house}")
    page.get_by_role("link", name="W3").first.wait_for()
    stopped = page.locator("a.opening-card:has(.stopped)").all()
    assert [card.get_attribute("href").rsplit("/", 1)[1] for card in stopped] == ["W3"]
    page.get_by_text("1 stops the work").wait_for()
