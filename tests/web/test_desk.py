"""At the desk, in a real browser: a file in, a plan made, figures asked why, a paper out, a change undone."""

import re
from datetime import date

import pypdfium2
import pytest
import yaml

from jambwright.basis.border import accept
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.checks.heat import ordered_heat
from jambwright.job import compared
from jambwright.plan.sizing import size_house
from jambwright.readings import Survey
from jambwright.store import (
    Change,
    add_house,
    chosen,
    history,
    house_lines,
    house_plans,
    keep_plan,
    new_id,
    plain,
    read_house,
    take,
)
from survey_trees import TREE


def desk(new_page, **more):
    return new_page(role="office", width=1440, height=900, **more)


def test_a_readings_file_goes_in_is_planned_and_its_papers_come_out(new_page, store, tmp_path):
    small = plain(parse_tree(read_text("demo_house.yaml")))
    small["openings"] = small["openings"][:2]
    page = desk(new_page)
    page.goto("/")
    body = yaml.safe_dump(small, sort_keys=False).encode()
    page.get_by_label("YAML or JSON").set_input_files(
        {"name": "h.yaml", "mimeType": "text/yaml", "buffer": body}
    )
    page.get_by_role("button", name="Take in").click()
    page.get_by_text("Not planned yet.").wait_for()
    [line] = house_lines(store)
    assert read_house(store, line.id).tree == small

    page.get_by_role("button", name="Plan the house").click()
    page.get_by_text(re.compile("Planned .* by Ada, from version 1")).wait_for(timeout=60_000)
    page.get_by_role("link", name="Papers").click()
    with page.expect_download() as download:
        page.get_by_role("link", name="fit-sheets.pdf").click()
    download.value.save_as(tmp_path / "fit-sheets.pdf")
    assert len(pypdfium2.PdfDocument(tmp_path / "fit-sheets.pdf")) == 2
    [plan] = house_plans(store, line.id)
    assert (plan.version, plan.who) == (1, "Ada")


def test_the_firms_prices_are_kept_when_they_can_be_read(new_page, store):
    page = desk(new_page)
    page.goto("/prices")
    page.get_by_text("No prices are kept yet.").wait_for()
    area = page.get_by_label("The firm's prices")
    text = area.input_value()
    area.fill(text.replace("jambwright_prices: 1", "jambwright_prices: 1\nfirrm: x"))
    page.get_by_role("button", name="Keep").click()
    page.locator("#told li", has_text="firrm").wait_for()
    assert chosen(store, "prices") is None
    area.fill(text)
    page.get_by_role("button", name="Keep").click()
    page.wait_for_url("**/")
    assert chosen(store, "prices") == plain(parse_tree(text))


def test_an_opening_is_dragged_to_another_day_and_the_rest_is_planned_round_it(new_page, store):
    small = plain(parse_tree(read_text("demo_house.yaml")))
    small["openings"] = [o for o in small["openings"] if o["id"] in ("W2", "W9")]
    house = add_house(store, small)
    page = desk(new_page)
    page.goto(f"/houses/{house}/days")
    page.get_by_role("button", name="Plan the days").click()
    row = page.locator("tr[data-mark=W9]")
    row.wait_for(timeout=60_000)
    before = row.locator("td:has(.work.open)").first.get_attribute("data-day")
    other = [day for day in chosen(store, "days", house=house)["shown"] if day != before][1]
    row.locator(".work.open").drag_to(row.locator(f"td[data-day='{other}']"))
    row.locator(f"td[data-day='{other}'] .work.open.held").wait_for(timeout=60_000)
    assert chosen(store, "days", house=house)["chosen"]["held"] == {"W9": other}
    spoken = date.fromisoformat(other)
    words = f"{spoken:%A} {spoken.day} {spoken:%B}"
    assert words in page.locator("#days thead").inner_text()
    assert page.get_by_label("Day for W9").locator("option:checked").inner_text() == words


def test_faults_of_a_survey_are_told_all_at_once_and_nothing_is_planned(new_page, store, house):
    page = desk(new_page)
    page.goto(f"/houses/{house}")
    page.get_by_role("button", name="Plan the house").click()
    problems = page.locator("#told li")
    problems.first.wait_for()
    said = problems.all_inner_texts()
    assert len([text for text in said if text.startswith("W2 Hall/stairs")]) >= 6
    assert house_plans(store, house) == []


def test_every_figure_answers_why(new_page, store, demo, demo_plan):
    keep_plan(store, read_house(store, demo), "Ada", *demo_plan)
    page = desk(new_page)
    page.goto(f"/houses/{demo}/order")
    figures = page.locator("tbody button.figure")
    assert figures.count() > 60
    figures.first.focus()
    page.keyboard.press("Enter")
    why = page.locator(".why:popover-open")
    assert re.search(r"Order width: \d+ mm", why.inner_text())
    assert "width bottom 1770 read" in why.inner_text().replace("\n", " ")
    page.keyboard.press("Escape")
    assert why.count() == 0
    page.goto(f"/houses/{demo}/findings")
    page.locator("summary").first.click()
    assert page.locator(".steps-of li").first.is_visible()


