"""A French pair in a house: clear widths, way out, order, packers, pieces to lift, drawing."""

import csv
import functools
import io
import json

import pytest

from demo_house import readings_tree
from jambwright import job
from jambwright.paper import printed
from jambwright.readings.survey_file import read_survey


@functools.cache
def planned():
    """The demo house with a French door in the hall and a French window in the front bedroom."""
    tree = readings_tree()
    tree["openings"] = [each for each in tree["openings"] if each["id"] in ("D1", "W3")]
    for each in tree["openings"]:
        wanted = each["wanted"]
        wanted.pop("declared", None)
        pair = {"D1": {"opens": "pair_left", "swing": "in", "handle_height_mm": 1000},
                "W3": {"opens": "pair_right", "vent_mm2": 4000}}  # fmt: skip
        wanted["layout"] = pair[each["id"]]
    return job.decide(read_survey(json.dumps(tree, default=str)))


def opening(mark):
    return next(each for each in planned().openings if each.id == mark)


def rule(mark, name):
    return next(v for v in opening(mark).verdicts if v.rule == name)


def test_clear_width_of_one_and_of_both_leaves():
    window, frame = opening("W3"), opening("W3").frame
    clear = frame.width_mm - 2 * frame.chosen.profile.frame_face_mm
    # closed forms: W/2 - a/2 - o with the slave shut, W - 2 o with both open; a 70 mm, o 25 mm
    assert rule("W3", "escape.width").found == pytest.approx(clear / 2 - 35 - 25)
    (said,) = [each for each in window.assumed if each.startswith("leaves")]
    assert (
        said
        == f"leaves B and A: {clear / 2 - 60:.0f} mm clear with the master leaf B alone, {clear - 50:.0f} mm with both."
    )


def test_the_way_in_is_the_master_leaf_alone():
    door = opening("D1")
    master = door.frame.layout.lights[0]
    assert rule("D1", "access.width_kept").found == pytest.approx(master.sight.width_mm - 35 - 70, abs=0.1)


def test_no_mullion_is_ordered_and_the_stiles_are_checked():
    for mark in ("D1", "W3"):
        plan = opening(mark)
        assert plan.frame.layout.bars == ()
        assert [bar.name for bar in plan.fitting.bars] == ["Meeting stiles 1"]
        assert rule(mark, "members.deflection").word == "advise"


def test_each_leaf_has_its_row_in_the_order():
    rows = list(csv.DictReader(io.StringIO(printed(planned())["order.csv"].decode("utf-8-sig"))))
    opens = [row["opens (seen from outside)"] for row in rows if row["opening"] == "D1"]
    assert opens == [
        "master leaf of a French pair, hinges left, meeting stiles, no fixed mullion",
        "slave leaf of a French pair, hinges right, meeting stiles, no fixed mullion",
    ]
    assert {row["mullions from left mm"] for row in rows if row["room"]} == {""}


def test_hinges_are_packed_at_both_jambs_and_bolts_at_head_and_foot():
    for mark in ("D1", "W3"):
        packed = opening(mark).fitting.packers
        hinged = {point.side for point in packed if "hinge" in point.reasons}
        bolts = {point.side: point.at_mm for point in packed if "lock_keep" in point.reasons}
        assert hinged == {"left", "right"}
        assert bolts == {side: pytest.approx(opening(mark).frame.width_mm / 2) for side in ("head", "bottom")}


def test_each_leaf_is_lifted_and_blocked_alone():
    door = opening("D1")
    leaves = [piece for piece in door.frame.pieces if piece.kind == "sash"]
    assert [(piece.called, piece.light) for piece in leaves] == [("door leaf", "A"), ("door leaf", "B")]
    assert leaves[0].mass_kg == pytest.approx(leaves[1].mass_kg)
    toes = {mark: next(b for b in blocks if b.edge == "top") for mark, blocks in door.fitting.blocks.items()}
    assert (toes["A"].corner, toes["B"].corner) == ("right", "left")


def test_a_narrow_pair_is_a_way_out_with_both_leaves_only():
    tree = readings_tree()
    tree["openings"] = [each for each in tree["openings"] if each["id"] == "W3"]
    wanted = tree["openings"][0]["wanted"]
    wanted.pop("declared", None)
    wanted["layout"] = {"across": [{"mm": 300}, {"opens": "pair_right"}]}
    found = job.decide(read_survey(json.dumps(tree, default=str))).openings[0]
    width = next(v for v in found.verdicts if v.rule == "escape.width")
    assert width.word == "advise"
    assert "with both leaves open" in width.why
