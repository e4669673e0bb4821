"""One person, a phone and a laptop: from an empty database to the papers, with every touch counted."""

import json
import re
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import expect
from pypdfium2 import PdfDocument
from test_drawing_a_layout import Table
from test_on_site import PLACES, READINGS, figures, type_figure, wait_lit, wait_sent

from jambwright.store import history, house_lines, house_plans, paper, paper_names, read_house
from jambwright.web.papers_view import PURPOSES, printed_for, purpose_of

DOCS = (Path(__file__).parents[2] / "docs" / "browser.md").read_text(encoding="utf-8")
LABEL = "8 Example Row (invented)"
PATIENCE_MS = 60_000
COUNT = """() => {
  addEventListener("pointerdown", (event) => event.isTrusted && counted("press"), true);
  addEventListener("keydown", (event) => event.isTrusted && counted("key"), true);
  addEventListener("change", (event) => event.target.tagName === "SELECT" && counted("choice"), true);
}"""


class Counted:
    """What one device is asked of its person: presses (a list is opened, then chosen from), and keys of a keyboard."""

    def __init__(self):
        self.presses, self.keys = 0, 0

    def __call__(self, context):
        context.expose_function("counted", self._one)
        context.add_init_script(f"({COUNT})()")

    def _one(self, kind):
        if kind == "key":
            self.keys += 1
        else:
            self.presses += {"press": 1, "choice": 2}[kind]


def openings():
    def of(widths, heights, diagonals, offsets):
        return dict(zip(PLACES, map(str, (*widths, *heights, *diagonals, *offsets)), strict=True))

    return {
        "W1": ("window", "Kitchen", READINGS),
        "W2": ("window", "Bathroom", of((608, 607, 608), (903, 902, 901), (1086, 1089), (0, 0, -1, 0))),
        "D1": ("door", "Hall", of((932, 931, 930), (2087, 2086, 2085), (2285, 2283), (2, 1, 1, 0))),
        "W3": (
            "window",
            "Front bedroom",
            of((1212, 1208, 1212), (1203, 1204, 1205), (1710, 1706), (4, -2, 4, -1)),
        ),
    }


def read(page, place, figure):
    wait_lit(page, place)
    if place.split()[0] in ("level", "plumb") and float(figure):
        way = page.get_by_role("group", name="Which way").get_by_role("button")
        (way.first if float(figure) > 0 else way.last).tap()
    type_figure(page, figure.lstrip("-"))


def add(page, kind, room):
    page.get_by_label("Room").tap()
    page.get_by_label("Room").press_sequentially(room)
    page.get_by_role("button", name=f"Add {kind}").tap()
    page.locator(".dim.active").wait_for()


def lets_the_phone_in(page):
    """The person at the desk is told that she is the office on her phone too."""
    page.get_by_role("link", name="People").click()
    page.get_by_label("Name").click()
    page.get_by_label("Name").press_sequentially("Ada")
    page.get_by_role("button", name="Show the code").click()
    expect(page.locator("#told")).to_contain_text("For another device of the same person choose that role")
    page.get_by_label("Role").select_option("office")
    page.get_by_role("button", name="Show the code").click()
    return page.locator("#code code").inner_text()


def on_the_phone(page):
    page.wait_for_url("**/site")  # where the office on a phone lands
    page.get_by_label("Address or name").tap()
    page.get_by_label("Address or name").press_sequentially(LABEL)
    page.get_by_role("button", name="Add house").tap()
    for n, (mark, (kind, room, readings)) in enumerate(openings().items()):
        if n:
            page.locator("#back").tap()
        if n == 2:
            wait_sent(page)
            page.evaluate("navigator.serviceWorker.ready")
            page.context.set_offline(True)
        add(page, kind, room)
        if mark == "W3":
            misread(page, readings)
        else:
            for place, figure in readings.items():
                read(page, place, figure)
        if mark == "W1":
            page.get_by_role("link", name="Questions").tap()
            asked = page.locator("[data-question='lintel/kind']")
            asked.get_by_role("button", name="Steel").tap()
            page.get_by_role("link", name="Readings").tap()
        page.locator(".word.good").wait_for()
    page.get_by_text("not sent yet").wait_for()
    page.context.set_offline(False)
    wait_sent(page)


