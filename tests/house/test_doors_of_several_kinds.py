"""Folding sets, stable and slab doors, reversible windows, doors with side lights and fanlight: planned and ordered."""

import functools
import json

import pytest

from demo_house import readings_tree
from jambwright import job
from jambwright.calc import answer
from jambwright.checks.heat.constants import constant
from jambwright.checks.heat.window_u import panel_u_w_m2k, whole_u_w_m2k
from jambwright.paper.elevation import elevation, signs_said
from jambwright.paper.fit_views import elevation_view, planes_views
from jambwright.paper.planes_drawing import planes_drawing
from jambwright.paper.scene import Box
from jambwright.readings.survey_file import survey_from_tree
from jambwright.record.order_document import order_of

SAFE = "4T-16Ar-4T low-e"


def tree(mark, layout, size, **wanted):
    """The demo house with that layout alone, in an opening of that size."""
    found = json.loads(json.dumps(readings_tree(), default=str))
    found["openings"] = [each for each in found["openings"] if each["id"] == mark]
    (one,) = found["openings"]
    width, height = size
    one["outside"] = {
        "width": dict.fromkeys(("bottom", "middle", "top"), width),
        "height": dict.fromkeys(("left", "centre", "right"), height),
    }
    one["wanted"].pop("declared", None)
    one["wanted"] |= {"layout": layout} | wanted
    return found


ASKED = {
    "fold": (
        "D2",
        {"opens": "bi_fold", "fold_left": 2, "fold_right": 1, "handle_height_mm": 1000},
        (2800, 2103),
    ),
    "stable": ("D2", {"opens": "stable_right", "swing": "in"}, (980, 2103)),
    "solid": ("D2", {"opens": "slab_left", "swing": "in"}, (980, 2103)),
    "slab": (
        "D2",
        {"opens": "slab_left", "swing": "in", "slab_glass_width_mm": 300, "slab_glass_height_mm": 800},
        (980, 2103),
    ),
    "reversible": ("W5", {"opens": "reversible", "handle_height_mm": 60}, (900, 1205)),
}


@functools.cache
def planned(kind):
    mark, layout, size = ASKED[kind]
    return job.decide(survey_from_tree(tree(mark, layout, size, glass=SAFE)))


def opening(kind):
    return planned(kind).openings[0]


def found(kind, rule):
    return [v for v in opening(kind).verdicts if v.rule == rule]


def test_a_folded_set_leaves_clear_what_the_closed_form_says():
    frame = opening("fold").frame
    track = frame.width_mm - 2 * frame.chosen.profile.frame_face_mm
    (kept,) = found("fold", "access.width")
    # L - n (t + g): leaves 70 mm thick, 15 mm between them
    assert kept.found == pytest.approx(track - 3 * 85)
    told = answer("clear-opening", {"kind": "BF", "L": track, "N": 3, "t": 70, "g": 15, "Hi": 1900})
    assert told["clear_width_mm"] == pytest.approx(kept.found)
    (said,) = opening("fold").assumed
    assert "each folded leaf takes 85 mm of the width" in said


def test_what_the_maker_says_a_folded_leaf_takes_is_taken():
    mark, layout, size = ASKED["fold"]
    plan = job.check(
        survey_from_tree(tree(mark, layout | {"obstruction_mm": 60}, size, glass=SAFE))
    ).openings[0]
    track = plan.frame.width_mm - 2 * plan.frame.chosen.profile.frame_face_mm
    (kept,) = [v for v in plan.verdicts if v.rule == "access.width"]
    assert kept.found == pytest.approx(track - 180)
    assert not plan.assumed


def test_folding_leaves_are_hung_on_site_and_their_stiles_are_checked():
    plan = opening("fold")
    called = {(piece.called, piece.light) for piece in plan.frame.pieces if piece.light}
    assert {("folding leaf", mark) for mark in "ABC"} <= called
    stiles = [v for v in plan.verdicts if v.rule == "members.deflection"]
    assert [v.why.split(",")[0] for v in stiles] == ["Folding stiles 1", "Folding stiles 2"]
    said = [remark.say for remark in plan.remarks if remark.say.startswith("Leaves A to C fold")]
    # the lesser of 5 mm and 1/500 of 2624 mm (from memory, low)
    assert "at most 5.0 mm under load" in said[0]
    packed = {(p.side, round(p.at_mm)) for p in plan.fitting.packers if "track" in p.reasons}
    ends = [round(light.sight.right_mm) for light in plan.frame.layout.lights[:-1]]
    assert {("head", at) for at in ends} <= packed


