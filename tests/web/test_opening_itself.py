"""The opening itself on the phone: its mark, its kind, its room, taking it away; and what is said of the signal."""

import pytest
from test_on_site import wait_sent

from jambwright.store import history, read_house, undo
from survey_trees import TREE


def test_a_door_is_proposed_a_mark_of_its_own_and_a_mark_once_used_is_not_proposed_again(
    new_page, store, house
):
    page = new_page()
    page.goto(f"/site/{house}")
    page.get_by_label("Room").fill("Hall")
    page.get_by_role("button", name="Add window W3").wait_for()
    page.get_by_role("button", name="Add door D1").tap()
    page.locator(".dim.active").wait_for()
    wait_sent(page)
    made = read_house(store, house).tree["openings"][-1]
    assert made["id"] == "D1"
    assert made["wanted"] == {
        "kind": "door", "profile": "plain_door_70", "layout": {"opens": "side_hung_left"},
    }  # fmt: skip
    page.goto(f"/site/{house}")
    page.get_by_role("button", name="Add door D2").wait_for()
    page.get_by_label("Room").fill("Hall")
    page.get_by_label("Another mark").fill("w1")
    page.get_by_role("button", name="Add window w1").tap()
    page.get_by_text("w1 is used already").wait_for()


def itself(page, house, mark):
    page.goto(f"/site/{house}/{mark}/questions")
    page.locator("html[data-ready]").wait_for()
    part = page.locator("[data-question='itself']")
    part.wait_for()
    return part


def test_an_opening_is_turned_from_window_into_door_and_what_was_a_windows_goes(new_page, store, house):
    page = new_page()
    part = itself(page, house, "W1")
    page.once("dialog", lambda dialog: dialog.dismiss())
    part.get_by_role("button", name="Door").tap()
    page.wait_for_timeout(200)
    assert part.get_by_role("button", name="Window").get_attribute("aria-pressed") == "true"
    page.once("dialog", lambda dialog: dialog.accept())
    part.get_by_role("button", name="Door").tap()
    part.get_by_role("button", name="Door", pressed=True).wait_for()
    wait_sent(page)
    opening = read_house(store, house).tree["openings"][0]
    assert opening["wanted"] == {
        "kind": "door", "colour": "dark", "profile": "plain_door_70", "layout": {"opens": "side_hung_left"},
    }  # fmt: skip
    assert opening["outside"] == TREE["openings"][0]["outside"]


def test_an_opening_is_taken_away_without_signal_and_brought_back_at_the_desk(new_page, store, house):
    page = new_page()
    part = itself(page, house, "W1")
    page.context.set_offline(True)
    page.once("dialog", lambda dialog: dialog.dismiss())
    part.get_by_role("button", name="Take W1 away").tap()
    asked = []
    page.once("dialog", lambda dialog: (asked.append(dialog.message), dialog.accept()))
    part.get_by_role("button", name="Take W1 away").tap()
    page.get_by_role("link", name="W2").wait_for()
    assert "with its 10 readings" in asked[0]
    assert page.get_by_role("link", name="W1").count() == 0
    page.context.set_offline(False)
    wait_sent(page)
    assert list(read_house(store, house).marks) == ["W2"]
    gone = history(store, house)[0]
    undo(store, house, gone.id, who="Ada", at="2026-03-02T11:00:00Z", device="desk")
    assert TREE["openings"][0] in read_house(store, house).tree["openings"]


def test_an_opening_has_another_mark_and_room_once_all_of_it_is_sent(new_page, store, house):
    page = new_page()
    part = itself(page, house, "W1")
    page.context.set_offline(True)
    part.get_by_label("Room").fill("Scullery")
    part.get_by_label("Mark").fill("K1")
    part.get_by_label("Room").focus()
    part.get_by_text("only once all of this opening is sent").wait_for()
    page.context.set_offline(False)
    wait_sent(page)
    part.get_by_label("Mark").fill("W2")
    part.get_by_label("Room").focus()
    part.get_by_text("W2 is used already").wait_for()
    part.get_by_label("Mark").fill("K1")
    part.get_by_label("Room").focus()
    page.wait_for_url("**/K1/questions")
    assert read_house(store, house).tree["openings"][0] == TREE["openings"][0] | {
        "id": "K1",
        "room": "Scullery",
    }


@pytest.mark.usefixtures("house")
def test_no_signal_is_claimed_before_anybody_answered_nor_after_it_went(new_page):
    """Where nothing waits nothing is sent, so nothing tells of a signal."""
    page = new_page()
    page.goto("/site/unsent")
    page.get_by_text("There is a signal").wait_for()
    page.evaluate("navigator.serviceWorker.ready")
    page.route("**/api/**", lambda route: route.abort())
    page.reload()
    page.get_by_text("No signal. Everything is kept").wait_for()
    said = page.evaluate(
        """() => new Promise((resolve) => {
          const seen = new Set();
          const look = () => {
            seen.add(document.querySelector("main").innerText.split("\\n")[0]);
            seen.add(document.querySelector("#sent").innerText);
          };
          new MutationObserver(look).observe(document.body, { childList: true, subtree: true });
          dispatchEvent(new Event("online"));
          setTimeout(() => { look(); resolve([...seen]); }, 700);
        })"""
    )
    assert [line for line in said if "There is a signal" in line or line == "Sent"] == []
    assert "No signal" in said
