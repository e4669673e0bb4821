"""The forms of the desk: no field is out of reach, an answer is kept at once, a bad one stays beside its field."""

import copy
import json
import re
from html.parser import HTMLParser

import pytest
from test_on_site import wait_sent

from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.job import Prices, plan_and_print
from jambwright.readings.asked import every_field
from jambwright.readings.asked_shape import SEVERAL, VALUES
from jambwright.readings.places import NAMED_LISTS, parse
from jambwright.readings.survey_file import survey_from_tree
from jambwright.store import (
    Change,
    add_house,
    chosen,
    history,
    house_plans,
    keep_plan,
    new_id,
    new_tree,
    plain,
    read_house,
    take,
    to_yaml,
    undo,
)  # fmt: skip
from jambwright.web.gist import rests_on

BLANK = "2 Example Row (invented)"
PATIENCE_MS = 60_000


class Controls(HTMLParser):
    """Paths of every control of a page."""

    def __init__(self, html):
        super().__init__()
        self.paths = []
        self.ids = []
        self.feed(html)

    def handle_starttag(self, _tag, attrs):
        given = dict(attrs)
        if "data-path" in given:
            self.paths.append(given["data-path"])
        if "id" in given:
            self.ids.append(given["id"])


def pattern(text):
    """A path with `*` for what is an item of a list or has a name of its own."""
    keys = parse(text)
    made = []
    for n, key in enumerate(keys):
        listed = keys[:n] in NAMED_LISTS or (keys[:n][-1:] == ("lights",)) or key.isdigit() or key == "+"
        made.append("*" if listed else key)
    return ".".join(made)


def full_tree():
    """The demo house with something in every list."""
    tree = plain(parse_tree(read_text("demo_house.yaml")))
    tree["openings"][0]["cleared"] = [{"what": "lintel", "by": "Engineer 1 (invented)", "on": "2026-11-09"}]
    tree["openings"][0]["not_read"] = {"bow sill": "hidden"}
    tree["defaults"]["systems"] = [plain(parse_tree(read_text("system_plain_70.yaml"))) | {"name": "own_70"}]
    tree["openings"][0] |= {"done": ["ordered"], "delivered": {"lights": {"A": {"low_e": True}}}}
    return tree


def pages(house, tree):
    yield f"/houses/{house}/form"
    for opening in tree["openings"]:
        at = f"/houses/{house}/form?at=/openings/{opening['id']}"
        yield from (at, f"{at}/outside", f"{at}/inside")
        layout = opening["wanted"]["layout"]
        split = next((name for name in ("across", "down") if name in layout), None)
        yield f"{at}/wanted/layout"
        yield from (f"{at}/wanted/layout/{split}/{n}" for n in range(len(layout.get(split) or [])))


def test_no_field_is_out_of_reach(client, store):
    """Every field of the readings file, where a person fills it in, has a control on some form."""
    tree = full_tree()
    house = add_house(store, tree)
    reached = set()
    for address in pages(house, tree):
        answer = client.get(address)
        assert answer.status_code == 200, address
        found = Controls(answer.text)
        assert len(found.ids) == len(set(found.ids)), address
        reached |= {pattern(path) for path in found.paths}
    asked = {
        ".".join(path) for path, field in every_field()
        if field.kind in (*VALUES, *SEVERAL) and not field.by and not {"quotes", "not_read"} & set(path)
    }  # fmt: skip
    assert asked - reached == set()
    assert {"house.quotes.triple", "openings.*.not_read.bow sill"} <= reached


def test_nobody_who_may_only_look_can_change_anything(client_for, demo):
    page = client_for("read_only").get(f"/houses/{demo}/form?at=/openings/W1").text
    assert "data-add-row" not in page
    assert "data-take-away" not in page
    assert "12600" not in client_for("read_only", name="Cy").get(f"/houses/{demo}/form").text, (
        "a quote is money"
    )
    assert "12600" in client_for("fitter", name="Bo").get(f"/houses/{demo}/form").text
    controls = re.findall(r"<(?:input|select|textarea)[^>]*data-path[^>]*>", page)
    assert controls
    assert all("disabled" in control or "readonly" in control for control in controls)