def test_a_folding_set_on_the_order_and_from_above():
    (item,) = order_of(planned("fold")).items
    first, second, third = item.lights
    assert {light.one_of for light in item.lights} == {
        "bi-fold set of 3: 2 fold left and 1 fold right, traffic leaf 3"
    }
    assert (first.swing, third.handle_height_mm, first.handle_height_mm) == ("out", 1000, None)
    assert first.meets_at_mm < second.meets_at_mm
    assert third.meets_at_mm is None
    (view,) = planes_views(opening("fold"))
    left, right = view.folded
    # two leaves to the left come back to the plane they stand in; one to the right stays out, towards the outside
    assert [len(left), len(right)] == [3, 2]
    assert (left[0][1], left[2][1]) == (0, 0)
    assert left[1][1] < 0
    assert right[1][1] < 0
    sash = opening("fold").frame.layout.lights[0].sash
    assert left[2][0] - left[0][0] < 2 * sash.width_mm
    drawn = planes_drawing(view, Box(width_mm=90, height_mm=60))
    assert {"A", "B", "C", "inside", "outside"} <= {
        item.text for item in drawn.items if hasattr(item, "text")
    }
    assert "Arrows show to which jamb a leaf folds." in signs_said(opening("fold").frame.layout)


def test_a_stable_door_is_walked_through_with_both_leaves_open():
    plan = opening("stable")
    frame = plan.frame
    (kept,) = found("stable", "access.width_kept")
    # leaf and handle of a door stopped at a right angle take 70 mm (from memory, medium)
    assert kept.found == pytest.approx(frame.width_mm - 2 * frame.chosen.profile.frame_face_mm - 70)
    (rails,) = [v for v in plan.verdicts if v.rule == "members.deflection"]
    assert rails.why.startswith(
        "Stable rails 1, both rails together while the leaves are bolted to each other"
    )
    upper, lower = order_of(planned("stable")).items[0].lights
    assert (upper.one_of, lower.one_of) == ("stable door, hinges right",) * 2
    assert upper.meets_at_mm == pytest.approx(frame.layout.lights[0].sight.y_mm)
    assert lower.make_up is None
    hinged = {round(p.at_mm) for p in plan.fitting.packers if p.side == "right" and "hinge" in p.reasons}
    assert len(hinged) == 6


@pytest.mark.parametrize("kind", ["solid", "slab"])
def test_a_slab_weighs_what_its_area_says(kind):
    frame = opening(kind).frame
    (light,) = frame.layout.lights
    glass = light.glass.area_m2 if kind == "slab" else 0.0
    # 24 kg/m² and 6.5 kg of hardware, glass 20 kg/m²: 35 to 55 kg of a leaf 900 wide by one hinge maker's page
    expected = 24 * (light.sash.area_m2 - glass) + 6.5 + 20 * glass
    assert sum(piece.mass_kg for piece in frame.pieces if piece.light) == pytest.approx(expected)
    assert 35 < expected < 60
    assert bool(opening(kind).fitting.blocks[light.mark]) == (kind == "slab")


def test_u_of_a_slab_door_by_its_parts():
    # worked sum, EN ISO 10077-1: 1.00 x 2.10 m, frame 0.3312 m² of 1.6, slab 0.88 x 2.01 m: U 0.8837 in all
    slab = float(panel_u_w_m2k(resistance_m2kw=constant("slab_resistance")))
    whole = whole_u_w_m2k(areas_m2=[1.7688, 0.3312], u_w_m2k=[slab, 1.6], edges_m=[0.0], psi_w_mk=[0.0])
    assert float(whole) == pytest.approx(0.8837, abs=2e-4)


def test_a_slab_is_judged_by_its_declared_u_and_else_by_none():
    (modelled,) = found("solid", "energy.door.u")
    assert modelled.word == "advise"
    assert "ask the maker for the declared U-value" in modelled.why
    mark, layout, size = ASKED["solid"]
    given = tree(mark, layout, size, glass=SAFE, declared={"by": "invented sheet", "u_w_m2k": 1.1})
    (declared,) = [
        v for v in job.check(survey_from_tree(given)).openings[0].verdicts if v.rule == "energy.door.u"
    ]
    assert (declared.found, declared.word) == (1.1, "meets")


