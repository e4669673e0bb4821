"""The small pictures beside what is asked: every one drawn, used, told in words, and readable on the smallest phone."""

import io
import re
from pathlib import Path

import pytest
from PIL import Image

from jambwright.job import Prices
from jambwright.readings import Survey
from jambwright.readings.asked import every_field, pictures
from jambwright.readings.reading import PLACES
from jambwright.store import add_house
from jambwright.web.shell import shell
from survey_trees import TREE

FILE = (shell().folder / "help.svg").read_text(encoding="utf-8")
LARGE = set(re.findall(r'<symbol id="(\w+)" viewBox="0 0 240 150">', FILE))
SMALL = set(re.findall(r'<symbol id="(\w+)" viewBox="0 0 (?:24|32) 24">', FILE))
BASE = (shell().folder / "base.css").read_text(encoding="utf-8")


def test_every_picture_named_is_drawn_and_every_one_drawn_is_named_and_told_in_words():
    named = {field.picture for root in (Survey, Prices) for _, field in every_field(root) if field.picture}
    assert named == LARGE == set(pictures())
    assert all(len(words) > 20 for words in pictures().values())
    offsets = [kind for kind in PLACES if kind in ("level", "plumb", "bow")]
    assert {f"{kind}_{way}" for kind in offsets for way in ("plus", "minus")} == SMALL
    assert len(LARGE) + len(SMALL) == FILE.count("<symbol")


OVERLAPS = """() => [...document.querySelectorAll("body > svg")].flatMap((picture) => {
  const texts = [...picture.querySelectorAll("text")].map((text) => [text.textContent, text.getBBox()]);
  const inside = (x, y, box) => x > box.x && x < box.x + box.width && y > box.y + 3 && y < box.y + box.height - 3;
  const along = [...picture.querySelectorAll("path")].flatMap((path) => {
    const drawn = path.getAttribute("stroke") !== null || /focus/.test(path.getAttribute("fill"));
    return Array.from({ length: drawn ? path.getTotalLength() : 0 }, (_, n) => path.getPointAtLength(n));
  });
  const told = [];
  for (const [said, box] of texts) {
    if (along.some(({ x, y }) => inside(x, y, box))) told.push(`a line runs through ${said}`);
    if (box.x < 0 || box.y < 0 || box.x + box.width > 240 || box.y + box.height > 150) told.push(`${said} runs out`);
    for (const [other, there] of texts) {
      const meet = (from, size) => box[from] < there[from] + there[size] && there[from] < box[from] + box[size];
      if (other !== said && meet("x", "width") && meet("y", "height")) told.push(`${said} lies on ${other}`);
    }
    const { fontSize } = getComputedStyle(picture.querySelector("text"));
    const px = picture.getBoundingClientRect().width / 240 * parseFloat(fontSize);
    if (px < 11) told.push(`${said} is ${px} px high`);
  }
  return told.map((each) => `${picture.id}: ${each}`);
})"""


def laid_out(picture_file):
    """Every large picture as one of its own, as wide as the narrowest phone leaves room for."""
    shown = re.sub(
        r"<svg[^>]*>|</svg>|<symbol id=\"\w+_(plus|minus)\".*?</symbol>", "", picture_file, flags=re.S
    )
    shown = shown.replace("<symbol ", '<svg class="help-picture" ').replace("</symbol>", "</svg>")
    return f"<style>{BASE} body {{ width: 250px }}</style>{shown}"


@pytest.mark.parametrize("spoilt", [False, True], ids=["as drawn", "a word moved onto its line is noticed"])
def test_no_word_of_a_picture_lies_on_a_line_or_another_word_or_is_too_small(browser, spoilt):
    page = browser.new_page(viewport={"width": 320, "height": 568})
    moved = FILE.replace('<text x="168" y="26"', '<text x="120" y="60"')
    assert moved != FILE
    page.set_content(laid_out(moved if spoilt else FILE))
    assert page.locator("body > svg").count() == len(LARGE)
    found = page.evaluate(OVERLAPS)
    page.close()
    assert found == (["diagonals: a line runs through rising"] if spoilt else [])


FOCUS = {"light": (0x0A, 0x4B, 0xB5), "dark": (0x9C, 0xC4, 0xFF)}
SHOWN = {
    "/site/{house}/W1/questions": {
        "reveal_depth",
        "sill_above_floor",
        "drop_outside",
        "hinge_side",
        "set_back",
    },
    "/site/{house}/W1/fitted": {"level", "plumb", "diagonals"},
    "/houses/{house}/form": {"set_back", "nib", "sill_depth", "sill_horn"},
    "/houses/{house}/form?at=/openings/W1": {"reveal_depth", "nib", "sill_upstand", "drop_outside"},
    "/houses/{house}/form?at=/openings/W1/outside": {"level", "plumb", "bow", "diagonals"},
    "/houses/{house}/form?at=/openings/W1/wanted/layout/across/0": {"hinge_side", "handle_height"},
}


def test_pictures_are_seen_on_phone_and_forms_at_320_px_light_and_dark(new_page, store):
    house = add_house(store, TREE)
    page = new_page(role="office", width=320, height=568)
    seen = set()
    for path, wanted in SHOWN.items():
        page.goto(path.format(house=house))
        page.locator("html[data-ready]").wait_for()
        page.locator(".help-picture").first.wait_for(state="attached")
        page.evaluate("() => document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        named = {}
        for drawn in page.locator(".help-picture").all():
            named.setdefault(drawn.locator("use").get_attribute("href").split("#")[1], drawn)
            assert drawn.get_attribute("aria-label") in pictures().values()
        assert wanted <= set(named), path
        for name in set(named) - seen:
            for scheme, colour in FOCUS.items():
                page.emulate_media(color_scheme=scheme)
                taken = Image.open(io.BytesIO(named[name].screenshot())).convert("RGB")
                assert taken.width <= 320
                assert [n for n, each in taken.getcolors(100_000) if each == colour and n > 60], (
                    name,
                    scheme,
                )
        seen |= set(named)
    assert seen == LARGE


def test_the_pad_draws_which_way_a_bow_goes_at_every_side(new_page, store):
    house = add_house(store, TREE)
    page = new_page()
    page.goto(f"/site/{house}/W1")
    page.get_by_role("group", name="Which readings").get_by_role("button", name="Bows").tap()
    for side in ("left", "right", "sill", "head"):
        page.locator(f"[data-place='bow {side}']").tap()
        page.locator(f".dim.active[data-place='bow {side}']").wait_for()
        drawn = page.locator(".ways svg").evaluate_all(
            "all => all.map((one) => [one.dataset.at, one.querySelector('use').getAttribute('href').split('#')[1]])"
        )
        assert drawn == [[side, "bow_plus"], [side, "bow_minus"]]
    assert Path(shell().folder / "help.svg").stat().st_size < 12_000
