"""Tape in hand: every figure goes where it was read, no direction is taken for granted, no reading is accused alone."""

import pytest
from test_on_site import (
    at_opening,
    eventually,
    figures,
    light,
    lit,
    type_figure,
    type_reading,
    wait_lit,
    wait_sent,
)

from jambwright.store import add_house, new_tree, read_house
from odd_openings import ARCHED, BOWED_OUT, RAKED, STEPPED_IN


def test_bows_are_read_one_after_another_and_none_overwrites_the_other(new_page, store, house):
    page = new_page()
    at_opening(page, house, "W1")
    light(page, "bow left")
    bows = {"bow left": "2", "bow right": "3", "bow sill": "1", "bow head": "4"}
    for place, figure in bows.items():
        wait_lit(page, place)
        type_reading(page, place, figure)
    wait_sent(page)
    kept = figures(read_house(store, house).tree, "W1")
    assert {place: kept[place] for place in bows} == {place: float(text) for place, text in bows.items()}


@pytest.mark.parametrize("place", ["level sill", "plumb left", "bow head"])
def test_no_direction_is_chosen_beforehand_and_none_is_kept_unsaid(new_page, store, house, place):
    page = new_page()
    at_opening(page, house, "W2")
    light(page, place)
    ways = page.get_by_role("group", name="Which way").get_by_role("button")
    assert [way.get_attribute("aria-pressed") for way in ways.all()] == ["false", "false"]
    type_figure(page, "2")
    page.locator(".word", has_text="Which way?").wait_for()
    assert (page.locator(".typed").inner_text(), lit(page)) == ("2", place)
    ways.last.tap()
    page.get_by_role("button", name="Next").tap()
    wait_sent(page)
    assert figures(read_house(store, house).tree, "W2") == {place: -2}


def test_nought_goes_no_way_and_is_kept_at_once(new_page, store, house):
    page = new_page()
    at_opening(page, house, "W2")
    light(page, "level sill")
    type_figure(page, "0")
    wait_sent(page)
    assert figures(read_house(store, house).tree, "W2") == {"level sill": 0}


def test_a_measuring_again_does_not_take_over_the_way_of_before(new_page, house):
    page = new_page()
    at_opening(page, house, "W1")  # its sill was read with the left end high
    light(page, "level sill")
    pressed = page.get_by_role("group", name="Which way").locator("[aria-pressed=true]")
    assert pressed.count() == 0


def one_opening(store, outside):
    tree = new_tree("9 Example Row (invented)")
    tree["openings"] = [{"id": "W1", "room": "Kitchen", "outside": outside}]
    return add_house(store, tree)


def at_middle_width(page, store, bottom_mm):
    """The bottom width is read, the middle one is next; the house."""
    house = one_opening(store, {"width": {"bottom": bottom_mm}})
    at_opening(page, house, "W1")
    light(page, "width middle")
    return house


def test_two_figures_that_contradict_are_shown_side_by_side_and_neither_is_accused(new_page, store):
    """The right one, typed second, is kept while the one before is taken again."""
    page = new_page()
    house = at_middle_width(page, store, 1170)
    type_figure(page, "1209")
    page.locator(".word", has_text="Which one do you take again?").wait_for()
    offered = page.locator(".side-by-side button")
    assert [text.split() for text in offered.all_inner_texts()] == [
        ["middle", "width", "1209"], ["bottom", "width", "1170"], ["None:", "all", "are", "so"],
    ]  # fmt: skip
    assert page.locator(".word .main").count() == 0
    offered.nth(1).tap()
    wait_lit(page, "width bottom")
    type_figure(page, "1210")
    wait_sent(page)
    assert figures(read_house(store, house).tree, "W1") == {"width bottom": 1210, "width middle": 1209}