def misread(page, readings):
    for place, figure in readings.items():
        read(page, place, figure if place != "width bottom" else "1172")
        if place == "width middle":
            page.get_by_role("button", name="None: all are so").tap()
    named = page.locator(".word.doubt", has_text="bottom width 1172 mm is likely 1211 mm")
    expect(named).to_be_visible()
    expect(page.locator(".dim.doubt")).to_have_count(0)
    page.get_by_role("button", name="Measure the bottom width again").tap()
    read(page, "width bottom", readings["width bottom"])


FORM = {
    "/registered_installer": True, "/site/nation": "wales", "/site/wind_map_speed_ms": 22,
    "/site/distance_to_sea_km": 45, "/house/breadth_m": 6.2, "/house/depth_m": 8.4, "/house/height_m": 7.6,
    "/house/built_year": 2010, "/house/listed": False, "/house/conservation_area": False, "/house/children": False,
    "/defaults/wall/closer": "brick_return",
}  # fmt: skip
ROOMS = {
    "Kitchen": ("kitchen", 0, 11.4, "hall"), "Bathroom": ("bathroom", 1, 4.6, None), "Hall": ("hall", 0, 6.5, None),
    "Front bedroom": ("bedroom", 1, 14.6, "open_stair"),
}  # fmt: skip


def answer(page, path, value):
    """A field, with mouse and keys, until it is kept."""
    control = page.locator(f"[data-path='{path}']")
    before = page.locator("main").get_attribute("data-version")
    typed(control, value)
    control.press("Tab")
    expect(page.locator("main")).not_to_have_attribute("data-version", before)


def typed(control, value):
    if control.evaluate("one => one.tagName") == "SELECT":
        control.select_option(json.dumps(value))
    else:
        control.click()
        control.press_sequentially(str(value))


def plan(page):
    with page.expect_navigation(timeout=PATIENCE_MS):
        page.get_by_role("button", name="Plan the house").click()
    expect(page.locator(".plan-state")).to_contain_text("Planned")
    expect(page.locator(".plan-state .problems")).to_have_count(0)


def fills_the_house_form(page):
    page.get_by_role("link", name=LABEL).click()
    plan(page)
    page.get_by_role("link", name=re.compile("fields would settle|fields to fill in")).click()
    page.locator("html[data-ready]").wait_for()
    asked = page.locator(".asks").first
    asked.get_by_role("link", name="Day of the work").click()
    page.wait_for_url("**#f/date_of_work")
    answer(page, "/date_of_work", "07122026")
    for path, value in FORM.items():
        answer(page, path, value)
    for name, (use, storey, area, way_out) in ROOMS.items():
        page.get_by_role("button", name=f"List {name}").click()
        new = page.locator("[data-list='/house/rooms'] [data-new]")
        for key, value in (("use", use), ("storey", storey), ("floor_area_m2", area), ("way_out", way_out)):
            if value is not None:
                typed(new.locator(f"[data-path='/house/rooms/+/{key}']"), value)
        new.get_by_role("button", name="Add").click()
        page.locator(f"[data-path='/house/rooms/{name}/use']").wait_for()
        page.locator("html[data-ready]").wait_for()


SILLS = {"W1": 1080, "W2": 1150, "D1": 0, "W3": 860}


def fills_the_openings(page):
    """What the plan still asks, by its own links."""
    for mark, above in SILLS.items():
        page.get_by_role("navigation", name="Inside House").get_by_role("link", name="House form").click()
        page.get_by_role("link", name=f"{mark}: Sill above the floor inside").click()
        page.locator("html[data-ready]").wait_for()
        answer(page, f"/openings/{mark}/sill_above_floor_mm", above)


def draws(page, mark):
    page.get_by_role("link", name="House", exact=True).click()
    page.get_by_role("link", name=f"Look at {mark}").click()
    page.get_by_role("link", name="Draw the layout").click()
    return Table(page)


def keeps(table):
    table.press("Keep this layout")
    expect(table.page.locator("#kept")).to_contain_text("Kept.")


def draws_two_layouts(page):
    bath = draws(page, "W2")
    bath.stroke("A", upright=False, share=0.35)
    bath.light("A").click()
    page.locator('[aria-label="Light A: hinges at the top"]').click()
    bath.settled()
    keeps(bath)
    bedroom = draws(page, "W3")
    bedroom.press("Hinges left, fixed")
    keeps(bedroom)