def test_a_slab_on_the_order_has_the_size_of_its_leaf_and_a_handle_at_its_edge():
    (light,) = order_of(planned("slab")).items[0].lights
    (placed,) = opening("slab").frame.layout.lights
    assert (light.sash_width_mm, light.opens) == (round(placed.sash.width_mm, 1), "slab door, hinges left")
    scene = elevation(elevation_view(opening("slab")), Box(width_mm=90, height_mm=120))
    (rose,) = [item for item in scene.items if hasattr(item, "radius_mm")]
    assert rose.centre[0] == pytest.approx(placed.sash.right_mm - 60)


def test_a_reversible_window_is_cleaned_from_inside_and_escaped_by_its_sheet_alone():
    plan = opening("reversible")
    (light,) = plan.frame.layout.lights
    assert (light.swings, light.way.turns_inside) == ("out", True)
    (asked,) = [v for v in plan.verdicts if v.rule == "escape.hinge"]
    assert (asked.word, "only its maker's sheet tells" in asked.why) == ("refer", True)
    assert len([block for block in plan.fitting.blocks["A"] if block.role == "setting"]) == 4
    packed = {(p.side, reason) for p in plan.fitting.packers for reason in p.reasons}
    assert {("left", "hinge"), ("right", "hinge")} <= packed
    assert signs_said(plan.frame.layout).endswith("it swings and turns over.")


@pytest.mark.parametrize("middle", [{"opens": "side_hung_left", "swing": "in"}, {"opens": "pair_left"}])
def test_side_lights_and_a_fanlight_stand_round_a_door(middle):
    row = {
        "across": [
            {"opens": "fixed"},
            {"mm": 1000 if "swing" in middle else 1500} | middle,
            {"opens": "fixed"},
        ]
    }
    layout = {"down": [{"mm": 450, "opens": "fixed"}, row]}
    plan = job.check(survey_from_tree(tree("D1", layout, (2300, 2450), glass=SAFE))).openings[0]
    lights = plan.frame.layout.lights
    leaves = [light for light in lights if light.door_leaf]
    assert len(leaves) == (2 if "pair" in middle["opens"] else 1)
    beside = [light for light in lights if not light.opens]
    assert len(beside) == 3
    places = {v.rule for v in plan.verdicts if v.rule.startswith("safety_glass")}
    assert places == {"safety_glass.door", "safety_glass.side_panel"}
    clear = [v for v in plan.verdicts if v.rule in ("access.width", "access.width_kept")]
    assert clear
    assert clear[0].found < leaves[0].sight.width_mm


@pytest.mark.parametrize("kind", ["stable", "fold"])
def test_a_door_of_several_leaves_over_a_drop_is_guarded_as_a_whole(kind):
    mark, layout, size = ASKED[kind]
    given = tree(mark, layout, size, glass=SAFE)
    given["openings"][0] |= {"drop_outside_mm": 3600}
    plan = job.check(survey_from_tree(given)).openings[0]
    (found,) = [v for v in plan.verdicts if v.rule == "guarding.balcony"]
    assert found.word == "advise"  # no worse than the old door was
    # told at the leaf that starts lowest, or the first from the left
    assert found.part.mark == ("B" if kind == "stable" else "A")


@pytest.mark.parametrize("kind", ["stable", "fold"])
def test_a_door_of_several_leaves_airs_its_room_once_by_what_it_leaves_clear(kind):
    mark, layout, size = ASKED[kind]
    given = tree(mark, layout, size, glass=SAFE)
    given["openings"][0]["room"] = "living room"
    plan = job.check(survey_from_tree(given)).openings[0]
    (purge,) = [v for v in plan.verdicts if v.rule.startswith("ventilation.purge")]
    (clear,) = [v for v in plan.verdicts if v.rule in ("access.width", "access.width_kept")]
    lights = plan.frame.layout.lights
    high = sum(light.sight.height_mm for light in lights) if kind == "stable" else lights[0].sight.height_mm
    assert purge.word != "unknown"
    assert purge.found == pytest.approx(clear.found * high * 1e-6)


def test_a_way_out_through_a_stable_door_is_told_with_both_leaves_open():
    mark, layout, size = ASKED["stable"]
    given = tree(mark, layout, size, glass=SAFE)
    given["openings"][0]["room"] = "study"
    plan = job.check(survey_from_tree(given)).openings[0]
    (width,) = [v for v in plan.verdicts if v.rule == "escape.width"]
    assert width.word == "advise"
    assert "with both leaves open" in width.why
