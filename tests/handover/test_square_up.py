"""Frames brought square by packers: worked rows by closed form, and a second model of four exact corners.

Rows: geometry of a frame of four members pinned at its corners (calculated). Limits: VMRG quality requirements 14.7
(diagonals and twist 3 mm, read), ift Rosenheim 2006 (1.5 mm per m plumb and level, second hand).
"""

import math

import numpy as np
import pytest

from jambwright import calc
from jambwright.basis.problems import BadInput
from jambwright.handover.square_up import diagonals_differ_mm, out_of_square_mm, turned_plumb_mm


def asked(width, height, differ, **more):
    mean = math.hypot(width, height)
    diagonals = {"rising": mean + differ / 2, "falling": mean - differ / 2}
    return {"width_mm": width, "height_mm": height, "diagonals_mm": diagonals, **more}


def answer(*size, **more):
    return calc.answer("square-up", asked(*size, **more))


def moves(found, side):
    return {line["at_mm"]: line["by_mm"] for line in found["changes"] if line["side"] == side}


# a second model: corners laid out exactly, nothing linear in it


def corners(width, height, plumb, level):
    """Four corners of a frame whose members keep their length."""
    sill = np.array([math.sqrt(width**2 - level**2), level])
    jamb = np.array([plumb, math.sqrt(height**2 - plumb**2)])
    return np.array([[0.0, 0.0], sill, sill + jamb, jamb])


def readings_of(frame):
    low_left, low_right, up_right, up_left = frame
    return {
        "rising": math.dist(low_left, up_right),
        "falling": math.dist(up_left, low_right),
        "left": up_left[0] - low_left[0],
        "right": up_right[0] - low_right[0],
        "sill": low_right[1] - low_left[1],
        "head": up_right[1] - up_left[1],
    }


def with_changes(frame, found, width, height):
    """The sill turns the whole frame; then the packers at the jambs push the jambs over."""
    lifts = [by * width / at for at, by in moves(found, "sill").items() if at > width / 2]
    if lifts:
        low_right = frame[1]
        turn = math.asin((low_right[1] + lifts[0]) / width) - math.asin(low_right[1] / width)
        spin = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
        frame = frame @ spin.T
    pushed = [(at, by) for at, by in moves(found, "left").items()]
    slope, offset = np.polyfit(*np.array(pushed).T, 1)
    after = readings_of(frame)
    return np.array([offset, 0.0]) + corners(width, height, after["left"] + slope * height, after["sill"])


@pytest.mark.parametrize(
    ("width", "height", "plumb", "level", "differ", "square"),
    [
        (1200, 1200, 4, 0, 5.657, 4.000),
        (1200, 1050, 0, 3, 3.951, 2.625),
        (600, 1200, 3, -2, -0.8944, -1.000),
        (1800, 1200, -5, 2, -6.102, -3.667),
        (1000, 1000, 5, -5, 0.0, 0.0),
        (900, 2100, 6, -2.5, 0.1313, 0.1667),
    ],
)
def test_rows_of_racked_frames_by_closed_form(width, height, plumb, level, differ, square):
    size = {"width_mm": width, "height_mm": height}
    assert diagonals_differ_mm(**size, plumb_mm=plumb, level_mm=level) == pytest.approx(differ, abs=6e-4)
    assert out_of_square_mm(**size, differ_mm=differ) == pytest.approx(square, abs=6e-4)
    exact = readings_of(corners(width, height, plumb, level))
    assert exact["rising"] - exact["falling"] == pytest.approx(differ, abs=2e-3)


@pytest.mark.parametrize(
    ("width", "height", "differ", "level", "square", "lean", "right_end", "by"),
    [
        (1200, 1200, 6, 0, 4.243, 4.243, 0, (-0.5303, -2.121, -3.712)),
        (1200, 1050, 5, 2, 3.322, 1.572, -2, (-0.4746, -1.661, -2.847)),
        (1800, 1200, 8, -3, 4.807, 6.807, 3, (-0.6009, -2.404, -4.206)),
        (900, 2100, -3, 2, -3.808, -8.475, -2, (0.2720, 1.904, 3.536)),
    ],
)
def test_rows_of_frames_brought_square(width, height, differ, level, square, lean, right_end, by):
    found = answer(width, height, differ, level_mm={"sill": level})
    assert found["out_of_square_mm"] == pytest.approx(square, abs=6e-4)
    turned = turned_plumb_mm(width_mm=width, height_mm=height, plumb_mm=lean, lifted_mm=right_end)
    assert turned == pytest.approx(square, abs=1.1e-3)
    assert moves(found, "sill") == ({width: pytest.approx(right_end)} if right_end else {})
    heights = (150, height / 2, height - 150)
    assert moves(found, "left") == {
        at: pytest.approx(mm, abs=6e-4) for at, mm in zip(heights, by, strict=True)
    }
    assert moves(found, "right") == {at: pytest.approx(-mm) for at, mm in moves(found, "left").items()}
    assert found["mended"] is True


