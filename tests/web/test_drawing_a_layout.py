"""In a real browser: a layout drawn by hand, finger and keys; kept, taken back; an order changed by one press."""

import re

import pytest
from playwright.sync_api import expect

from jambwright.store import history, keep_plan, open_clashes, read_house, replace


def wanted(store, house, mark):
    return next(o for o in read_house(store, house).tree["openings"] if o["id"] == mark).get("wanted", {})


def opening(store, house, mark):
    return next(o for o in read_house(store, house).tree["openings"] if o["id"] == mark)


class Table:
    """The page on which one opening is drawn."""

    def __init__(self, page):
        self.page = page
        page.locator("#drawing-table[data-ready]").wait_for()

    def settled(self):
        expect(self.page.locator("#drawing-table[data-busy]")).to_have_count(0, timeout=20_000)

    def light(self, mark):
        return self.page.locator(f'.light[aria-label^="Light {mark},"]')

    def lights(self):
        return [each.get_attribute("aria-label") for each in self.page.locator(".light").all()]

    def press(self, name):
        self.page.get_by_role("button", name=name, exact=True).click()
        self.settled()

    def stroke(self, mark, *, upright, share):
        """A line through a light, drawn with the pointer at a share of its width or height."""
        box = self.light(mark).bounding_box()
        along = [0.06, 0.5, 0.94]
        points = [
            (
                box["x"] + (share if upright else a) * box["width"],
                box["y"] + (a if upright else share) * box["height"],
            )
            for a in along
        ]
        mouse = self.page.mouse
        mouse.move(*points[0])
        mouse.down()
        for x, y in points[1:]:
            mouse.move(x + 2, y, steps=4)
        mouse.up()
        self.settled()


@pytest.fixture
def table(new_page, demo):
    def at(mark, **more):
        page = new_page(**({"role": "office", "width": 1280, "height": 1000} | more))
        page.set_default_timeout(20_000)
        page.goto(f"/houses/{demo}/openings/{mark}/layout#drawing-table")
        return Table(page)

    return at


def test_two_layouts_are_drawn_kept_as_one_change_each_and_taken_back(table, store, demo):
    before = {mark: opening(store, demo, mark) for mark in ("W4", "W5")}

    drawn = table("W4")
    drawn.stroke("A", upright=False, share=0.3)
    expect(drawn.page.locator(".light")).to_have_count(3)
    drawn.light("A").click()
    drawn.page.locator('[aria-label="Light A: hinges at the top"]').click()
    drawn.settled()
    assert drawn.lights()[0] == "Light A, top hung"
    drawn.press("Keep this layout")
    expect(drawn.page.locator("#kept")).to_contain_text("Kept.")
    upper, lower = wanted(store, demo, "W4")["layout"]["across"][0]["down"]
    assert (upper["opens"], upper["vent_mm2"], lower) == ("top_hung", 4000, {})
    assert upper["mm"] % 5 == 0

    other = table("W5")
    other.light("A").click()
    other.press("Divide side by side")
    other.page.get_by_label("Centre of the bar from the frame's left edge").fill("400")
    other.page.keyboard.press("Enter")
    other.settled()
    other.press("Keep this layout")
    expect(other.page.locator("#kept")).to_contain_text("Kept.")
    first, second = wanted(store, demo, "W5")["layout"]["across"]
    assert first["mm"] == 400
    assert (first["handle_height_mm"], "opens" in second) == (
        before["W5"]["wanted"]["layout"]["handle_height_mm"],
        False,
    )

    changes = history(store, demo)
    assert [c.path.rsplit("/wanted", 1)[0] for c in changes] == ["/openings/W5", "/openings/W4"]
    for page, mark in ((other, "W5"), (drawn, "W4")):
        page.press("Take it back")
        expect(page.page.locator("#said")).to_contain_text("as it was before")
        assert opening(store, demo, mark) == before[mark]


def test_a_bar_is_dragged_and_made_even_and_steps_go_back_and_on(table):
    drawn = table("W3")
    bar = drawn.page.get_by_role("slider", name="Upright bar")
    was = int(bar.get_attribute("aria-valuenow"))
    box = bar.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + 0.8 * box["height"]
    drawn.page.mouse.move(x, y)
    drawn.page.mouse.down()
    drawn.page.mouse.move(x + 24, y, steps=5)
    drawn.page.mouse.up()
    drawn.settled()
    moved = int(drawn.page.get_by_role("slider").get_attribute("aria-valuenow"))
    assert moved > was + 20
    assert moved % 5 == 0
    expect(drawn.page.locator("#broken-word")).to_have_text("No limit is broken.")
    drawn.press("Equal glass")
    widths = [
        int(text.split(" × ")[0]) for text in drawn.page.locator("#lights td:nth-child(3)").all_inner_texts()
    ]
    assert abs(widths[0] - widths[1]) <= 1
    drawn.press("One step back")
    assert int(drawn.page.get_by_role("slider").get_attribute("aria-valuenow")) == moved
    drawn.press("One step back")
    assert int(drawn.page.get_by_role("slider").get_attribute("aria-valuenow")) == was
    expect(drawn.page.locator("#broken-word")).to_have_text("2 limits are broken")
    drawn.press("One step on")
    assert int(drawn.page.get_by_role("slider").get_attribute("aria-valuenow")) == moved


