"""Lights, bars, sashes and glass from the wanted layout; a sill from the reveal."""

import pytest

from jambwright.basis.problems import BadInput
from jambwright.frame.layout import lay_out
from jambwright.frame.profiles import profile_system
from jambwright.frame.sill import plan_sill
from jambwright.readings.wanted import Across, Down, Light, SillWanted

PLAIN = profile_system("plain_70")


def layout(wanted, width=1200.0, height=1190.0, **kwargs):
    return lay_out(
        wanted, width_mm=width, height_mm=height, profile=PLAIN, **({"door": False, "low": False} | kwargs)
    )


def test_a_fixed_light_has_the_glass_its_rebate_less_clearance():
    (light,) = layout(Light()).lights
    assert light.sight.width_mm == 1200 - 2 * 65
    # BS 6262: glass is the rebate size less 5 mm clearance at each edge (from memory, high)
    assert light.glass.width_mm == light.sight.width_mm + 2 * 20 - 2 * 5
    assert light.glass.height_mm == 1190 - 2 * 65 + 30


def test_a_sash_covers_the_frame_and_narrows_the_glass():
    (light,) = layout(Light(opens="side_hung_left")).lights
    assert light.sash.width_mm == light.sight.width_mm + 2 * PLAIN.sash_overlap_mm
    assert light.daylight.width_mm == light.sash.width_mm - 2 * PLAIN.sash_face_mm


def test_shares_and_fixed_sizes_place_the_mullions():
    found = layout(Across(across=[Light(mm=400), Light(), Light(share=3)]))
    assert found.centre_lines_mm("mullion") == (400, 600)
    assert [light.mark for light in found.lights] == ["A", "B", "C"]


def test_marks_run_from_the_top_left_to_the_bottom_right():
    found = layout(Across(across=[Down(down=[Light(mm=350, opens="top_hung"), Light()]), Light()]))
    assert [(light.mark, light.wanted.opens) for light in found.lights] == [
        ("A", "top_hung"),
        ("B", "fixed"),
        ("C", "fixed"),
    ]
    assert found.lights[0].sight.y_mm > found.lights[2].sight.y_mm
    assert found.centre_lines_mm("transom") == (1190 - 350,)


def test_parts_fill_the_frame_without_gap_or_overlap():
    found = layout(Across(across=[Light(), Down(down=[Light(), Light(share=2)]), Light()]))
    glass = sum(light.sight.area_m2 for light in found.lights)
    bars = sum(bar.length_mm * PLAIN.bar_face_mm for bar in found.bars) * 1e-6
    faces = 1200 * 1190e-6 - (1200 - 130) * (1190 - 130) * 1e-6
    assert glass + bars + faces == pytest.approx(1200 * 1190e-6)


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        (Across(across=[Light(mm=700), Light(mm=600)]), "do not make up"),
        (Across(across=[Light(mm=500), Light(mm=600)]), "do not make up"),
        (Across(across=[Light(mm=150), Light()]), "light A would show only"),
    ],
)
def test_a_layout_that_cannot_be_made_is_refused(wanted, words):
    with pytest.raises(BadInput, match=words):
        layout(wanted)


def test_a_low_threshold_lowers_the_sight_line():
    door = layout(Light(opens="side_hung_left", swing="in"), door=True, low=True).lights[0]
    assert door.door_leaf
    assert door.sight.y_mm == PLAIN.threshold_low_mm


def sill(**kwargs):
    return plan_sill(
        SillWanted(**kwargs), opening_width_mm=1200, frame_width_mm=1190, seat_mm=70, set_back_mm=30
    )


def test_a_sill_with_horns_is_about_100_mm_longer_than_the_opening():
    # common practice, no published source: delivered 100 mm longer, notched 2 mm short each side
    found = sill()
    assert found.length_mm == 1300
    assert found.reveal_length_mm == 1196
    assert found.notch_along_mm == 52
    assert found.notch_back_mm == 100


def test_the_sill_is_the_shallowest_in_stock_whose_drip_stands_clear():
    found = sill()
    assert found.depth_mm == 150
    assert found.nose_past_wall_mm == 50
    assert found.drip_clear_mm >= 25


def test_a_flush_sill_ends_at_the_reveal_and_has_no_notch():
    found = sill(ends="flush")
    assert (found.length_mm, found.notch_along_mm, found.notch_back_mm) == (1196, 0, 0)


def test_a_sill_wanted_too_short_is_made_and_cautioned():
    found = sill(projection_mm=85)
    assert found.depth_mm == 85
    assert "short of a drip" in found.problems[0].say


def test_sill_screws_stand_inside_the_frame_and_close_enough():
    found = sill()
    spaces = [b - a for a, b in zip(found.screws_mm, found.screws_mm[1:], strict=False)]
    assert found.screws_mm[0] == pytest.approx(3 + 150)
    assert max(spaces) <= 450


def test_sight_lines_of_the_plain_window_are_those_of_a_two_light_type_window():
    # thermal reference 2.6, case W2: 1230 x 1480, left light fixed, right light opening (calculated there)
    found = layout(Across(across=[Light(), Light(opens="side_hung_right")]), width=1230, height=1480)
    seen = [(light.daylight.width_mm, light.daylight.height_mm) for light in found.lights]
    assert seen == [(502.5, 1350), (422.5, 1270)]