def test_the_figure_just_typed_may_be_the_one_that_is_taken_again(new_page, store):
    page = new_page()
    house = at_middle_width(page, store, 1210)
    type_figure(page, "1170")
    page.locator(".side-by-side button").first.tap()
    page.locator(".typed", has_text="–").wait_for()
    type_figure(page, "1209")
    wait_sent(page)
    assert figures(read_house(store, house).tree, "W1") == {"width bottom": 1210, "width middle": 1209}


@pytest.mark.parametrize("signal", [True, False], ids=["with signal", "without"])
def test_word_and_button_accuse_the_same_readings(new_page, store, signal):
    """Forty short at the bottom: it is named and offered, and no other, whether there is a signal or not."""
    house = one_opening(store, {
        "width": {"bottom": 1170, "middle": 1209, "top": 1211},
        "height": {"left": 1052, "centre": 1051, "right": 1050},
        "diagonal": {"rising": 1605, "falling": 1602},
        "plumb": {"left": 1, "right": 1}, "level": {"sill": 2, "head": 1},
    })  # fmt: skip
    page = new_page()
    if not signal:
        page.route("**/api/reading-check", lambda route: route.abort())
    at_opening(page, house, "W1")
    page.locator(".word.doubt").wait_for()
    page.wait_for_timeout(500)
    told = page.locator(".word.doubt > p").inner_text()
    offered = [text.replace("\n", " ") for text in page.locator(".word.doubt button").all_inner_texts()]
    doubted = page.locator(".dim.doubt").evaluate_all("all => all.map((one) => one.dataset.place)")
    assert told.startswith("W1 Kitchen: bottom width 1170 mm is likely 1211 mm")
    assert offered == ["Measure the bottom width again"]
    assert doubted == ["width bottom"]
    page.goto(f"/site/{house}")
    page.locator(".opening-card .status.again", has_text="Measure again").wait_for()


def word_of(page):
    page.locator(".word.doubt").wait_for()
    buttons = page.locator(".word.doubt button").all_inner_texts()
    return page.locator(".word.doubt > p").inner_text(), [" ".join(text.split()) for text in buttons]


def without_signal(new_page, store, outside):
    """A phone at an opening read so, which hears nothing from the server of its readings."""
    page = new_page()
    page.route("**/api/reading-check", lambda route: route.abort())
    at_opening(page, one_opening(store, outside), "W1")
    return page


@pytest.mark.parametrize("signal", [True, False], ids=["with signal", "without"])
def test_a_raked_head_is_told_and_no_reading_accused(new_page, store, signal):
    page = new_page()
    if not signal:
        page.route("**/api/reading-check", lambda route: route.abort())
    at_opening(page, one_opening(store, RAKED), "W1")
    told, offered = word_of(page)
    assert (
        told
        == "W1 Kitchen: The head looks raked, its right end 56 mm high. Measure the level of the head to see."
    )
    assert (offered, lit(page)) == ([], "level head")  # lit already, and not read yet
    assert page.locator(".dim.doubt").count() == 0
    light(page, "width top")
    page.get_by_role("button", name="Tells most: level of the head").tap()
    wait_lit(page, "level head")


@pytest.mark.parametrize("signal", [True, False], ids=["with signal", "without"])
def test_a_step_is_asked_after_where_a_jamb_s_middle_hints_at_it_and_told(new_page, store, signal):
    """The left jamb stands 10 mm in from a third of its height up."""
    page = new_page()
    if not signal:
        page.route("**/api/reading-check", lambda route: route.abort())
    at_opening(page, one_opening(store, STEPPED_IN), "W1")
    page.get_by_role("button", name="May be stepped: lower quarter width").tap()
    wait_lit(page, "width lower_quarter")
    type_figure(page, "1211")
    wait_lit(page, "width upper_quarter")
    type_figure(page, "1201")
    page.locator(
        ".word", has_text="The lower quarter width is 5 mm more than smooth jambs would leave"
    ).wait_for()
    assert page.locator(".word > p").is_visible()
    assert page.locator(".dim.doubt").count() == 0