def test_a_place_that_is_none_is_not_found(client, demo):
    for at in (
        "/openings/W77",
        "/nowhere",
        "/openings/W1/now/opens",
        "/openings/W1/wanted/layout/across/9x",
        "house",
    ):
        assert client.get(f"/houses/{demo}/form?at={at}").status_code == 404, at


@pytest.mark.parametrize("path", ["/registered_installer", "/cleared"])
def test_what_only_a_file_could_say_is_said_on_the_form(store, house, path):
    value = (
        True
        if path == "/registered_installer"
        else [{"what": "notice", "by": "Notice 7", "on": "2026-11-09"}]
    )
    sent = Change(
        path=path, was=None, value=value, who="Bo", at="2026-03-02T10:00:00Z", device="desk", id=new_id()
    )
    _, [kept] = take(store, house, [sent])
    assert kept.outcome == "taken"
    assert read_house(store, house).tree[path[1:]] == value


def test_each_unknown_finding_leads_to_a_field_that_is_there(client, store):
    tree = new_tree(BLANK) | {"openings": [read_opening()]}
    house = add_house(store, tree)
    keep_planned(store, house)
    page = client.get(f"/houses/{house}/form").text
    links = re.findall(
        rf'href="(/houses/{house}/form[^"]*#[^"]+)"', client.get(f"/houses/{house}/findings").text + page
    )
    assert len(set(links)) > 6
    for link in set(links):
        address, _, anchor = link.replace("&amp;", "&").partition("#")
        assert anchor in Controls(client.get(address).text).ids or anchor.startswith("part-"), link


def read_opening(**more):
    """An opening read on a phone: all its figures, and nothing else."""
    kinds = {
        "width": ("bottom", "middle", "top"),
        "height": ("left", "centre", "right"),
        "diagonal": ("rising", "falling"),
        "level": ("sill", "head"),
        "plumb": ("left", "right"),
    }
    mm = {"width": 1210, "height": 1050, "diagonal": 1602, "level": 0, "plumb": 0}
    outside = {kind: {at: {"mm": mm[kind], "who": "Bo"} for at in places} for kind, places in kinds.items()}
    return {"id": "W1", "room": "Kitchen", "outside": outside} | more


def keep_planned(store, house):
    record, papers = plan_and_print(survey_from_tree(read_house(store, house).tree))
    keep_plan(store, read_house(store, house), "Ada", record.model_dump(mode="json"), papers)


def desk(new_page, **more):
    return new_page(role="office", width=1280, height=900, **more)


def form_of(page, house, at=""):
    page.goto(f"/houses/{house}/form" + (f"?at={at}" if at else ""))
    page.locator("html[data-ready]").wait_for()


def field(page, path):
    return page.locator(f"[data-path='{path}']")


def fill(page, path, value):
    """Answer a field and wait until it is kept."""
    control = field(page, path)
    sent = f"{page.evaluate('document.querySelector(`main`).dataset.version')}"
    if control.evaluate("one => one.tagName") == "SELECT":
        control.select_option(json.dumps(value))
    else:
        control.fill(str(value))
        control.blur()
    page.wait_for_function("v => document.querySelector('main').dataset.version !== v", arg=sent)


HOUSE = {
    "/site/wind_map_speed_ms": 22, "/site/distance_to_sea_km": 45, "/site/altitude_m": 62,
    "/house/breadth_m": 6.2, "/house/depth_m": 8.4, "/house/height_m": 7.6, "/house/built_year": 2010,
    "/house/listed": False, "/house/conservation_area": False, "/house/children": False, "/registered_installer": True,
    "/defaults/wall/closer": "brick_return",
}  # fmt: skip
OPENING = {"lintel/kind": "steel", "reveal_depth_mm": 100, "sill_above_floor_mm": 1100, "drop_outside_mm": 1200,
           "now/openers": 1, "now/clear_width_mm": 520, "now/clear_height_mm": 900, "now/vents_mm2": 0}  # fmt: skip


