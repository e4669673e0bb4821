"""The desk begins with what needs somebody, then the house as it will look: on the demo house and on a phone's."""

import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

import jambwright.web
from jambwright import job
from jambwright.basis.tables import read_text
from jambwright.basis.tree import parse_tree
from jambwright.readings.survey_file import survey_from_tree
from jambwright.record import record_of_tree
from jambwright.store import Change, add_house, keep_plan, new_id, new_tree, read_house, take
from jambwright.web.desk import PARTS, TABS
from jambwright.web.plan_view import verdict_view

STATIC = Path(jambwright.web.__file__).parent / "static"
AXE = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], "resultTypes": ["violations"]}
BARE = {"id": "W1", "room": "Kitchen", "outside": {}}
HALF_READ = {"id": "W2", "room": "Hall", "outside": {"width": {"bottom": 1210, "middle": 1209}}}
DOOR = {"id": "D1", "room": "Hall", "outside": {}, "wanted": {"kind": "door"}}


class Tags(HTMLParser):
    """Every tag of a page, with its attributes and the text until the next tag."""

    def __init__(self, html):
        super().__init__()
        self.all = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.all.append([tag, dict(attrs), ""])

    def handle_data(self, data):
        if self.all:
            self.all[-1][2] += data

    def of(self, tag, cls=""):
        return [
            (a, t.strip()) for g, a, t in self.all if g == tag and cls in (a.get("class") or "").split(" ")
        ]


def tags(answer):
    assert answer.status_code == 200
    return Tags(answer.text)


def nav(answer, name):
    """Links of a navigation by what it is called."""
    [inner] = re.findall(rf'<nav class="{name}".*?</nav>', answer.text, re.DOTALL)
    return re.findall(r'href="([^"]*)"', inner)


@pytest.fixture
def planned(store, demo, demo_plan):
    keep_plan(store, read_house(store, demo), "Ada", *demo_plan)
    return demo


@pytest.fixture
def from_phone(store):
    """A house made on the phone: nothing asked but a room, half read, and a door."""
    house = add_house(store, new_tree("3 Example Row (invented)"))
    for opening in (BARE, HALF_READ, DOOR):
        typed(store, house, f"/openings/{opening['id']}", opening)
    return house


def typed(store, house, path, value, was=None):
    sent = Change(
        path=path, was=was, value=value, who="Bo", at="2026-03-02T10:00:00Z", device="p", id=new_id()
    )
    [kept] = take(store, house, [sent])[1]
    assert kept.outcome == "taken"


def test_six_tabs_and_all_else_inside_them(client, planned):
    at = f"/houses/{planned}"
    for tab, inside in TABS.items():
        first = client.get(at if tab == "house" else f"{at}/{tab}")
        assert nav(first, "tabs") == [at if name == "house" else f"{at}/{name}" for name in TABS]
        for name in inside:
            assert f"{at}/{name}" in nav(first, "inside"), name
            assert nav(client.get(f"{at}/{name}"), "inside") == nav(first, "inside")
    assert len(TABS) == 6
    assert {"findings", "glass", "cutting", "materials", "survey", "form"} <= set(PARTS)


@pytest.mark.parametrize(
    ("role", "seen"),
    [
        ("office", ["/", "/lessons", "/prices", "/people"]),
        ("fitter", ["/", "/lessons"]),
        ("read_only", ["/"]),
    ],
)
def test_the_pages_of_the_firm_lead_to_each_other_as_far_as_one_may_see_them(client_for, role, seen):
    client = client_for(role)
    for path in seen:
        assert nav(client.get(path), "inside") == seen


