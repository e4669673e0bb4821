"""Pictures of every screen, in every state a house can be in, at the sizes people have, light and dark.

Written under build/screens/SIZE/SCHEME/STATE-NAME.png. Ends with 1 where a screen answers with an error, is wider
than what it is shown on, or has a fault that axe finds; on site also where something to press is too small for a
glove. `--only TEXT` and `--size NAME` take some of them.
"""

import argparse
import itertools
import re
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Error, Page, Response, expect, sync_playwright

from jambwright.store import open_store
from screen_houses import fill
from web_server import CHROMIUM, CHROMIUM_WORDS, Running

ROOT = Path(__file__).parent.parent
CHECKS = (ROOT / "tests/web/screen_checks.js").read_text(encoding="utf-8")
AXE = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], "resultTypes": ["violations"]}
SIZES = {
    "320": (320, 568), "390": (390, 844), "844x390": (844, 390), "1280": (1280, 800), "1920": (1920, 1080),
    "phone at 200 %": (195, 422), "laptop at 200 %": (640, 400),
}  # fmt: skip
"""Enlarged to 200 % a page has half as many CSS pixels either way."""
SCHEMES = ("light", "dark")
ON_A_PHONE = ("320", "390")
GLOVED_PX, BARE_PX = 47.5, 43.5
JUDGED_BY_AXE = (("320", "light"), ("1280", "dark"))
HIGHEST_PX = 3600
"""A longer page is cut off there; its head is what is looked at."""
DRAWN_ANEW = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
Act = Callable[[Page], None]


@dataclass(frozen=True, slots=True)
class Screen:
    """One screen: in which state of a house, where it is, and what is pressed before it is looked at."""

    state: str
    name: str
    path: str
    act: Act | None = None
    status: int = 200

    def on_site(self) -> bool:
        """Whether it is used with a glove."""
        return self.path.startswith(("/site", "/join"))


def _group(name: str) -> Act:
    def act(page: Page) -> None:
        group = page.get_by_role("group", name="Which readings")
        group.get_by_role("button", name=re.compile(f"^{name}")).click()

    return act


def _types(*keys: str) -> Act:
    def act(page: Page) -> None:
        page.locator(".dim.active").wait_for()
        for key in keys:
            page.keyboard.press(key)

    return act


def _unfold(page: Page) -> None:
    page.locator("main details").first.wait_for()
    page.evaluate("() => document.querySelectorAll('main details').forEach((one) => { one.open = true; })")


def _press(name: str) -> Act:
    return lambda page: page.get_by_role("button", name=name).first.click()


def _without_signal(page: Page) -> None:
    """A figure typed where there is no signal, and what waits to be sent."""
    page.locator(".dim.active").wait_for()
    page.context.set_offline(True)
    for key in ("1", "2", "1", "0", "Enter"):
        page.keyboard.press(key)
    page.get_by_text("not sent yet").wait_for()
    page.locator("#sent a").click()
    page.locator(".card").first.wait_for()


def _plan(page: Page) -> None:
    page.get_by_role("button", name="Plan the house").click()
    page.locator("#told > *").first.wait_for(timeout=120_000)


OPENING = {
    "widths": "Widths",
    "heights": "Heights",
    "diagonals": "Diagonals",
    "levels": "Level",
    "bows": "Bows",
}
AROUND = {part: f"/{part}" for part in ("questions", "photos", "fitted", "stops")}
PARTS = (
    "form",
    "findings",
    "survey",
    "order",
    "glass",
    "materials",
    "cutting",
    "days",
    "price",
    "papers",
    "history",
)
FIRM = {"houses": "/", "lessons": "/lessons", "prices": "/prices", "people": "/people"}
MARKED = {"bare": "W1", "half": "W2", "full": "W4", "failing": "W2"}


