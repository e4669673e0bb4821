"""A unit is looked at on a phone when it comes: limits beside every question, and what is wrong told at once."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from test_on_site import eventually, wait_sent
from test_screens import AXE, faults

from delivered_units import glass, ordered_house, right, size
from jambwright import job
from jambwright.paper import printed
from jambwright.readings.survey_file import survey_from_tree
from jambwright.store import add_house, history, keep_plan, read_house
from jambwright.web.asked_on_site import asked_on_site
from jambwright.web.limits import limits
from made_up_houses import settled_house

ALLOWED = (
    "Wanted: no more than 3 apart.", "Wanted: A side hung, hinges left.", "Wanted: toughened (EN 12150).",
    "Wanted: 26.4, from 24.9 to 27.9.",
)  # fmt: skip


def keep(store, tree):
    """The house with its plan."""
    house = add_house(store, tree)
    record = job.check(survey_from_tree(tree))
    keep_plan(store, read_house(store, house), "Ada", record.model_dump(mode="json"), {"summary.txt": b"W1"})
    return house


@pytest.fixture
def ordered(store):
    return keep(store, ordered_house())


def at_delivery(page, house):
    page.goto(f"/site/{house}/W1/delivered")
    page.locator("html[data-ready]").wait_for()
    page.get_by_label("Width of the frame?").wait_for()


def once_known(page):
    """Once what was ordered has been heard of."""
    page.get_by_text("Wanted: A side hung, hinges left.").wait_for()


def press(page, question, answer):
    page.locator(f"[data-question='{question}']").get_by_role("button", name=answer, exact=True).tap()


def told_wrong(page):
    return page.locator("[data-wrong]").evaluate_all("all => all.map((one) => one.dataset.wrong)")


def test_it_is_asked_only_of_a_unit_on_order(new_page, store, ordered):
    free = keep(store, settled_house())
    page = new_page(width=320, height=640)
    page.goto(f"/site/{free}/W1/questions")
    page.get_by_role("link", name="As fitted").wait_for()
    page.wait_for_timeout(300)
    assert not page.get_by_role("link", name="Delivered").is_visible()
    page.goto(f"/site/{free}/W1/delivered")
    page.get_by_text("Its unit is not on order").wait_for()
    page.goto(f"/site/{ordered}/W1")
    page.get_by_role("link", name="Delivered").tap()
    page.get_by_label("Width of the frame?").wait_for()


def test_limits_stand_beside_each_question_and_a_right_unit_says_nothing_is_wrong(new_page, store, ordered):
    width, height = size()
    page = new_page(width=360, height=740)
    at_delivery(page, ordered)
    page.get_by_text(f"Wanted: {width:.0f}, from {width - 2:.0f} to {width + 2:.0f}.").wait_for()
    for said in ALLOWED:
        assert page.get_by_text(said).first.is_visible(), said
    page.evaluate("navigator.serviceWorker.ready")
    page.context.set_offline(True)
    for label, mm in (("Width", width), ("Height", height)):
        page.get_by_label(f"{label} of the frame?").fill(f"{mm:.0f}")
    page.get_by_label("Rising diagonal of the frame?").fill("1853")
    page.get_by_label("Falling diagonal of the frame?").fill("1855")
    page.get_by_label("Falling diagonal of the frame?").blur()
    for question in (
        "hand",
        "way",
        "colour",
        *(f"parts/{part}" for part in ("vents", "frame_sill", "keys", "hardware", "trims")),
    ):
        press(page, question, "Yes")
    for light in "AB":
        press(page, f"lights/{light}/outside_mark", "Toughened")
        press(page, f"lights/{light}/inside_mark", "Laminated")
        press(page, f"lights/{light}/low_e", "Yes")
        page.locator(f"[data-question='lights/{light}/thickness_mm'] input").fill("26,5")
    press(page, "damaged", "No")
    page.get_by_role("button", name="Today, by me").tap()
    eventually(lambda: page.get_by_label("Looked at by?").input_value() == "Ada")
    assert told_wrong(page) == []
    page.context.set_offline(False)
    wait_sent(page)
    tree = read_house(store, ordered).tree
    kept = tree["openings"][0]["delivered"]
    wanted = right(width_mm=width, height_mm=height, by="Ada", on=kept["on"])
    assert kept == wanted
    assert job.check(survey_from_tree(tree)).openings[0].gates.shut == ()


def test_what_is_wrong_is_told_at_once_and_may_be_sent_to_be_made_again(new_page, store, ordered):
    width, height = size()
    page = new_page(width=360, height=740)
    at_delivery(page, ordered)
    once_known(page)
    page.get_by_label("Width of the frame?").fill(f"{height:.0f}")
    page.get_by_label("Height of the frame?").fill(f"{width:.0f}")
    page.get_by_label("Height of the frame?").blur()
    page.get_by_text("Width and height are exchanged.").first.wait_for()
    page.get_by_label("Width of the frame?").fill(f"{width + 5:.0f}")
    page.get_by_label("Width of the frame?").blur()
    page.get_by_text(f"{width + 5:.0f} is out of its limits").wait_for()
    page.get_by_label("Rising diagonal of the frame?").fill("1853")
    page.get_by_label("Falling diagonal of the frame?").fill("1857")
    page.get_by_label("Falling diagonal of the frame?").blur()
    page.get_by_text("The diagonals are 4 mm apart, 3 at most").first.wait_for()
    press(page, "hand", "No")
    press(page, "lights/A/outside_mark", "None")
    press(page, "lights/B/outside_mark", "Not looked at")
    press(page, "damaged", "Yes")
    eventually(lambda: set(told_wrong(page)) == {"width_mm", "height_mm", "rising_mm", "falling_mm", "hand",
                                                 "lights/A/outside_mark", "damaged"})  # fmt: skip
    assert page.get_by_role("status").get_by_text("7 answers are not as ordered").is_visible()
    page.get_by_label("Why is it made again?").fill("toughened mark missing")
    page.get_by_label("The new one is promised for?").fill("2026-12-03")
    page.get_by_label("The new one is promised for?").blur()
    wait_sent(page)
    kept = read_house(store, ordered).tree["openings"][0]["delivered"]
    assert kept["remake"] == {"reason": "toughened mark missing", "promised_on": "2026-12-03"}
    page.once("dialog", lambda asked: asked.accept())
    page.get_by_role("button", name="The new one has come: begin again").tap()
    eventually(lambda: page.get_by_label("Width of the frame?").input_value() == "")
    wait_sent(page)
    assert "delivered" not in read_house(store, ordered).tree["openings"][0]
    assert any("delivered" in change.path for change in history(store, ordered))


def test_without_a_plan_the_phone_says_that_it_knows_no_limits(new_page, store):
    house = add_house(store, ordered_house())
    page = new_page(width=360, height=740)
    at_delivery(page, house)
    assert page.get_by_text("What was ordered is not on this phone").is_visible()
    assert page.locator("[data-question='lights/A/outside_mark']").count() == 0


def test_the_gates_of_a_wrong_unit_lead_back_to_it(new_page, store):
    tree = ordered_house(right(hand=False))
    house = keep(store, tree)
    page = new_page(width=360, height=740)
    page.goto(f"/site/{house}/W1/stops")
    link = page.get_by_role("link", name="Hinges as ordered")
    link.wait_for()
    assert link.get_attribute("href") == f"/site/{house}/W1/delivered"
    assert page.get_by_text("Not as ordered: hinges").is_visible()


def test_the_desk_asks_it_on_the_form_of_a_unit_on_order_alone(client, store, ordered):
    free = keep(store, settled_house())
    form = client.get(f"/houses/{ordered}/form?at=/openings/W1").text
    assert "/openings/W1/delivered/width_mm" in form
    assert "delivered" not in client.get(f"/houses/{free}/form?at=/openings/W1").text
    assert f"/site/{ordered}/W1/delivered" in client.get(f"/houses/{ordered}/openings/W1").text


def test_the_desk_tells_what_is_made_again(client, store):
    tree = ordered_house(right(remake={"reason": "sash dented", "promised_on": "2026-12-03"}))
    house = add_house(store, tree)
    record = job.decide(survey_from_tree(tree))
    keep_plan(store, read_house(store, house), "Ada", record.model_dump(mode="json"), printed(record))
    assert "It is to be made again: sash dented." in client.get(f"/houses/{house}/openings/W1").text
    order = client.get(f"/houses/{house}/order").text
    assert "To be made again, in place of the one delivered: sash dented." in order
    assert "Delivery check" in client.get(f"/houses/{house}/papers").text


def test_every_field_of_a_delivery_is_asked_on_the_phone():
    asked = limits()["asked"]["delivered"]
    found = {one["path"] for part, listed in asked.items() if part != "light" for one in listed}
    assert {
        "width_mm",
        "rising_mm",
        "hand",
        "way",
        "colour",
        "parts/keys",
        "damaged",
        "on",
        "remake/reason",
    } <= found
    assert {one["path"] for one in asked["light"]} >= {"outside_mark", "middle_mark", "inside_mark", "low_e"}
    assert not any(
        q["path"].startswith("delivered") for part in asked_on_site()["rest"].values() for q in part
    )


def test_the_screen_fits_every_width_light_and_dark_and_axe_finds_nothing(new_page, store):
    wrong = right(
        hand=False, lights=glass(outside_mark="none"), falling_mm=1857, remake={"reason": "no mark"}
    )
    house = keep(store, ordered_house(wrong))
    page = new_page(width=320, height=640)
    at_delivery(page, house)
    page.get_by_text("4 answers are not as ordered").wait_for()
    for summary in page.locator("details summary").all():
        summary.tap()
    assert faults(page, "wide", "cut", "small", "faint") == []
    found = Axe().run(page, options=AXE).response["violations"]
    assert [each["id"] for each in found if each["impact"] in ("serious", "critical")] == []
    page.goto(f"/site/{house}/W1")
    page.locator(".dim.active").wait_for()
    page.get_by_role("link", name="Delivered").wait_for()
    assert faults(page, "wide", "cut", "small", "faint") == []