def orders_instead(page):
    plan(page)
    page.get_by_role("link", name="House", exact=True).click()
    page.locator(".needs > li", has_text="D1").get_by_role("link", name="See what to order instead").click()
    first = page.locator("#instead article").first
    first.wait_for(timeout=PATIENCE_MS)
    first.get_by_role("button", name=re.compile("^Order instead")).click()
    expect(page.locator("#taken")).to_be_visible(timeout=PATIENCE_MS)


def sets_prices(page):
    page.get_by_role("link", name="Price", exact=True).click()
    page.get_by_role("link", name="Fill in the prices").click()
    page.locator("html[data-ready]").wait_for()
    expect(page.get_by_text("No prices are kept yet. These are invented")).to_be_visible()
    page.locator("[data-path='/valid_days']").fill("")
    typed(page.locator("[data-path='/valid_days']"), 28)
    page.get_by_role("button", name="Keep").click()
    page.wait_for_url("**/prices?kept=yes")
    page.get_by_role("link", name=LABEL).click()  # told to plan it again
    page.wait_for_url("**/price")
    plan(page)
    page.get_by_role("link", name="Price", exact=True).click()
    expect(page.get_by_text("Valid until")).to_be_visible()


def moves_a_day(page):
    page.get_by_role("link", name="Days", exact=True).click()
    held = page.locator("[data-hold='W1']")
    later = held.locator("option").last.get_attribute("value")
    with page.expect_navigation(timeout=PATIENCE_MS):
        held.select_option(later)
    expect(page.get_by_text("Other days than in the plan before")).to_be_visible()
    expect(page.locator(f"[data-mark='W1'] [data-day='{later}'] .held")).to_be_visible()
    return later


def takes_the_papers(page):
    """What is printed as one file, and the first paper of every purpose: name to bytes."""
    page.get_by_role("link", name="Papers", exact=True).last.click()
    expect(page.locator(".go")).to_have_text("Nothing these papers rest on has changed since they were made.")
    print_all = page.get_by_role("link", name="Print all:")
    with page.expect_popup() as opened:
        print_all.click()
    opened.value.close()
    taken = {"all": page.context.request.get(print_all.get_attribute("href")).body()}
    for part in page.locator(".panels .panel").all():
        with page.expect_download() as download:
            part.locator("a[download]").first.click()
        taken[download.value.suggested_filename] = Path(download.value.path()).read_bytes()
    return taken


def are_the_plans(taken, store, house, day):
    """Whether every paper taken is that of the latest plan, byte by byte or page by page, with the day moved to."""
    plan_id = house_plans(store, house)[0].id
    names = paper_names(store, plan_id)
    every = PdfDocument(taken.pop("all"))
    assert len(every) == sum(
        len(PdfDocument(paper(store, house, plan_id, n))) for n in printed_for("all", names)
    )
    words = " ".join(page.get_textpage().get_text_range() for page in every)
    for said in (LABEL, *SILLS, f"{date.fromisoformat(day):%A %-d %B}"):
        assert said in words, said
    assert {purpose_of(name) for name in taken} == set(PURPOSES)
    assert [name for name, body in taken.items() if body != paper(store, house, plan_id, name)] == []


def test_a_house_is_walked_from_nothing_to_its_papers_on_screens_alone(new_page, running, store):
    on_phone, at_desk = Counted(), Counted()
    desk = new_page(
        address=running.invitation("office"), width=1280, height=900, watch=at_desk, locale="en-GB"
    )
    phone = new_page(address=lets_the_phone_in(desk), watch=on_phone)
    on_the_phone(phone)
    desk.get_by_role("link", name="Houses").click()
    fills_the_house_form(desk)
    plan(desk)
    fills_the_openings(desk)
    draws_two_layouts(desk)
    orders_instead(desk)
    sets_prices(desk)
    day = moves_a_day(desk)
    taken = takes_the_papers(desk)

    [line] = house_lines(store)
    kept = read_house(store, line.id).tree
    for mark, (_, _, readings) in openings().items():
        assert figures(kept, mark) == {place: float(figure) for place, figure in readings.items()}
    assert "1172" in {change.typed for change in history(store, line.id)}
    are_the_plans(taken, store, line.id, day)
    asked = (on_phone.presses, on_phone.keys, at_desk.presses, at_desk.keys)
    told = re.search(
        r"(\d+) taps and (\d+) letters on the phone, (\d+) presses and (\d+) keys at the desk", DOCS
    )
    assert asked == pytest.approx(tuple(map(int, told.groups())), abs=6)
