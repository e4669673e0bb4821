"""A frame as it was left, judged by what was ordered and planned."""

from dataclasses import replace

import pytest

from jambwright import job
from jambwright.basis.tables import read_text, table
from jambwright.frame.movement import movement_gap
from jambwright.handover import Ordered, beside, judged
from jambwright.readings.fitted import AsFitted
from jambwright.readings.survey_file import read_survey

ORDERED = Ordered(
    width_mm=1190, height_mm=1000, material="pvcu", colour="white", fixings=10,
    gaps_mm={"left": {"bottom": 8.0, "middle": 8.0, "top": 8.0}}, glass={"A": "4-16-4"},
)  # fmt: skip
LEAST = table("joint_rules").find(rule="least_anywhere_mm")["value"]
JOINT = movement_gap(material="pvcu", colour="white", length_mm=1190)


def read(**fields):
    return AsFitted.model_validate(fields)


@pytest.mark.parametrize(
    ("side", "mm", "word"),
    [
        ("left", LEAST - 0.1, "fails"),
        ("left", LEAST, "advise"),
        ("left", JOINT.gap_per_side_mm - 0.1, "advise"),
        ("left", JOINT.gap_per_side_mm, "meets"),
        ("left", JOINT.gap_most_mm, "meets"),
        ("left", JOINT.gap_most_mm + 0.1, "advise"),
        ("bottom", JOINT.gap_most_mm + 9, "meets"),
    ],
)
def test_a_gap_is_judged_by_the_joint_in_the_tables(side, mm, word):
    """Joint of a white PVC-U frame under 1.5 m: 5 to 10 mm (LABC Warranty table, read)."""
    place = "bottom" if side == "left" else "centre"
    [verdict] = judged(read(gaps_mm={side: {place: mm}}), ORDERED)
    assert (verdict.word, verdict.found, bool(verdict.source)) == (word, mm, True)
    assert (JOINT.gap_per_side_mm, JOINT.gap_most_mm) == (5, 10)


def test_the_order_is_not_rounded_before_it_is_judged():
    # 3000 mm is where the joint of the table changes: 2999.6 is still under it
    edge = replace(ORDERED, width_mm=2999.6)
    under, over = (movement_gap(material="pvcu", colour="white", length_mm=mm) for mm in (2999.6, 3000.0))
    assert under.gap_per_side_mm < over.gap_per_side_mm
    [verdict] = judged(read(gaps_mm={"left": {"top": under.gap_per_side_mm}}), edge)
    assert verdict.word == "meets"


def test_fewer_fixings_than_planned_fail_and_nothing_is_judged_without_a_plan():
    assert [judged(read(fixings=n), ORDERED)[0].word for n in (9, 10, 11)] == ["fails", "meets", "meets"]
    assert judged(read(fixings=1, outside={"plumb": {"left": 50}}), None) == ()


def test_without_a_plan_the_least_joint_still_holds():
    words = [judged(read(gaps_mm={"left": {"top": mm}}), None)[0].word for mm in (LEAST - 0.1, LEAST)]
    assert words == ["fails", "meets"]


def test_what_was_not_read_is_left_out():
    found = beside(read(outside={"diagonal": {"rising": 1555}}, gaps_mm={"head": {"left": 6}}))
    assert (found.diagonals_mm, found.diagonals_differ_mm) == ({"rising": 1555}, None)
    assert (found.offsets_mm, found.gaps_mm) == ({}, {"head": {"left": 6}})


def test_a_frame_is_held_against_its_record_unrounded():
    [opening] = [o for o in job.check(read_survey(read_text("demo_house.yaml"))).openings if o.id == "W4"]
    ordered = Ordered.of(opening)
    assert (ordered.width_mm, ordered.height_mm) == (
        opening.frame.size.width_mm,
        opening.frame.size.height_mm,
    )
    assert ordered.fixings == opening.fitting.fixings.count
    assert (ordered.material, ordered.colour) == ("pvcu", "white")
    assert set(ordered.glass) == {light.mark for light in opening.frame.layout.lights}
