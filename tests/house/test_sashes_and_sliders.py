"""A box sash and a sliding patio door in a house: clear sizes, air, order, packers, lifting, drawings."""

import csv
import functools
import io
import json
from itertools import pairwise

import pytest

from demo_house import readings_tree
from jambwright import job
from jambwright.basis.tables import table
from jambwright.calc import answer
from jambwright.checks.light_facts import lights_of
from jambwright.paper import printed
from jambwright.paper.elevation import elevation, signs_said
from jambwright.paper.fit_views import elevation_view, planes_views
from jambwright.paper.scene import Box
from jambwright.readings.survey_file import read_survey
from jambwright.web.frame_look import frame_looks

STOP, HANDLE = 20, 40
"""Taken off the travel where the maker's sheet is silent: common practice, no published source."""


def tree(**layouts):
    """The demo house with those layouts at the front bedroom (W3) and in the hall (D1)."""
    found = readings_tree()
    found["openings"] = [each for each in found["openings"] if each["id"] in layouts]
    for each in found["openings"]:
        wanted = each["wanted"]
        wanted.pop("declared", None)
        wanted |= layouts[each["id"]]
    return found


@functools.cache
def planned():
    sash = {
        "profile": "timber_68",
        "layout": {"opens": "vertical_slider", "vent_mm2": 8000, "restrictor": True},
    }
    slider = {"layout": {"opens": "slider_ox", "handle_height_mm": 1000}}
    return job.decide(read_survey(json.dumps(tree(W3=sash, D1=slider), default=str)))


def opening(mark, plan=None):
    return next(each for each in (plan or planned()).openings if each.id == mark)


def rules(mark, name, plan=None):
    return [v for v in opening(mark, plan).verdicts if v.rule == name]


def clear_by_name(**given):
    return answer("clear-opening", given)


def test_the_way_out_is_under_the_raised_lower_sash():
    frame = opening("W3").frame
    upper, lower = frame.layout.lights
    clear = frame.height_mm - 2 * frame.chosen.profile.frame_face_mm
    # closed form: min(H - h_b - a, H - h_t - horn) between the jambs, no horns
    height = min(clear - lower.sash.height_mm - STOP, clear - upper.sash.height_mm)
    (found,) = rules("W3", "escape.height")
    assert found.found == pytest.approx(height)
    assert rules("W3", "escape.width")[0].found == frame.width_mm - 2 * frame.chosen.profile.frame_face_mm
    assert [step.symbol for step in found.working] == ["clear height"]
    # what is under the sash is never more than half of the hole
    assert height < clear / 2


def test_it_is_as_the_calculation_by_name_has_it():
    frame = opening("W3").frame
    upper, lower = frame.layout.lights
    told = clear_by_name(
        kind="vertical_slider", frame_clear_width_mm=lower.sight.width_mm,
        frame_clear_height_mm=upper.sight.height_mm + lower.sight.height_mm,
        lower_sash_mm=lower.sash.height_mm, upper_sash_mm=upper.sash.height_mm,
    )  # fmt: skip
    assert told["clear_height_mm"] == pytest.approx(rules("W3", "escape.height")[0].found)
    section = table("sliders").find(profile="plain_door_70")
    door = opening("D1").frame
    slid = clear_by_name(
        kind="slider", mode="OX", frame_mm=door.width_mm, jamb_mm=door.chosen.profile.frame_face_mm,
        interlock_mm=section["interlock_mm"], handle_standoff_mm=HANDLE, frame_clear_height_mm=1900,
    )  # fmt: skip
    assert slid["clear_width_mm"] == pytest.approx(rules("D1", "access.width_kept")[0].found, abs=0.06)


def test_horns_take_of_the_travel():
    horned = tree(W3={"profile": "timber_68", "layout": {"opens": "vertical_slider", "horns": "run_through"}})
    plan = job.decide(read_survey(json.dumps(horned, default=str)))
    frame = opening("W3", plan).frame
    upper = frame.layout.lights[0]
    clear = frame.height_mm - 2 * frame.chosen.profile.frame_face_mm
    horn = table("vertical_sashes").find(profile="timber_68")["horn_mm"]
    assert rules("W3", "escape.height", plan)[0].found == pytest.approx(clear - upper.sash.height_mm - horn)


