"""Every screen at the widths people have, light and dark: nothing hidden, nothing too small, nothing too faint."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

from jambwright.store import Photo, add_house, keep_photo, keep_plan, read_house, replace_fitted
from survey_trees import AS_FITTED, FULL_OPENING, tree

ON_SITE = {
    "houses": "/site",
    "house": "/site/{house}",
    "opening": "/site/{house}/W4",
    "questions": "/site/{house}/W4/questions",
    "photos": "/site/{house}/W4/photos",
    "fitted": "/site/{house}/W4/fitted",
    "stops": "/site/{house}/W4/stops",
    "unsent": "/site/unsent",
}
AT_DESK = {
    "houses": "/",
    "house": "/houses/{house}",
    "house form": "/houses/{house}/form",
    "form of an opening": "/houses/{house}/form?at=/openings/W4",
    "readings": "/houses/{house}/form?at=/openings/W4/outside",
    "light": "/houses/{house}/form?at=/openings/W4/wanted/layout/across/0",
    "opening": "/houses/{house}/openings/W4",
    "layout": "/houses/{house}/openings/W4/layout",
    "findings": "/houses/{house}/findings",
    "order": "/houses/{house}/order",
    "glass": "/houses/{house}/glass?opening=W4",
    "materials": "/houses/{house}/materials",
    "cutting": "/houses/{house}/cutting",
    "days": "/houses/{house}/days",
    "price": "/houses/{house}/price",
    "prices": "/prices",
    "papers": "/houses/{house}/papers",
    "history": "/houses/{house}/history",
    "survey": "/houses/{house}/survey",
    "people": "/people",
}
PICTURE = bytes.fromhex(
    "ffd8ffe000104a46494600010100000100010000ffdb004300ffffffffffffffffffffffffffffffffffffffffffffffffffffffff"
    "ffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffc0000b0800010001010111"
    "00ffc40014000100000000000000000000000000000000ffc40014100100000000000000000000000000000000ffda000801010000"
    "3f0037ffd9"
)


@pytest.fixture
def full_house(store, demo, demo_plan):
    result, papers = demo_plan
    keep_plan(store, read_house(store, demo), "Ada", result, papers)
    photo = Photo(id="p1", house=demo, mark="W4", caption="Crack", drawn=[[[0.1, 0.1], [0.9, 0.9]]], who="Ada",
                  at="2026-03-02T10:00:00Z", width_px=1, height_px=1)  # fmt: skip
    keep_photo(store, photo, PICTURE)
    replace_fitted(store, demo, {"W4": AS_FITTED}, who="Ada", at="2026-03-02T10:00:00Z", device="desk")
    return demo


def open_page(page, path, house):
    page.goto(path.format(house=house), wait_until="load")
    if path.startswith("/site"):
        page.locator("html[data-ready]").wait_for()
        page.locator("main > *").first.wait_for()
    for ready in ("#instead", "#drawing-table"):
        if page.locator(ready).count():
            page.locator(f"{ready}[data-ready]").wait_for(state="attached", timeout=30_000)
    page.wait_for_timeout(150)


AXE = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], "resultTypes": ["violations"]}
CHECKS = (Path(__file__).parent / "screen_checks.js").read_text(encoding="utf-8")
BARE_FINGER_PX = 43.5
DRAWN_ANEW = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
WIDTHS = ((320, 640), (390, 844), (820, 1180), (1440, 900))


def faults(page, *checks):
    """What is wrong on the page at every width, light and dark."""
    found = []
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        for width, height in WIDTHS:
            page.set_viewport_size({"width": width, "height": height})
            page.evaluate(DRAWN_ANEW)
            for check in checks:
                said = page.evaluate(f"({CHECKS}).{check}()")
                found += [f"{check} at {width} px, {scheme}: {fault}" for fault in said]
    return found


def test_on_site_everything_fits_can_be_hit_with_a_glove_and_read_in_the_sun(new_page, full_house):
    page = new_page(role="office")
    for path in ON_SITE.values():
        open_page(page, path, full_house)
        assert (path, faults(page, "wide", "cut", "small", "faint")) == (path, [])


def test_at_the_desk_everything_fits_and_figures_stand_out(new_page, full_house):
    page = new_page(role="office")
    for path in AT_DESK.values():
        open_page(page, path, full_house)
        assert (path, faults(page, "wide", "cut", "faint")) == (path, [])
        page.set_viewport_size({"width": 390, "height": 844})
        page.evaluate(DRAWN_ANEW)
        assert (path, page.evaluate(f"({CHECKS}).small({BARE_FINGER_PX})")) == (path, [])


PLANTED = {
    "wide": '<p style="width: 900px">Wide</p>',
    "small": '<button style="width: 47px; height: 60px">Ab</button>',
    "cut": '<p style="width: 3em; overflow: hidden; white-space: nowrap">Cut off without a mark</p>',
    "faint": '<p class="figure" style="color: #999; background: #fff">1210</p>',
}

SOUND = """<p class="figure" style="color: #111; background: #fff">1210</p>
<button style="min-width: 48px; height: 48px">A</button>"""
ALSO = {"wide": ["wide", "cut"]}
"""What is wider than the page also runs out of what holds it."""


@pytest.mark.parametrize(("check", "fault"), PLANTED.items(), ids=PLANTED)
def test_a_fault_that_is_planted_is_found_and_nothing_that_is_sound(browser, check, fault):
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.set_content(f"<main>{SOUND}</main>")
    assert [page.evaluate(f"({CHECKS}).{name}()") for name in PLANTED] == [[]] * len(PLANTED)
    page.set_content(f"<main>{SOUND}{fault}</main>")
    said = {name: page.evaluate(f"({CHECKS}).{name}()") for name in PLANTED}
    page.close()
    assert [name for name, found in said.items() if found] == ALSO.get(check, [check])


@pytest.mark.parametrize("width", [320, 360, 390])
def test_the_six_tabs_of_the_desk_stand_in_one_row(new_page, full_house, width):
    page = new_page(role="office", width=width)
    open_page(page, "/houses/{house}", full_house)
    tabs = _boxes(page, *[f".tabs a:nth-child({n})" for n in range(1, 7)])
    assert {tab["top"] for tab in tabs} == {tabs[0]["top"]}
    assert page.evaluate(f"({CHECKS}).wide()") == []


HALF_READ = {"house": "/houses/{half}", "opening": "/houses/{half}/openings/W2",
             "layout": "/houses/{half}/openings/W2/layout", "on site": "/site/{half}/W2"}  # fmt: skip
JOINING = {"how": "/join", "joining": "/join/abcdefgh12345678"}


@pytest.mark.parametrize(
    ("paths", "width", "scheme"),
    [
        pytest.param(ON_SITE | JOINING, 390, "light", id="on site"),
        pytest.param(AT_DESK, 1440, "dark", id="at the desk"),
        pytest.param(HALF_READ, 390, "light", id="half read"),
    ],
)
def test_axe_finds_no_serious_violation_on_any_screen(new_page, full_house, house, paths, width, scheme):
    page = new_page(role="office", width=width, color_scheme=scheme)
    found = []
    for path in paths.values():
        open_page(page, path.replace("{half}", house), full_house)
        for violation in Axe().run(page, options=AXE).response["violations"]:
            if violation["impact"] in ("serious", "critical"):
                found += [f"{path} {violation['id']} {node['html'][:100]}" for node in violation["nodes"]]
    assert found == []


def test_at_an_opening_drawing_word_and_pad_are_seen_together(new_page, house):
    for width, height in ((320, 640), (360, 740), (390, 844)):
        page = new_page(width=width, height=height)
        open_page(page, "/site/{house}/W2", house)
        page.locator(".dim.active").wait_for()
        page.wait_for_timeout(400)  # the server's word on the readings redraws it
        _drawing_above_pad(page, height)
        if height > 800:  # smaller phones scroll a little while offsets are read
            page.get_by_role("group", name="Which readings").get_by_role("button", name="Level").tap()
            _drawing_above_pad(page, height)


def _drawing_above_pad(page, height):
    drawing, reach = _boxes(page, ".opening-drawing", ".reach")
    assert drawing["bottom"] <= reach["top"] + 1
    assert reach["bottom"] <= height + 1


def _boxes(page, *found):
    """Where they stand, all at one moment."""
    return page.evaluate(
        "(all) => all.map((s) => document.querySelector(s).getBoundingClientRect().toJSON())", found
    )


MISREAD = {
    "width": {"bottom": 1310, "middle": 1209, "top": 1211}, "height": {"left": 1052, "centre": 1051.5, "right": 1050},
    "diagonal": {"rising": 1605, "falling": 1602}, "plumb": {"left": 1, "right": 1.5}, "level": {"sill": 12, "head": 1},
}  # fmt: skip
COVERED = """() => {
  const covers = [".bar", ".reach"].map((s) => document.querySelector(s).getBoundingClientRect());
  const cut = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1
    && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1;
  const all = [...document.querySelectorAll(".tabs a, .steps button, .opening-drawing, .dim .label")];
  const [, reach] = covers;
  const inside = [...document.querySelectorAll(".word, .pad button")].filter((e) => e.checkVisibility());
  return [
    ...all.filter((e) => covers.some((box) => cut(e.getBoundingClientRect(), box))),
    ...inside.filter((e) => cut(e.getBoundingClientRect(), covers[0])),
    ...inside.filter((e) => !document.querySelector(".flows") && e.getBoundingClientRect().bottom > innerHeight + 1),
  ].map((e) => e.outerHTML.slice(0, 60));
}"""
TOLD_LATER = """(bar) => { bar.style.flexWrap = "wrap"; bar.append(Object.assign(document.createElement("p"),
  { style: "flex: 0 0 100%", textContent: "What stops the order, told once the server has answered" })); }"""
SMALL = {
    "smallest phone": (320, 568), "phone": (390, 844), "on its side": (844, 390), "small on its side": (568, 320),
    "laptop at 200 %": (640, 360), "phone at 200 %": (195, 422),
}  # fmt: skip


@pytest.mark.parametrize("size", SMALL.values(), ids=SMALL)
def test_the_pad_hides_neither_drawing_nor_tabs_nor_word_and_stays_whole(new_page, store, size):
    """WCAG 2.2, 1.4.10: at 200 % nothing is lost; offsets have two more buttons, a doubt has its question."""
    house = add_house(store, tree(openings=[
        FULL_OPENING | {"id": "W1", "outside": {}}, FULL_OPENING | {"id": "W2", "outside": MISREAD},
    ]))  # fmt: skip
    page = new_page(width=size[0], height=size[1])
    for mark, group in (("W1", "Widths"), ("W1", "Level"), ("W2", "Widths")):
        open_page(page, f"/site/{{house}}/{mark}", house)
        page.locator(".dim.active").wait_for()
        if group != "Widths":
            page.get_by_role("group", name="Which readings").get_by_role("button", name=group).click()
        page.wait_for_timeout(400)
        page.evaluate("scrollTo(0, 0)")
        assert (mark, group, page.evaluate(COVERED)) == (mark, group, [])
        assert (mark, group, page.evaluate(f"({CHECKS}).wide()")) == (mark, group, [])
        page.get_by_role("button", name="Pass").scroll_into_view_if_needed()
        page.get_by_role("button", name="7", exact=True).click()
        assert page.locator(".typed").inner_text() == "7"
        page.get_by_role("button", name="Rub out").click()
    page.locator(".bar").evaluate(TOLD_LATER)
    page.wait_for_timeout(200)
    page.evaluate("scrollTo(0, 0)")
    assert page.evaluate(COVERED) == []


SHAPES_MM = {"D1": (900, 2100), "W1": (2400, 600), "W2": (1200, 1200)}


def read_square(width_mm, height_mm):
    return {
        "width": {"bottom": width_mm, "middle": width_mm, "top": width_mm},
        "height": {"left": height_mm, "centre": height_mm, "right": height_mm},
    }


@pytest.mark.parametrize("size", [(320, 568), (390, 844), (844, 390)], ids=str)
def test_an_opening_is_drawn_in_true_proportion_with_its_figures_clear_of_each_other(new_page, store, size):
    openings = [FULL_OPENING | {"id": mark, "outside": read_square(*mm)} for mark, mm in SHAPES_MM.items()]
    house = add_house(store, tree(openings=openings))
    page = new_page(width=size[0], height=size[1])
    for mark, (width_mm, height_mm) in SHAPES_MM.items():
        open_page(page, f"/site/{{house}}/{mark}", house)
        page.locator(".dim.active").wait_for()
        for group in ("Widths", "Heights", "Diagonals", "Level", "Bows"):
            page.get_by_role("group", name="Which readings").get_by_role("button", name=group).click()
            page.wait_for_timeout(60)
            [box] = _boxes(page, ".true-box")
            assert box["width"] / box["height"] == pytest.approx(width_mm / height_mm, rel=0.04)
            assert (mark, group, page.evaluate(CROWDED)) == (mark, group, [])


CROWDED = """() => {
  const drawing = document.querySelector(".opening-drawing").getBoundingClientRect();
  const labels = [...document.querySelectorAll(".dim .label")].map((e) => e.getBoundingClientRect());
  const within = (a, b) => a.left >= b.left && a.right <= b.right && a.top >= b.top && a.bottom <= b.bottom;
  const meet = (a, b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
  const out = labels.filter((a) => !within(a, drawing));
  const over = labels.filter((a, n) => labels.slice(0, n).some((b) => meet(a, b)));
  return [...out, ...over].map((box) => JSON.stringify(box));
}"""


@pytest.mark.parametrize(("width", "height"), [(320, 640), (360, 740), (390, 844), (412, 915)])
def test_the_reading_that_is_accused_is_seen_while_the_word_accuses_it(new_page, store, width, height):
    """With the server's word and without it, and the caption of the drawing whole above it."""
    house = add_house(store, tree(openings=[FULL_OPENING | {"id": "W2", "outside": MISREAD}]))
    page = new_page(width=width, height=height)
    page.route("**/api/reading-check", lambda route: route.abort())
    for served in (False, True):
        if served:
            page.unroute("**/api/reading-check")
        open_page(page, "/site/{house}/W2", house)
        page.locator(".word.doubt").wait_for()
        page.wait_for_timeout(400)
        assert page.locator(".dim.doubt").count() >= 1
        assert (served, page.evaluate(COVERED)) == (served, [])
        caption, drawing = _boxes(page, "figcaption", ".opening-drawing")
        assert caption["bottom"] <= drawing["top"] + 1
        if height > 800:
            _drawing_above_pad(page, height)


def test_the_first_load_is_light(new_page, full_house):
    page = new_page(role="office")
    sizes = []
    page.on("requestfinished", lambda request: sizes.append(request.sizes()))
    page.context.clear_cookies()
    page.evaluate("async () => { for (const key of await caches.keys()) await caches.delete(key); }")
    open_page(page, "/site", full_house)
    page.wait_for_timeout(300)
    total = sum(s["responseBodySize"] + s["responseHeadersSize"] for s in sizes)
    assert 20_000 < total < 200_000
