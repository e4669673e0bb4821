"""A tape held against a known length: said, and its readings corrected only once that is accepted."""

import math

import pytest

from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.basis.tree import parse_tree
from jambwright.readings import Tool
from jambwright.readings.correction import check_error_mm, shared_error_mm, tool_error
from jambwright.readings.survey_file import read_survey, survey_from_tree

HOUSE = """
jambwright: 1
site: {label: Example (invented)}
tools:
  - {name: tape A, CHECK}
  - {name: long level, kind: level}
defaults: {tape: tape A}
openings:
  - id: W1
    room: kitchen
    outside:
      width: {bottom: 1210, middle: 1211, top: [1210, 1212]}
      height: {left: 1052, centre: 1051, right: 1052}
      diagonal: {rising: 1604, falling: {mm: 1603, tool: tape A}}
      level: {sill: {mm: 2, tool: long level}}
      plumb: {left: 1, right: 0}
"""
SHORT = "check: {known_mm: 1000, read_mm: 997, on: 2026-05-04}"
ACCEPTED = SHORT.replace("2026-05-04}", "2026-05-04, correct: true}")


def house(check):
    return read_survey(HOUSE.replace("CHECK", check))


def test_a_short_tape_is_said_and_changes_nothing_until_accepted():
    plain, checked = (job.check(house(text)) for text in ("kind: tape", SHORT))
    assert [remark.say for remark in checked.remarks if "tape A" in remark.say] == [
        "tape A reads about 3 mm short by its check of 2026-05-04 (-4.3 to -1.7 mm). Its lengths are used as written. "
        "Measure with another tape, or write `correct: true` in its check."
    ]
    assert not [remark for remark in plain.remarks if "tape A" in remark.say]
    (before,), (after,) = plain.openings, checked.openings
    assert after.order.width.value == before.order.width.value
    assert after.readings.outside.readings == before.readings.outside.readings


def test_once_accepted_every_length_is_corrected_by_the_same_and_no_level():
    (before,), (after,) = (job.check(house(text)).openings for text in ("kind: tape", ACCEPTED))
    for old, new in zip(before.readings.outside.readings, after.readings.outside.readings, strict=True):
        moved = 3.0 if new.kind in ("width", "height", "diagonal") else 0.0
        assert new.mm == pytest.approx(old.mm + moved)
        assert new.corrected_mm == moved
    assert after.order.width.value == pytest.approx(before.order.width.value + 3, abs=1)
    assert after.order.height.value == pytest.approx(before.order.height.value + 3, abs=1)
    said = [remark.say for remark in job.check(house(ACCEPTED)).remarks]
    assert any("3 mm are added to every length read with it" in say for say in said)


def test_what_stays_unknown_of_the_correction_is_shared_by_all_lengths():
    survey = house(ACCEPTED)
    (opening,) = survey.openings
    assert shared_error_mm(survey, opening) == pytest.approx(math.sqrt(2 * 0.75**2 / 3 + 0.2**2))
    five = house(ACCEPTED.replace("read_mm: 997", "read_mm: [997, 996.5, 997.5, 997, 997]"))
    assert shared_error_mm(five, opening) == pytest.approx(math.sqrt(2 * 0.75**2 / 15 + 0.2**2))
    assert shared_error_mm(house(SHORT), opening) == 0.5
    (rough,), (fine,) = (job.check(each).openings for each in (survey, five))
    assert fine.frame.size.probability_fits >= rough.frame.size.probability_fits - 0.004


def test_the_error_of_a_check_by_hand():
    """The eye within 0.75 mm at both ends, a rule good to 0.2 mm: sqrt(2 x 0.5625 / 3 + 0.04) = 0.644."""
    assert check_error_mm(eye_mm=0.75, known_length_mm=0.2, readings=1) == pytest.approx(0.6442, abs=1e-4)


def test_less_than_the_check_can_tell_is_never_corrected():
    near = ACCEPTED.replace("997", "999")
    said = [remark.say for remark in job.check(house(near)).remarks]
    assert any("nothing is corrected" in say for say in said)
    (before,), (after,) = (job.check(house(text)).openings for text in ("kind: tape", near))
    assert after.readings.outside.readings == before.readings.outside.readings


def test_an_accepted_check_counts_before_what_frames_told():
    learned = "learned: {bias_mm: -2, error_mm: 0.2, openings: 40, on: 2026-06-01}"
    assert tool_error(Tool.model_validate(parse_tree(f"{{name: A, {learned}}}"))).bias_mm == -2
    both = parse_tree(f"{{name: A, {learned}, {ACCEPTED}}}")
    assert tool_error(Tool.model_validate(both)).bias_mm == -3
    not_accepted = parse_tree(f"{{name: A, {learned}, {SHORT}}}")
    found = tool_error(Tool.model_validate(not_accepted))
    assert (found.bias_mm, found.counts) == (-2, True)


@pytest.mark.parametrize(
    ("check", "said"),
    [
        ("check: {known_mm: 1000, read_mm: 903, on: 2026-05-04}", "97 mm off"),
        ("check: {known_mm: 1000, read_mm: 997}", "on: is missing"),
        ("kind: level, check: {known_mm: 1000, read_mm: 999, on: 2026-05-04}", "turning it round"),
        ("check: {known_mm: 10, read_mm: 10, on: 2026-05-04}", "it must be at least 100"),
    ],
)
def test_a_check_that_cannot_be_is_refused(check, said):
    with pytest.raises(BadInput, match=said):
        house(check)


def test_a_blank_check_is_none():
    blank = "check: {known_mm: , read_mm: , on: , correct: }"
    assert house(blank).tools[0].check is None
    tree = parse_tree(HOUSE.replace("CHECK", blank))
    assert survey_from_tree(tree).tools[0].check is None


def test_a_check_read_several_times_goes_with_a_house_of_several_openings():
    again = parse_tree(HOUSE.replace("CHECK", SHORT.replace("read_mm: 997", "read_mm: [997, 997, 997.5]")))
    again["openings"].append(again["openings"][0] | {"id": "W2"})
    checked = job.check(survey_from_tree(again))
    assert len(checked.openings) == 2
    assert any("tape A reads about 2.8 mm short" in remark.say for remark in checked.remarks)
