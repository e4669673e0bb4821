"""Every screen at the widths people have, light and dark: nothing hidden, nothing too small, nothing too faint."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

from jambwright.store import Photo, keep_photo, keep_plan, read_house

ON_SITE = {
    "houses": "/site",
    "house": "/site/{house}",
    "opening": "/site/{house}/W4",
    "questions": "/site/{house}/W4/questions",
    "photos": "/site/{house}/W4/photos",
    "unsent": "/site/unsent",
}
AT_DESK = {
    "houses": "/",
    "house": "/houses/{house}",
    "opening": "/houses/{house}/openings/W4",
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
    return demo


def open_page(page, path, house):
    page.goto(path.format(house=house), wait_until="load")
    if path.startswith("/site"):
        page.locator("html[data-ready]").wait_for()
        page.locator("main > *").first.wait_for()
    page.wait_for_timeout(150)


AXE = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], "resultTypes": ["violations"]}
CHECKS = (Path(__file__).parent / "screen_checks.js").read_text(encoding="utf-8")
WIDTHS = ((320, 640), (390, 844), (820, 1180), (1440, 900))


def faults(page, *checks):
    """What is wrong on the page at every width."""
    found = []
    for width, height in WIDTHS:
        page.set_viewport_size({"width": width, "height": height})
        for check in checks:
            found += [f"{check} at {width} px: {fault}" for fault in page.evaluate(f"({CHECKS}).{check}()")]
    return found


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_on_site_everything_fits_can_be_hit_with_a_glove_and_read_in_the_sun(new_page, full_house, scheme):
    page = new_page(role="office", color_scheme=scheme)
    for path in ON_SITE.values():
        open_page(page, path, full_house)
        assert (path, faults(page, "wide", "small", "faint")) == (path, [])


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_at_the_desk_everything_fits_and_figures_stand_out(new_page, full_house, scheme):
    page = new_page(role="office", color_scheme=scheme)
    for path in AT_DESK.values():
        open_page(page, path, full_house)
        assert (path, faults(page, "wide", "faint")) == (path, [])


JOINING = {"how": "/join", "joining": "/join/abcdefgh12345678"}


@pytest.mark.parametrize(
    ("paths", "width", "scheme"),
    [
        pytest.param(ON_SITE | JOINING, 390, "light", id="on site"),
        pytest.param(AT_DESK, 1440, "dark", id="at the desk"),
    ],
)
def test_axe_finds_no_serious_violation_on_any_screen(new_page, full_house, paths, width, scheme):
    page = new_page(role="office", width=width, color_scheme=scheme)
    found = []
    for path in paths.values():
        open_page(page, path, full_house)
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
    drawing = page.locator(".opening-drawing").bounding_box()
    reach = page.locator(".reach").bounding_box()
    assert drawing["y"] + drawing["height"] <= reach["y"] + 1
    assert reach["y"] + reach["height"] <= height + 1


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