def test_an_arched_head_is_told_without_a_signal_and_the_reading_that_shows_it_offered(new_page, store):
    page = without_signal(new_page, store, ARCHED)
    told, offered = word_of(page)
    assert "the head looks arched, rise 40 mm" in told
    assert told.endswith("The bow of the head would.")
    assert offered == ["Tells most: bow of the head"]
    page.locator(".word button").tap()
    wait_lit(page, "bow head")


def test_a_whole_set_read_wrong_alike_is_told_as_one_without_a_signal(new_page, store):
    told, offered = word_of(without_signal(new_page, store, BOWED_OUT))
    assert told.startswith("W1 Kitchen: The four bows look called the wrong way")
    assert sorted(offered) == [
        "bow of the head 13", "bow of the left jamb 12", "bow of the right jamb 12", "bow of the sill 13",
    ]  # fmt: skip


def test_readings_that_rival_each_other_are_shown_side_by_side_without_a_signal(new_page, store):
    """A diagonal too long, or the other too short: nothing tells which."""
    told, offered = word_of(without_signal(new_page, store, {
        "width": {"bottom": 1210, "middle": 1210, "top": 1210}, "height": {"left": 1050, "centre": 1050, "right": 1050},
        "diagonal": {"rising": 1614, "falling": 1602},
    }))  # fmt: skip
    assert told == "These don't go together. Which one do you take again?"
    assert {"rising diagonal 1614", "falling diagonal 1602"} <= set(offered)


def test_a_phone_that_cannot_look_says_so(new_page, store):
    page = new_page(service_workers="block")
    page.route("**/look_worker.js", lambda route: route.abort())
    page.route("**/api/reading-check", lambda route: route.abort())
    at_opening(page, one_opening(store, ARCHED), "W1")
    page.get_by_text("This phone can't check them against each other").wait_for()


def device_types(page, text):
    """As a measuring device does that is coupled as a keyboard: figures and Enter, at once, wherever the focus is."""
    page.keyboard.type(f"{text}\n")


@pytest.mark.parametrize("touched", ["body", "pad key", "dimension", "tab"])
def test_a_device_that_types_works_wherever_the_focus_is(new_page, store, house, touched):
    page = new_page()
    at_opening(page, house, "W2")
    if touched == "pad key":
        page.get_by_role("button", name="7", exact=True).focus()
    if touched == "dimension":
        page.locator(".dim.active").focus()
    if touched == "tab":
        page.get_by_role("link", name="Photos").focus()
    for figure in ("900", "901.5", "902", "1400"):  # no pause between them
        device_types(page, figure)
    typed = {"width bottom": 900, "width middle": 901.5, "width top": 902, "height left": 1400}
    eventually(lambda: figures(read_house(store, house).tree, "W2") == typed)
    assert page.url.endswith("/W2")


def test_enter_alone_presses_the_button_that_has_the_focus(new_page, house):
    page = new_page()
    at_opening(page, house, "W2")
    page.get_by_role("button", name="7", exact=True).focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")
    assert page.locator(".typed").inner_text() == "77"
    page.get_by_role("link", name="Photos").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/W2/photos")


def test_what_a_device_types_into_a_text_field_stays_there(new_page, store, house):
    page = new_page()
    page.goto(f"/site/{house}/W2/questions")
    page.get_by_label("How deep is the outer reveal?").focus()
    device_types(page, "98")
    wait_sent(page)
    [_, opening, *_] = read_house(store, house).tree["openings"]
    assert (opening["reveal_depth_mm"], opening.get("outside", {})) == (98, {})


def test_a_figure_typed_after_a_question_is_a_new_one_not_the_rest_of_the_old(new_page, store):
    page = new_page()
    house = at_middle_width(page, store, 1210)
    device_types(page, "1170")
    page.locator(".word", has_text="Which one do you take again?").wait_for()
    device_types(page, "1209")
    wait_sent(page)
    assert figures(read_house(store, house).tree, "W1") == {"width bottom": 1210, "width middle": 1209}