def test_air_comes_through_one_half_only_and_is_told_with_what_it_rests_on():
    (purge,) = [v for v in opening("W3").verdicts if v.rule.startswith("ventilation.purge")]
    area = rules("W3", "escape.area")[0].found
    assert purge.found == pytest.approx(area)
    (said,) = [each for each in opening("W3").assumed if each.startswith("light B")]
    assert "stop and finger lift takes 20 mm of the travel" in said
    assert rules("W3", "escape.area")[0].word == "advise"  # by a generic profile and a usual stop


@pytest.mark.parametrize(("balance", "inside"), [("spiral_tilt", True), ("spiral", False)])
def test_a_sash_that_tilts_in_is_cleaned_from_inside(balance, inside):
    found = tree(W3={"profile": "plain_70", "layout": {"opens": "vertical_slider", "balance": balance}})
    plan = job.decide(read_survey(json.dumps(found, default=str)))
    survey = read_survey(json.dumps(found, default=str))
    facts = lights_of(survey.openings[0], opening("W3", plan).frame)
    assert [light.turns_inside for light in facts] == [inside, inside]
    assert [light.pair for light in facts] == ["slave", "master"]


def test_what_the_maker_declares_of_the_clear_opening_is_told_at_the_lower_sash():
    sizes = {"clear_width_mm": 1050, "clear_height_mm": 455}
    wanted = {"profile": "timber_68", "layout": {"opens": "vertical_slider"}}
    for mark, used in (("B", True), ("A", False)):
        found = tree(W3=wanted | {"declared": {"by": "invented sheet", "lights": {mark: sizes}}})
        plan = job.decide(read_survey(json.dumps(found, default=str)))
        assert (rules("W3", "escape.height", plan)[0].found == 455) == used
        said = [each.say for each in opening("W3", plan).remarks if "is told at light B" in each.say]
        assert bool(said) != used


def test_a_sash_between_mullions_leaves_the_jambs_to_screws():
    wanted = {"layout": {"across": [{"mm": 250}, {"opens": "vertical_slider"}, {"mm": 250}]}}
    plan = job.decide(read_survey(json.dumps(tree(W3=wanted), default=str)))
    fitting = opening("W3", plan).fitting
    assert {side.held_by for side in fitting.fixings if side.side in ("left", "right")} == {"screw"}
    assert not any("balance" in point.reasons for point in fitting.packers)


def test_nothing_is_screwed_through_the_box():
    fitting = opening("W3").fitting
    assert {side.held_by for side in fitting.fixings if side.side in ("left", "right")} == {"lug"}
    assert any("nothing is screwed through the balance channel" in each.say for each in opening("W3").remarks)
    packed = {(point.side, reason) for point in fitting.packers for reason in point.reasons}
    for side in ("left", "right"):
        assert {(side, "balance"), (side, "meeting_rail")} <= packed
    under = sorted(point.at_mm for point in fitting.packers if point.side == "bottom")
    assert max(b - a for a, b in pairwise(under)) <= 300


def test_sashes_and_panes_are_blocked_by_rules_of_their_own():
    blocks = opening("W3").fitting.blocks["B"]
    setting = [block for block in blocks if block.role == "setting"]
    glass = opening("W3").frame.layout.lights[1].glass.width_mm
    assert {(b.edge, b.corner) for b in setting} == {("bottom", "left"), ("bottom", "right")}
    assert {b.from_corner_mm for b in setting} == {glass / 4}
    standing, sliding = (opening("D1").fitting.blocks[mark] for mark in "AB")
    # over the rollers near the corners; what stands is blocked as fixed glass is
    assert {(b.edge, b.from_corner_mm) for b in sliding if b.role == "setting"} == {("bottom", 75)}
    assert len(standing) == 8


def test_each_sash_is_lifted_with_its_glass_and_its_balance_goes_by_that_mass():
    sash = opening("W3")
    masses = {piece.light: 0.0 for piece in sash.frame.pieces if piece.light}
    for piece in sash.frame.pieces:
        if piece.light:
            masses[piece.light] += piece.mass_kg
    upper, lower = sash.frame.balances
    assert (upper.sash_kg, lower.sash_kg) == pytest.approx((masses["A"], masses["B"]))
    # trade notes on weights, second hand: half the sash, 0.25 to 0.5 kg more above and less below
    assert (upper.least_kg, lower.most_kg) == pytest.approx((masses["A"] / 2 + 0.25, masses["B"] / 2 - 0.25))
    (said,) = [each for each in sash.found if each.about == "balances"]
    assert [next(reversed(list(steps))).value for steps in said.workings.values()] == pytest.approx(
        [upper.most_kg, lower.most_kg]
    )
    carried = {(each.called, each.light) for each in sash.fitting.lifts.carried}
    assert {("sash", "A"), ("sash", "B"), ("frame", None)} == carried or len(carried) == 1


