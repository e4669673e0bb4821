"""The section of a joint is drawn true: gap, set-back, seal and wall measured off the drawing again."""

import pytest

from demo_house import MARKS, recorded
from jambwright import job
from jambwright.basis.border import accept
from jambwright.paper.fit_joints import alike, joint_view
from jambwright.paper.joint_section import BEHIND_MM, JointView, section_at
from jambwright.paper.scene import Area, Circle, Line
from jambwright.readings.survey import Survey
from made_up_houses import rebated_house
from scene_checks import overlapping_words, struck_words


def drawn(view: JointView, scale: float = 2.5):
    return section_at(view, scale)


def box_of(points):
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("mark", MARKS)
def test_what_is_drawn_measures_what_is_planned(mark):
    plan = recorded(mark)
    for joint in plan.fitting.joints:
        view = joint_view(plan, joint)
        scene = drawn(view)
        (frame,) = [box_of(line.points) for line in scene.lines("frame")]
        assert frame[0] == pytest.approx(plan.frame.chosen.set_back_mm)
        assert frame[2] - frame[0] == pytest.approx(plan.frame.chosen.profile.frame_depth_mm)
        gap = -frame[3] if joint.side != "bottom" else frame[1]
        assert gap == pytest.approx(joint.seal.width_mm, abs=0.06), "the wall lies at 0"
        (seal,) = [box_of(item.points) for item in scene.items if isinstance(item, Area)]
        assert seal[0] == pytest.approx(frame[0])
        assert seal[2] - seal[0] == pytest.approx(joint.seal.depth_mm)
        outer = box_of(scene.lines("wall")[0].points)
        assert outer[2] - outer[0] == pytest.approx(min(plan.wall.outer_mm, frame[2] + BEHIND_MM)), (
            "as far as it is drawn"
        )
        assert overlapping_words(scene) == []
        assert struck_words(scene) == []


@pytest.mark.parametrize("mark", MARKS)
def test_a_rod_is_drawn_round_and_a_tape_is_not(mark):
    plan = recorded(mark)
    for joint in plan.fitting.joints:
        items = drawn(joint_view(plan, joint)).items
        rods = [item for item in items if isinstance(item, Circle)]
        tapes = [item for item in items if isinstance(item, Line) and item.ink == "block"]
        assert (len(rods), len(tapes)) == ((1, 0) if joint.seal.backing == "rod" else (0, 1))
        if rods:
            assert 2 * rods[0].radius_mm == pytest.approx(joint.seal.width_mm, abs=0.06)
            assert joint.rod_mm >= 1.25 * joint.seal.width_mm, "rod 25 to 50 % larger than the gap"


def test_sides_that_hands_treat_the_same_share_a_section_and_the_bottom_never_does():
    kinds = set()
    for mark in MARKS:
        joints = recorded(mark).fitting.joints
        groups = alike(joints)
        assert sorted(joint.side for group in groups for joint in group) == sorted(j.side for j in joints)
        assert ["bottom"] in [[joint.side for joint in group] for group in groups]
        for group in groups:
            assert len({(joint.seal.backing, joint.rod_mm) for joint in group}) == 1
        kinds.add(len(groups))
    assert len(kinds) > 1, "some openings have more sides that differ than others"


def test_a_nib_stands_in_front_of_the_frame_with_the_bead_in_their_corner():
    [plan] = job.check(accept(Survey, rebated_house())).openings
    joint = next(each for each in plan.fitting.joints if each.side == "left")
    view = joint_view(plan, joint)
    assert view.nib_mm == pytest.approx(plan.lapped.laps_mm["left"][1])
    scene = drawn(view, 4)
    (bead,) = [box_of(item.points) for item in scene.items if isinstance(item, Area)]
    assert bead[2] == pytest.approx(view.set_back_mm), "against the face of the frame"
    assert bead[3] == pytest.approx(-view.gap_mm - view.nib_mm), "under the edge of the nib"
    assert not [item for item in scene.items if isinstance(item, Circle)]
    assert struck_words(scene) == []
    assert overlapping_words(scene) == []
