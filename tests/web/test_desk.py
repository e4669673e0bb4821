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
from jambwright.paper import PAPERS
from jambwright.plan.sizing import size_house
from jambwright.readings import Survey
from jambwright.record import record_of_tree
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
from jambwright.web.plan_view import plan_view
from survey_trees import FULL_OPENING, TREE, tree


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
        page.get_by_role("link", name="Download: Fit sheets, PDF").click()
    download.value.save_as(tmp_path / "fit-sheets.pdf")
    assert len(pypdfium2.PdfDocument(tmp_path / "fit-sheets.pdf")) == 4, (
        "a leaf of two sides for each of two openings"
    )
    [plan] = house_plans(store, line.id)
    assert (plan.version, plan.who) == (1, "Ada")


def test_an_opening_is_dragged_to_another_day_and_the_rest_stays(new_page, store):
    small = plain(parse_tree(read_text("demo_house.yaml")))
    small["openings"] = [o for o in small["openings"] if o["id"] in ("W2", "W9")]
    house = add_house(store, small)
    page = desk(new_page)
    page.goto(f"/houses/{house}/days")
    page.get_by_role("button", name="Plan the days").click()
    row = page.locator("tr[data-mark=W9]")
    row.wait_for(timeout=60_000)
    before = row.locator("td:has(.work.open)").first.get_attribute("data-day")
    rest = page.locator("tr[data-mark=W2] td:has(.work)")
    rest_before = [cell.get_attribute("data-day") for cell in rest.all()]
    shown = page.locator("#days tbody tr").first.locator("td[data-day]")
    days = [cell.get_attribute("data-day") for cell in shown.all()]
    other = [day for day in days if day != before][1]
    row.locator(".work.open").drag_to(row.locator(f"td[data-day='{other}']"))
    row.locator(f"td[data-day='{other}'] .work.open.held").wait_for(timeout=60_000)
    assert chosen(store, "days", house=house)["chosen"]["held"] == {"W9": other}
    assert [cell.get_attribute("data-day") for cell in rest.all()] == rest_before
    page.get_by_text("The other one stays where it was.").wait_for()
    spoken = date.fromisoformat(other)
    words = f"{spoken:%A} {spoken.day} {spoken:%B}"
    assert words in page.locator("#days thead").inner_text()
    assert page.get_by_label("Day for W9").locator("option:checked").inner_text() == words


def test_faults_of_a_survey_are_told_all_at_once_and_nothing_is_planned(new_page, store):
    house = add_house(
        store,
        tree(openings=[misread("W1", "Kitchen", 121), misread("W2", "Hall/stairs", 1210, room="Attic")]),
    )
    page = desk(new_page)
    page.goto(f"/houses/{house}")
    page.get_by_role("button", name="Plan the house").click()
    problems = page.locator("#told li")
    problems.first.wait_for()
    said = problems.all_inner_texts()
    assert len([text for text in said if text.startswith("W1 Kitchen") and "121 mm" in text]) == 3
    assert len([text for text in said if text.startswith("W2 Attic") and "there is no room" in text]) == 1
    assert house_plans(store, house) == []
    assert page.locator("#planning").is_hidden()


def misread(mark, room_read, width_mm, room=None):
    """An opening that can be kept and not planned: its widths or its room are wrong."""
    outside = {**FULL_OPENING["outside"], "width": dict.fromkeys(("bottom", "middle", "top"), width_mm)}
    return FULL_OPENING | {"id": mark, "room": room or room_read, "outside": outside}


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
    said = why.inner_text().replace("\n", " ")
    assert "width bottom = 1771 mm" in said
    assert "read 1770 mm" in said
    page.keyboard.press("Escape")
    assert why.count() == 0
    page.goto(f"/houses/{demo}/findings")
    page.locator(".fold[open] .verdicts summary").first.click()
    assert page.locator(".verdicts .steps-of li").first.is_visible()


def test_an_order_that_breaks_a_rule_says_so_with_what_to_order_instead(new_page, store, demo, demo_plan):
    keep_plan(store, read_house(store, demo), "Ada", *demo_plan)
    page = desk(new_page)
    page.goto(f"/houses/{demo}/order")
    marked = page.locator("tr.hold")
    assert marked.count() == 4
    front = " ".join(marked.first.inner_text().split())
    assert "Do not order yet fails Light A: clear width of an escape opening: 415.5 mm" in front
    assert "Order instead: light A: 35 mm wider at the cost of light B" in front
    shut = page.locator("tr", has=page.locator(".verdict.shut"))
    assert [row.locator("th").inner_text() for row in shut.all()] == ["W3", "W4", "W8", "D2"]
    assert shut.last.locator(".verdict").inner_text() == "do not order yet"


