"""What a surveyed house says to the rules: heights, clear sizes and panes from the frames' true places."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from demo_house import changed, house
from jambwright import job
from jambwright.checks.heat import standing_now
from jambwright.checks.regulations import OldEscape, RoomPlace
from jambwright.checks.rests import by_maker, by_profile
from jambwright.checks.survey_facts import DECLARED_BAND, Framed, _access, house_facts, opening_facts
from jambwright.readings.survey import Standing
from jambwright.readings.survey_file import read_survey
from jambwright.readings.wanted import Declared

DAY = date(2026, 12, 7)


def framed(plan):
    return {p.opening.id: Framed(opening=p.opening, frame=p.frame, heat=p.heat) for p in plan.openings}


def facts(mark, *rest, plan=None):
    plan = plan or house()
    every = framed(plan)
    return opening_facts(plan.survey, DAY, every[mark], [every[m] for m in (rest or (mark,))])


def planned(**by_mark):
    return job.plan_house(read_survey(changed(**by_mark)))


def test_an_opening_light_starts_at_sill_packers_frame_sill_and_frame_face():
    frame = framed(house())["W3"].frame
    light = facts("W3").lights[0]
    packers = frame.size.place_mm[1] - frame.size.sill_height_mm
    assert frame.size.sill_height_mm == 30
    assert 0 < packers < 15
    assert light.bottom_above_floor_mm == pytest.approx(860 + packers + 30 + 65, abs=0.06)


def test_a_door_starts_at_its_threshold_above_the_floor():
    frame, found = framed(house())["D1"].frame, facts("D1")
    up = frame.size.place_mm[1] + 65
    assert found.access.upstand_mm == pytest.approx(up, abs=0.06)
    assert found.lights[0].hinge == "door"


def test_the_clear_frame_is_the_sight_opening_and_the_sash_overlaps_it():
    light = facts("W3").lights[0]
    assert light.frame_clear_width_mm == pytest.approx(1196 / 2 - 65 - 95 / 2)
    assert light.sash_width_mm == pytest.approx(light.frame_clear_width_mm + 16)


def test_a_fixed_light_carries_its_sizes_as_an_opener():
    opener, fixed = facts("W3").lights
    assert (fixed.hinge, fixed.sash_width_mm) == ("fixed", opener.sash_width_mm)
    assert fixed.obstruction_mm is None


@pytest.mark.parametrize(
    ("said", "taken"),
    [
        pytest.param({}, 70, id="practice reference, side-hung: 455 mm gave 385 mm (read)"),
        pytest.param({"obstruction_mm": 25}, 25, id="as ordered"),
        pytest.param({"opens": "tilt_turn_left"}, 20, id="practice reference, tilt-and-turn: 0 to 20 mm"),
    ],
)
def test_the_usual_obstruction_stands_in_where_none_is_ordered(said, taken):
    layout = {"opens": "side_hung_left", "open_angle_deg": 90} | said
    assert facts("W5", plan=planned(W5={"wanted": {"layout": layout}})).lights[0].obstruction_mm == taken


def test_the_door_counts_its_clear_width_at_a_right_angle():
    found = facts("D1")
    clear = found.lights[0].frame_clear_width_mm - 70
    assert found.access.clear_width_mm == pytest.approx(clear, abs=0.06)
    assert found.access.old_clear_width_mm == 790


def test_panes_are_measured_bead_to_bead_and_the_side_panel_from_the_door_edge():
    frame, found = framed(house())["D1"].frame, facts("D1")
    (pane,) = found.panes  # the leaf is a panel
    leaf, light = frame.layout.lights
    assert (pane.place, pane.light) == ("side_panel", "B")
    assert pane.from_door_edge_mm == pytest.approx(light.daylight.x_mm - leaf.sash.right_mm)
    assert pane.width_mm == light.daylight.width_mm
    assert pane.leaves[0].kind == "toughened"


def test_glass_beside_a_door_keeps_the_distance_that_was_measured():
    pane = facts("W5", plan=planned(W5={"beside_door_mm": 120})).panes[0]
    assert pane.place == "window"
    assert pane.from_door_edge_mm == pytest.approx(120 + 65 + 40)  # frame face, sash face over the overlap


def test_the_ground_outside_is_told_from_the_inside_floor():
    assert {pane.outside_floor_mm for pane in facts("W7").panes} == {640 - 900}


def test_both_outer_leaves_of_a_unit_can_be_struck():
    unit = facts("W6").panes[-1]
    assert [(leaf.kind, leaf.thickness_mm) for leaf in unit.leaves] == [("toughened", 4), ("laminated", 6.4)]


def test_openings_of_one_room_share_its_air_and_its_old_air():
    alone, window, door = facts("W1"), facts("W1", "W1", "D2"), facts("D2", "W1", "D2")
    assert alone.other_openers == ()
    assert [opener.hinge for opener in window.other_openers] == ["door"]
    assert len(door.other_openers) == 2
    assert door.other_vents_mm2 == (4000, 4000)
    assert (window.air_told_at, door.air_told_at) == (None, "W1 kitchen")
    assert window.old_vent_mm2 == 0
    assert [(o.width_mm, o.height_mm) for o in window.old_openers] == [(470, 900), (760, 1970)]


def test_old_air_is_not_known_while_one_opening_of_the_room_is_not():
    plan = planned(D2={"now": {"opens": "half-glazed door"}})
    found = facts("W1", "W1", "D2", plan=plan)
    assert (found.old_vent_mm2, found.old_openers) == (None, None)


def test_a_door_is_judged_by_u_alone_and_a_window_by_band_too():
    assert facts("D2").energy.band is None
    assert facts("D2").energy.glazed_share == pytest.approx(0.62, abs=0.05)
    assert facts("W7").energy.band == "B"


def test_what_was_not_measured_stays_unknown():
    plan = planned(W3={"sill_above_floor_mm": None, "drop_outside_mm": None, "now": {}})
    found = facts("W3", plan=plan)
    assert {light.bottom_above_floor_mm for light in found.lights} == {None}
    assert {(pane.bottom_above_floor_mm, pane.top_above_floor_mm) for pane in found.panes} == {(None, None)}
    assert (found.drop_outside_mm, found.old, found.old_openers) == (None, None, None)


@pytest.mark.parametrize(
    ("way_out", "hall", "stair", "inner"),
    [
        (None, None, None, False),
        ("hall", True, False, False),
        ("protected_stair", False, True, False),
        ("open_stair", False, False, False),
        ("other_room", False, False, True),
    ],
)
def test_the_way_out_of_a_room_is_told_once(way_out, hall, stair, inner):
    plan = house()
    rooms = [room.model_copy(update={"way_out": way_out}) for room in plan.survey.house.rooms]
    survey = plan.survey.model_copy(update={"house": plan.survey.house.model_copy(update={"rooms": rooms})})
    room = facts("W3", plan=replace(plan, survey=survey)).room
    assert (room.hall_to_exit, room.protected_stair, room.inner_room) == (hall, stair, inner)


def test_the_house_is_told_with_its_heaviest_unit_and_missing_lintels():
    plan = planned(W2={"lintel": {"kind": "none"}})
    found = house_facts(plan.survey, DAY, list(framed(plan).values()))
    assert found.lintel_missing == ("W2 bathroom",)
    assert found.heaviest_kg == max(p.frame.whole_kg for p in plan.openings)
    assert (found.listed, found.registered_installer) == (False, True)


@pytest.mark.parametrize(
    ("ordered", "taken"),
    [({}, "none"), (False, "none"), (True, "releasable"), ("key", "key"), ("fixed", "fixed")],
)
def test_a_restrictor_is_told_by_how_it_is_released(ordered, taken):
    layout = {"opens": "side_hung_left", "open_angle_deg": 90}
    layout |= {} if ordered == {} else {"restrictor": ordered}
    assert facts("W5", plan=planned(W5={"wanted": {"layout": layout}})).lights[0].restrictor == taken


def test_a_part_that_opens_is_measured_from_the_ground_outside():
    frame = framed(house())["W3"].frame
    light = facts("W3").lights[0]
    rise = frame.size.place_mm[1] + frame.layout.lights[0].sight.y_mm
    assert light.bottom_above_ground_mm == pytest.approx(3600 + rise, abs=0.06)
    assert facts("W3").top_above_ground_mm == pytest.approx(
        3600 + frame.size.place_mm[1] + frame.height_mm, abs=0.06
    )


def test_the_days_of_notice_and_start_and_who_certifies_are_told():
    plan = house()
    days = {"notice_date": date(2027, 3, 1), "start_date": date(2027, 5, 5)}
    survey = plan.survey.model_copy(update=days)
    work = facts("W3", plan=replace(plan, survey=survey)).work
    assert (work.notice, work.start, work.certified) == (date(2027, 3, 1), date(2027, 5, 5), True)
    assert house_facts(survey, DAY, []).work.notice == date(2027, 3, 1)


def test_doors_of_the_work_are_told():
    plan = house()
    every = framed(plan)
    assert house_facts(plan.survey, DAY, list(every.values())).doors is True
    assert house_facts(plan.survey, DAY, [every["W3"]]).doors is False


@pytest.mark.parametrize(("width", "smaller"), [(300, ()), (2000, ("W5 small bedroom",)), (None, ())])
def test_a_part_that_opens_less_than_it_did_is_told(width, smaller):
    plan = planned(W5={"now": {"clear_width_mm": width, "clear_height_mm": 900}})
    assert house_facts(plan.survey, DAY, [framed(plan)["W5"]]).smaller_parts == smaller


def with_opening(mark, **said):
    """The facts of an opening of the demo house of which something else was written down, planned as it is."""
    plan = house()
    one = framed(plan)[mark]
    now = one.opening.now.model_copy(update=said.pop("now", {}))
    one = replace(one, opening=one.opening.model_copy(update={"now": now, **said}))
    return opening_facts(plan.survey, DAY, one, [one])


def with_house(mark="W3", **said):
    """The same of the house."""
    plan = house()
    survey = plan.survey.model_copy(update={"house": plan.survey.house.model_copy(update=said)})
    return facts(mark, plan=replace(plan, survey=survey))


def test_what_was_written_down_of_an_opening_reaches_its_facts():
    assert with_opening("W3", guard_height_mm=1100).guard_height_mm == 1100
    assert with_opening("W3", guard_height_mm=None).guard_height_mm is None
    assert with_opening("W3", to_boundary_m=0.8).fire.to_boundary_m == 0.8
    assert with_opening("W3", now={"glazing": "single"}).energy.old_u_w_m2k == pytest.approx(
        standing_now(Standing(glazing="single")).u_w_m2k
    )
    assert with_opening("W3", now={"glazing": None}).energy.old_u_w_m2k is None
    for level in (True, False, None):
        assert with_opening("D1", now={"level_threshold": level}).access.old_level_threshold is level


def test_what_was_written_down_of_the_house_reaches_the_facts_of_each_opening():
    for said, protected in ({"listed": True}, True), ({"conservation_area": True}, True), ({}, False):
        found = with_house(**({"listed": False, "conservation_area": False} | said))
        assert (found.protected_look, found.energy.protected_look) == (protected, protected)
    for kind in ("flat", "terraced"):
        plan = house()
        survey = plan.survey.model_copy(
            update={"house": plan.survey.house.model_copy(update={"kind": kind, "rooms": []})}
        )
        assert facts("W3", plan=replace(plan, survey=survey)).room == RoomPlace(flat=kind == "flat")
    assert house_facts(house().survey, DAY, []).storeys == house().survey.house.storeys == 2


@pytest.mark.parametrize(
    ("wall", "closed"),
    [
        ({"closer": "none"}, False),
        ({"closer": "unknown"}, None),
        ({"closer": "brick_return"}, True),
        ({"closer": "none", "cavity_mm": 0}, True),
    ],
)
def test_whether_the_cavity_is_closed_is_told_as_it_was_seen(wall, closed):
    standing = house().survey.defaults.wall.model_copy(update={"cavity_mm": 50, **wall})
    assert with_opening("W3", wall=standing).fire.cavity_closed is closed


def test_energy_is_told_by_the_material_of_the_profile():
    plan = house()
    one = framed(plan)["W3"]
    assert not facts("W3").energy.timber
    chosen = one.frame.chosen
    oak = replace(chosen, profile=replace(chosen.profile, material="timber"))
    one = replace(one, frame=replace(one.frame, chosen=oak))
    assert opening_facts(plan.survey, DAY, one, [one]).energy.timber


def test_a_band_is_by_the_maker_only_where_the_maker_declared_one():
    plan = house()
    one = framed(plan)["W3"]
    by_them = {"by": "an invented maker"}
    for declared, by in (
        (Declared(u_w_m2k=1.2, **by_them), "profile"),
        (Declared(energy_band="A", **by_them), "maker"),
    ):
        wanted = one.opening.wanted.model_copy(update={"declared": declared})
        said = replace(one, opening=one.opening.model_copy(update={"wanted": wanted}))
        energy = opening_facts(plan.survey, DAY, said, [said]).energy
        rest = dict(energy.rests_on)["band"]
        modelled = by_profile(one.frame.chosen.profile, ask=DECLARED_BAND)
        assert rest == (by_maker(declared) if by == "maker" else modelled)
        assert (energy.band == "A") == (by == "maker")


def test_old_openers_are_not_known_without_both_sizes():
    known = {"openers": 1, "clear_width_mm": 2000, "clear_height_mm": 900}
    assert len(with_opening("W3", now=known).old_openers) == 1
    one = framed(house())["W3"]
    for missing in known:
        assert with_opening("W3", now=known | {missing: None}).old_openers is None
        now = one.opening.now.model_copy(update=known | {missing: None})
        half = replace(one, opening=one.opening.model_copy(update={"now": now}))
        told = house_facts(house().survey, DAY, [half]).smaller_parts
        assert told == (("W3 front bedroom",) if missing == "openers" else ())


def test_the_way_in_is_the_widest_leaf_and_its_upstand_that_of_the_lowest():
    plan = house()
    opening, [leaf, *_] = framed(plan)["D1"].opening, facts("D1").lights
    other = replace(
        leaf, frame_clear_width_mm=leaf.frame_clear_width_mm - 300, bottom_above_floor_mm=0.0, rests_on=()
    )
    for leaves in ((leaf, other), (other, leaf)):
        found = _access(opening, leaves)
        assert found.upstand_mm == 0
        assert found.clear_width_mm == pytest.approx(leaf.frame_clear_width_mm - 70, abs=0.06)
    declared = replace(other, clear_width_mm=990.0, rests_on=(("clear_width_mm", "maker"),))
    found = _access(opening, (leaf, declared))
    assert found.clear_width_mm == 990
    assert ("clear_width_mm", "maker") in found.rests_on


def test_glass_of_the_other_openings_of_a_room_is_added_up():
    alone, both = facts("D2", "W1", "D2").other_glass_m2, facts("D2", "W1", "W3", "D2").other_glass_m2
    assert 0 < alone < both
    assert both == pytest.approx(alone + facts("D2", "W3", "D2").other_glass_m2)


def test_the_old_way_out_is_told_as_far_as_it_was_measured():
    sizes = {"clear_width_mm": 460, "clear_height_mm": 810, "bottom_above_floor_mm": 930}
    assert with_opening("W3", now=sizes).old == OldEscape(**sizes)
    for missing in sizes:
        assert with_opening("W3", now=sizes | {missing: None}).old == OldEscape(**(sizes | {missing: None}))
    assert with_opening("W3", now=dict.fromkeys(sizes)).old is None
