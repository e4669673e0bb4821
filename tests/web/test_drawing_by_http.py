"""A layout looked at while it is drawn, what could be ordered instead, and another glass, over HTTP."""

import re

import pytest

from jambwright.store import history, read_house, replace
from survey_trees import FULL_OPENING, tree


def at(house, mark, what):
    return f"/api/houses/{house}/openings/{mark}/{what}"


def opening(store, house, mark):
    return next(o for o in read_house(store, house).tree["openings"] if o["id"] == mark)


def look(client, house, mark, **wanted):
    return client.post(at(house, mark, "look"), json={"wanted": wanted})


def test_a_drawing_is_answered_with_sizes_masses_limits_and_where_everything_is(client, demo, store):
    found = look(client, demo, "W4", **opening(store, demo, "W4")["wanted"]).json()
    assert [light["mark"] for light in found["lights"]] == ["A", "B"]
    assert found["lights"][1]["path"] == ["across", 1]
    assert {"order_width", "whole_kg"} <= {figure["key"] for figure in found["figures"]}
    assert found["splits"][0]["places_mm"] == [579.5]
    broken = [v["rule"] for v in found["verdicts"] if v["word"] in ("fails", "worse")]
    assert broken == ["escape.width", "ventilation.purge.kept"]
    drawing = found["drawing"]
    wide, high = map(float, re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', drawing["svg"]).groups())
    right = (found["outer"]["width_mm"] - drawing["left_mm"]) / drawing["unit_mm"]
    foot = drawing["top_mm"] / drawing["unit_mm"]
    assert 0 < right < wide
    assert 0 < foot < high
    # the frame's own outline in the picture ends where it is said to
    assert f" L{right:.3f}".rstrip("0").rstrip(".") in drawing["svg"]
    assert read_house(store, demo).version == 1


def test_a_wider_light_mends_the_limit_it_breaks(client, demo, store):
    wanted = opening(store, demo, "W3")["wanted"]
    first, second = wanted["layout"]["across"]
    wider = {"across": [{**first, "mm": 700}, {name: v for name, v in second.items() if name != "mm"}]}
    words = [{v["rule"]: v["word"] for v in look(client, demo, "W3", **{**wanted, "layout": layout}).json()["verdicts"]}
             for layout in (wanted["layout"], wider)]  # fmt: skip
    assert [each.get("escape.width") for each in words] == ["fails", "advise"]


def test_an_opening_not_read_yet_is_drawn_without_sizes(client, house):
    found = look(client, house, "W2", layout={"across": [{}, {}]}).json()
    assert found["figures"] == []
    assert "top width" in found["missing"]
    assert not re.search(r">\d", re.sub(r"<title>.*?</title>", "", found["drawing"]["svg"]))


def test_another_opening_that_can_not_be_read_is_no_hindrance(client, store, house):
    broken = {**FULL_OPENING, "id": "W9", "room": "Nowhere"}
    whole = tree(openings=[FULL_OPENING, broken], house={"rooms": [{"name": "Kitchen", "use": "kitchen"}]})
    replace(store, house, whole, who="Ada", at="2026-05-04T10:00:00Z", device="desk")
    assert look(client, house, "W1", layout={}).status_code == 200
    assert "W9 Nowhere" in look(client, house, "W9", layout={}).json()["problems"][0]["say"]


@pytest.mark.parametrize(
    ("wanted", "say"),
    [
        ({"layout": {"across": [{}, {"mm": 5000}]}}, "fixed parts 5000 mm"),
        ({"layout": {"across": [{"mm": 90}, {}]}}, "light A would show only"),
        ({"layout": {"opens": "sideways"}}, "W1 Kitchen"),
        ({"glass": "rubbish"}, "can't be read"),
    ],
)
def test_what_can_not_be_made_is_said(client, house, wanted, say):
    answer = client.post(at(house, "W1", "look"), json={"wanted": wanted})
    assert answer.status_code == 422
    assert say in answer.json()["problems"][0]["say"]


def test_shares_to_make_parts_look_alike(client, house):
    body = {"wanted": {"layout": {"across": [{}, {}, {}]}}, "path": [], "alike": "sight"}
    outer, middle, last = client.post(at(house, "W1", "even"), json=body).json()["shares"]
    assert outer == last != middle
    assert outer + middle + last == pytest.approx(3, abs=1e-4)
    assert client.post(at(house, "W1", "even"), json=body | {"path": ["across", 0]}).status_code == 422


def test_what_could_be_ordered_instead_is_told_before_and_after(client, demo):
    told = client.get(at(demo, "W3", "instead")).json()
    assert [each["number"] for each in told["instead"]] == [1, 2]
    first = told["instead"][0]
    assert first["say"] == "light A: 35 mm wider at the cost of light B"
    widths = [drawn["splits"][0]["places_mm"][0] for drawn in (told["before"], first["after"])]
    assert widths == pytest.approx([598, 633])
    broken = [
        [v["rule"] for v in d["verdicts"] if v["word"] in ("fails", "worse")]
        for d in (told["before"], first["after"])
    ]
    assert broken == [["escape.width", "ventilation.purge.kept"], []]
    assert client.get(at(demo, "W2", "instead")).json()["instead"] == []


def test_another_glass_is_ordered_kept_and_taken_back_in_one_press_each(client, store, demo):
    before = opening(store, demo, "W2")
    done = client.post(at(demo, "W2", "glass"), json={"glass": " 6-14Ar-4 low-e "}, headers={"If-Match": "1"})
    assert done.status_code == 200, done.json()
    after = opening(store, demo, "W2")
    assert after["wanted"]["glass"] == "6-14Ar-4 low-e"
    assert "en12600_class" not in after["wanted"]["declared"]
    assert after["accepted"][0]["by"] == "Ada"
    assert {change.who for change in history(store, demo)} == {"Ada"}
    again = client.post(at(demo, "W2", "glass"), json={"glass": "6-14Ar-4 low-e"}, headers={"If-Match": "2"})
    assert "ordered with 6-14Ar-4 low-e already" in again.json()["problems"][0]["say"]
    undo = f"/api/houses/{demo}/proposals/undo"
    assert (
        client.post(undo, json={"opening": "W2", "number": 1}, headers={"If-Match": "2"}).status_code == 200
    )
    assert opening(store, demo, "W2") == before


def test_glass_that_can_not_be_made_or_is_ordered_already_is_refused(client, client_for, store, demo):
    def order(glass, who=client, version="1"):
        return who.post(at(demo, "W2", "glass"), json={"glass": glass}, headers={"If-Match": version})

    assert order("rubbish").status_code == 422
    assert order("6-14Ar-4 low-e", version="7").status_code == 412
    assert order("6-14Ar-4 low-e", who=client_for("read_only")).status_code == 403
    whole = read_house(store, demo).tree
    next(o for o in whole["openings"] if o["id"] == "W2")["done"] = ["ordered"]
    replace(store, demo, whole, who="Ada", at="2026-05-04T10:00:00Z", device="desk")
    refused = order("6-14Ar-4 low-e", version="2")
    assert "is ordered already" in refused.json()["problems"][0]["say"]
    assert opening(store, demo, "W2")["wanted"].get("glass") != "6-14Ar-4 low-e"


def test_who_may_only_look_may_look_at_a_drawing(client_for, house):
    assert client_for("read_only").post(at(house, "W1", "look"), json={"wanted": {}}).status_code == 200
    assert client_for("read_only").get(at(house, "W7", "instead")).status_code == 404


def test_glass_options_say_which_limits_each_breaks_and_offer_to_order_it(client, store, demo):
    page = client.get(f"/houses/{demo}/glass?opening=D1").text
    assert page.count("Order this") >= 3
    annealed = re.search(r"<th scope=\"row\">4-16Ar-4 low-e.*?</tr>", page, re.DOTALL).group()
    assert "breaks" in annealed
    whole = read_house(store, demo).tree
    next(o for o in whole["openings"] if o["id"] == "D1")["done"] = ["ordered"]
    replace(store, demo, whole, who="Ada", at="2026-05-04T10:00:00Z", device="desk")
    assert '/glass" data-body' not in client.get(f"/houses/{demo}/glass?opening=D1").text