def test_everything_on_the_drawing_can_be_done_with_keys_alone(table, store, demo):
    drawn = table("W5")
    keys = drawn.page.keyboard
    drawn.light("A").focus()
    keys.press("Enter")
    drawn.page.get_by_role("button", name="Divide one above the other").focus()
    keys.press("Enter")
    drawn.settled()
    bar = drawn.page.get_by_role("slider", name="Level bar")
    bar.focus()
    was = int(bar.get_attribute("aria-valuenow"))
    for key in ("ArrowDown", "Shift+ArrowDown", "ArrowDown"):
        keys.press(key)
        drawn.settled()
    assert int(bar.get_attribute("aria-valuenow")) == was + 12
    assert bar.evaluate("(e) => e === document.activeElement")
    drawn.light("B").focus()
    keys.press("Enter")
    drawn.page.get_by_label("How it opens").select_option(label="Bottom hung")
    drawn.settled()
    side = drawn.page.locator('[aria-label="Light B: hinges at the left"]')
    side.focus()
    keys.press("Enter")
    drawn.settled()
    assert drawn.lights()[1] == "Light B, side hung, hinges left"
    keys.press("Control+z")
    drawn.settled()
    assert drawn.lights()[1] == "Light B, bottom hung"
    bar.focus()
    keys.press("Delete")
    drawn.settled()
    expect(drawn.page.locator(".light")).to_have_count(1)
    drawn.light("A").focus()
    keys.press("Enter")
    drawn.page.get_by_label("How it opens").select_option(label="Top hung")
    drawn.settled()
    drawn.page.get_by_role("button", name="Keep this layout").focus()
    keys.press("Enter")
    expect(drawn.page.locator("#kept")).to_contain_text("Kept.")
    assert wanted(store, demo, "W5")["layout"]["opens"] == "top_hung"


def test_a_shape_names_what_it_has_no_place_for_and_one_step_brings_it_back(table):
    drawn = table("W4")
    drawn.press("One light, fixed")
    said = drawn.page.locator("#said")
    expect(said).to_contain_text("B: handle height 450 mm, opens to 90°")
    expect(said).to_contain_text("ventilator 4000 mm²")
    drawn.press("One step back")
    expect(said).to_have_text("")
    drawn.press("Hinges left, fixed")
    expect(said).to_have_text("")
    drawn.light("A").click()
    expect(drawn.page.get_by_label("Handle above the bottom of the sash")).to_have_value("450")


def test_what_can_not_be_made_is_said_and_can_not_be_kept(table):
    drawn = table("W4")
    drawn.page.get_by_role("slider").click()
    drawn.page.get_by_label("Centre of the bar from the frame's left edge").fill("100")
    drawn.page.keyboard.press("Enter")
    drawn.settled()
    expect(drawn.page.locator("#wrong")).to_contain_text("light A would show only")
    expect(drawn.page.get_by_role("button", name="Keep this layout")).to_be_disabled()


def test_on_a_phone_a_light_is_divided_with_a_finger(table):
    drawn = table("W5", width=390, height=844)
    box = drawn.light("A").bounding_box()
    # a finger's own events, as a browser sends them
    finger = drawn.page.context.new_cdp_session(drawn.page)
    x, y = box["x"] + box["width"] / 2, box["y"] + 6

    def touch(kind, *points):
        at = [{"x": px, "y": py} for px, py in points]
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": at})

    touch("touchStart", (x, y))
    for share in (0.2, 0.5, 0.8, 0.95):
        touch("touchMove", (x + 3, y + share * (box["height"] - 6)))
    touch("touchEnd")
    drawn.settled()
    expect(drawn.page.locator(".light")).to_have_count(2)
    drawn.light("B").tap()
    drawn.page.locator('[aria-label="Light B: hinges at the right"]').tap()
    drawn.settled()
    assert drawn.lights()[1] == "Light B, side hung, hinges right"