@pytest.mark.parametrize(
    ("width", "height", "at", "by", "head", "differ"),
    [
        (1200, 1200, 1050, 2, 2.286, 3.232),
        (900, 2100, 1050, 2, 4.000, 3.151),
        (1800, 1200, 600, 1.5, 3.0, 4.992),
    ],
)
def test_rows_of_what_one_side_packer_does(width, height, at, by, head, differ):
    """A frame that stands so far the other way is brought square by just that packer."""
    found = answer(width, height, -differ, level_mm={"sill": 0}, packers=[
        {"side": side, "at_mm": at, "thickness_mm": 5} for side in ("left", "right")
    ])  # fmt: skip
    assert moves(found, "left") == {at: pytest.approx(by, abs=1e-3)}
    assert found["out_of_square_mm"] == pytest.approx(-head, abs=1e-3)


@pytest.mark.parametrize("width", [900, 1200, 1800, 2400])
@pytest.mark.parametrize("height", [600, 1200, 2100])
def test_a_frame_six_apart_and_three_out_of_plumb_comes_within_one(width, height):
    lean = 3.0
    level = (6.0 * math.hypot(width, height) / 2 - width * lean) / height
    frame = corners(width, height, lean, level)
    read = readings_of(frame)
    assert read["rising"] - read["falling"] == pytest.approx(6.0, abs=0.05)
    given = asked(width, height, 6.0, plumb_mm={"right": 3})
    given["diagonals_mm"] = {side: round(read[side], 1) for side in ("rising", "falling")}
    found = calc.answer("square-up", given)
    left = readings_of(with_changes(frame, found, width, height))
    assert abs(left["rising"] - left["falling"]) <= 1.0
    assert all(abs(left[side]) <= 1.0 for side in ("left", "right", "sill", "head"))
    assert found["mended"] is True


def test_readings_with_noise_leave_frames_near_square():
    """Diagonals read to 1 mm and levels to half a millimetre: the second model says what is truly left."""
    rng = np.random.default_rng(17)
    left = []
    for _ in range(60):
        width, height = rng.uniform(600, 2400), rng.uniform(600, 2200)
        frame = corners(width, height, rng.normal(0, 3), rng.normal(0, 2))
        read = readings_of(frame)
        given = asked(width, height, 0, level_mm={"sill": round(2 * read["sill"]) / 2},
                      plumb_mm={side: round(2 * read[side]) / 2 for side in ("left", "right")})  # fmt: skip
        given["diagonals_mm"] = {side: round(read[side]) for side in ("rising", "falling")}
        after = readings_of(with_changes(frame, calc.answer("square-up", given), width, height))
        left.append([after["rising"] - after["falling"], after["left"], after["sill"]])
    assert np.abs(left).max() < 1.5
    assert np.abs(left).mean() < 0.4


def test_a_mirrored_frame_gets_mirrored_packers():
    here = answer(1200, 1050, 5, level_mm={"sill": 2}, plumb_mm={"left": 1.5})
    there = answer(1200, 1050, -5, level_mm={"sill": -2}, plumb_mm={"right": -1.5})
    assert moves(here, "left") == pytest.approx(moves(there, "right"))
    assert moves(here, "sill") == {1200: pytest.approx(-moves(there, "sill")[1200])}


def test_no_packer_is_asked_for_more_than_it_has():
    packers = [
        {"side": side, "at_mm": at, "thickness_mm": mm}
        for side, at, mm in [("left", 150, 5), ("left", 1050, 1.5), ("right", 150, 5), ("right", 1050, 5)]
    ]
    found = answer(1200, 1200, 6, level_mm={"sill": 0}, packers=packers)
    assert all(line["thickness_mm"] >= 0 for line in found["changes"] if "thickness_mm" in line)
    # the foot of the frame goes the other way instead
    assert moves(found, "left")[150] > 0
    assert found["mended"] is True


