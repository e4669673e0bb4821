"""Properties of the rules that hold for every opening."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from jambwright.checks import GRAVITY, gravest
from jambwright.checks.regulations import (
    NATIONS,
    EscapeFacts,
    FlueFacts,
    GlassFacts,
    GuardingFacts,
    OpenerFacts,
    PaneFacts,
    RoomAir,
    check_background,
    check_escape,
    check_flue,
    check_guarding,
    check_pane,
    check_purge,
    rules_in_force,
)
from jambwright.checks.regulations.escape_opening import (
    angled_clear_mm,
    sliding_clear_mm,
    straight_clear_mm,
    swung_free_area_m2,
)

nations = st.sampled_from(NATIONS)
days = st.dates(date(2023, 2, 1), date(2030, 1, 1))
sizes = st.floats(100, 3000)
angles = st.floats(1, 180)

escapes = st.builds(
    EscapeFacts,
    room_needs=st.just(True),
    hinge=st.sampled_from(["side_hung", "tilt_turn", "vertical_slider", "horizontal_slider", "door"]),
    frame_clear_width_mm=sizes,
    frame_clear_height_mm=sizes,
    obstruction_mm=st.floats(0, 100),
    open_angle_deg=angles,
    bottom_above_floor_mm=st.floats(0, 2000),
)

PANE_READINGS = ["place", "bottom_above_floor_mm", "top_above_floor_mm", "width_mm", "height_mm"]

panes = st.builds(
    lambda place, bottom, height, width, door, kind, thickness: PaneFacts(
        place=place,
        bottom_above_floor_mm=bottom,
        top_above_floor_mm=bottom + height,
        width_mm=width,
        height_mm=height,
        from_door_edge_mm=door,
        leaves=(GlassFacts(kind=kind, thickness_mm=thickness),),
    ),
    st.sampled_from(["window", "door", "side_panel"]),
    st.floats(0, 2000),
    st.floats(50, 2500),
    st.floats(50, 2500),
    st.floats(0, 1000),
    st.sampled_from(["annealed", "heat_strengthened", "toughened", "laminated"]),
    st.sampled_from([3.0, 4.0, 6.0, 6.4, 6.8, 8.0, 10.0, 12.0]),
)


@given(escapes, st.floats(0, 500), st.floats(0, 500), nations, days)
def test_widening_a_compliant_clear_opening_never_makes_it_fail(
    facts: EscapeFacts, wider: float, taller: float, nation: str, on: date
) -> None:
    rules = rules_in_force(nation, on)
    width, height = facts.frame_clear_width_mm or 0, facts.frame_clear_height_mm or 0
    bigger = replace(facts, frame_clear_width_mm=width + wider, frame_clear_height_mm=height + taller)
    if gravest(check_escape(facts, rules)) == "meets":
        assert gravest(check_escape(bigger, rules)) == "meets"


@given(panes, st.floats(0, 1500), nations, days)
def test_raising_a_pane_out_of_the_zone_never_makes_it_worse(
    pane: PaneFacts, rise: float, nation: str, on: date
) -> None:
    rules = rules_in_force(nation, on)
    bottom, top = pane.bottom_above_floor_mm or 0, pane.top_above_floor_mm or 0
    raised = replace(pane, bottom_above_floor_mm=bottom + rise, top_above_floor_mm=top + rise)
    before, after = (GRAVITY.index(gravest(check_pane(p, rules))) for p in (pane, raised))
    assert after <= before


@given(escapes, st.sampled_from(["hinge", "frame_clear_width_mm", "frame_clear_height_mm", "obstruction_mm",
                                 "bottom_above_floor_mm", "room_needs"]), nations)  # fmt: skip
def test_a_way_out_with_a_missing_reading_is_never_passed(facts: EscapeFacts, name: str, nation: str) -> None:
    found = check_escape(replace(facts, **{name: None}), rules_in_force(nation, date(2026, 5, 1)))
    assert GRAVITY.index(gravest(found)) >= GRAVITY.index("unknown")


@given(panes, st.sampled_from(PANE_READINGS), nations)
def test_a_pane_with_a_missing_reading_is_unknown(pane: PaneFacts, name: str, nation: str) -> None:
    found = check_pane(replace(pane, **{name: None}), rules_in_force(nation, date(2026, 5, 1)))
    assert {v.word for v in found} == {"unknown"}


@given(st.floats(0, 2000), st.floats(0, 5000), st.booleans(), nations,
       st.sampled_from(["bottom_above_floor_mm", "drop_outside_mm", "children"]))  # fmt: skip
def test_guarding_with_a_missing_reading_is_never_passed(
    bottom: float, drop: float, children: bool, nation: str, name: str
) -> None:
    facts = GuardingFacts(bottom_above_floor_mm=bottom, drop_outside_mm=drop, children=children)
    found = check_guarding(replace(facts, **{name: None}), rules_in_force(nation, date(2026, 5, 1)))
    assert GRAVITY.index(gravest(found)) >= GRAVITY.index("unknown")


@given(nations, st.sampled_from(["appliance", "direction", "input_kw", "to_opener_mm", "to_frame_mm"]))
def test_a_flue_with_a_missing_reading_is_never_passed(nation: str, name: str) -> None:
    facts = FlueFacts(
        appliance="gas_natural", direction="below", input_kw=20, to_opener_mm=3000, to_frame_mm=3000
    )
    found = check_flue(replace(facts, **{name: None}), rules_in_force(nation, date(2026, 5, 1)))
    assert gravest(found) == "unknown"


@given(st.lists(st.floats(0, 9000), max_size=4), st.floats(0, 9000), nations, days)
def test_one_more_ventilator_never_makes_a_room_worse(
    vents: list[float], more: float, nation: str, on: date
) -> None:
    rules = rules_in_force(nation, on)
    room = RoomAir(use="bedroom", mechanical="none", vents=tuple(vents), old_vent_mm2=6000)
    bigger = replace(room, vents=(*vents, more))
    before, after = (GRAVITY.index(gravest(check_background(r, rules))) for r in (room, bigger))
    assert after <= before


@given(st.lists(st.tuples(sizes, sizes, angles), max_size=3), st.floats(0, 60), nations)
def test_opening_wider_never_airs_a_room_less(
    openers: list[tuple[float, float, float]], wider: float, nation: str
) -> None:
    rules = rules_in_force(nation, date(2026, 5, 1))

    def room(more: float) -> RoomAir:
        opened = tuple(
            OpenerFacts(width_mm=w, height_mm=h, hinge="side_hung", open_angle_deg=min(a + more, 180))
            for w, h, a in openers
        )
        return RoomAir(use="bedroom", floor_area_m2=10, mechanical="none", openers=opened)

    before, after = (GRAVITY.index(gravest(check_purge(r, rules))) for r in (room(0), room(wider)))
    assert after <= before


@given(st.lists(st.tuples(sizes, angles, st.floats(0, 100)), min_size=1, max_size=20))
def test_clear_openings_of_many_lights_cost_one_call(rows: list[tuple[float, float, float]]) -> None:
    width, angle, blocked = (np.array(column) for column in zip(*rows, strict=True))
    for clear in (straight_clear_mm, angled_clear_mm):
        many = clear(frame_clear_mm=width, open_angle_deg=angle, obstruction_mm=blocked)
        alone = [clear(frame_clear_mm=w, open_angle_deg=a, obstruction_mm=o) for w, a, o in rows]
        np.testing.assert_allclose(many, alone)
    assert np.shape(sliding_clear_mm(frame_clear_mm=width, obstruction_mm=blocked)) == width.shape


@given(sizes, angles, st.floats(0, 100))
def test_the_straight_measure_is_never_the_kinder_one(width: float, angle: float, blocked: float) -> None:
    straight = straight_clear_mm(frame_clear_mm=width, open_angle_deg=angle, obstruction_mm=blocked)
    assert (
        straight <= angled_clear_mm(frame_clear_mm=width, open_angle_deg=angle, obstruction_mm=blocked) + 1e-6
    )


@given(sizes, sizes, angles)
def test_a_sash_frees_at_most_its_hole(width: float, height: float, angle: float) -> None:
    area = swung_free_area_m2(swung_mm=width, along_hinge_mm=height, open_angle_deg=angle)
    assert 0 <= area <= width * height * 1e-6 * (1 + 1e-9)