def test_the_house_page_says_first_what_stops_it_and_unfolds_why(new_page, store, demo, demo_plan):
    keep_plan(store, read_house(store, demo), "Ada", *demo_plan)
    page = desk(new_page)
    page.goto(f"/houses/{demo}")
    stops = page.get_by_role("region", name="4 stop the order")
    assert stops.locator("summary").all_inner_texts()[0].startswith("W3 ")
    opens = stops.get_by_text("Accept a change that passes, or have building control decide.").first
    assert not opens.is_visible()
    stops.locator("summary").first.click()
    assert opens.is_visible()
    work = page.get_by_role("region", name="1 stops the work").locator("summary").all_inner_texts()
    assert [said.split()[0] for said in work] == ["W8"]
    stops.get_by_role("link", name="Look at W3").click()
    page.locator("details.shut[open] > summary", has_text="Do not order yet").wait_for()
    assert page.get_by_text("Nothing stops the work.").is_visible()


def test_every_number_of_a_plan_carries_its_source(demo_plan):
    view = plan_view(record_of_tree(demo_plan[0]))
    figures = [f for o in view["openings"] for f in o["figures"]] + view["house"]["figures"]
    assert len(figures) > 100
    assert all(f["steps"] for f in figures)
    assert all(s["source"] and s["how"] for f in figures for s in f["steps"])
    assert all(v["source"] or v["word"] == "unknown" for o in view["openings"] for v in o["verdicts"])


def test_long_work_shows_how_far_it_is(new_page, house):
    page = desk(new_page)
    page.goto(f"/houses/{house}")
    seen = []
    page.expose_function("seen", lambda value, most, said: seen.append((value, most, said)))
    page.evaluate("""() => {
      const bar = document.querySelector("#planning");
      const note = () => bar.position >= 0 && seen(bar.value, bar.max, bar.nextElementSibling.textContent);
      new MutationObserver(note).observe(bar.parentElement, { subtree: true, childList: true, attributes: true });
    }""")
    assert page.locator("#planning").is_hidden()
    page.get_by_role("button", name="Plan the house").click()
    page.locator("#planning").wait_for()
    page.get_by_text(re.compile("Planned .* by Ada, from version 1")).wait_for(timeout=60_000)
    [most] = {most for _, most, _ in seen}
    assert most == 3 + len(PAPERS), "one opening is read, and the house has two steps"
    values = [value for value, _, _ in seen]
    assert values == sorted(values)
    assert len(set(values)) > 3
    assert f"1 of {most}: W1 Kitchen" in [said for _, _, said in seen]


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
    page.locator(".story li").nth(1).wait_for()
    assert read_house(store, house).tree["note"] == TREE["note"]
    assert [change.who for change in history(store, house)] == ["Ada", "Bo"]


def test_an_undo_that_came_too_late_is_told_at_the_desk_and_asks_nobody(new_page, store, house):
    for was, value in ((TREE["note"], "slip"), ("slip", "later")):
        sent = Change(path="/note", was=was, value=value, who="Bo", at="", device="p", id=new_id())
        take(store, house, [sent])
    page = desk(new_page)
    page.goto(f"/houses/{house}/history")
    page.get_by_role("button", name="Undo").nth(1).click()
    page.get_by_role("alert").get_by_text("Undo the later change first").wait_for()
    assert read_house(store, house).tree["note"] == "later"
    page.goto(f"/houses/{house}")
    assert page.get_by_text("wait for a decision").count() == 0
    assert page.get_by_text("waits for a decision").count() == 0


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
    demo = parse_tree(read_text("demo_house.yaml"))
    opening = next(o for o in demo["openings"] if o["id"] == mark)
    opening["wanted"]["threshold"] = threshold
    survey = accept(Survey, demo)
    near = [o for o in survey.openings if o.id in (mark, "W4")]
    sized, _ = size_house(survey.part(near))
    [mine] = [each for each in sized if each.opening.id == mark]
    [own, *_] = compared(survey, mark, []).rows
    ordered = ordered_heat(mine.frame, mine.opening.wanted)
    assert own.u_w_m2k == pytest.approx(ordered.real.u_w_m2k, rel=1e-9)


def test_glass_of_an_opening_without_readings_is_not_compared_and_says_why():
    none = compared(accept(Survey, TREE), "W2", [])
    assert none.rows == ()
    assert none.problems == (
        "W2 Hall/stairs: not read yet: bottom width, middle width, top width, left height, centre height, "
        "right height.",
    )


def test_someone_who_may_look_only_is_offered_nothing_to_change(new_page, demo):
    page = new_page(role="read_only", width=1440)
    for path in ("/", f"/houses/{demo}", f"/houses/{demo}/survey", f"/houses/{demo}/history"):
        page.goto(path)
        assert page.locator("main form button, main button:not(.figure, [data-larger])").count() == 0
    assert page.get_by_role("link", name="People").count() == 0
    assert page.goto("/people").status == 403


def test_a_browser_is_let_in_by_the_address_and_no_code_is_drawn_that_no_phone_can_open(new_page):
    page = desk(new_page)
    page.goto("/people")
    page.get_by_label("Name").fill("Cy")
    page.get_by_role("button", name="Show the code").click()
    page.get_by_text("no phone can open this address").wait_for()
    assert page.get_by_role("img", name="Scan this").count() == 0
    phone = new_page(address=page.locator("#code code").inner_text())
    phone.wait_for_url("**/site")
    page.reload()
    assert (
        page.get_by_role("region", name="Let in").get_by_role("rowheader", name="Cy", exact=True).count() == 1
    )
