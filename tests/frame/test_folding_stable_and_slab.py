"""Folding sets, stable doors and slabs: closed forms of their leaves."""

import itertools

import pytest

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.frame.kinds.bi_fold import folding_leaf_mm, in_words, leaves_each_way
from jambwright.frame.layout import lay_out
from jambwright.frame.profiles import profile_system
from jambwright.readings.system_sheet import SystemSheet
from jambwright.readings.wanted import Light

DOOR = profile_system("plain_door_70")
FACE, THRESHOLD, LAP = DOOR.frame_face_mm, DOOR.threshold_mm, DOOR.sash_overlap_mm


def laid(width=2800.0, height=2100.0, door=True, **light):
    return lay_out(
        Light.model_validate(light), width_mm=width, height_mm=height, profile=DOOR, door=door, low=False
    ).lights


@pytest.mark.parametrize(
    ("track", "leaves", "leaf"),
    [
        # one hardware maker's page of folding sets, timber leaves, prints 834 mm
        (4200.0, 5, 834.0),
        (2990.0, 3, (2990 - 14 - 8) / 3),
    ],
)
def test_leaf_of_a_folding_set(track, leaves, leaf):
    found = folding_leaf_mm(track_mm=track, jamb_gap_mm=7.0, leaf_gap_mm=4.0, leaves=leaves)
    assert found == pytest.approx(leaf)


@pytest.mark.parametrize(("left", "right"), [(3, 0), (0, 3), (2, 1), (1, 2), (4, 0), (2, 2), (3, 3), (7, 0)])
def test_leaves_and_gaps_make_up_the_track(left, right):
    lights = laid(width=5000.0, opens="bi_fold", fold_left=left, fold_right=right)
    assert len(lights) == left + right
    gaps = [b.sash.x_mm - a.sash.right_mm for a, b in itertools.pairwise(lights)]
    assert gaps == pytest.approx([4.0] * (left + right - 1))
    assert lights[0].sash.x_mm - FACE == pytest.approx(7)
    assert 5000 - FACE - lights[-1].sash.right_mm == pytest.approx(7)
    assert lights[0].sash.height_mm == pytest.approx(2100 - FACE - THRESHOLD - 5 - 10)
    # parts meet and make up the frame
    assert sum(light.part.width_mm for light in lights) == pytest.approx(5000)
    assert [light.moves.slides for light in lights] == ["left"] * left + ["right"] * right
    # hung at the jamb, then back and there by turns
    assert [light.moves.hangs for light in lights[:left]] == ["left", "right", "left", "right"][:left] + [
        "left", "right", "left",
    ][: max(0, left - 4)]  # fmt: skip


@pytest.mark.parametrize(
    ("left", "right", "alone"),
    [(3, 0, [2]), (2, 1, [2]), (1, 2, [0]), (4, 0, []), (0, 3, [0]), (3, 1, [2, 3])],
)
def test_an_odd_number_gives_a_leaf_that_opens_alone_and_it_has_the_handle(left, right, alone):
    lights = laid(width=4000.0, opens="bi_fold", fold_left=left, fold_right=right, handle_height_mm=1000)
    assert [n for n, light in enumerate(lights) if light.leaf.startswith("traffic")] == alone
    handled = [n for n, light in enumerate(lights) if not light.without_handle]
    assert handled == (alone[:1] or [left - 1])
    assert [light.wanted.handle_height_mm for light in lights if not light.without_handle] == [1000]
    assert sum(light.wanted.handle_height_mm is not None for light in lights) == 1


def test_a_set_of_which_nothing_is_said_has_leaves_of_at_most_900_mm():
    assert leaves_each_way(Light(opens="bi_fold"), 2700.0) == (3, 0)
    assert leaves_each_way(Light(opens="bi_fold"), 2701.0) == (4, 0)
    assert leaves_each_way(Light(opens="bi_fold"), 700.0) == (2, 0)


@pytest.mark.parametrize(("left", "right"), [(1, 0), (0, 0), (5, 4)])
def test_too_few_or_too_many_leaves_are_refused(left, right):
    with pytest.raises(BadInput, match="2 to 7 in all are made into a set"):
        laid(opens="bi_fold", fold_left=left, fold_right=right)


def test_a_set_is_told_by_its_leaves():
    ways = ["fold_left", "fold_left_back", "traffic_right"]
    said = in_words(Light(opens="bi_fold"), ways)
    assert said == "bi-fold set of 3: 2 fold left and 1 fold right, traffic leaf 3"
    assert in_words(Light(opens="bi_fold"), ways[:2]).endswith("2 fold left, no traffic leaf")


