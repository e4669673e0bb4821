"""A window behind nibs, from its readings to every paper.

Sizes by hand; common practice, no published source.
"""

import csv
import functools
import io
import json

import pypdfium2
import pytest
from typer.testing import CliRunner

from jambwright import job
from jambwright.cli import app
from jambwright.paper.calculation_sheet import calculations
from jambwright.paper.fit_sheet import fit_sheets
from jambwright.paper.order_book import order_csv
from jambwright.paper.summary import summary
from jambwright.readings.survey_file import survey_from_tree
from jambwright.record import PlanRecord
from made_up_houses import readings, rebated_house


@functools.cache
def rebated() -> PlanRecord:
    return job.check(survey_from_tree(rebated_house()))


def planned(**changes):
    return job.check(survey_from_tree(rebated_house(**changes))).openings[0]


def stopped_by_readings(plan):
    """What the readings have against ordering, each shutting both gates."""
    ordering, work = (
        [r.say for r in gate.reasons if r.rule.startswith("readings.")]
        for gate in (plan.gates.ordering, plan.gates.work)
    )
    assert ordering == work
    return ordering


def words(record: PlanRecord) -> str:
    sheets = pypdfium2.PdfDocument(fit_sheets(record))
    return " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in sheets)


def test_the_order_fits_between_the_inner_reveals_and_laps_behind_the_nibs():
    """Inside 1250 less 5 mm a side, and what lean and chance take: below 1240; between the nibs 1200 at most."""
    plan = rebated().openings[0]
    assert 1228 <= plan.frame.width_mm <= 1240
    assert plan.frame.size.probability_fits >= 0.99
    assert stopped_by_readings(plan) == []
    assert plan.lapped is not None
    for side, nib in (("left", 26), ("right", 24), ("head", 28)):
        gaps, laps = plan.frame.size.gaps_mm[side], plan.lapped.laps_mm[side]
        assert min(laps) >= 10
        assert min(gaps.values()) > 3
        for gap, lap in zip(gaps.values(), laps, strict=True):
            assert gap + lap == pytest.approx(nib, abs=6)  # nib, lean and bow of two faces


def test_the_foot_stands_on_the_outer_sill():
    """1050 outside + 28 of nib - 5 at the head - 5 under it, less lean and chance."""
    plan = rebated().openings[0]
    assert 1058 <= plan.frame.height_mm <= 1068
    assert plan.frame.size.place_mm[1] == pytest.approx(plan.frame.size.gaps_mm["bottom"]["left"], abs=2)


def test_the_frame_stands_against_the_back_of_the_nibs_and_is_screwed_to_the_wall_behind():
    plan = rebated().openings[0]
    assert plan.frame.chosen.set_back_mm == 105
    assert plan.fitting.fixing_plan.fixing.substrate == "brick"
    strength = next(v for v in plan.checks if v.rule == "fixings.strength")
    assert "from the face" not in strength.why  # 327.5 - 140 = 187.5 mm to the room


def test_packers_fill_the_gap_to_the_inner_reveal():
    plan = rebated().openings[0]
    gaps = plan.frame.size.gaps_mm
    for point in plan.fitting.packers:
        told = gaps[point.side].values()
        assert min(told) - 1 <= point.gap_mm <= max(told) + 1


def test_the_seal_is_a_bead_on_the_nib_and_the_gap_behind_it_is_all_foam():
    plan = rebated().openings[0]
    left, right, head, bottom = plan.fitting.sealant
    for bead in (left, right, head):
        assert (bead.width_mm, bead.depth_mm, bead.backing) == (6.0, 6.0, "none")
    assert not bottom.against_nib
    assert [foam.depth_mm for foam in plan.fitting.foam[:3]] == [70.0] * 3
    assert plan.fitting.foam[0].gap_mm == pytest.approx(
        sum(w * g for w, g in zip((1, 4, 1), plan.frame.size.gaps_mm["left"].values(), strict=True)) / 6
    )


def test_every_paper_says_that_it_goes_in_from_inside_and_by_how_much_it_is_larger():
    house = rebated()
    plan = house.openings[0]
    larger = plan.lapped.larger
    assert plan.lapped.wider_mm == pytest.approx(plan.frame.width_mm - 1196, abs=1.5)
    assert f"In from inside, behind the nibs: {larger} than the hole seen from outside" in words(house)
    assert "edge of the nib in front" in words(house)
    assert "In from inside behind nibs" in words(house)
    assert "inside width bottom 1250" in words(house)
    assert "nibs left 26, right 24, head 28" in words(house)
    assert f"In from inside, behind the nibs: {larger}" in " ".join(summary(house).split())
    row = next(csv.DictReader(io.StringIO(order_csv(house).decode("utf-8-sig"))))
    assert row["behind nibs"] == f"in from inside, {larger} than the hole outside"
    line = json.loads(house.model_dump_json())["openings"][0]
    assert line["lapped"]["wider_mm"] == pytest.approx(plan.lapped.wider_mm)
    sheets = pypdfium2.PdfDocument(calculations(house))
    said = " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in sheets)
    assert "It stands behind the nibs and goes in from inside" in said
    assert "lap left jamb" in said
    assert "Inside: " in said


