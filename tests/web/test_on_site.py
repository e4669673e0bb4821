"""A phone at the opening, driven as a person would: taps, figures, no signal, a server that dies."""

import io
import re
import time

import pytest
from PIL import Image

from jambwright.store import (
    add_house,
    history,
    house_lines,
    house_photos,
    new_tree,
    open_store,
    read_house,
    replace,
)
from survey_trees import TREE
from web_server import Served

READINGS = {
    "width bottom": "1210", "width middle": "1209", "width top": "1211",
    "height left": "1052", "height centre": "1051.5", "height right": "1050",
    "diagonal rising": "1605", "diagonal falling": "1602",
    "plumb left": "1", "level sill": "2", "plumb right": "1.5", "level head": "1",
}  # fmt: skip
PLACES = list(READINGS)
NAMES = {"plumb left": "plumb of the left jamb", "level sill": "level of the sill",
         "plumb right": "plumb of the right jamb", "level head": "level of the head"}  # fmt: skip


def type_figure(page, text, then="Next"):
    pad = page.get_by_role("region", name="Number pad")
    for key in text:
        pad.get_by_role("button", name=key, exact=True).tap()
    pad.get_by_role("button", name=then).tap()


def type_reading(page, place, text):
    """A figure, and for an offset first the way it goes, the positive one."""
    if place.split()[0] in ("level", "plumb", "bow"):
        page.get_by_role("group", name="Which way").get_by_role("button").first.tap()
    type_figure(page, text)


def light(page, place):
    group = {"width": "Widths", "height": "Heights", "diagonal": "Diagonals", "bow": "Bows"}.get(
        place.split()[0], "Level, plumb"
    )
    page.get_by_role("group", name="Which readings").get_by_role("button", name=re.compile(f"^{group}")).tap()
    page.locator(f"[data-place='{place}']").tap()


def lit(page):
    return page.locator(".dim.active").get_attribute("data-place")


UNSENT = """() => new Promise((resolve) => {
  const asked = indexedDB.open("jambwright", 1);
  asked.onsuccess = () => {
    const counted = asked.result.transaction("queue").objectStore("queue").count();
    counted.onsuccess = () => { asked.result.close(); resolve(counted.result); };
  };
})"""


def wait_sent(page):
    """Until the phone holds nothing that is not sent, and says so."""
    page.wait_for_timeout(60)
    eventually(lambda: page.evaluate(UNSENT) == 0)
    page.locator(".sent.all").wait_for()


def wait_lit(page, *places):
    page.locator(", ".join(f".dim.active[data-place='{place}']" for place in places)).wait_for()


def eventually(what, seconds=8.0):
    until = time.monotonic() + seconds
    while not what():
        assert time.monotonic() < until, "did not come true"
        time.sleep(0.05)


def figures(tree, mark):
    opening = next(o for o in tree["openings"] if o["id"] == mark)
    found = {}
    for kind, places in opening["outside"].items():
        for at, reading in places.items():
            found[f"{kind} {at}"] = reading["mm"] if isinstance(reading, dict) else reading
    return found


def at_opening(page, house, mark):
    page.goto(f"/site/{house}/{mark}")
    page.locator("html[data-ready]").wait_for()
    page.locator(".dim.active").wait_for()