def test_a_house_of_which_only_a_room_is_known_is_filled_in_until_it_plans(new_page, store):
    """No file and no terminal: readings, place, wind, house and room are given on forms."""
    house = add_house(store, new_tree(BLANK) | {"openings": [{"id": "W1", "room": "Kitchen", "outside": {}}]})
    page = desk(new_page)
    form_of(page, house)
    page.get_by_role("button", name="Plan the house").click()
    page.get_by_text(re.compile("fields to fill in stop order or work")).wait_for(timeout=PATIENCE_MS)
    page.get_by_role("link", name="W1: Readings outside").click()
    page.locator("html[data-ready]").wait_for()
    for kind, places in read_opening()["outside"].items():
        for at, taken in places.items():
            row = page.locator(f"[data-reading='/openings/W1/outside/{kind}/{at}']")
            row.locator("[data-kind=figures]").fill(str(taken["mm"]))
            row.locator("[data-kind=figures]").blur()
            row.get_by_text("Kept").wait_for()
    form_of(page, house)
    fill(page, "/date_of_work", "2026-12-07")
    for path, value in HOUSE.items():
        fill(page, path, value)
    page.get_by_role("button", name="List Kitchen").click()
    new = page.locator("[data-list='/house/rooms'] [data-new]")
    new.locator("[data-path='/house/rooms/+/use']").select_option(json.dumps("kitchen"))
    new.locator("[data-path='/house/rooms/+/floor_area_m2']").fill("11,4")
    new.locator("[data-path='/house/rooms/+/way_out']").select_option(json.dumps("hall"))
    new.locator("[data-path='/house/rooms/+/extract_fan']").select_option(json.dumps(True))
    new.get_by_role("button", name="Add").click()
    field(page, "/house/rooms/Kitchen/floor_area_m2").wait_for()
    form_of(page, house, "/openings/W1")
    for path, value in OPENING.items():
        fill(page, f"/openings/W1/{path}", value)
    page.get_by_role("button", name="Plan the house").click()
    page.get_by_text(re.compile("Planned .* by Ada")).wait_for(timeout=PATIENCE_MS)
    page.wait_for_function("() => !document.querySelector('.plan-state .problems')", timeout=PATIENCE_MS)
    tree = read_house(store, house).tree
    assert tree["house"]["rooms"] == [
        {"name": "Kitchen", "use": "kitchen", "floor_area_m2": 11.4, "way_out": "hall", "extract_fan": True}
    ]
    assert tree["openings"][0]["outside"]["width"]["top"]["mm"] == 1210
    assert tree["openings"][0]["outside"]["width"]["top"]["who"] == "Ada"
    survey = survey_from_tree(tree)
    assert survey.date_of_work.isoformat() == "2026-12-07"
    assert len(house_plans(store, house)) == 2
    form_of(page, house)
    left = page.get_by_text("stop order or work").locator("..").locator("li").all_inner_texts()
    assert [each.split("\n")[0] for each in left] == [
        "W1: U of the whole unit U-value of a window",
        "W1: Energy band U-value of a window",
    ], left
    assert len(history(store, house)) == 12 + 1 + len(HOUSE) + 1 + len(OPENING)


def test_a_bad_value_stays_beside_its_field_and_nothing_is_lost(new_page, store, demo):
    page = desk(new_page)
    form_of(page, demo)
    altitude = field(page, "/site/altitude_m")
    box = page.locator(".field", has=altitude)
    altitude.fill("sixty")
    altitude.blur()
    box.get_by_text("sixty is no number").wait_for()
    altitude.fill("9000")
    altitude.blur()
    box.get_by_text("no house in Britain or Ireland stands above 600 m").wait_for()
    assert altitude.input_value() == "9000"
    assert read_house(store, demo).tree["site"]["altitude_m"] == 62
    altitude.fill("70,5")
    altitude.blur()
    box.get_by_text("Kept").wait_for()
    assert box.locator(".told").inner_text() == ""
    assert read_house(store, demo).tree["site"]["altitude_m"] == 70.5


def test_without_a_server_an_answer_stays_and_is_sent_again(new_page, store, demo):
    page = desk(new_page)
    form_of(page, demo)
    page.route("**/changes", lambda route: route.abort())
    year = field(page, "/house/built_year")
    year.fill("1936")
    year.blur()
    box = page.locator(".field", has=year)
    box.get_by_text("Not kept").wait_for()
    page.unroute("**/changes")
    box.get_by_role("button", name="Try again").click()
    box.get_by_text("Kept", exact=True).wait_for()
    assert read_house(store, demo).tree["house"]["built_year"] == 1936