def test_a_straight_reveal_says_nothing_of_nibs():
    plan = planned(nibs={})
    assert (plan.lapped, plan.readings.nibs) == (None, ())
    assert stopped_by_readings(plan) == []


def test_without_inside_readings_nothing_is_ordered_and_what_to_measure_is_said():
    house = job.check(survey_from_tree(rebated_house(inside=None)))
    [opening] = house.openings
    assert opening.gates.shut == ("ordering", "work")
    assert stopped_by_readings(opening) == list(opening.readings.held)
    assert "do not order yet; do not start yet" in words(house)
    assert "Measure inside, between the reveals, three widths" in words(house)
    assert "The chance of going in is not known" in words(house)
    first = " ".join(summary(house).split("\nW1 parlour: ")[0].replace("! ", "").split())
    for what in ("do not order yet.", "do not start yet."):
        assert opening.readings.held[0] in first.split(f"W1 parlour: {what}")[1]
    told = CliRunner().invoke(app, ["check", "-"], input=json.dumps(rebated_house(inside=None)))
    assert told.exit_code == 1
    assert (
        "W1 parlour: Stops the order and the work: The reveal is rebated and the hole behind the nibs was not read"
        in told.output
    )


def test_an_inside_set_without_heights_is_as_good_as_none():
    widths = {"width": readings(1250, 1090, lean=0, level=0, taper=0, bow=0)["width"]}
    plan = planned(inside=widths)
    assert "was read without widths or without heights" in stopped_by_readings(plan)[0]


def test_nibs_that_are_wider_than_the_inner_hole_are_held():
    plan = planned(inside=readings(1190, 1090, lean=4, level=2, taper=-3, bow=2))
    (said,) = stopped_by_readings(plan)
    assert "nibs can't stand in past a narrower reveal" in said
    assert "Measure both middle widths again" in said


def test_nibs_and_readings_that_miss_each_other_are_held():
    plan = planned(nibs={"left": 60, "right": 24, "head": 28})
    (said,) = stopped_by_readings(plan)
    assert "60 mm left and 24 mm right" in said
    assert "less. Measure the nibs and the middle widths again." in said


def test_a_misread_inside_holds_the_order_though_the_outside_agrees():
    inner = readings(1250, 1090, lean=5, level=2, taper=-2, bow=1)
    inner["width"] = inner["width"] | {"bottom": 1205}
    plan = planned(inside=inner)
    assert plan.readings.word == "agree"
    assert "Inside: bottom width 1205 mm is likely 1250" in stopped_by_readings(plan)[0]
    assert not plan.readings.agree


def test_a_nib_too_small_to_seal_behind_is_held():
    plan = planned(
        inside=readings(1224, 1090, lean=5, level=2, taper=-2, bow=1),
        nibs={"left": 13, "right": 12, "head": 28},
    )
    said = stopped_by_readings(plan)
    assert all("it takes 10 mm to seal it" in each for each in said)
    assert len(said) == 2


def test_a_nib_that_would_cover_a_sash_is_cleared_and_told():
    """Face 65 with 10 in sight: at most 55 of an 85 mm nib may lap, so 30 mm stays behind the frame."""
    plan = planned(
        inside=readings(1370, 1090, lean=5, level=2, taper=-2, bow=1),
        nibs={"left": 85, "right": 85, "head": 28},
    )
    assert stopped_by_readings(plan) == []
    for side in ("left", "right"):
        assert max(plan.lapped.laps_mm[side]) <= 55
        assert min(plan.frame.size.gaps_mm[side].values()) >= 30
        (told,) = (r.say for r in plan.remarks if r.field == f"nibs.{side}")
        assert "a sash can't open nor the glass drain" in told
        assert "line the reveal" in told


def test_nibs_not_read_are_taken_wide_and_said():
    read, told = rebated().openings[0], planned(nibs={}, wall={"reveal_rebate_mm": 28, "cavity_mm": 0})
    assert stopped_by_readings(told) == []
    assert told.frame.height_mm < read.frame.height_mm
    assert any(
        "The nibs were not read; taken are left 25 mm, right 25 mm, head 28 mm" in r.say for r in told.remarks
    )


def test_a_side_without_a_nib_goes_by_the_outer_face():
    plan = planned(nibs={"left": 0, "right": 24, "head": 28})
    assert set(plan.readings.nibs) == {"right", "head"}
    assert plan.frame.width_mm == pytest.approx(1196 + 24 - 10, abs=5)
    assert not plan.fitting.sealant[0].against_nib


def test_a_frame_sill_ends_between_the_nibs():
    plan = planned(old_sill="none")
    assert plan.frame.sill.reveal_length_mm < 1200 < plan.frame.width_mm
    assert any("pack the frame's ends solid, 30 mm more" in r.say for r in plan.remarks)