def test_packers_that_hold_too_little_are_said_and_not_passed():
    packers = [
        {"side": side, "at_mm": at, "thickness_mm": 1} for side in ("left", "right") for at in (150, 1050)
    ]
    found = answer(1200, 1200, 9, level_mm={"sill": 0}, packers=packers)
    assert found["mended"] is False
    assert "No more can be taken out of the packers" in found["why"]
    assert "never cut the frame" in found["why"]
    assert all(-1 - 1e-6 <= mm <= 1 + 1e-6 for side in ("left", "right") for mm in
               (line["thickness_mm"] - 1 for line in found["changes"] if line["side"] == side))  # fmt: skip


def test_jambs_that_lean_apart_are_no_work_for_packers():
    found = answer(1200, 1200, 0, level_mm={"sill": 0}, plumb_mm={"left": 2.5, "right": -2.5})
    assert found["mended"] is False
    assert "lean 5 mm apart: the head is that much shorter" in found["why"]
    assert "beyond the published limits" in found["why"]


@pytest.mark.parametrize(
    ("given", "misfit", "again"),
    [
        ({"plumb_mm": {"left": 2}, "level_mm": {"sill": 0}, "size": (1200, 1200, 5)}, 2.172, False),
        ({"plumb_mm": {"left": 0}, "level_mm": {"sill": 1}, "size": (900, 2100, -3)}, -4.838, True),
    ],
)
def test_readings_that_contradict_each_other_are_measured_again(given, misfit, again):
    found = answer(*given.pop("size"), **given)
    assert found["misfit_mm"] == pytest.approx(misfit, abs=1e-3)
    assert found["measure_again"] is again
    assert ("Measure again before a packer is touched" in found["why"]) is again
    assert not (again and found["mended"])


@pytest.mark.parametrize(("left", "right", "twist", "word"), [(0, 4, 4.0, "beyond"), (0, 2, 2.0, "within")])
def test_a_twist_is_told_with_how_far_to_set_the_fixings(left, right, twist, word):
    found = answer(1200, 1200, 0, level_mm={"sill": 0}, face_plumb_mm={"left": left, "right": right})
    assert found["twist_mm"] == twist
    assert f"Twisted by {twist:g} mm, {word} the published limit" in found["why"]
    assert f"{twist / 2:g} mm apart" in found["why"]
    assert [(line["at_mm"], line["by_mm"]) for line in found["set_out"]] == [
        (600, -twist / 2),
        (1050, pytest.approx(-twist * 1050 / 1200)),
    ]


def test_an_unread_level_is_said():
    assert "level it first" in answer(1200, 1200, 6)["why"]


def test_a_frame_that_is_true_is_left_alone():
    found = answer(1200, 1200, 0, level_mm={"sill": 0}, plumb_mm={"left": 0, "right": 0})
    assert (found["changes"], found["mended"]) == ([], True)
    assert "nothing to move" in found["why"]


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"diagonals_mm": {"rising": 1750, "falling": 1745}}, "diagonals_mm"),
        ({"diagonals_mm": {"rising": 1770, "falling": 1620}}, "diagonals_mm"),
        ({"diagonals_mm": {"rising": 1697}}, "diagonals_mm.falling"),
        ({"packers": [{"side": "left", "at_mm": 1300, "thickness_mm": 5}]}, "packers"),
        ({"packers": [{"side": "left", "at_mm": 600, "thickness_mm": -1}]}, "packers.0.thickness_mm"),
        ({"packers": [{"side": side, "at_mm": 9, "thickness_mm": 1} for side in ("sill", "bottom")]}, "input"),
        ({"width_mm": 40}, "width_mm"),
        ({"plumb_mm": {"middle": 1}}, "plumb_mm.middle"),
    ],
)  # fmt: skip
def test_what_can_not_be_is_refused_by_name(change, field):
    with pytest.raises(BadInput) as refused:
        calc.answer("square-up", asked(1200, 1200, 6) | change)
    assert field in [problem.field for problem in refused.value.problems]


def test_diagonals_and_plumb_that_differ_a_little_are_met_half_way():
    found = answer(1200, 1200, 6, plumb_mm={"left": 3}, level_mm={"sill": 0})
    after = found["after"]
    left = [after["diagonals_mm"]["rising"] - after["diagonals_mm"]["falling"], *after["plumb_mm"].values()]
    assert max(map(abs, left)) < 1.0
    assert abs(after["level_mm"]["sill"]) < 0.2


def test_a_packer_of_untold_thickness_is_not_bounded():
    found = answer(1200, 1200, 6, level_mm={"sill": 0}, packers=[{"side": "left", "at_mm": 1050}])
    assert moves(found, "left") == {1050: pytest.approx(-3.7123, abs=1e-3)}
    assert "thickness_mm" not in found["changes"][0]