def test_an_order_that_breaks_a_rule_says_so_with_what_to_order_instead(new_page, store, demo, demo_plan):
    view, papers = demo_plan
    keep_plan(store, read_house(store, demo), "Ada", view, papers)
    page = desk(new_page)
    page.goto(f"/houses/{demo}/order")
    marked = page.locator("tr.hold")
    assert marked.count() == 3
    front = marked.first.inner_text()
    assert "Look before ordering. Fails: clear width of an escape opening: found 415.5 mm" in front
    assert "Order instead: light A: 35 mm wider at the cost of light B" in front
    assert page.locator("tr", has=page.get_by_role("link", name="D2")).locator(".verdict.worse").count() == 1
    assert page.locator(".verdict").count() == 3


def test_every_number_of_a_plan_carries_its_source(demo_plan):
    view, _ = demo_plan
    figures = [f for o in view["openings"] for f in o["figures"]] + view["house"]["figures"]
    assert all(f["why"]["formula"] and f["why"]["source"] and f["why"]["how"] for f in figures)
    assert all(v["source"] or v["word"] == "unknown" for o in view["openings"] for v in o["verdicts"])


def test_a_change_is_undone_from_the_history(new_page, store, house):
    sent = Change(
        path="/note",
        was=TREE["note"],
        value="slip",
        who="Bo",
        at="2026-03-02T10:00:00Z",
        device="p",
        id=new_id(),
    )
    take(store, house, [sent])
    page = desk(new_page)
    page.goto(f"/houses/{house}/history")
    page.get_by_role("button", name="Undo").click()
    page.locator("tbody tr").nth(1).wait_for()
    assert read_house(store, house).tree["note"] == TREE["note"]
    assert [change.who for change in history(store, house)] == ["Ada", "Bo"]


def test_the_readings_file_is_changed_by_hand_and_faults_are_told(new_page, store, house):
    page = desk(new_page)
    page.goto(f"/houses/{house}/survey")
    area = page.get_by_label("The whole survey")
    text = area.input_value()
    area.fill(text.replace("bottom: 1210", "bottom: wide").replace("colour: dark", "colour: mauve"))
    page.get_by_role("button", name="Keep").click()
    page.locator("#told li").nth(1).wait_for()
    assert area.input_value() != text
    area.fill(text.replace("bottom: 1210", "bottom: 1215"))
    page.get_by_role("button", name="Keep").click()
    page.wait_for_url(f"**/houses/{house}")
    assert [(c.path, c.before, c.after) for c in history(store, house)] == [
        ("/openings/W1/outside/width/bottom", 1210, 1215)
    ]


def test_word_comes_when_someone_else_changes_the_house(new_page, store, house):
    page = desk(new_page)
    page.goto(f"/houses/{house}")
    page.wait_for_timeout(300)
    sent = Change(
        path="/note",
        was=TREE["note"],
        value="x",
        who="Bo",
        at="2026-03-02T10:00:00Z",
        device="p",
        id=new_id(),
    )
    take(store, house, [sent])
    page.get_by_text("Someone changed this house.").wait_for()


def test_glass_is_compared_and_a_make_up_that_cannot_be_is_named(new_page, demo):
    page = desk(new_page)
    page.goto(f"/houses/{demo}/glass?opening=W3&make=4-16Ar-4 low-e&make=4-wool-4")
    assert page.locator("tbody tr").count() == 1
    assert "wool" in page.locator(".problems").inner_text()


@pytest.mark.parametrize(("mark", "threshold"), [("W3", "standard"), ("D1", "low")])
def test_glass_as_ordered_is_reckoned_at_the_size_and_on_the_threshold_ordered(mark, threshold):
    """W3 gets one size with its family."""
    tree = parse_tree(read_text("demo_house.yaml"))
    opening = next(o for o in tree["openings"] if o["id"] == mark)
    opening["wanted"]["threshold"] = threshold
    survey = accept(Survey, tree)
    near = [o for o in survey.openings if o.id in (mark, "W4")]
    sized, _ = size_house(survey.model_copy(update={"openings": near}))
    [mine] = [each for each in sized if each.opening.id == mark]
    [own, *_] = compared(tree, mark, []).rows
    ordered = ordered_heat(mine.frame, mine.opening.wanted)
    assert own["u_w_m2k"] == pytest.approx(ordered.real.u_w_m2k, rel=1e-9)


def test_glass_of_an_opening_without_readings_is_not_compared_and_says_why():
    none = compared(TREE, "W2", [])
    assert none.rows == ()
    assert none.problems == ("Read a width and a height first.",)


def test_someone_who_may_look_only_is_offered_nothing_to_change(new_page, demo):
    page = new_page(role="read_only", width=1440)
    for path in ("/", f"/houses/{demo}", f"/houses/{demo}/survey", f"/houses/{demo}/history"):
        page.goto(path)
        assert page.locator("main form button, main button:not(.figure)").count() == 0
    assert page.get_by_role("link", name="People").count() == 0
    assert page.goto("/people").status == 403


def test_a_phone_is_let_in_by_the_code_shown_at_the_desk(new_page):
    page = desk(new_page)
    page.goto("/people")
    page.get_by_label("Name").fill("Cy")
    page.get_by_role("button", name="Show the code").click()
    page.get_by_role("img", name="Scan this").wait_for()
    phone = new_page(address=page.locator("#code code").inner_text())
    phone.wait_for_url("**/site")
    page.reload()
    assert page.get_by_role("region", name="Let in").get_by_role("cell", name="Cy", exact=True).count() == 1