def test_two_who_change_one_field_are_asked(new_page, store, demo):
    page = desk(new_page)
    form_of(page, demo)
    theirs = Change(
        path="/house/storeys", was=2, value=3, who="Bo", at="2026-03-02T10:00:00Z", device="p", id=new_id()
    )
    take(store, demo, [theirs])
    page.get_by_text("Someone changed this house.").wait_for()
    storeys = field(page, "/house/storeys")
    storeys.fill("4")
    storeys.blur()
    box = page.locator(".field", has=storeys)
    box.get_by_role("button", name="Keep theirs: 3").wait_for()
    box.get_by_role("button", name="Take mine: 4").click()
    page.wait_for_function(
        "() => document.querySelector(\"[data-path='/house/storeys']\")?.dataset.was === '4'"
    )
    assert read_house(store, demo).tree["house"]["storeys"] == 4


def test_a_room_that_is_renamed_keeps_its_openings_and_each_step_can_be_undone(new_page, store, demo):
    page = desk(new_page)
    form_of(page, demo)
    name = field(page, "/house/rooms/kitchen/name")
    name.fill("Scullery")
    name.blur()
    field(page, "/house/rooms/Scullery/use").wait_for()
    tree = read_house(store, demo).tree
    assert [o["id"] for o in tree["openings"] if o["room"] == "Scullery"] == ["W1", "D2"]
    assert survey_from_tree(tree).room("kitchen") is None
    for change in history(store, demo):
        undo(store, demo, change.id, who="Ada", at="2026-03-02T11:00:00Z", device="desk")
    assert read_house(store, demo).tree["openings"][0]["room"] == "kitchen"
    assert "kitchen" in [room["name"] for room in read_house(store, demo).tree["house"]["rooms"]]


def test_a_row_is_added_to_a_list_whose_cells_were_just_changed(new_page, store, demo):
    page = desk(new_page)
    form_of(page, demo)
    fill(page, "/house/rooms/utility/floor_area_m2", 4.5)
    fill(page, "/house/rooms/kitchen/extract_fan", False)
    new = page.locator("[data-list='/house/rooms'] [data-new]")
    new.locator("[data-path='/house/rooms/+/name']").fill("loft/store")
    new.locator("[data-path='/house/rooms/+/use']").select_option(json.dumps("store"))
    new.get_by_role("button", name="Add").click()
    field(page, "/house/rooms/loft~1store/storey").wait_for()
    fill(page, "/house/rooms/loft~1store/storey", 2)
    rooms = {room["name"]: room for room in read_house(store, demo).tree["house"]["rooms"]}
    assert rooms["utility"]["floor_area_m2"] == 4.5
    assert rooms["kitchen"]["extract_fan"] is False
    assert rooms["loft/store"] == {"name": "loft/store", "use": "store", "storey": 2}


def test_what_stops_an_opening_leads_on_the_phone_to_its_question(new_page, store):
    house = add_house(store, new_tree(BLANK) | {"openings": [read_opening()]})
    keep_planned(store, house)
    page = new_page()
    page.goto(f"/site/{house}/W1/stops")
    page.get_by_role("link", name="Fill in: W1: Carried by").first.click()
    page.wait_for_url("**/W1/questions#lintel/kind")
    page.locator("[data-question='lintel/kind']").get_by_role("button", name="Steel").tap()
    wait_sent(page)
    assert read_house(store, house).tree["openings"][0]["lintel"] == {"kind": "steel"}
    page.goto(f"/site/{house}/W1/stops")
    page.get_by_role("link", name="Fill in: Day of the work").first.click()
    page.wait_for_url(f"**/houses/{house}/form#f/date_of_work")


