"""A frame as it was left: taken on a phone without signal, sent, shown at the desk beside the plan, undone."""

import re

from test_on_site import eventually, wait_sent

from jambwright.handover import Ordered
from jambwright.store import history, keep_plan, read_house, replace_fitted
from jambwright.web.fitted_view import fitted_view
from survey_trees import AS_FITTED


def test_as_fitted_is_taken_without_signal_and_sent_when_there_is_one(new_page, store, house):
    page = new_page(width=360, height=740)
    page.goto(f"/site/{house}/W1")
    page.locator("html[data-ready]").wait_for()
    page.evaluate("navigator.serviceWorker.ready")
    page.get_by_role("link", name="As fitted").tap()
    page.get_by_label("Level of the sill").wait_for()
    page.context.set_offline(True)
    page.get_by_label("Level of the sill").fill("1,5")
    page.locator("[data-question='level sill way']").get_by_role("button", name="Left end high").tap()
    page.get_by_label("Rising diagonal").fill("1590")
    left = page.get_by_role("group", name="Gap at the left")
    left.get_by_label("Bottom").fill("6")
    left.get_by_label("Top").fill("7.5")
    page.get_by_label("Fixings driven").fill("9")
    page.get_by_label("Marks seen on the glass").fill("EN 12150 1(C)2")
    page.get_by_role("button", name="Today, by me").tap()
    eventually(lambda: page.get_by_label("Fitted by").input_value() == "Ada")
    page.reload()
    left.get_by_label("Bottom").wait_for()
    assert left.get_by_label("Bottom").input_value() == "6"
    page.context.set_offline(False)
    wait_sent(page)
    kept = read_house(store, house).fitted["W1"]
    assert (kept["outside"]["level"]["sill"]["mm"], kept["outside"]["level"]["sill"]["who"]) == (-1.5, "Ada")
    assert kept["outside"]["diagonal"]["rising"]["mm"] == 1590
    assert kept["gaps_mm"] == {"left": {"bottom": 6, "top": 7.5}}
    assert (kept["fixings"], kept["glass_marks"], kept["by"]) == (9, "EN 12150 1(C)2", "Ada")
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", kept["on"])


def test_a_figure_that_cannot_be_is_told_at_the_field_and_not_kept(new_page, store, house):
    page = new_page()
    page.goto(f"/site/{house}/W1/fitted")
    page.get_by_label("Plumb of the left jamb").fill("900")
    page.get_by_label("Rising diagonal").focus()
    page.get_by_text("900 mm can't be the plumb of the left jamb").wait_for()
    page.get_by_label("Fixings driven").fill("2.5")
    page.get_by_label("Foam used").focus()
    page.get_by_text("2.5 is no number").wait_for()
    page.get_by_role("group", name="Gap at the left").get_by_label("Top").fill("400")
    page.get_by_label("Foam used").focus()
    page.get_by_text("400 can't be; from 0 to 100 (no frame is left with a wider joint").wait_for()
    page.get_by_label("Fixings driven").fill("900")
    page.get_by_label("Foam used").focus()
    page.get_by_text("900 can't be; from 0 to 500").wait_for()
    assert page.locator(".sent.all").is_visible()
    assert read_house(store, house).fitted == {}


def test_a_level_as_fitted_waits_for_the_way_it_goes(new_page, store, house):
    page = new_page()
    page.goto(f"/site/{house}/W1/fitted")
    ways = page.locator("[data-question='level sill way'] button")
    ways.first.wait_for()
    assert [way.get_attribute("aria-pressed") for way in ways.all()] == ["false", "false"]
    page.get_by_label("Level of the sill").fill("2")
    page.get_by_label("Fixings driven").focus()
    page.get_by_text("Which way?").wait_for()
    page.get_by_label("Fixings driven").fill("9")
    page.get_by_label("Foam used").focus()
    wait_sent(page)
    assert read_house(store, house).fitted == {"W1": {"fixings": 9}}
    assert page.get_by_label("Level of the sill").input_value() == "2"
    page.locator("[data-question='level sill way']").get_by_role("button", name="Left end high").tap()
    wait_sent(page)
    assert read_house(store, house).fitted["W1"]["outside"]["level"]["sill"]["mm"] == -2


def test_the_desk_shows_it_beside_the_plan_and_a_change_of_it_is_undone(new_page, store, demo, demo_plan):
    keep_plan(store, read_house(store, demo), "Ada", *demo_plan)
    replace_fitted(store, demo, {"W4": AS_FITTED}, who="Ada", at="2026-03-04T10:00:00Z", device="desk")
    changed = {"W4": AS_FITTED | {"fixings": 1}}
    replace_fitted(store, demo, changed, who="Bo", at="2026-03-04T11:00:00Z", device="desk")
    page = new_page(role="office", width=1440, height=900)
    page.goto(f"/houses/{demo}/openings/W4")
    assert page.get_by_text("Fitted Wednesday 4 March by Ada.").is_visible()
    table_of = page.get_by_role("region", name="As fitted")
    assert "1 (right end high)" in table_of.get_by_role("row", name="Level of the sill").inner_text()
    folds = page.locator("#as-fitted ~ .fold")
    folds.filter(has_text="under the 3 mm that must be left anywhere").first.wait_for()
    page.get_by_role("listitem").filter(has_text="“Fixings driven” of W4 as fitted").get_by_role(
        "button"
    ).first.click()
    page.get_by_role("listitem").filter(has_text="“Fixings driven” of W4 as fitted").nth(1).wait_for()
    assert read_house(store, demo).fitted == {"W4": AS_FITTED}


def test_what_is_exported_as_fitted_is_taken_in_again_as_it_is(client, store, house):
    replace_fitted(store, house, {"W1": AS_FITTED}, who="Ada", at="", device="desk")
    out = client.get(f"/api/houses/{house}/fitted.yaml")
    assert out.headers["Content-Disposition"].endswith('-fitted.yaml"')
    put = f"/api/houses/{house}/fitted.yaml"
    assert client.put(put, content=b"{}", headers={"If-Match": out.headers["ETag"]}).status_code == 200
    assert read_house(store, house).fitted == {}
    assert client.put(put, content=out.content, headers={"If-Match": "*"}).status_code == 200
    assert read_house(store, house).fitted == {"W1": AS_FITTED}
    assert len(history(store, house, under="/fitted")) == 3
    assert client.put(put, content=b"[]", headers={"If-Match": "*"}).status_code == 422
    assert client.put(put, content=b"{}", headers={"If-Match": '"1"'}).status_code == 412
    assert client.put(put, content=b"{}").status_code == 428


def test_diagonals_and_gaps_are_shown_beside_the_frames_own():
    ordered = Ordered(
        width_mm=1190, height_mm=1000, material="pvcu", colour="white", fixings=10,
        gaps_mm={"left": {"bottom": 8.0, "middle": 7.25, "top": 8.0}}, glass={"A": "4-16-4"},
    )  # fmt: skip
    read = {
        "outside": {"diagonal": {"rising": 1555, "falling": 1553}},
        "gaps_mm": {"left": {"top": 7.5}},
        "fixings": 9,
    }
    rows = {row["name"]: (row["planned"], row["fitted"]) for row in fitted_view(read, ordered)["rows"]}
    assert rows == {
        "Rising diagonal": ("1554", "1555"),
        "Falling diagonal": ("1554", "1553"),
        "Diagonals differ by": ("0", "2"),
        "Gap at the left": ("bottom 8, middle 7.2, top 8", "top 7.5"),
        "Fixings": ("10", "9"),
    }