def test_a_whole_survey_typed_on_a_phone_with_the_signal_gone_midway(new_page, store):
    page = new_page(width=360, height=740)
    page.wait_for_url("**/site")
    page.get_by_label("Address or name").fill("5 Example Row (invented)")
    page.get_by_role("button", name="Add house").tap()
    page.get_by_label("Room").fill("Kitchen")
    page.get_by_role("button", name="Add window").tap()
    page.locator(".dim.active").wait_for()
    page.evaluate("navigator.serviceWorker.ready")

    for n, (place, figure) in enumerate(READINGS.items()):
        if n == 4:
            wait_sent(page)
            page.context.set_offline(True)
        if n == 7:  # the phone is put away and taken out again, still without signal
            page.reload()
            page.locator(".dim.active").wait_for()
        assert lit(page) == place
        expect_name = NAMES.get(place, " ".join(reversed(place.split())))
        assert page.locator(".reading-name").inner_text().lower() == expect_name
        type_reading(page, place, figure)
        wait_lit(page, PLACES[min(n + 1, len(PLACES) - 1)])
    page.get_by_text("8 not sent yet").wait_for()
    page.get_by_text("Good: all readings agree").wait_for()

    page.context.set_offline(False)
    wait_sent(page)
    [line] = house_lines(store)
    kept = read_house(store, line.id).tree
    assert kept["site"]["label"] == "5 Example Row (invented)"
    assert figures(kept, "W1") == {place: float(text) for place, text in READINGS.items()}
    reading = kept["openings"][0]["outside"]["width"]["bottom"]
    assert reading["who"] == "Ada"
    assert reading["when"].endswith("Z")
    assert {change.typed for change in history(store, line.id) if change.typed} >= {"1051.5", "1.5"}


def test_everything_typed_while_the_server_is_killed_and_restarted_is_there(tmp_path, browser):
    data = tmp_path / "houses.db"
    first = Served(data)
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, base_url=first.address
    )
    page = context.new_page()
    page.set_default_timeout(20_000)
    page.goto(first.invitation)
    page.get_by_role("button", name="Let this device in").tap()
    page.wait_for_url("**/site")
    page.get_by_label("Address or name").fill("6 Example Row (invented)")
    page.get_by_role("button", name="Add house").tap()
    page.get_by_label("Room").fill("Hall")
    page.get_by_role("button", name="Add door").tap()
    page.locator(".dim.active").wait_for()
    served = first
    try:
        for n, (place, figure) in enumerate(list(READINGS.items())[:9]):
            type_reading(page, place, figure)
            if n in (2, 5):  # amid the saving of what was just typed
                served.kill()
            if n in (4, 7):
                served = Served(data, served.port)
            page.wait_for_function(
                "place => document.querySelector('.dim.active')?.dataset.place !== place", arg=place
            )
        page.get_by_role("link", name="not sent yet").or_(page.locator(".sent.all a")).tap()
        # all may be sent by itself at any moment, and the button is gone then
        page.evaluate(
            "[...document.querySelectorAll('button')].find(b => b.textContent === 'Send now')?.click()"
        )
        wait_sent(page)
    finally:
        served.kill()
        context.close()
    store = open_store(data)
    [line] = house_lines(store)
    assert figures(read_house(store, line.id).tree, "D1") == {
        p: float(t) for p, t in list(READINGS.items())[:9]
    }
    store.close()


def test_two_people_at_one_opening_keep_each_others_readings_and_are_asked_about_one(new_page, store, house):
    ada, bo = new_page(name="Ada"), new_page(name="Bo")
    for page in (ada, bo):
        at_opening(page, house, "W2")
    bo.context.set_offline(True)
    type_figure(ada, "900")  # width bottom
    wait_sent(ada)
    light(ada, "height left")
    type_figure(ada, "1400")
    wait_sent(ada)
    type_figure(bo, "908")  # the same reading, without having seen Ada's
    light(bo, "width top")
    type_figure(bo, "901")
    bo.context.set_offline(False)

    card = bo.locator(".clash")
    card.wait_for()
    assert "W2 bottom width" in card.inner_text()
    three = {"width bottom": 900, "height left": 1400, "width top": 901}
    eventually(lambda: figures(read_house(store, house).tree, "W2") == three)
    card.get_by_role("button", name="Keep both as repeats").tap()
    wait_sent(bo)
    eventually(lambda: figures(read_house(store, house).tree, "W2")["width bottom"] == [900, 908])