def test_a_question_waits_for_its_answer_whatever_the_server_says_meanwhile(new_page, house):
    page = new_page()
    held = []

    def hold(route):
        held.append(route)

    page.route("**/api/reading-check", hold)
    at_opening(page, house, "W1")
    page.wait_for_timeout(200)
    page.get_by_role("button", name="Can't read").tap()
    for route in held:
        route.continue_()
    page.wait_for_timeout(500)
    assert held
    assert page.get_by_role("button", name="Hidden by plaster or frame").is_visible()


SPOKEN = """() => {
  window.spoken = [];
  window.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
  const voice = { cancel() {}, speak: (said) => window.spoken.push(said.text) };
  Object.defineProperty(window, "speechSynthesis", { value: voice });
}"""


def test_figures_are_spoken_back_digit_by_digit_once_switched_on_and_that_is_remembered(new_page, house):
    page = new_page()
    page.add_init_script(f"({SPOKEN})()")
    at_opening(page, house, "W2")
    type_figure(page, "900")
    wait_lit(page, "width middle")
    assert page.evaluate("window.spoken") == []
    page.get_by_role("link", name="Questions").tap()
    page.get_by_role("group", name="Speak each figure back").get_by_role("button", name="Yes").tap()
    page.wait_for_timeout(200)
    at_opening(page, house, "W2")
    type_figure(page, "901.5")
    wait_lit(page, "width top")
    light(page, "level sill")
    page.get_by_role("button", name="Left end high").tap()
    type_figure(page, "3")
    wait_lit(page, "plumb right", "level head")
    assert page.evaluate("window.spoken") == [
        "middle width: 9 0 1 point 5. ", "level of the sill: 3. Left end high",
    ]  # fmt: skip


def test_a_doubt_found_after_a_figure_was_kept_is_spoken_once_after_it(new_page, store):
    """Ten short is near enough not to be asked about on its own; the whole opening tells a moment later."""
    house = one_opening(store, {
        "width": {"bottom": 1210, "middle": 1209, "top": 1211},
        "height": {"left": 1052, "centre": 1051, "right": 1050},
        "diagonal": {"rising": 1603},
        "plumb": {"left": 1, "right": 1}, "level": {"sill": 2, "head": 1},
    })  # fmt: skip
    page = new_page()
    page.add_init_script(f"({SPOKEN})()")
    page.goto(f"/site/{house}/W1/questions")
    page.get_by_role("group", name="Speak each figure back").get_by_role("button", name="Yes").tap()
    page.wait_for_timeout(200)
    at_opening(page, house, "W1")
    light(page, "diagonal falling")
    type_figure(page, "1562")
    page.locator(".word.doubt").wait_for()
    wait_sent(page)
    page.wait_for_timeout(500)
    figure, doubt, *more = page.evaluate("window.spoken")
    assert figure.startswith("falling diagonal: 1 5 6 2.")
    assert doubt in page.locator(".word.doubt > p").inner_text() + " falling diagonal, rising diagonal."
    assert more == []


@pytest.mark.parametrize(
    ("width", "height"), [(320, 568), (360, 740), (375, 667), (390, 844), (412, 915), (844, 390), (568, 320)]
)
def test_six_groups_stand_in_one_row_or_three_above_three(new_page, store, width, height):
    page = new_page(width=width, height=height)
    at_opening(page, one_opening(store, STEPPED_IN), "W1")
    buttons = page.locator(".steps button")
    buttons.nth(5).wait_for()
    tops = buttons.evaluate_all("all => all.map((one) => Math.round(one.getBoundingClientRect().top))")
    assert [tops.count(top) for top in dict.fromkeys(tops)] in ([6], [3, 3])
    assert buttons.evaluate_all("all => all.every((one) => one.scrollWidth <= one.clientWidth + 1)")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
