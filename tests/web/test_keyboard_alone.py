"""The whole way with keys alone: every control is reached in turn, what has the focus is seen, nothing holds it."""

import re

import pytest
from playwright.sync_api import expect
from test_on_site import READINGS, figures
from test_screens import full_house, open_page

from jambwright.store import house_lines, read_house

assert full_house
PATIENCE_MS = 25_000
ACTIVE = """([wanted, words]) => {
  const one = document.activeElement;
  if (!one || one === document.body) return { where: "nowhere" };
  const label = one.id && document.querySelector(`label[for="${CSS.escape(one.id)}"]`);
  const shown = one.type === "file" && label?.matches(".button") ? label : one;
  const box = shown.getBoundingClientRect();
  const whole = box.height < innerHeight - 100 && box.width < innerWidth; // what is larger than the screen can't be
  const seen = [[.5, .5], [.1, .5], [.9, .5], [.5, .2], [.5, .8]].filter(([x, y]) => {
    const top = document.elementFromPoint(box.left + x * box.width, box.top + y * box.height);
    return top && (shown.contains(top) || top.contains(shown));
  }).length;
  const ringed = shown.ownerSVGElement || one.type === "file" || getComputedStyle(shown).outlineStyle !== "none";
  const name = one.getAttribute("aria-label") ?? label?.textContent ?? one.textContent;
  return {
    where: `${one.tagName} ${name.trim().replace(/\\s+/g, " ").slice(0, 60)}`,
    nth: one.dataset.nth ?? null,
    here: Boolean(wanted) && one.matches(wanted) && one.textContent.includes(words),
    lost: whole && seen < 3 ? "hidden" : ringed ? "" : "without a ring",
  };
}"""


class Keys:
    """A person at the keyboard who looks at what has the focus after every key."""

    def __init__(self, page):
        self.page = page
        self.faults = []
        self.pressed = 0

    def press(self, *keys):
        for key in keys:
            self.page.keyboard.press(key)
            self.pressed += 1

    def active(self, wanted="", words=""):
        """What has the focus; looked at again where it is hidden while the page still moves under it."""
        for _ in range(8):
            found = self.page.evaluate(ACTIVE, [wanted, words])
            if found.get("lost") != "hidden":
                break
            self.page.wait_for_timeout(250)
        return found

    def to(self, wanted, words="", key="Tab", most=400):
        """Go on with Tab until what is wanted has the focus."""
        self.page.locator(wanted, has_text=words).first.wait_for(state="attached", timeout=PATIENCE_MS)
        nowhere = 0
        for _ in range(most):
            if self.active(wanted, words).get("here"):
                return
            self.press(key)
            found = self.active(wanted, words)
            nowhere += found["where"] == "nowhere"  # round by the browser's own bar, once
            assert nowhere < 3, f"{wanted} is not reached at {self.page.url}"
            if found.get("lost"):
                self.faults.append(f"{self.page.url}: {found['where']} {found['lost']}")
        pytest.fail(f"{wanted} is not reached with {most} keys")

    def enter(self, wanted, words="", **more):
        self.to(wanted, words, **more)
        self.press("Enter")

    def write(self, wanted, text):
        self.to(wanted)
        self.page.keyboard.type(text)

    def still_at(self, wanted):
        """Where the focus was it is again, once what was kept is shown."""
        expect(self.page.locator(wanted).first).to_be_focused(timeout=PATIENCE_MS)


def reads_a_window(keys, page):
    keys.enter("a[href='/site']")
    keys.write("#label", "8 Example Row (invented)")
    keys.press("Enter")
    keys.write("#room", "Kitchen")
    keys.enter("button", "Add window")
    page.locator(".dim.active").wait_for()
    for place, figure in READINGS.items():
        page.locator(f".dim.active[data-place='{place}']").wait_for()
        if place.split()[0] in ("level", "plumb"):
            keys.press("-", "-")  # the first turns it down, the second up
        page.keyboard.type(figure)
        keys.press("Enter")
    page.locator(".word.good").wait_for()
    keys.enter(".tabs a[href$='/questions']")
    keys.enter("[data-question='lintel/kind'] button", "Steel")
    chosen = "[data-question='lintel/kind'] [aria-pressed='true']"
    page.locator(chosen).wait_for()
    keys.still_at(chosen)
    keys.enter("#back", key="Shift+Tab")
    page.locator("#back[href='/site']").wait_for()
    keys.enter("#back")
    keys.enter("a.button[href='/']")


FORM = {
    "/date_of_work": "07072026", "/site/nation": "W", "/site/wind_map_speed_ms": "22",
    "/site/distance_to_sea_km": "45", "/house/built_year": "2010",
}  # fmt: skip


def fills_the_form(keys, page):
    keys.enter(".houses a")
    keys.enter(".inside a[href$='/form']")
    page.locator("html[data-ready]").wait_for()
    for path, typed in FORM.items():
        before = page.locator("main").get_attribute("data-version")
        keys.write(f"[data-path='{path}']", typed)
        if "date" in path or "nation" not in path:
            keys.press("Tab")
        expect(page.locator("main")).not_to_have_attribute("data-version", before)
    keys.to(".why-asked")
    keys.press("Enter")
    expect(page.locator("[popover]:popover-open")).to_have_count(1)
    keys.press("Escape")
    expect(page.locator("[popover]:popover-open")).to_have_count(0)
    keys.still_at(".why-asked:focus")


