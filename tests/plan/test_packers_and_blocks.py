"""Packers from the crooked gap and glazing blocks by how a light opens."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from demo_house import changed
from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.opening import Rectangle, space_of
from jambwright.plan.blocks import openings, place_blocks
from jambwright.plan.packers import CARRYING, packing_points, stack_for, thicknesses_mm
from jambwright.readings.survey_file import read_survey

SPACE = space_of([(0.0, 0.0), (1200.0, 0.0), (1194.0, 1200.0), (6.0, 1200.0)])
FRAME = Rectangle(x=11.0, y=5.0, width=1178.0, height=1190.0)


def test_the_gap_at_a_packer_follows_the_leaning_jamb():
    points, _ = packing_points(
        SPACE, FRAME, [("left", 600, ("fixing",)), ("right", 600, ("fixing",)), ("head", 500, ("fixing",))]
    )
    gaps = {p.side: p.gap_mm for p in points}
    # the left jamb at height y stands at x = 6 y / 1200
    assert gaps["left"] == pytest.approx(11.0 - 605 * 6 / 1200)
    assert gaps["right"] == pytest.approx(11.0 - 605 * 6 / 1200)
    assert gaps["head"] == pytest.approx(5.0)


@given(st.floats(1.0, 30.0))
def test_a_stack_never_forces_the_gap_and_leaves_under_a_millimetre(gap):
    stack = stack_for(gap)
    assert len(stack) <= 3
    assert set(stack) <= set(thicknesses_mm())
    assert sum(stack) <= gap + 0.25
    if gap <= 22:
        assert gap - sum(stack) < 1.0 + 1e-9


@pytest.mark.parametrize(
    ("gap", "stack"),
    [(5.0, (5,)), (7.9, (6, 2)), (7.6, (6, 1)), (10.2, (10,)), (17.1, (10, 6, 1)), (26, (10, 10, 6))],
)
def test_the_fewest_packers_are_used(gap, stack):
    assert stack_for(gap) == stack


def test_places_of_one_side_that_share_a_packer_are_packed_once():
    points, _ = packing_points(
        SPACE,
        FRAME,
        [("left", 150, ("fixing",)), ("left", 160, ("corner",)), ("left", 600, ("fixing",))],
    )
    assert [(p.at_mm, p.reasons) for p in points] == [(150, ("fixing", "corner")), (600, ("fixing",))]


def test_a_third_reason_at_one_place_is_kept_beside_the_other_two():
    wanted = [("bottom", 150, ("corner",)), ("bottom", 160, ("fixing",)), ("bottom", 165, ("mullion",))]
    points, _ = packing_points(SPACE, FRAME, wanted)
    assert [p.reasons for p in points] == [("corner", "fixing", "mullion")]
    assert not CARRYING.isdisjoint(points[0].reasons)


def test_a_gap_too_small_or_too_wide_to_pack_is_told():
    shifted = Rectangle(x=3.0, y=5.0, width=1160.0, height=1190.0)
    _, problems = packing_points(SPACE, shifted, [("left", 590, ("fixing",)), ("right", 600, ("hinge",))])
    said = " ".join(p.say for p in problems)
    assert "only" in said
    assert "more than 3 packers" in said


def roles(opening, edge):
    blocks, _ = place_blocks(opening, glass_width_mm=600, glass_height_mm=1000)
    return {(b.corner, b.role) for b in blocks if b.edge == edge}


def test_a_side_hung_light_stands_on_its_hinge_corner_and_is_braced_at_the_top_lock_corner():
    # trade guides on heel and toe (practice reference C3, read)
    assert ("left", "setting") in roles("side_hung_left", "bottom")
    assert ("right", "setting") in roles("side_hung_left", "top")
    assert ("right", "location") in roles("side_hung_left", "bottom")
    assert ("right", "setting") in roles("side_hung_right", "bottom")


def test_a_fixed_light_stands_on_its_quarter_points():
    blocks, _ = place_blocks("fixed", glass_width_mm=1000, glass_height_mm=700)
    assert [b.from_corner_mm for b in blocks if b.edge == "bottom"] == [250, 250]


@given(st.sampled_from(openings()), st.floats(70, 2500), st.floats(70, 2500))
def test_every_pane_rests_on_two_setting_blocks_clear_of_its_corners(opening, width, height):
    blocks, _ = place_blocks(opening, glass_width_mm=width, glass_height_mm=height)
    assert sum(b.role == "setting" for b in blocks) >= 2
    assert all(b.from_corner_mm >= 30 for b in blocks)
    assert all(b.from_corner_mm <= (width if b.edge in ("bottom", "top") else height) / 2 for b in blocks)


def test_a_dropped_sash_gets_a_thicker_toe_and_only_there():
    blocks, problems = place_blocks("side_hung_left", glass_width_mm=600, glass_height_mm=1000, sag_mm=3)
    thick = [b for b in blocks if b.thickness_mm == 8]
    assert [(b.edge, b.corner) for b in thick] == [("top", "right")]
    assert problems == ()


def test_a_sag_blocks_cannot_correct_is_told():
    assert (
        "only a side-hung"
        in place_blocks("fixed", glass_width_mm=600, glass_height_mm=900, sag_mm=2)[1][0].say
    )
    assert (
        "hinges"
        in place_blocks("side_hung_left", glass_width_mm=600, glass_height_mm=900, sag_mm=9)[1][0].say
    )


def test_an_unknown_way_of_opening_is_refused_with_the_known_ones():
    with pytest.raises(BadInput, match="known are fixed"):
        place_blocks("side_hung", glass_width_mm=600, glass_height_mm=900)


def test_a_door_leaf_hung_at_its_top_has_no_hinge_at_a_jamb_to_pack_behind():
    text = changed(D2={"wanted": {"kind": "door", "layout": {"opens": "top_hung", "leaf": "door"}}})
    plan = next(p for p in job.plan_house(read_survey(text)).openings if p.opening.id == "D2")
    assert not {"hinge", "lock_keep"} & {why for point in plan.fitting.packers for why in point.reasons}