def test_a_group_waits_until_it_can_be_kept_and_a_wall_of_its_own_starts_as_the_usual_one(
    new_page, store, demo
):
    page = desk(new_page)
    form_of(page, demo, "/openings/W1")
    page.locator("summary", has_text="Flue near it").click()
    flue = "/openings/W1/flue"
    field(page, f"{flue}/to_opener_mm").fill("400")
    field(page, f"{flue}/to_opener_mm").blur()
    page.get_by_text("Kept on this page only until these are given too: Flue of, The flue stands").wait_for()
    field(page, f"{flue}/appliance").select_option(json.dumps("oil"))
    fill(page, f"{flue}/direction", "above")
    opening = read_house(store, demo).tree["openings"][0]
    assert opening["flue"] == {"appliance": "oil", "to_opener_mm": 400, "direction": "above"}
    page.locator("summary", has_text="Wall of its own").click()
    field(page, "/openings/W1/wall/outer_mm").fill("215")
    field(page, "/openings/W1/wall/outer_mm").blur()
    page.wait_for_function(
        "() => document.querySelector(\"[data-group='/openings/W1/wall']\")?.dataset.present === 'yes'"
    )
    tree = read_house(store, demo).tree
    assert tree["openings"][0]["wall"] == tree["defaults"]["wall"] | {"outer_mm": 215}


def test_an_own_mark_and_a_settled_matter_are_given_on_the_form(new_page, store, demo):
    page = desk(new_page)
    form_of(page, demo, "/openings/W1")
    page.locator("[data-list='/openings/W1/cleared'] [data-new]").get_by_role("button", name="Add").click()
    page.get_by_text("Give first: What, Settled by, On.").wait_for()
    for name, value in (("what", "lintel"), ("by", "Engineer 1 (invented)"), ("on", "2026-11-09")):
        field(page, f"/openings/W1/cleared/+/{name}").fill(value)
    page.locator("[data-list='/openings/W1/cleared'] [data-new]").get_by_role("button", name="Add").click()
    field(page, "/openings/W1/cleared/0/by").wait_for()
    assert read_house(store, demo).tree["openings"][0]["cleared"][0]["by"] == "Engineer 1 (invented)"
    page.once("dialog", lambda dialog: dialog.accept())
    page.locator("[data-row='/openings/W1/cleared/0']").get_by_role("button").click()
    field(page, "/openings/W1/cleared/0/by").wait_for(state="detached")
    assert "cleared" not in read_house(store, demo).tree["openings"][0]
    field(page, "/openings/W1/id").fill("K1")
    field(page, "/openings/W1/id").blur()
    page.wait_for_url("**/form?at=/openings/K1")


def test_a_house_made_on_a_phone_opens_on_every_form(new_page):
    phone = new_page(name="Bo")
    phone.goto("/site")
    phone.get_by_label("Address or name").fill(BLANK)
    phone.get_by_role("button", name="Add house").tap()
    phone.get_by_label("Room").fill("Kitchen")
    phone.get_by_role("button", name="Add window W1").tap()
    phone.locator(".sent.all").wait_for()
    [house] = {entry["id"] for entry in phone.evaluate("fetch('/api/houses').then(a => a.json())")}
    page = desk(new_page)
    for at in (
        "",
        "/openings/W1",
        "/openings/W1/outside",
        "/openings/W1/inside",
        "/openings/W1/wanted/layout",
    ):
        form_of(page, house, at)
        assert page.get_by_role("heading", level=2).count() == 1, at
    small = new_page(role="office", width=390, height=844)
    form_of(small, house)
    assert small.evaluate("document.documentElement.scrollWidth <= innerWidth")
    small.get_by_role("link", name="Rooms", exact=False).first.click()
    small.get_by_role("button", name="List Kitchen").wait_for()


def test_questions_on_the_phone_come_from_the_same_description(new_page, store, house):
    """A flue is begun without signal and kept once it is whole; the field that a finding names is in sight."""
    page = new_page()
    page.goto(f"/site/{house}/W2/questions#flue/input_kw")
    asked = page.locator("[data-question='flue/input_kw'] input")
    asked.wait_for()
    page.wait_for_function("() => document.activeElement.id === 'q-flue/input_kw'")
    asked.fill("24")
    asked.blur()
    page.get_by_text("Kept on this page only until these are given too").wait_for()
    page.locator("[data-question='flue/appliance']").get_by_role("button", name="Oil").tap()
    page.locator("[data-question='flue/direction']").get_by_role("button", name="Above").tap()
    wait_sent(page)
    opening = next(o for o in read_house(store, house).tree["openings"] if o["id"] == "W2")
    assert opening["flue"] == {"input_kw": 24, "appliance": "oil", "direction": "above"}