def test_what_stops_comes_first_in_a_line_with_where_it_is_cleared(client, planned):
    page = client.get(f"/houses/{planned}").text
    order = ["4 stop the order", "1 stops the work", "The house as it will look", "<h2>Openings</h2>"]
    assert [page.index(said) for said in order] == sorted(page.index(said) for said in order)
    assert "clear width of an escape opening: found 415.5 mm, at least 450 mm" in page
    assert "clear width of the door is no less than before: found 699 mm, at least 760 mm" in page
    needs = re.findall(r'<p class="clears">(.*?)</p>', page, re.DOTALL)
    assert len(needs) == 5
    for links in needs:
        for href in re.findall(r'href="([^"]+)"', links):
            address, _, at = href.partition("#")
            shown = client.get(address)
            assert shown.status_code == 200, href
            assert not at or f'id="{at}"' in shown.text, href
    assert "#instead" in needs[0]
    assert "Fill in: W8: A fixing holds" in needs[2]


def test_a_house_from_the_phone_says_what_to_read_and_then_to_plan(client, from_phone):
    page = client.get(f"/houses/{from_phone}").text
    assert "3 openings are not all read" in page
    for mark in ("W1", "W2", "D1"):
        assert f'<a class="fill" href="/site/{from_phone}/{mark}">Measure {mark}</a>' in page
    assert "Plan the house once its openings are read." in page
    opening = client.get(f"/houses/{from_phone}/openings/W2").text
    assert "To be read first: top width" in opening
    assert "instead.js" not in opening, "there is nothing to order instead of"


def test_a_house_without_an_opening_says_what_to_do(client, store):
    page = client.get(f"/houses/{add_house(store, new_tree('2 Example Row (invented)'))}").text
    assert "No opening yet. Add the first one" in page
    assert "stops the order" not in page


def test_an_opening_that_came_after_the_plan_and_one_that_went_do_no_harm(client, store, planned):
    typed(store, planned, "/openings/W77", {"id": "W77", "room": "Attic", "outside": {}})
    opening = next(o for o in read_house(store, planned).tree["openings"] if o["id"] == "W3")
    typed(store, planned, "/openings/W3", None, was=opening)
    page = client.get(f"/houses/{planned}").text
    assert "Room not listed, so drawn on the ground floor: W77." in page
    assert f"/houses/{planned}/openings/W3" not in page
    assert "4 stop the order" in page


@pytest.mark.parametrize(
    "path", ["/houses/0123456789abcdef", "/houses/{demo}/openings/W99", "/houses/{demo}/moon"]
)
def test_a_page_that_is_not_there_is_told_in_a_page_with_a_way_back(client, demo, path):
    asked = path.format(demo=demo)
    answer = client.get(asked, headers={"Accept": "text/html,*/*"})
    assert answer.status_code == 404
    assert 'class="state fail"' in answer.text
    assert 'href="/"' in answer.text
    assert client.get(f"/api{asked}", headers={"Accept": "text/html"}).json()["problems"]
    assert client.get(asked).json()["problems"], "a program is told as ever"


def drawn(answer):
    """By mark: the transform of the frame, its rectangle, and the panes it shows."""
    found = {}
    for link in re.findall(r"<a [^>]*aria-label=\"(\w+) [^>]*>(.*?)</a>", answer.text, re.DOTALL):
        mark, inner = link
        if 'class="look"' in inner:
            frame = Tags(inner).of("rect", "frame")[0][0]
            found[mark] = (frame, [a["class"] for a, _ in Tags(inner).of("rect", "pane")], Tags(inner))
    return found


def test_every_opening_is_drawn_as_planned(client, planned, demo_plan):
    shown = drawn(client.get(f"/houses/{planned}"))
    record = record_of_tree(demo_plan[0])
    assert sorted(shown) == sorted(o.id for o in record.openings)
    for opening in record.openings:
        frame, panes, inner = shown[opening.id]
        assert float(frame["width"]) == pytest.approx(opening.order.width.value)
        assert float(frame["height"]) == pytest.approx(opening.order.height.value)
        assert len(panes) == len(opening.frame.layout.lights)
        assert opening.frame.chosen.colour in frame["class"]
        assert bool(inner.of("rect", "sill")) == bool(opening.order.sill_length)
        hinges = sum(len(light.way.hinges) for light in opening.frame.layout.lights)
        assert len(inner.of("polyline", "hinges")) == hinges


