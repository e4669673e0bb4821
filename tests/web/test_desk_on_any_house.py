"""Every page of the desk over houses as they are: half made on a phone, changed since the plan, planned long ago."""

import copy
import json
import re
from html.parser import HTMLParser

import pytest

from jambwright.job import Choices, plan_and_print
from jambwright.readings.survey_file import survey_from_tree
from jambwright.store import (
    Change,
    add_house,
    choose,
    house_plans,
    keep_plan,
    new_id,
    new_tree,
    read_house,
    replace,
    replace_fitted,
    take,
)
from jambwright.web.crew_days import CrewChosen
from jambwright.web.desk import PARTS
from survey_trees import AS_FITTED, FULL_OPENING, TREE

DAY = "2026-03-02"
BARE = {"id": "W2", "room": "Hall/stairs", "outside": {}}
HALF_READ = {"id": "W3", "room": "Kitchen", "outside": {"width": {"bottom": 1210, "middle": 1209}}}
WHOLE = {name: value for name, value in FULL_OPENING.items() if name != "note"}


def tree(*openings, **more):
    return copy.deepcopy({**TREE, "openings": list(openings), "date_of_work": DAY, **more})


PLANNED = tree(WHOLE, BARE, HALF_READ)


@pytest.fixture(scope="module")
def planned():
    """The plan of a house with one opening read, one bare and one half read, and its papers."""
    crew = CrewChosen(first_day=DAY).crew()
    record, papers = plan_and_print(survey_from_tree(PLANNED), Choices(crew=crew))
    return record.model_dump(mode="json"), papers


class Words(HTMLParser):
    """What a page says, without its markup and without what may be chosen."""

    def __init__(self, html):
        super().__init__()
        self.said = []
        self.choice = False
        self.feed(html)

    def handle_starttag(self, tag, _attrs):
        self.choice = tag == "option"

    def handle_endtag(self, _tag):
        self.choice = False

    def handle_data(self, data):
        if not self.choice:
            self.said.append(data)


def words(answer):
    return re.sub(r"\s+", " ", " ".join(Words(answer.text).said))


def pages_of(store, house):
    yield from ("/", "/lessons", "/people", "/prices")
    yield from (f"/houses/{house}" + ("" if part == "house" else f"/{part}") for part in PARTS)
    for mark in read_house(store, house).marks:
        opening = f"/houses/{house}/openings/{mark}"
        yield from (opening, f"{opening}/layout", f"/houses/{house}/glass?opening={mark}")
        form = f"/houses/{house}/form?at=/openings/{mark}"
        yield from (form, f"{form}/outside", f"{form}/inside", f"{form}/wanted/layout")


def look(client, store, house):
    """Every page of the desk, each found whole."""
    shown = {path: client.get(path) for path in pages_of(store, house)}
    assert {path: answer.status_code for path, answer in shown.items() if answer.status_code != 200} == {}
    for path, answer in shown.items():
        assert answer.text.rstrip().endswith("</html>"), path
        assert not re.search(r"\b(None|Undefined)\b", words(answer)), path
    return {path.removeprefix(f"/houses/{house}"): words(answer) for path, answer in shown.items()}


def typed(store, house, path, value, was=None):
    """As a phone sends it."""
    sent = Change(
        path=path, was=was, value=value, who="Bo", at="2026-03-02T10:00:00Z", device="p", id=new_id()
    )
    take(store, house, [sent])


def keep(store, house, planned):
    keep_plan(store, read_house(store, house), "Ada", *planned)


def changed(store, house, **more):
    tree = {**read_house(store, house).tree, **more}
    replace(store, house, tree, who="Bo", at="2026-03-02T10:00:00Z", device="desk")


@pytest.mark.parametrize("role", ["office", "read_only"])
def test_a_house_with_nothing_in_it(client_for, store, role):
    house = add_house(store, new_tree("2 Example Row (invented)"))
    client = client_for(role)
    for path in pages_of(store, house):
        wanted = 403 if role == "read_only" and path in ("/lessons", "/people", "/prices") else 200
        assert (path, client.get(path).status_code) == (path, wanted)


FROM_THE_PLAN = ("findings", "order", "materials", "cutting", "price", "papers")