def test_a_pane_that_slides_is_a_door_and_the_one_beside_it_a_side_panel():
    placed = {v.part.mark: v.rule for v in opening("D1").verdicts if v.rule.startswith("safety_glass.")}
    assert placed == {"A": "safety_glass.side_panel", "B": "safety_glass.door"}
    assert rules("D1", "access.upstand")


def test_the_lock_and_the_track_of_a_slider_are_packed():
    packed = [(point.side, point.reasons) for point in opening("D1").fitting.packers]
    assert any(side == "right" and "lock_keep" in reasons for side, reasons in packed)
    assert any(side == "head" and "track" in reasons for side, reasons in packed)
    assert not any(side == "left" and "hinge" in reasons for side, reasons in packed)


def test_the_order_names_sashes_panes_balances_and_tracks():
    rows = list(csv.DictReader(io.StringIO(printed(planned())["order.csv"].decode("utf-8-sig"))))
    upper, lower = [row for row in rows if row["opening"] == "W3"]
    assert upper["opens (seen from outside)"] == "upper sash, slides down"
    assert (upper["one of"], upper["horns"]) == ("vertical sliding sash", "no horns")
    assert float(upper["sashes meet at mm"]) == pytest.approx(opening("W3").frame.layout.lights[0].sight.y_mm)
    assert lower["balance"].startswith("cords and weights, each of two weights")
    assert (upper["swing"], upper["vent mm2"], lower["vent mm2"]) == ("", "8000.0", "")
    stands, slides = [row for row in rows if row["opening"] == "D1"]
    assert [row["track from outside"] for row in (stands, slides)] == ["1", "2"]
    assert slides["opens (seen from outside)"] == "pane that slides left"
    assert (stands["handle height mm"], slides["handle height mm"]) == ("", "1000.0")
    assert slides["one of"] == "slider of two panes, OX: right pane slides left"


def test_arrows_and_planes_are_drawn():
    papers = printed(planned())
    for name in ("drawings/W3-planes-1.svg", "drawings/D1-planes-1.svg", "drawings/W3-lights.svg"):
        assert papers[name].startswith(b"<?xml") or b"<svg" in papers[name]
    scene = elevation(elevation_view(opening("W3")), Box(width_mm=94, height_mm=90))
    assert not scene.lines("opens_out")
    tips = [
        line.points[1][1]
        for line in scene.lines("sash")
        if len(line.points) == 5 and line.points[1] == line.points[3]
    ]
    upper, lower = opening("W3").frame.layout.lights
    middles = [light.daylight.y_mm + light.daylight.height_mm / 2 for light in (upper, lower)]
    assert tips[0] < middles[0]
    assert tips[1] > middles[1]
    assert signs_said(opening("W3").frame.layout) == "Arrows show where a sash or pane slides."
    (planes,) = planes_views(opening("D1"))
    assert [(leaf.mark, leaf.plane, leaf.slides) for leaf in planes.leaves] == [("A", 1, 0), ("B", 2, -1)]


@pytest.mark.parametrize("kind", ["slider_xo", "slider_oxo_right", "slider_oxx", "slider_oxxo"])
def test_every_slider_is_planned_whole(kind):
    plan = job.decide(read_survey(json.dumps(tree(D1={"layout": {"opens": kind}}), default=str)))
    door = opening("D1", plan)
    assert len(door.fitting.bars) == len(door.frame.layout.lights) - 1
    assert printed(plan)["order.pdf"]


def test_on_a_face_of_the_house_an_arrow_stands_on_each_leaf_that_slides():
    readings = tree(W3={"layout": {"opens": "vertical_slider"}}, D1={"layout": {"opens": "slider_ox"}})
    looks = frame_looks(readings, None)
    assert [len(looks[mark].signs) for mark in ("W3", "D1")] == [2, 1]
    tail, tip, *_ = (tuple(map(float, point.split(","))) for point in looks["D1"].signs[0].split())
    assert tip[0] < tail[0]
    assert tip[1] == tail[1]