def test_a_layout_changed_since_the_plan_is_drawn_as_it_is_now(client, store, planned):
    layout = next(o for o in read_house(store, planned).tree["openings"] if o["id"] == "W4")["wanted"][
        "layout"
    ]
    typed(store, planned, "/openings/W4/wanted/layout", {"opens": "top_hung", "obscure": True}, was=layout)
    assert drawn(client.get(f"/houses/{planned}"))["W4"][1] == ["pane obscure white"]
    assert "Drawn before the readings changed." in client.get(f"/houses/{planned}/openings/W4").text


def test_what_is_drawn_by_guess_is_said(client, store, from_phone):
    at = f"/houses/{from_phone}"
    page = client.get(at)
    assert set(drawn(page)) == {"W1", "W2", "D1"}
    for said in ("Place along the wall not said, so in a row in the order of the list: W1, W2, D1.",
                 "Side of the house not said, so drawn on the front: W1, W2, D1.",
                 "Width or height not read, so drawn at a usual size: W1, W2, D1."):  # fmt: skip
        assert said in page.text
    typed(store, from_phone, "/openings/W1/along_mm", 400)
    typed(store, from_phone, "/openings/W1/elevation", "back")
    page = client.get(at).text
    assert "in a row in the order of the list: W2, D1." in page
    assert "drawn on the front: W2, D1." in page


def test_lights_that_can_not_be_made_are_said_and_not_drawn(client, store, from_phone):
    typed(store, from_phone, "/openings/W1/wanted", {"layout": {"across": [{"mm": 20}, {"share": 1}]}})
    page = client.get(f"/houses/{from_phone}")
    assert set(drawn(page)) == {"W2", "D1"}
    assert "W1: its lights can&#39;t be drawn as they are written." in page.text


def test_findings_are_folded_by_verdict_each_once(client, planned, demo_plan):
    record = record_of_tree(demo_plan[0])
    page = client.get(f"/houses/{planned}/findings").text
    verdicts = [*record.rules, *(v for o in record.openings for v in o.verdicts)]
    folds = re.findall(r'<details class="fold"( open)?><summary><span class="verdict (\w+)">', page)
    assert [word for _, word in folds] == ["fails", "worse", "unknown", "refer", "advise", "meets"]
    assert [word for is_open, word in folds if is_open] == ["fails", "worse", "unknown"]
    assert page.count("<li><strong>") == len(verdicts)
    for is_of, said in (("fails", "{n} limits are broken as ordered"), ("meets", "{n} are met")):
        assert said.format(n=sum(v.word == is_of for v in verdicts)) in page
    assert "found 415.5 mm, at least 450 mm" in page
    assert "found 961.2 mm, at most 1100 mm" in page


@pytest.mark.parametrize(
    ("found", "limit", "told"),
    [
        (1.40020325, 1.4, "1.400203 W/m²K"),
        (1.4, 1.4, "1.4 W/m²K"),
        (1.52, 1.4, "1.52 W/m²K"),
        (None, 1.4, ""),
    ],
)
def test_what_breaks_a_limit_by_a_hair_is_not_shown_as_the_limit(demo_plan, found, limit, told):
    verdict = record_of_tree(demo_plan[0]).openings[0].verdicts[0]
    changed = replace(verdict, found=found, limit=limit, unit="W/m²K")
    shown = verdict_view(changed)
    assert (shown["found"], shown["limit"]) == (told, "1.4 W/m²K")