def screens(houses: dict[str, str]) -> Iterator[Screen]:
    """Every screen of a firm that has those houses."""
    yield Screen("full", "site-houses", "/site")
    yield Screen("full", "site-unsent", "/site/unsent")
    for name, path in FIRM.items():
        yield Screen("full", f"desk-{name}", path)
    for state, mark in {"new": None, **MARKED, "old": None}.items():
        desk, site = f"/houses/{houses[state]}", f"/site/{houses[state]}"
        yield Screen(state, "site-house", site)
        yield Screen(state, "desk-house", desk)
        for part in PARTS if state != "old" else ():
            yield Screen(state, f"desk-{part}", f"{desk}/{part}")
        if not mark:
            continue
        for name, group in OPENING.items():
            yield Screen(state, f"site-opening-{name}", f"{site}/{mark}", _group(group))
        for name, end in AROUND.items():
            yield Screen(state, f"site-{name}", f"{site}/{mark}{end}")
        yield Screen(state, "site-questions-all", f"{site}/{mark}/questions", _unfold)
        yield Screen(state, "desk-opening", f"{desk}/openings/{mark}")
        yield Screen(state, "desk-layout", f"{desk}/openings/{mark}/layout")
        yield Screen(state, "desk-form-opening", f"{desk}/form?at=/openings/{mark}")
    yield from _pressed(houses)


def _pressed(houses: dict[str, str]) -> Iterator[Screen]:
    """What is seen only once something was pressed, or went wrong."""
    half, full, failing, ordered = (houses[state] for state in ("half", "full", "failing", "ordered"))
    yield Screen("full", "site-delivered", f"/site/{full}/W4/delivered")
    yield Screen("ordered", "site-delivered", f"/site/{ordered}/W1/delivered")
    yield Screen("ordered", "site-opening-widths", f"/site/{ordered}/W1")
    yield Screen("ordered", "site-questions", f"/site/{ordered}/W1/questions")
    yield Screen("ordered", "desk-house", f"/houses/{ordered}")
    yield Screen("ordered", "desk-order", f"/houses/{ordered}/order")
    yield Screen("half", "site-which-way", f"/site/{half}/W2", _then(_group("Level"), _types("3", "Enter")))
    yield Screen("half", "site-not-likely", f"/site/{half}/W1", _types("1", "8", "1", "0", "Enter"))
    yield Screen("half", "site-cannot", f"/site/{half}/W2", _press("Can't read"))
    yield Screen("half", "site-read-inside", f"/site/{half}/W2/questions", _press("Inside"))
    yield Screen("full", "site-house-all", f"/site/{full}", _unfold)
    yield Screen("failing", "site-house-all", f"/site/{failing}", _unfold)
    yield Screen("failing", "desk-findings-all", f"/houses/{failing}/findings", _unfold)
    yield Screen("full", "desk-form-all", f"/houses/{full}/form", _unfold)
    yield Screen("full", "desk-paper", f"/houses/{full}/papers/look?name=order.xlsx")
    yield Screen("full", "desk-face-larger", f"/houses/{full}", _press("Larger"))
    yield Screen(
        "full", "desk-why", f"/houses/{full}/openings/W4", lambda page: page.locator(".figure").first.click()
    )
    yield Screen("full", "desk-light", f"/houses/{full}/form?at=/openings/W4/wanted/layout/across/0")
    yield Screen("old", "desk-not-planned", f"/houses/{houses['old']}", _plan)
    yield Screen("failing", "desk-clash", f"/houses/{failing}/history")
    yield Screen("failing", "desk-not-there", "/houses/0123456789abcdef", status=404)
    yield Screen("failing", "join-used", "/join/abcdefgh12345678", _press("Let this device in"), status=200)
    yield Screen("failing", "site-without-signal", f"/site/{half}/W2", _without_signal)


def _then(*acts: Act) -> Act:
    def act(page: Page) -> None:
        for each in acts:
            each(page)

    return act


