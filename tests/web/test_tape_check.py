"""A tape held against a known length on the phone: kept with its day, corrected only on a yes, refused when far off."""

from test_on_site import wait_sent

from jambwright.readings.survey_file import survey_from_tree
from jambwright.store import read_house


def test_a_check_is_kept_said_and_accepted(new_page, store, house):
    page = new_page()
    page.goto(f"/site/{house}/W1/questions")
    page.get_by_role("group", name="Taken with?").get_by_role("button", name="red tape").tap()
    read = page.get_by_label("What red tape says of it")
    read.fill("903")
    read.blur()
    page.get_by_text("More than 25 mm off 1000").wait_for()
    read.fill("997")
    read.blur()
    page.get_by_text("red tape reads 3.0 mm short").wait_for()
    wait_sent(page)
    (tool,) = read_house(store, house).tree["tools"]
    assert (tool["check"]["known_mm"], tool["check"]["read_mm"]) == (1000, 997)
    assert "correct" not in tool["check"]
    page.get_by_role("group", name="Correct every length").get_by_role("button", name="Yes").tap()
    wait_sent(page)
    tree = read_house(store, house).tree
    assert tree["tools"][0]["check"]["correct"] is True
    tree["openings"] = tree["openings"][:1]
    assert survey_from_tree(tree).tools[0].check.on.year >= 2026
