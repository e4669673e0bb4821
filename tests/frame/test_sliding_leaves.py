"""Sashes that slide up and down and panes that slide across: closed forms of their sizes."""

from dataclasses import replace
from itertools import pairwise

import pytest

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.checks.clear_opening.kinds import SLIDES
from jambwright.frame.balances import balances_of, carried_kg, unusual
from jambwright.frame.kinds.slider import sliding_pane_mm, tracks
from jambwright.frame.kinds.vertical_sash import lower_sash_mm, upper_sash_mm
from jambwright.frame.layout import lay_out
from jambwright.frame.profiles import profile_system
from jambwright.readings.wanted import Across, Down, Light
from jambwright.readings.ways import way_of, ways

PVCU, TIMBER, DOOR = profile_system("plain_70"), profile_system("timber_68"), profile_system("plain_door_70")
SASH = Light(opens="vertical_slider")
SLIDERS = [way.kind for way in ways().values() if way.made == "slider"]


def slides_of(kind):
    return "".join("X" if way_of(leaf).opens else "O" for leaf in way_of(kind).leaves)


def laid(node, profile=PVCU, width=1000.0, height=1530.0, door=False):
    return lay_out(node, width_mm=width, height_mm=height, profile=profile, door=door, low=False)


def test_sashes_with_equal_glass_by_closed_form():
    # h_b = (H + m + b - t)/2, h_t = (H + m - b + t)/2, both show h_b - b - m: geometry of two lapping rails
    rails = {"meeting_rail_mm": 40.0, "bottom_rail_mm": 85.0, "top_rail_mm": 50.0}
    lower = lower_sash_mm(frame_clear_mm=1400.0, **rails)
    upper = upper_sash_mm(frame_clear_mm=1400.0, meeting_rail_mm=40.0, lower_sash_mm=lower)
    assert (lower, upper) == (737.5, 702.5)
    assert lower - 85 - 40 == upper - 50 - 40 == 612.5


@pytest.mark.parametrize("profile", [PVCU, TIMBER])
def test_two_sashes_fill_the_hole_and_lap_by_one_rail(profile):
    upper, lower = laid(SASH, profile).lights
    row = table("vertical_sashes").find(profile=profile.name)
    clear = 1530 - 2 * profile.frame_face_mm
    assert [each.leaf for each in (upper, lower)] == ["upper_sash", "lower_sash"]
    assert upper.sash.height_mm + lower.sash.height_mm == pytest.approx(clear + row["meeting_rail_mm"])
    assert lower.sash.top_mm - upper.sash.y_mm == pytest.approx(row["meeting_rail_mm"])
    assert upper.daylight.height_mm == pytest.approx(lower.daylight.height_mm)
    assert upper.sash.width_mm == 1000 - 2 * profile.frame_face_mm + 2 * row["guide_mm"]
    glass = upper.sash.width_mm - 2 * row["stile_mm"] + 2 * profile.glass_cover_mm
    assert upper.glass.width_mm == lower.glass.width_mm == glass
    # the two holes meet on the middle of the meeting rails
    assert (
        upper.sight.y_mm
        == lower.sight.top_mm
        == pytest.approx(lower.sash.top_mm - row["meeting_rail_mm"] / 2)
    )
    assert (upper.sight.y_mm, upper.part.y_mm) == (lower.sight.top_mm, lower.part.top_mm)


def test_a_lower_sash_of_its_own_height_leaves_the_rest_to_the_upper():
    upper, lower = laid(SASH.model_copy(update={"lower_sash_mm": 600.0})).lights
    assert lower.sash.height_mm == 600
    assert upper.sash.height_mm == pytest.approx(1400 + 40 - 600)


@pytest.mark.parametrize("height", [150.0, 1400.0])
def test_a_sash_without_glass_between_its_rails_is_refused(height):
    with pytest.raises(BadInput, match=r"no glass between their rails|mm of glass"):
        laid(SASH.model_copy(update={"lower_sash_mm": height}))


def test_what_only_sliding_sashes_have_is_refused_of_other_lights():
    for field, value in (("horns", "planted"), ("balance", "cords"), ("lower_sash_mm", 600.0)):
        with pytest.raises(BadInput, match=f"{field} was asked of a light that is top hung"):
            laid(Light.model_validate({"opens": "top_hung", field: value}))


def test_horns_are_refused_where_the_profile_has_none():
    slim = profile_system("slim_alu_65")
    assert len(laid(SASH, slim).lights) == 2
    with pytest.raises(BadInput, match="has no horns"):
        laid(SASH.model_copy(update={"horns": "planted"}), slim)


def test_a_profile_without_sections_says_which_have_them():
    with pytest.raises(BadInput, match="without vertical sliding sashes; choose one of plain_70"):
        laid(SASH, DOOR)
    with pytest.raises(BadInput, match="without panes that slide across; choose one of plain_door_70"):
        laid(Light(opens="slider_ox"), TIMBER)