@pytest.mark.parametrize("part", FROM_THE_PLAN)
def test_a_page_that_rests_on_the_plan_says_what_to_do_first(client_for, store, part):
    """First an opening, then the plan; who may only look is told no more than that there is none."""
    house = add_house(store, new_tree("2 Example Row (invented)"))
    path, office, looker = f"/houses/{house}/{part}", client_for("office"), client_for("read_only")
    assert "No opening yet. Add the first one" in words(office.get(path))
    assert f'href="/site/{house}">Add and measure' in office.get(path).text
    assert f'href="/site/{house}">Add and measure' not in looker.get(path).text
    typed(store, house, "/openings/W1", {"id": "W1", "room": "Kitchen", "outside": {}})
    assert "Press “Plan the house” at the top" in words(office.get(path))
    assert "this house is not planned" in words(looker.get(path))
    assert "Press “Plan the house”" not in words(looker.get(path))


def test_days_without_a_day_of_work_lead_to_the_field(client, store):
    house = add_house(store, new_tree("2 Example Row (invented)"))
    page = client.get(f"/houses/{house}/days").text
    assert re.search(r'<a class="button main" href="[^"]*#f/date_of_work"', page)


def test_an_opening_with_nothing_but_a_room_says_what_to_read(client, store):
    house = add_house(store, new_tree("2 Example Row (invented)"))
    typed(store, house, "/openings/W1", {"id": "W1", "room": "Kitchen", "outside": {}})
    shown = look(client, store, house)
    assert "W1: not planned" not in shown[""]
    assert "W1 Kitchen: not read yet: bottom width" in shown["/glass?opening=W1"]


def test_every_reading_kept_alone_is_shown(client, store):
    for kind, places in FULL_OPENING["outside"].items():
        for at, reading in places.items():
            house = add_house(store, tree({**BARE, "outside": {kind: {at: reading}}}))
            look(client, store, house)


ODD = {
    "in centimetres": {"outside": {"width": {"bottom": 121, "middle": 121, "top": 121}, "height": {
        "left": 105, "centre": 105, "right": 105}}},
    "in metres": {"outside": {"width": {"bottom": 1.21, "middle": 1.21, "top": 1.21}, "height": {
        "left": 1.05, "centre": 1.05, "right": 1.05}}},
    "below nothing": {"outside": {"width": {"bottom": -5, "middle": 1210, "top": 1210}, "height": {
        "left": 1050, "centre": 1050, "right": 1050}}},
    "no such room": WHOLE | {"room": "Nowhere"},
    "no such profile": WHOLE | {"wanted": {"profile": "nowhere_70"}},
    "no such glass": WHOLE | {"wanted": {"glass": "4-wool-4"}},
    "no such neighbour": WHOLE | {"wanted": {"line_up": "W99"}},
    "lights too narrow": WHOLE | {"wanted": {"layout": {"across": [{"mm": 20}, {"share": 1}]}}},
}  # fmt: skip


@pytest.mark.parametrize("odd", ODD.values(), ids=ODD)
def test_what_can_be_kept_and_not_planned_is_still_shown(client, store, odd, monkeypatch):
    """Glass that can't be read too: earlier versions kept it."""
    monkeypatch.setattr("jambwright.store.houses.check_glass_of", lambda _: None)
    house = add_house(store, tree({**BARE, **odd, "id": "W1"}))
    look(client, store, house)


def test_a_house_planned_half_read_says_first_what_stops_it(client, store, planned):
    house = add_house(store, PLANNED)
    keep(store, house, planned)
    shown = look(client, store, house)
    assert "4 stop the order" in shown[""]
    assert shown[""].index("stop the order") < shown[""].index("U-value")
    assert "W2 Hall/stairs unknown Not read yet: bottom width" in shown[""]
    assert "Do not order yet" in shown["/openings/W3"]
    assert "W3 Kitchen not read yet" in shown["/order"]


def test_an_opening_added_after_planning_is_not_planned(client, store, planned):
    house = add_house(store, PLANNED)
    keep(store, house, planned)
    typed(store, house, "/openings/W9", {"id": "W9", "room": "Kitchen", "outside": {}})
    shown = look(client, store, house)
    for path in ("", "/order", "/openings/W9", "/findings", "/days", "/price"):
        assert "Not in this plan: W9. Plan the house again." in shown[path], path
    assert "W9 Kitchen not planned" in shown[""]


def test_an_opening_deleted_after_planning_is_said_to_be_gone_and_leads_nowhere(client, store, planned):
    house = add_house(store, PLANNED)
    keep(store, house, planned)
    changed(store, house, openings=[BARE])
    shown = look(client, store, house)
    for path in ("", "/order", "/findings", "/days"):
        assert "no longer in the readings: W1, W3." in shown[path], path
        assert path == "/days" or re.search("W1 (Kitchen )?no longer in the readings", shown[path]), path
        assert f"/houses/{house}/openings/W1" not in client.get(f"/houses/{house}{path}").text
    assert client.get(f"/houses/{house}/openings/W1").status_code == 404