def test_a_figure_half_typed_is_still_there_after_the_tab_was_closed(new_page, house):
    page = new_page()
    at_opening(page, house, "W2")
    pad = page.get_by_role("region", name="Number pad")
    pad.get_by_role("button", name="1", exact=True).tap()
    pad.get_by_role("button", name="2", exact=True).tap()
    eventually(lambda: page.locator(".typed").inner_text() == "12")
    again = page.context.new_page()
    page.close()
    at_opening(again, house, "W2")
    assert again.locator(".typed").inner_text() == "12"


@pytest.mark.parametrize("signal", [True, False], ids=["with signal", "without"])
def test_a_misread_is_named_while_still_on_the_ladder(new_page, store, signal):
    tree = new_tree("7 Example Row (invented)")
    tree["openings"] = [{"id": "W1", "room": "Kitchen", "outside": {
        "width": {"middle": 1209, "top": 1211}, "height": {"left": 1052, "centre": 1051, "right": 1050},
        "diagonal": {"rising": 1605, "falling": 1602}, "plumb": {"left": 1, "right": 1},
        "level": {"sill": 2, "head": 1},
    }}]  # fmt: skip
    house = add_house(store, tree)
    page = new_page()
    if not signal:
        page.route("**/api/reading-check", lambda route: route.abort())
    at_opening(page, house, "W1")
    page.locator(".word p").wait_for()  # without the server's: the phone's own look is there
    page.context.set_offline(not signal)
    type_figure(page, "1120")  # 1210 with two digits swapped
    page.get_by_role("button", name="None: all are so").tap()
    told = page.locator(".word.doubt")
    told.get_by_text("W1 Kitchen").wait_for()
    assert re.search(r"W1 Kitchen: .*bottom width.*1120", told.inner_text())
    page.get_by_role("button", name="Measure the bottom width again").tap()
    assert lit(page) == "width bottom"
    type_figure(page, "1210")
    page.locator(".word.good").wait_for()


def test_a_figure_that_cannot_be_is_not_taken(new_page, store, house):
    page = new_page()
    at_opening(page, house, "W2")
    type_figure(page, "12100")
    assert "outside 200 to 6000 mm" in page.locator(".word").inner_text()
    assert page.locator(".typed").inner_text() == "12100"
    assert read_house(store, house).version == 1


def test_repeats_are_kept_beside_each_other(new_page, store, house):
    page = new_page()
    at_opening(page, house, "W2")
    type_figure(page, "900", then="Repeat")
    page.get_by_text("Read: 900").wait_for()
    type_figure(page, "902", then="Repeat")
    page.get_by_text("Read: 900, 902").wait_for()
    type_figure(page, "901")
    wait_sent(page)
    assert figures(read_house(store, house).tree, "W2")["width bottom"] == [900, 902, 901]


def test_the_server_is_asked_to_look_once_for_each_reading(new_page, house):
    """Kept on the phone, sent, and heard again: three times the house changes, the readings only once."""
    page = new_page()
    at_opening(page, house, "W2")
    page.wait_for_timeout(400)
    asked = []
    page.on("request", lambda request: asked.append(request.url) if "reading-check" in request.url else None)
    type_figure(page, "900")
    wait_sent(page)
    page.wait_for_timeout(400)
    assert len(asked) == 1


def test_which_way_an_offset_goes_is_said_in_words(new_page, store, house):
    page = new_page()
    at_opening(page, house, "W2")
    light(page, "level sill")
    page.get_by_role("button", name="Left end high").tap()
    type_figure(page, "3")
    wait_sent(page)
    assert figures(read_house(store, house).tree, "W2") == {"level sill": -3}


def test_what_cannot_be_read_is_answered_with_why(new_page, store, house):
    page = new_page()
    at_opening(page, house, "W2")
    page.get_by_role("button", name="Can't read").tap()
    page.get_by_role("button", name="Hidden by plaster or frame").tap()
    wait_lit(page, "width middle")
    wait_sent(page)
    assert read_house(store, house).tree["openings"][1]["not_read"] == {
        "width bottom": "Hidden by plaster or frame"
    }


