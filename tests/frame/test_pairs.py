"""A French pair is one wanted light with two leaves that meet without a mullion."""

import pytest

from jambwright.frame.kinds.pair import MEETING_GAP_MM
from jambwright.frame.layout import lay_out
from jambwright.frame.profiles import profile_system
from jambwright.readings.wanted import Across, Light

DOOR, WINDOW = profile_system("plain_door_70"), profile_system("plain_70")


def layout(wanted, profile=WINDOW, width=1190.0, door=False):
    return lay_out(wanted, width_mm=width, height_mm=1300.0, profile=profile, door=door, low=False)


def test_a_pair_has_two_leaves_and_no_mullion():
    found = layout(Light(opens="pair_right", handle_height_mm=500, vent_mm2=4000))
    left, right = found.lights
    assert found.bars == ()
    assert [(each.mark, each.leaf) for each in found.lights] == [
        ("A", "slave_left"),
        ("B", "master_right"),
    ]
    assert found.pairs == ((right, left),)
    assert (left.way.hangs, right.way.hangs) == ("left", "right")
    # handle and ventilator are told once, at the master leaf
    assert (left.wanted.handle_height_mm, right.wanted.handle_height_mm) == (None, 500)
    assert (left.wanted.vent_mm2, right.wanted.vent_mm2) == (0, 4000)


@pytest.mark.parametrize(("profile", "door"), [(WINDOW, False), (DOOR, True)])
def test_faces_leaves_and_gap_make_up_the_width(profile, door):
    left, right = layout(Light(opens="pair_left"), profile, door=door).lights
    # closed form: width - 2 faces + 2 overlaps = two leaves and the gap between their stiles
    whole = 1190 - 2 * profile.frame_face_mm + 2 * profile.sash_overlap_mm
    assert left.sash.width_mm == right.sash.width_mm == (whole - MEETING_GAP_MM) / 2
    assert right.sash.x_mm - left.sash.right_mm == pytest.approx(MEETING_GAP_MM)
    assert left.sash.height_mm == right.sash.height_mm
    glass = left.sash.width_mm - 2 * profile.sash_face_mm + 2 * profile.glass_cover_mm
    assert left.glass.width_mm == right.glass.width_mm == int(glass)
    assert left.sight.right_mm == right.sight.x_mm


def test_leaves_of_a_door_are_door_leaves_and_of_a_window_sashes():
    assert [each.way.kind for each in layout(Light(opens="pair_left"), DOOR, door=True).lights] == [
        "door_left",
        "door_right",
    ]
    assert [each.way.blocks for each in layout(Light(opens="pair_left")).lights] == [
        "side_hung_left",
        "side_hung_right",
    ]


def test_a_pair_stands_beside_other_lights():
    found = layout(Across(across=[Light(mm=400), Light(opens="pair_left")]), width=1800.0)
    assert [each.leaf for each in found.lights] == ["", "master_left", "slave_right"]
    assert found.centre_lines_mm("mullion") == (400,)
    assert found.part_width_mm(("across", 1)) == 1400