def test_the_firms_prices_are_kept_as_a_table_when_they_can_be_read(new_page, store):
    page = desk(new_page)
    page.goto("/prices")
    page.get_by_text("No prices are kept yet.").wait_for()
    price = field(page, "/frames/0/per_m2")
    price.fill("80,55")
    field(page, "/valid_days").fill("0")
    page.get_by_role("button", name="Keep").click()
    page.locator(".field", has=field(page, "/valid_days")).get_by_text("must be").wait_for()
    assert chosen(store, "prices") is None
    assert price.input_value() == "80,55"
    field(page, "/valid_days").fill("28")
    page.locator("[data-list='/glass'] [data-new] [data-path='/glass/+/make_up']").fill("6-16Ar-6 low-e")
    page.locator("[data-list='/glass'] [data-new] [data-path='/glass/+/per_m2']").fill("55")
    page.get_by_role("button", name="Keep").click()
    page.get_by_text("The prices are kept.").wait_for()
    tree = chosen(store, "prices")
    demo = plain(parse_tree(read_text("demo_prices.yaml")))
    wanted = copy.deepcopy(demo)
    wanted["frames"][0]["per_m2"] = 80.55
    wanted["glass"].append({"make_up": "6-16Ar-6 low-e", "per_m2": 55})
    assert Prices.model_validate(tree) == Prices.model_validate(wanted)


def test_prices_kept_tell_which_houses_must_be_planned_again(client, client_for, store, demo, demo_plan):
    prices = parse_tree(read_text("demo_prices.yaml"))
    found = read_house(store, demo)
    rests = rests_on(found.tree, plain(prices), None, {})
    record, papers = demo_plan
    keep_plan(store, found, "Ada", record, papers, gist={"rests": rests})
    assert client.put("/api/prices", content=to_yaml(prices)).status_code == 204
    again = "plan the house again"
    assert again not in client.get(f"/houses/{demo}/price").text
    assert "planned with the prices before" not in client.get("/prices?kept=yes").text
    prices["travel_per_visit"] = 31
    assert client.put("/api/prices", content=to_yaml(prices)).status_code == 204
    assert f"/houses/{demo}/price" in client.get("/prices?kept=yes").text
    for part in ("", "/price", "/papers"):
        assert again in client.get(f"/houses/{demo}{part}").text
    assert again not in client_for("read_only").get(f"/houses/{demo}").text, (
        "who sees no prices hears of none"
    )
    assert "Price file" not in client.get("/prices").text + client.get(f"/houses/{demo}/price").text


def test_who_comes_is_kept_for_the_next_plan(new_page, store, demo):
    page = desk(new_page)
    form_of(page, demo)
    crew = page.locator("#crew-form")
    crew.locator("[data-path='/fitters']").fill("3")
    crew.get_by_role("button", name="Keep the crew").click()
    crew.get_by_text("Kept").first.wait_for()
    assert chosen(store, "days", house=demo)["chosen"]["fitters"] == 3
    crew.locator("[data-path='/fitters']").fill("80")
    crew.get_by_role("button", name="Keep the crew").click()
    crew.locator(":scope > .told").get_by_text("8").wait_for()


def test_a_wall_is_drawn_by_its_build_up(client, demo):
    own = client.get(f"/houses/{demo}/wall.svg?at=/openings/W8/wall")
    usual = client.get(f"/houses/{demo}/wall.svg?at=/openings/W1/wall")
    assert own.headers["content-type"] == "image/svg+xml"
    assert {">Stone<", ">150<"} <= set(re.findall(r">[^<>]+<", own.text))
    assert "Cavity" not in own.text
    assert {">Cavity<", ">102.5<"} <= set(re.findall(r">[^<>]+<", usual.text))
    assert client.get(f"/houses/{demo}/wall.svg").text == usual.text