def test_the_next_opening_carries_over_everything_but_sizes(new_page, store):
    tree = new_tree("8 Example Row (invented)")
    tree["openings"] = [TREE["openings"][0] | {"lintel": {"kind": "steel"}, "reveal_depth_mm": 100}]
    house = add_house(store, tree)
    page = new_page()
    page.goto(f"/site/{house}")
    page.get_by_label("Room").fill("Bedroom")
    page.get_by_role("button", name="Add window").tap()
    page.locator(".dim.active").wait_for()
    wait_sent(page)
    made = read_house(store, house).tree["openings"][1]
    assert made["lintel"] == {"kind": "steel"}
    assert made["wanted"] == {**TREE["openings"][0]["wanted"], "kind": "window"}
    assert made["outside"] == {}
    assert "reveal_depth_mm" not in made


def test_questions_are_answered_by_a_tap_or_a_figure(new_page, store, house):
    page = new_page()
    page.goto(f"/site/{house}/W2/questions")
    page.get_by_role("group", name="What carries the wall above?").get_by_role(
        "button", name="Concrete"
    ).tap()
    page.get_by_label("How deep is the outer reveal?").fill("10")
    page.get_by_label("Glass, if not").focus()
    page.get_by_text("10 can't be; from 20 to 900").wait_for()
    page.get_by_label("Glass, if not").fill("rubbish glass")
    page.get_by_label("Anything else?").focus()
    page.get_by_text("“rubbish glass” can't be read. Write it like 4-16Ar-4 low-e").wait_for()
    page.get_by_text("More: Round the opening").tap()
    page.get_by_label("Nib left").fill("400")
    page.get_by_label("Anything else?").focus()
    page.get_by_text("400 can't be; from 0 to 300").wait_for()
    page.get_by_label("How deep is the outer reveal?").fill("98,5")
    page.get_by_label("Glass, if not").focus()
    page.get_by_role("group", name="What is to go in?").get_by_role(
        "button", name="Top hung", exact=True
    ).tap()
    wait_sent(page)
    eventually(lambda: "wanted" in read_house(store, house).tree["openings"][1])
    opening = read_house(store, house).tree["openings"][1]
    assert opening["lintel"] == {"kind": "concrete"}
    assert opening["reveal_depth_mm"] == 98.5
    assert opening["wanted"] == {"layout": {"opens": "top_hung"}}


def test_a_photo_from_the_camera_is_drawn_on_and_sent_when_there_is_a_signal(new_page, store, house):
    page = new_page()
    page.goto(f"/site/{house}/W1/photos")
    page.locator("html[data-ready]").wait_for()
    page.evaluate("navigator.serviceWorker.ready")
    page.context.set_offline(True)
    picture = io.BytesIO()
    Image.new("RGB", (2600, 1300), (90, 120, 60)).save(picture, "JPEG")
    page.locator("#photo").set_input_files(
        {"name": "camera.jpg", "mimeType": "image/jpeg", "buffer": picture.getvalue()}
    )
    frame = page.locator(".photo-maker .layers")
    frame.wait_for()
    box = frame.bounding_box()
    page.mouse.move(box["x"] + 20, box["y"] + 20)
    page.mouse.down()
    page.mouse.move(box["x"] + 120, box["y"] + 60, steps=4)
    page.mouse.up()
    page.get_by_label("Caption").fill("Crack over the head")
    page.get_by_role("button", name="Keep photo").tap()
    page.get_by_text("not sent yet").first.wait_for()
    page.reload()
    page.get_by_text("Crack over the head").wait_for()
    page.context.set_offline(False)
    wait_sent(page)
    [photo] = house_photos(store, house)
    assert (photo.mark, photo.caption, photo.width_px) == ("W1", "Crack over the head", 2048)
    assert len(photo.drawn) == 1
    assert len(photo.drawn[0]) > 2