def test_each_size_colour_and_space_is_written_once():
    """Figures of the scales stand in base.css alone, and every name that is used is there."""
    base = (STATIC / "base.css").read_text(encoding="utf-8")
    scripts = "".join(path.read_text(encoding="utf-8") for path in STATIC.glob("*.js"))
    named = set(re.findall(r"(--[a-z0-9-]+):", base)) | set(re.findall(r'"(--[a-z0-9-]+)"', scripts))
    for path in STATIC.glob("*.css"):
        css = path.read_text(encoding="utf-8")
        assert set(re.findall(r"var\((--[a-z0-9-]+)", css)) <= named, path.name
        rules = re.sub(r":root \{.*?\n *\}", "", css, flags=re.DOTALL)
        assert re.findall(r"#[0-9a-f]{3,8}\b(?=[ ;,)])", rules) == [], path.name
        if path.name != "site.css":  # the phone's screens are fitted to its pad
            assert re.findall(r"font-size: [\d.]+rem", rules) == [], path.name
            assert re.findall(r"(?:padding|margin|gap)[a-z-]*: [^;]*\d(?:rem|px)", rules) == [], path.name


def test_openings_stay_listed_beside_the_one_that_is_worked_on(new_page, planned):
    page = new_page(role="office", width=1280, height=900)
    page.goto(f"/houses/{planned}/openings/W4")
    side = page.get_by_role("navigation", name="Openings")
    assert side.get_by_role("link").count() == 11
    assert side.locator("[aria-current=page]").inner_text().startswith("W4")
    drawing, gates = page.locator(".drawn-first").bounding_box(), page.locator("details.shut").bounding_box()
    assert drawing["y"] + drawing["height"] < 900
    assert drawing["width"] > 0.4 * 1280
    assert drawing["x"] < gates["x"]
    side.get_by_role("link", name="W8").click()
    page.wait_for_url("**/openings/W8")
    page.goto(f"/houses/{planned}/openings/W4/layout")
    side.get_by_role("link", name="W5").click()
    page.wait_for_url("**/openings/W5/layout")
    page.set_viewport_size({"width": 1000, "height": 900})
    assert side.count() == 0, "hidden, also to a screen reader"


def test_a_wall_is_seen_larger_at_a_press_and_what_stops_unfolds_whole(new_page, planned, from_phone):
    page = new_page(role="office", width=1280, height=900)
    page.goto(f"/houses/{planned}")
    face = page.get_by_role("group", name="Front")
    before = face.bounding_box()["height"]
    page.get_by_role("button", name="Front, larger").click()
    assert face.bounding_box()["height"] > 1.8 * before
    face.locator(".wall").click(position={"x": 5, "y": 5})
    assert face.bounding_box()["height"] == before
    page.locator(".needs summary").first.click()
    reasons = page.locator(".needs .reasons").first
    assert reasons.bounding_box()["height"] < 200, "its lines run on, whatever stands beside it"

    page.emulate_media(color_scheme="dark")
    for path in (f"/houses/{from_phone}", f"/houses/{from_phone}/openings/W2", f"/houses/{planned}"):
        page.goto(path)
        page.locator("details:not([open])").evaluate_all(
            "all => all.forEach((each) => { each.open = true; })"
        )
        found = Axe().run(page, options=AXE).response["violations"]
        grave = [
            (v["id"], [n["html"] for n in v["nodes"]])
            for v in found
            if v["impact"] in ("serious", "critical")
        ]
        assert (path, grave) == (path, [])


def test_a_field_that_stops_order_and_work_is_offered_once(client, store):
    """The closer of the cavity is asked for by a finding that shuts both gates."""
    tree = parse_tree(read_text("demo_house.yaml"))
    tree["defaults"]["wall"].pop("closer", None)
    tree["defaults"]["set_back_mm"] = 60
    house = add_house(store, tree)
    record = job.check(survey_from_tree(tree))
    stops = [v.stops for o in record.openings for v in o.verdicts if "/defaults/wall/closer" in v.places]
    assert ("ordering", "work") in stops
    keep_plan(store, read_house(store, house), "Ada", record.model_dump(mode="json"), {})
    assert client.get(f"/houses/{house}").text.count("Fill in: Cavity closed at the jambs by") == 1