def test_a_layout_that_someone_else_changed_meanwhile_is_not_written_over(table, store, demo):
    drawn = table("W4")
    drawn.press("Hinges left, fixed")
    whole = read_house(store, demo).tree
    next(o for o in whole["openings"] if o["id"] == "W4")["wanted"]["layout"] = {"opens": "top_hung"}
    replace(store, demo, whole, who="Bo", at="2026-05-04T10:00:00Z", device="desk")
    drawn.press("Keep this layout")
    expect(drawn.page.locator("#wrong")).to_contain_text("Someone else changed this meanwhile")
    assert wanted(store, demo, "W4")["layout"] == {"opens": "top_hung"}
    assert open_clashes(store, demo) == []


def test_an_ordered_frame_is_shown_and_not_drawn_on(table, store, demo):
    whole = read_house(store, demo).tree
    next(o for o in whole["openings"] if o["id"] == "W4")["done"] = ["ordered"]
    replace(store, demo, whole, who="Ada", at="2026-05-04T10:00:00Z", device="desk")
    drawn = table("W4")
    expect(drawn.page.locator("#wrong")).to_contain_text("W4 is ordered already")
    assert drawn.page.get_by_role("slider").count() == 0
    expect(drawn.page.locator("#chosen")).to_be_empty()


def test_who_may_only_look_sees_the_drawing_and_no_tools(table):
    seen = table("W4", role="read_only")
    expect(seen.page.locator(".layout-drawing")).to_be_visible()
    assert seen.page.get_by_role("slider").count() == 0
    expect(seen.page.get_by_role("button", name="Keep this layout")).to_be_disabled()


def test_a_layout_chosen_on_the_phone_takes_along_what_the_lights_held(new_page, store, demo):
    page = new_page(role="office")
    page.goto(f"/site/{demo}/W4/questions")
    asked = page.locator('[data-question="wanted/layout"]')
    with page.expect_response(re.compile("/changes$")):
        asked.get_by_role("button", name="Hinges left, fixed", exact=True).click()
    first, second = wanted(store, demo, "W4")["layout"]["across"]
    assert (first["opens"], first["handle_height_mm"], first["open_angle_deg"], second["vent_mm2"]) == (
        "side_hung_left",
        450,
        90,
        4000,
    )
    questions = []
    page.on("dialog", lambda dialog: (questions.append(dialog.message), dialog.dismiss()))
    asked.get_by_role("button", name="Fixed", exact=True).click()
    page.wait_for_timeout(300)
    assert "handle height 450" in questions[0]
    assert wanted(store, demo, "W4")["layout"]["across"][0]["handle_height_mm"] == 450


def test_a_remedy_is_ordered_with_one_press_and_taken_back_with_another(new_page, store, demo, demo_plan):
    keep_plan(store, read_house(store, demo), "Ada", demo_plan[0], {})
    before = opening(store, demo, "W3")
    page = new_page(role="office", width=1280, height=900)
    page.set_default_timeout(30_000)
    page.goto(f"/houses/{demo}/openings/W3")
    first = page.locator("#instead article").first
    first.wait_for()
    assert first.locator("figure").count() == 2
    expect(first.locator("figure").nth(0)).to_contain_text("clear width of an escape opening")
    expect(first.locator("figure").nth(1)).to_contain_text("No limit is broken.")
    first.get_by_role("button", name=re.compile("^Order instead")).click()
    page.locator("#taken").wait_for()
    assert opening(store, demo, "W3")["wanted"]["layout"]["across"][0]["mm"] == 633
    page.locator("#taken").get_by_role("button", name="Take it back").click()
    expect(page.locator("#taken")).to_have_count(0)
    assert opening(store, demo, "W3") == before


def test_a_glass_option_is_ordered_with_one_press_and_taken_back_with_another(new_page, store, demo):
    before = opening(store, demo, "W4")
    page = new_page(role="office", width=1280, height=900)
    page.set_default_timeout(30_000)
    page.goto(f"/houses/{demo}/glass?opening=W4")
    page.get_by_role("button", name="Order 6-14Ar-4 low-e").click()
    page.locator("#taken").wait_for()
    assert opening(store, demo, "W4")["wanted"]["glass"] == "6-14Ar-4 low-e"
    page.locator("#taken").get_by_role("button", name="Take it back").click()
    expect(page.locator("#taken")).to_have_count(0)
    assert opening(store, demo, "W4") == before