def test_a_change_the_server_refuses_is_shown_and_not_dropped(new_page, store, house):
    page = new_page()
    at_opening(page, house, "W2")
    page.context.set_offline(True)
    type_figure(page, "900")
    page.locator(".sent.waiting").wait_for()
    from jambwright.store import remove_house

    remove_house(store, house)
    page.context.set_offline(False)
    page.locator(".sent.ask").wait_for()
    page.locator(".sent a").tap()
    page.get_by_text("W2 bottom width: 900 mm").wait_for()
    assert page.get_by_role("button", name="Try again").is_visible()


def test_a_house_the_server_refuses_is_shown_and_holds_nothing_else_up(new_page, store):
    """Its number is taken by another house: nothing typed for it may go there."""
    page = new_page()
    page.goto("/site")
    page.locator("html[data-ready]").wait_for()
    page.context.set_offline(True)
    _add_house_with_an_opening(page, "7 Sample Row")
    mine = re.search(r"[0-9a-f]{16}", page.url)[0]
    page.locator("#back").tap()
    page.locator("#back").tap()
    _add_house_with_an_opening(page, "8 Sample Row")
    other = add_house(store, new_tree("9 Sample Row"), id=mine)
    page.context.set_offline(False)
    page.locator(".sent.ask").wait_for()
    page.locator(".sent a").tap()
    page.get_by_text("There is another house under that number here: 9 Sample Row.").wait_for()
    eventually(lambda: [line.openings for line in house_lines(store) if line.label == "8 Sample Row"] == [1])
    assert read_house(store, other).tree == new_tree("9 Sample Row")

    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Throw away").tap()
    wait_sent(page)
    assert read_house(store, other).tree == new_tree("9 Sample Row")


def _add_house_with_an_opening(page, label):
    page.get_by_label("Address or name").fill(label)
    page.get_by_role("button", name="Add house").tap()
    page.get_by_label("Room").fill("Kitchen")
    page.get_by_role("button", name="Add window").tap()
    page.locator(".dim.active").wait_for()


def test_once_all_is_read_the_screen_says_what_comes_next(new_page, store):
    """The questions first, then the desk; nothing once there is a plan to tell it, or while readings are missing."""
    read = {}
    for place, figure in READINGS.items():
        read.setdefault(place.split()[0], {})[place.split()[1]] = float(figure)
    bare = {"id": "W1", "room": "Kitchen", "outside": read}
    house = add_house(store, new_tree("7 Sample Row") | {"openings": [bare]})
    page = new_page()
    at_opening(page, house, "W1")
    page.get_by_role("link", name="Next: 12 to answer").tap()
    page.locator("[data-question='lintel/kind']").get_by_role("button", name="Steel").tap()
    wait_sent(page)
    page.locator("#back").tap()
    page.get_by_text("11 questions open").wait_for()
    page.get_by_role("link", name="Questions of W1").wait_for()

    answered = {
        "reveal_depth_mm": 100, "sill_above_floor_mm": 900, "drop_outside_mm": 1000,
        "now": {"opens": "fixed", "material": "timber", "glazing": "single", "clear_width_mm": 0, "clear_height_mm": 0,
                "bottom_above_floor_mm": 900, "vents_mm2": 0, "safety_marks": False},
    }  # fmt: skip
    whole = {**read_house(store, house).tree, "openings": [{**bare, "lintel": {"kind": "steel"}, **answered}]}
    replace(store, house, whole, who="Ada", at="2026-03-02T10:00:00Z", device="desk")
    page.reload()
    page.get_by_text("All is read and answered. Next, at the desk").wait_for()
    assert page.get_by_role("link", name="This house at the desk").get_attribute("href") == f"/houses/{house}"
    assert page.get_by_text("questions open").count() == 0