def test_the_ventilator_is_told_once_in_the_upper_sash():
    upper, lower = laid(Light(opens="vertical_slider", vent_mm2=4000)).lights
    assert (upper.wanted.vent_mm2, lower.wanted.vent_mm2) == (4000, 0)


@pytest.mark.parametrize(
    ("panes", "interlocks", "meeting", "width", "pane"),
    [(2, 1, 0, 2100, 1015.0), (3, 2, 0, 3000, 993.333), (4, 2, 30, 4200, 1037.5)],
)
def test_panes_of_one_width_by_closed_form(panes, interlocks, meeting, width, pane):
    # n p = W - 2 J + k I - am: n widths less k laps and with a gap make up what is between the jambs
    found = sliding_pane_mm(
        frame_mm=width, jamb_mm=60, interlock_mm=50, interlocks=interlocks, panes=panes, meeting_mm=meeting
    )
    assert found == pytest.approx(pane, abs=1e-3)


@pytest.mark.parametrize("kind", SLIDERS)
def test_panes_fill_the_frame_and_lap_where_they_hook(kind):
    found = laid(Light(opens=kind, handle_height_mm=1000, vent_mm2=2500), DOOR, 3600.0, 2100.0, door=True)
    row = table("sliders").find(profile="plain_door_70")
    panes = found.lights
    assert [each.leaf for each in panes] == list(way_of(kind).leaves)
    assert panes[0].sash.x_mm == DOOR.frame_face_mm
    assert panes[-1].sash.right_mm == pytest.approx(3600 - DOOR.frame_face_mm)
    assert len({round(each.sash.width_mm, 6) for each in panes}) == 1
    for one, other in pairwise(panes):
        apart = (one.moves.slides, other.moves.slides) == ("left", "right")
        lap = -row["meeting_mm"] if apart else row["interlock_mm"]
        assert one.sash.right_mm - other.sash.x_mm == pytest.approx(lap)
        assert one.sight.right_mm == pytest.approx(other.sight.x_mm)
    for each in panes:
        assert each.glass.height_mm == int(each.sash.height_mm - 2 * row["rail_mm"] + 2 * DOOR.glass_cover_mm)
        assert each.door_leaf == each.opens
        # a pane that stands has no handle, nor has one that the next pushes along; the ventilator is told once
        assert (each.wanted.handle_height_mm is not None) == (not each.without_handle)
    handles = {"slider_oxxo": 2}.get(kind, 1)
    assert sum(not each.without_handle for each in panes) == handles == SLIDES[slides_of(kind)].handles
    assert next(each.wanted.vent_mm2 for each in panes if each.opens) == 2500
    assert sum(each.wanted.vent_mm2 > 0 for each in panes if not each.follows) == 1


@pytest.mark.parametrize(
    ("kind", "planes"),
    [("slider_ox", [1, 2]), ("slider_xxo", [3, 2, 1]), ("slider_oxx", [1, 2, 3]), ("slider_oxxo", [1, 2, 2, 1]),
     ("slider_oxo_left", [1, 2, 1]), ("slider_oxo_right", [1, 2, 1])],
)  # fmt: skip
def test_each_pane_slides_past_another_on_the_next_track(kind, planes):
    assert tracks([way_of(leaf) for leaf in way_of(kind).leaves]) == planes


def test_sashes_and_panes_stand_among_other_lights():
    found = laid(
        Across(across=[Light(mm=400), Down(down=[SASH, Light(mm=400)])]), width=1600.0, height=2000.0
    )
    assert [each.leaf for each in found.lights] == ["", "upper_sash", "lower_sash", ""]
    assert len(found.bars) == 2
    assert sum(each.part.area_m2 for each in found.lights) == pytest.approx(3.2)


def test_weights_by_the_finished_sash_a_little_more_above_and_less_below():
    # trade notes, second hand: a pair of weights carries the sash, the upper's 0.25 to 0.5 kg heavier each
    lights = laid(SASH, TIMBER).lights
    upper, lower = balances_of(lights, {"A": 16.0, "B": 17.0}, "timber")
    assert (upper.least_kg, upper.most_kg) == (8.25, 8.5)
    assert (lower.least_kg, lower.most_kg) == (8.0, 8.25)
    assert upper.words == "cords and weights"
    assert carried_kg(sash_kg=16.0, share=1.0, more_kg=0.5) == 16.5


def test_a_sash_that_no_balance_is_made_for_is_told():
    lights = laid(SASH).lights
    light, heavy = balances_of(lights, {"A": 20.0, "B": 61.0}, "pvcu")
    assert list(unusual((light,))) == []
    (said,) = unusual((light, heavy))
    assert "Sash B weighs 61.0 kg" in said.say
    assert "5 to 40 kg" in said.say
    tilting = [
        replace(each, wanted=each.wanted.model_copy(update={"balance": "spiral_tilt"})) for each in lights
    ]
    assert next(balances_of(tuple(tilting), {"A": 20.0, "B": 61.0}, "pvcu")).words.endswith("tilts in")
