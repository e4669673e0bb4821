"""The pictures of the tour, taken from the running app with the invented demo house. Writes docs/tour-*.png."""

import re
import tempfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.store import add_house, choose, invite, open_store
from web_server import CHROMIUM, CHROMIUM_WORDS, Served

ROOT = Path(__file__).parent.parent
PATIENCE_MS = 300_000


def main() -> None:
    """Take every picture."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as player:
        data = Path(folder) / "houses.db"
        store = open_store(data)
        house = add_house(store, parse_tree(read_text("demo_house.yaml")))
        choose(store, "prices", parse_tree(read_text("demo_prices.yaml")), who="Tour")
        served = Served(data)
        browser = player.chromium.launch(executable_path=CHROMIUM, args=CHROMIUM_WORDS)
        try:
            for name, width, height, take in (
                ("opening", 390, 844, _opening), ("house", 1280, 1386, _house), ("days", 1280, 900, _days),
            ):  # fmt: skip
                page = browser.new_page(
                    viewport={"width": width, "height": height}, base_url=served.address, locale="en-GB"
                )
                page.set_default_timeout(PATIENCE_MS)
                page.goto(f"/join/{invite(store, name='Ada Example', role='office')}")
                page.get_by_role("button").click()
                take(page, house)
                page.screenshot(path=ROOT / "docs" / f"tour-{name}.png")
                page.close()
        finally:
            browser.close()
            served.kill()
            store.close()


def _opening(page: Page, house: str) -> None:
    """A misread named while still on the ladder."""
    page.goto(f"/site/{house}/W3")
    page.locator(".dim.active").wait_for()
    for key in ("1", "1", "2", "2", "Next"):
        page.get_by_role("region", name="Number pad").get_by_role(
            "button", name=key, exact=key != "Next"
        ).click()
    page.get_by_role("button", name="None: all are so").click()
    page.locator(".word.doubt", has_text="likely").wait_for()
    page.get_by_role("button", name=re.compile("again$")).click()
    for key in ("1", "2"):
        page.get_by_role("region", name="Number pad").get_by_role("button", name=key, exact=True).click()


def _house(page: Page, house: str) -> None:
    page.goto(f"/houses/{house}/history")
    page.get_by_role("button", name="Undo").first.click()
    page.locator(".story li").nth(1).wait_for()
    page.goto(f"/houses/{house}")
    page.get_by_role("button", name="Plan the house").click()
    page.get_by_text(re.compile("^Planned ")).wait_for()


def _days(page: Page, house: str) -> None:
    page.goto(f"/houses/{house}/days")
    page.locator("#days").wait_for()


if __name__ == "__main__":
    main()