class Pictures:
    """Takes the pictures of one screen after another and gathers what is wrong with them."""

    def __init__(self, only: str, sizes: list[str]) -> None:
        self.only, self.sizes = only, sizes or list(SIZES)
        self.taken = 0
        self.faults: list[str] = []

    def take(self, page: Page, screen: Screen) -> None:
        """One screen at every size, light and dark."""
        if self.only not in f"{screen.state}-{screen.name}":
            return
        told: list[str] = []
        with _watched(page, told):
            try:
                self._open(page, screen, told)
                for size, scheme in itertools.product(self.sizes, SCHEMES):
                    told += [
                        f"{size}, {scheme}: {fault}" for fault in self._picture(page, screen, size, scheme)
                    ]
            except (Error, AssertionError) as error:
                told.append(f"can't be looked at: {error}")
        page.context.set_offline(False)
        self.faults += [f"{screen.state}-{screen.name} ({screen.path}): {fault}" for fault in told]

    def _open(self, page: Page, screen: Screen, told: list[str]) -> None:
        width, height = SIZES["390"]
        page.set_viewport_size({"width": width, "height": height})
        answer = page.goto(screen.path, wait_until="load")
        if answer is None or answer.status != screen.status:
            told.append(f"answers with {answer and answer.status}, not {screen.status}")
        if screen.path.startswith("/site"):
            page.locator("html[data-ready]").wait_for()
            page.locator("main > *").first.wait_for()
            expect(page.locator("main")).not_to_contain_text("not on this phone", timeout=10_000)
        for ready in ("#instead", "#drawing-table"):
            if page.locator(ready).count():
                page.locator(f"{ready}[data-ready]").wait_for(state="attached")
        if screen.act:
            screen.act(page)
        page.wait_for_timeout(250)

    def _picture(self, page: Page, screen: Screen, size: str, scheme: str) -> list[str]:
        width, height = SIZES[size]
        page.set_viewport_size({"width": width, "height": height})
        page.emulate_media(color_scheme=scheme)
        page.evaluate(DRAWN_ANEW)
        page.wait_for_timeout(60)
        path = ROOT / "build" / "screens" / size / scheme / f"{screen.state}-{screen.name}.png"
        path.parent.mkdir(parents=True, exist_ok=True)
        high = min(page.evaluate("document.documentElement.scrollHeight"), HIGHEST_PX)
        page.screenshot(
            path=path, full_page=True, clip={"x": 0, "y": 0, "width": width, "height": max(high, height)}
        )
        self.taken += 1
        checks = ["wide()", "cut()"]
        if size in ON_A_PHONE:
            checks.append(f"small({GLOVED_PX if screen.on_site() else BARE_PX})")
        found = [f"{check}: {fault}" for check in checks for fault in page.evaluate(f"({CHECKS}).{check}")]
        if (size, scheme) in JUDGED_BY_AXE:
            for violation in Axe().run(page, options=AXE).response["violations"]:
                found += [f"axe: {violation['id']} {node['html'][:100]}" for node in violation["nodes"]]
        return found


@contextmanager
def _watched(page: Page, told: list[str]) -> Iterator[None]:
    """Notes what goes wrong behind the screen: a script that fails, an answer of the server that is a fault."""

    def answered(answer: Response) -> None:
        if answer.status >= 500:
            told.append(f"{answer.url} answers with {answer.status}")

    def failed(error: object) -> None:
        told.append(str(error))

    page.on("pageerror", failed)
    page.on("response", answered)
    yield
    page.remove_listener("pageerror", failed)
    page.remove_listener("response", answered)


def _let_in(browser: Browser, running: Running) -> Page:
    page = browser.new_context(base_url=running.address, has_touch=True, locale="en-GB").new_page()
    page.set_default_timeout(30_000)
    page.on("dialog", lambda dialog: dialog.accept())
    page.goto(running.invitation("office", "Ada Example"))
    page.get_by_role("button", name="Let this device in").click()
    page.wait_for_url("**/*")
    return page


def main() -> int:
    """Take the pictures; how many, and what is wrong."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--only", default="", help="only screens with this in STATE-NAME")
    words.add_argument("--size", action="append", choices=SIZES, help="only this size; may be given again")
    asked = words.parse_args()
    pictures = Pictures(asked.only, asked.size)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as player:
        browser = player.chromium.launch(executable_path=CHROMIUM, args=CHROMIUM_WORDS)
        empty, store = open_store(Path(folder) / "empty.db"), open_store(Path(folder) / "houses.db")
        nobody, firm = Running(empty), Running(store)
        try:
            houses = fill(store, firm.address)
            stranger = browser.new_context(base_url=nobody.address).new_page()
            pictures.take(stranger, Screen("empty", "join-how", "/join", status=401))
            pictures.take(stranger, Screen("empty", "join", "/join/abcdefgh12345678"))
            first = _let_in(browser, nobody)
            for name, path in {**FIRM, "site": "/site"}.items():
                pictures.take(first, Screen("empty", f"desk-{name}" if name in FIRM else "site-houses", path))
            page = _let_in(browser, firm)
            for screen in screens(houses):
                pictures.take(page, screen)
        finally:
            browser.close()
            for running, kept in ((nobody, empty), (firm, store)):
                running.stop()
                kept.close()
    print(f"{pictures.taken} pictures under build/screens; {len(pictures.faults)} faults")
    print("\n".join(pictures.faults))
    return 1 if pictures.faults or not pictures.taken else 0


if __name__ == "__main__":
    raise SystemExit(main())