def draws_a_layout(keys, page):
    keys.enter(".openings-of a[href*='/openings/']", key="Shift+Tab")
    keys.enter("a[href$='/layout#drawing-table']")
    page.locator("#drawing-table[data-ready]").wait_for()
    settled = page.locator("#drawing-table[data-busy]")
    keys.enter(".light")
    keys.enter("button", "Divide side by side")
    expect(settled).to_have_count(0, timeout=PATIENCE_MS)
    keys.to("[role='slider']", key="Shift+Tab")
    was = page.locator("[role='slider']").get_attribute("aria-valuenow")
    keys.press("ArrowRight", "Shift+ArrowRight")
    expect(settled).to_have_count(0, timeout=PATIENCE_MS)
    assert int(page.locator("[role='slider']").get_attribute("aria-valuenow")) == int(was) + 11
    keys.still_at("[role='slider']")
    keys.enter("#keep-layout", key="Shift+Tab")
    expect(page.locator("#kept")).to_contain_text("Kept.", timeout=PATIENCE_MS)


def sets_prices(keys, page):
    keys.enter(".bar a[href='/']", key="Shift+Tab")
    keys.enter(".inside a[href='/prices']")
    page.locator("html[data-ready]").wait_for()
    keys.to("[data-path='/valid_days']")
    keys.press("Control+a")
    page.keyboard.type("28")
    keys.enter(".keep-bar button", "Keep")
    page.wait_for_url("**/prices?kept=yes")


def plans_and_moves_a_day(keys, page):
    keys.enter(".bar a[href='/']", key="Shift+Tab")
    keys.enter(".houses a")
    keys.enter("#make-plan")
    expect(page.locator(".plan-state")).to_contain_text("Planned", timeout=PATIENCE_MS)
    keys.still_at("#make-plan")
    keys.enter(".tabs a[href$='/days']")
    held = "[data-hold='W1']"
    keys.to(held)
    later = page.locator(f"{held} option").nth(3).get_attribute("value")
    keys.press("ArrowDown", "ArrowDown", "ArrowDown")
    page.wait_for_timeout(300)
    assert page.locator("#crew-planning").is_hidden(), "going through the days plans nothing yet"
    keys.press("Enter")
    expect(page.locator(f"[data-mark='W1'] [data-day='{later}'] .held")).to_be_visible(timeout=PATIENCE_MS)
    keys.still_at(held)


def takes_papers(keys, page):
    keys.enter(".tabs a[href$='/papers']", key="Shift+Tab")
    keys.to("a[href*='/print/all']")
    keys.to("a[download][href$='order.pdf']")
    with page.expect_download() as download:
        keys.press("Enter")
    return download.value.suggested_filename


def orders_instead(keys, page, house):
    open_page(page, f"/houses/{house}/openings/W4", house)
    page.locator("#instead article").first.wait_for(timeout=PATIENCE_MS)
    keys.enter("#instead button", "Order instead")
    expect(page.locator("#taken")).to_be_visible(timeout=PATIENCE_MS)
    keys.enter("#taken button")
    expect(page.locator("#taken")).to_have_count(0, timeout=PATIENCE_MS)


def test_the_whole_way_is_walked_with_keys_alone(new_page, store):
    page = new_page(role="office", width=1280, height=900, locale="en-GB")
    page.set_default_timeout(PATIENCE_MS)
    keys = Keys(page)
    reads_a_window(keys, page)
    fills_the_form(keys, page)
    draws_a_layout(keys, page)
    sets_prices(keys, page)
    plans_and_moves_a_day(keys, page)
    assert takes_papers(keys, page) == "order.pdf"
    [line] = house_lines(store)
    tree = read_house(store, line.id).tree
    assert figures(tree, "W1") == {place: float(figure) for place, figure in READINGS.items()}
    assert tree["openings"][0]["lintel"] == {"kind": "steel"}
    assert len(tree["openings"][0]["wanted"]["layout"]["across"]) == 2
    assert (tree["date_of_work"], tree["site"]["nation"]) == ("2026-07-07", "wales")
    assert keys.faults == []


CONTROLS = """() => [...document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex="0"]')]
  .filter((e) => e.checkVisibility() && !e.disabled && !e.closest("[popover]"))
  .map((e, n) => { e.dataset.nth = n; return e.outerHTML.slice(0, 80); })"""
TABBED = {
    "prices": ("/prices", 1280), "glass": ("/houses/{house}/glass?opening=W4", 1280),
    "order": ("/houses/{house}/order", 390), "opening": ("/houses/{house}/openings/W4", 1280),
    "readings on site": ("/site/{house}/W4", 390), "questions on site": ("/site/{house}/W4/questions", 320),
}  # fmt: skip


@pytest.mark.parametrize(("path", "width"), TABBED.values(), ids=TABBED)
def test_every_control_is_reached_in_the_order_of_the_page_and_seen(new_page, full_house, path, width):
    page = new_page(role="office", width=width, height=844)
    open_page(page, path, full_house)
    if path.startswith("/site"):
        page.locator("#stops:not([hidden])").wait_for()  # what the server told comes last, and fills anew
        page.wait_for_load_state("networkidle")
    page.wait_for_timeout(400)
    controls = page.evaluate(CONTROLS)
    keys, reached = Keys(page), []
    while len(reached) < len(controls) * 4:  # a field of a day has four stops
        keys.press("Tab")
        found = keys.active()
        if found["where"] == "nowhere" or (reached and found["nth"] == "0"):
            break
        assert not found["lost"] or re.search("A (Do not|do not)", found["where"]), found
        reached.append(int(found["nth"]))
    assert reached == sorted(reached)
    assert [controls[n] for n in sorted(set(range(len(controls))) - set(reached))] == []


def test_an_order_changed_by_one_press_is_taken_back_with_keys(new_page, full_house):
    page = new_page(role="office", width=1280, height=900)
    keys = Keys(page)
    orders_instead(keys, page, full_house)
    assert keys.faults == []