def test_an_opening_is_dragged_along_its_wall_or_typed_and_put_back(new_page, store, demo):
    page = new_page(role="office", width=1280, height=900)
    page.goto(f"/houses/{demo}")
    hole = page.locator('[data-drag="W1"]')
    hole.scroll_into_view_if_needed()
    box, drawn = hole.bounding_box(), int(hole.get_attribute("data-x"))
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 30, y, steps=4)
    page.mouse.up()
    page.get_by_text("W1 is placed").wait_for()
    along = opening(store, demo, "W1")["along_mm"]
    assert along > drawn + 100
    assert along % 10 == 0
    assert page.url.endswith(demo)  # a drag opens no opening
    page.get_by_text("Type the places along this wall").nth(1).click()
    typed = page.locator('[data-along-of="D2"]')
    typed.fill("1600")
    typed.press("Tab")
    page.get_by_text("D2 is placed: left edge 1600 mm").wait_for()
    expect(page.locator(".faces .problems")).to_have_text(
        "W1 and D2 are drawn over each other: one of the places is wrong."
    )
    page.get_by_role("button", name="Take it back").click()
    expect(page.locator(".faces .problems")).to_have_count(0)
    assert "along_mm" not in opening(store, demo, "D2")
    assert opening(store, demo, "W1")["along_mm"] == along


def test_a_sliding_sash_and_a_slider_are_drawn_with_what_only_they_have(table, store, demo):
    drawn = table("W4")
    drawn.page.locator('[data-key="shape sash"]').click()
    drawn.settled()
    assert drawn.lights() == ["Light A, upper sash, slides down", "Light B, lower sash, slides up"]
    drawn.light("B").click()
    form = drawn.page.locator("#chosen")
    expect(form.get_by_text("Horns of the upper sash")).to_be_visible()
    expect(form.get_by_text("The stay lets it open, degrees")).to_have_count(0)
    form.get_by_role("button", name="Run through", exact=True).click()
    drawn.settled()
    drawn.press("Keep this layout")
    kept = wanted(store, demo, "W4")["layout"]
    assert {name: kept[name] for name in ("opens", "horns")} == {
        "opens": "vertical_slider",
        "horns": "run_through",
    }
    # of another kind they are left behind, and named
    drawn.light("B").click()
    form.locator("#opens").select_option("top_hung")
    drawn.settled()
    expect(drawn.page.locator("#said")).to_contain_text("horns: Run through")
    assert drawn.lights() == ["Light A, top hung"]
    door = table("D2")
    door.page.locator('[data-key="shape slider_ox"]').click()
    door.settled()
    assert door.lights() == ["Light A, pane that stands", "Light B, pane that slides left"]
    expect(door.page.locator("#said")).not_to_contain_text("handle")


def test_stable_slab_and_folding_doors_are_drawn_with_what_only_they_have(table, store, demo):
    door = table("D2")
    page, form = door.page, door.page.locator("#chosen")
    page.locator('[data-key="shape stable_left"]').click()
    door.settled()
    assert door.lights() == [
        "Light A, upper leaf of a stable door, hinges left",
        "Light B, lower leaf of a stable door, hinges left",
    ]
    door.light("B").click()
    form.get_by_label("Height of the lower leaf, 1000 if not said").fill("950")
    form.get_by_label("Height of the lower leaf, 1000 if not said").press("Enter")
    door.settled()
    # what only a stable door has is left behind, and named
    form.locator("#opens").select_option("bi_fold")
    door.settled()
    expect(page.locator("#said")).to_contain_text("lower leaf 950 mm high")
    expect(form.get_by_text("The stay lets it open, degrees")).to_have_count(0)
    expect(form.get_by_text("Door leaf or sash")).to_have_count(0)
    assert [each.split(", ")[1] for each in door.lights()] == ["folding leaf"] * 2
    page.locator('[data-key="done"]').click()
    page.locator('[data-key="shape fold_two_one"]').click()
    door.settled()
    assert len(door.lights()) == 3
    door.press("Keep this layout")
    kept = wanted(store, demo, "D2")["layout"]
    assert {name: kept[name] for name in ("opens", "fold_left", "fold_right")} == {
        "opens": "bi_fold", "fold_left": 2, "fold_right": 1,
    }  # fmt: skip
    page.locator('[data-key="shape slab_right"]').click()
    door.settled()
    assert door.lights() == ["Light A, slab door, hinges right"]
    door.light("A").click()
    expect(form.get_by_label("Light in the slab: width of the glass seen")).to_be_visible()


def test_a_side_touched_in_a_window_hangs_no_door_there(table):
    drawn = table("W4")
    seen = set()
    drawn.light("A").click()
    for _ in range(4):
        drawn.page.locator('[data-key="left:across.0:"]').first.click()
        drawn.settled()
        seen.add(drawn.lights()[0])
    assert not any("slab" in each or "stable" in each for each in seen)
    assert "Light A, side hung, hinges left" in seen