def test_leaves_of_a_stable_door_lap_and_fill_the_frame():
    upper, lower = laid(width=1000.0, opens="stable_right", handle_height_mm=950)
    lap = table("stable_doors").find(profile="plain_door_70")["lap_mm"]
    assert lower.sash.height_mm == 1000
    whole = 2100 - FACE - THRESHOLD + 2 * LAP
    assert upper.sash.height_mm + lower.sash.height_mm - lap == pytest.approx(whole)
    assert upper.sash.y_mm == pytest.approx(lower.sash.top_mm - lap)
    assert upper.sash.width_mm == 1000 - 2 * FACE + 2 * LAP
    assert (upper.moves.hangs, lower.moves.hangs) == ("right", "right")
    assert not upper.is_paired
    assert not upper.slides_past
    assert (upper.wanted.infill, lower.wanted.infill) == ("glass", "panel")
    assert (upper.wanted.handle_height_mm, lower.wanted.handle_height_mm) == (None, 950)


def test_a_handle_over_the_meeting_rails_is_the_upper_leafs():
    upper, lower = laid(width=1000.0, opens="stable_left", handle_height_mm=1100, lower_infill="glass")
    assert upper.sash.y_mm + upper.wanted.handle_height_mm == pytest.approx(lower.sash.y_mm + 1100)
    assert (lower.wanted.handle_height_mm, lower.without_handle) == (None, True)
    assert lower.wanted.infill == "glass"


def test_a_lower_leaf_that_leaves_no_room_is_refused():
    with pytest.raises(BadInput, match="leave nothing between their rails"):
        laid(width=1000.0, height=1950.0, opens="stable_left", lower_leaf_mm=1790.0)


def test_a_slab_is_one_piece_and_its_size_as_a_seller_prints_it():
    # one seller's page of slab doors: a frame of 1015 mm takes a leaf of 900 mm
    (solid,) = laid(width=1015.0, opens="slab_left")
    assert solid.sash.width_mm == pytest.approx(900, abs=2)
    assert (solid.glass.width_mm, solid.glass.height_mm) == (901, 1986)
    assert (solid.wanted.infill, solid.door_leaf, solid.way.family) == ("panel", True, "slab door")


def test_the_light_in_a_slab_stands_as_far_from_its_top_as_from_its_sides():
    (light,) = laid(width=1015.0, opens="slab_left", slab_glass_width_mm=300, slab_glass_height_mm=800)
    slab, seen = light.sash, light.daylight
    assert (seen.width_mm, seen.height_mm) == (300, 800)
    beside = (slab.width_mm - 300) / 2
    assert (seen.x_mm - slab.x_mm, slab.top_mm - seen.top_mm) == (
        pytest.approx(beside),
        pytest.approx(beside),
    )
    assert light.glass.width_mm == 300 + 2 * DOOR.glass_cover_mm


@pytest.mark.parametrize(
    ("size", "words"),
    [
        ({"slab_glass_width_mm": 300}, "takes both width and height"),
        ({"slab_glass_width_mm": 690, "slab_glass_height_mm": 800}, "leave 110 mm"),
        ({"slab_glass_width_mm": 300, "slab_glass_height_mm": 1690}, "leave 110 mm"),
    ],
)
def test_a_light_that_does_not_fit_the_slab_is_refused(size, words):
    with pytest.raises(BadInput, match=words):
        laid(width=1015.0, opens="slab_left", **size)


@pytest.mark.parametrize("opens", ["slab_left", "stable_right"])
def test_a_door_goes_into_no_window_frame(opens):
    with pytest.raises(BadInput, match="goes into the frame of a door"):
        laid(width=1000.0, door=False, opens=opens)


@pytest.mark.parametrize(
    ("field", "value"), [("fold_left", 3), ("lower_leaf_mm", 900.0), ("slab_glass_width_mm", 300.0)]
)
def test_what_only_one_kind_has_is_refused_of_others(field, value):
    with pytest.raises(BadInput, match=f"{field} was asked of a light that is side hung"):
        laid(width=1000.0, opens="side_hung_left", **{field: value})


def test_a_firms_own_system_takes_the_gaps_of_the_one_it_is_like():
    own = SystemSheet(
        name="own", title="Own", by="Invented sheet", material="pvcu", use="door", like="plain_door_70"
    )
    found = lay_out(
        Light(opens="bi_fold", fold_left=3), width_mm=2800, height_mm=2100, profile=profile_system("own", [own]),
        door=True, low=False,
    )  # fmt: skip
    assert found.lights[0].sash == laid(opens="bi_fold", fold_left=3)[0].sash