def test_an_opening_renamed_after_planning_is_both(client, store, planned):
    house = add_house(store, PLANNED)
    keep(store, house, planned)
    changed(store, house, openings=[WHOLE | {"id": "K1"}, BARE, HALF_READ | {"room": "Hall/stairs"}])
    shown = look(client, store, house)
    assert "Not in this plan: K1." in shown[""]
    assert "no longer in the readings: W1." in shown[""]
    assert "K1 Kitchen not planned" in shown[""]


def test_all_openings_deleted_after_planning(client, store, planned):
    house = add_house(store, PLANNED)
    keep(store, house, planned)
    changed(store, house, openings=[])
    shown = look(client, store, house)
    assert "no longer in the readings: W1, W2, W3." in shown[""]


@pytest.mark.parametrize("note", [{}, {"note": ""}, {"note": "stuck with paint"}])
def test_an_opening_with_and_without_a_note(client, store, note):
    house = add_house(store, tree(WHOLE | note))
    assert ("stuck with paint" in look(client, store, house)["/openings/W1"]) == bool(note.get("note"))


OLDER = {
    "of another version": lambda record: record | {"jambwright_plan": 1},
    "before versions": lambda _: {"house": {"figures": []}, "openings": [], "verdicts": []},
    "with a field less": lambda record: {name: value for name, value in record.items() if name != "gates"},
    "with a field more": lambda record: record | {"moon": "full"},
    "no plan at all": lambda _: [],
}


@pytest.mark.parametrize("older", OLDER.values(), ids=OLDER)
def test_a_plan_kept_by_another_version_says_so(client, store, planned, older):
    record, papers = planned
    house = add_house(store, PLANNED)
    keep(store, house, (older(record), papers))
    shown = look(client, store, house)
    for path in ("", "/order", "/days", "/openings/W1"):
        assert "made by another version of the program" in shown[path], path
    assert "Order, as a plain table" in shown["/papers"]
    assert "stops the order" not in shown[""]


def test_a_frame_fitted_is_shown_planned_or_not(client, store, planned):
    house = add_house(store, PLANNED)
    replace_fitted(store, house, {"W1": AS_FITTED, "W2": AS_FITTED}, who="Ada", at="", device="desk")
    assert "packed at the head" in look(client, store, house)["/openings/W2"]
    keep(store, house, planned)
    shown = look(client, store, house)
    assert "packed at the head" in shown["/openings/W1"]
    assert "packed at the head" in shown["/openings/W2"]


def test_a_day_kept_for_an_opening_that_is_gone_does_no_harm(client, store, planned):
    house = add_house(store, PLANNED)
    keep(store, house, planned)
    crew = CrewChosen(first_day=DAY, held={"W77": DAY}).model_dump(mode="json")
    choose(store, "days", {"chosen": crew}, who="Ada", house=house)
    look(client, store, house)


def told(client, house):
    """How planning it ended."""
    number = client.post(f"/api/houses/{house}/plans").json()["work"]
    with client.stream("GET", f"/api/work/{number}") as answer:
        lines = [line for line in answer.iter_lines() if line.startswith("data: ")]
    return json.loads(lines[-1].removeprefix("data: "))


def test_a_house_of_openings_not_read_at_all_is_planned_and_shown(client, store):
    house = add_house(store, tree(BARE, HALF_READ))
    assert told(client, house)["problems"] == []
    shown = look(client, store, house)
    assert "3 stop the order" in shown[""], "the house by its heritage, and both openings"
    assert "3 stop the work" in shown[""]
    assert shown["/days"].count("openings left out of these days") in (0, 1)


def test_a_house_with_all_done_is_planned_and_shown(client, store):
    done = ["ordered", "cut", "fitted", "sealed", "finished"]
    house = add_house(store, tree(WHOLE | {"done": done}))
    assert told(client, house)["problems"] == []
    assert "do not order again" in look(client, store, house)["/openings/W1"]


def test_a_house_that_cannot_be_planned_keeps_its_last_plan(client, store, planned):
    house = add_house(store, PLANNED)
    keep(store, house, planned)
    changed(store, house, openings=[{**WHOLE, **ODD["in centimetres"]}, BARE, HALF_READ])
    said = [problem["say"] for problem in told(client, house)["problems"]]
    assert [say for say in said if "W1 Kitchen" in say and "121 mm" in say]
    assert len(house_plans(store, house)) == 1
    assert "The readings have changed since." in look(client, store, house)[""]
