"""What is wrong with several readings at once, or with the shape: named in a surveyor's words, none accused alone."""

import math

import pytest

from jambwright.opening import Advice, Findings, adjust, advise, search
from jambwright.readings import USUAL
from jambwright.readings.written import Written, written_to
from openings import FULL, TAPE, error_free, readings

CLEAN = error_free(FULL)


def told(marked: dict[str, float]) -> tuple[Findings, Advice]:
    taken = readings(marked)
    outline = adjust(taken)
    findings = search(outline, taken, USUAL)
    return findings, advise(outline, findings, USUAL)


def test_three_widths_short_alike_are_told_as_a_set_that_a_case_explains() -> None:
    findings, advice = told(CLEAN | {mark: CLEAN[mark] - 20 for mark in ("Wb", "Wm", "Wt")})
    assert advice.word == "measure again"
    assert "The widths, heights and diagonals do not agree." in advice.say[0]
    assert (
        "the three widths look 20 mm short alike: was the tape read from its case or hook?" in advice.say[0]
    )
    assert all(suspect.chance < 0.9 for suspect in findings.suspects)


def test_a_place_read_twice_counts_once_in_a_set() -> None:
    short = {mark: CLEAN[mark] - 20 for mark in ("Wb", "Wm", "Wt")}
    taken = readings(CLEAN | short | {"Wm": [short["Wm"], short["Wm"] + 1]})
    outline = adjust(taken)
    said = advise(outline, search(outline, taken, USUAL), USUAL).say[0]
    assert "the three widths" in said
    assert "the eight lengths" in said


def test_an_arched_head_that_was_read_is_no_misread_but_is_told() -> None:
    findings, advice = told(CLEAN | {"Hc": CLEAN["Hc"] + 40, "Bh": -40.0})
    assert advice.word == "agree"
    assert "head looks arched, rise 40 mm" in findings.remarks[0]


def test_without_the_heads_bow_an_arch_and_a_misread_height_are_both_told() -> None:
    findings, advice = told({mark: CLEAN[mark] for mark in TAPE} | {"Hc": CLEAN["Hc"] + 40})
    assert advice.word == "measure again"
    assert "head looks arched, rise 40 mm" in " ".join(advice.say)
    assert {(s.kind, s.at) for s in findings.suspects} == {("height", "centre")}
    assert findings.suspects[0].chance < 0.9


def test_bows_called_the_wrong_way_are_told_as_one_habit() -> None:
    marked = error_free(FULL, (8.0, 6.0, -5.0, 7.0))
    _, advice = told(marked | {mark: -marked[mark] for mark in ("Bl", "Br", "Bs", "Bh")})
    assert advice.say[0].startswith("The four bows look called the wrong way")


def test_a_jamb_that_bulges_is_believed_and_looked_at_for_a_step() -> None:
    findings, advice = told(error_free(FULL, (18.0, 0.0, 0.0, 0.0)))
    assert advice.word == "agree"
    assert findings.remarks[0].startswith("The left jamb looks bulged or stepped in by 18 mm at its middle")


@pytest.mark.parametrize(
    ("marked", "step"),
    [
        (
            {"Wb": 1205, "Wm": 1200, "Wt": 1200, "Hl": 1055, "Hc": 1050, "Hr": 1050, "D1": 1600, "D2": 1595},
            5.0,
        ),
        (
            {"Wb": 1210, "Wm": 1200, "Wt": 1200, "Hl": 1050, "Hc": 1050, "Hr": 1060, "D1": 1600, "D2": 1590},
            10.0,
        ),
        (
            {"Wb": 1204, "Wm": 1200, "Wt": 1200, "Hl": 1055, "Hc": 1050, "Hr": 1050, "D1": 1600, "D2": 1595},
            1.0,
        ),
        ({"Wb": 1205, "Wm": 1200, "Hl": 1055, "Hc": 1050}, 1.0),
    ],
)
def test_figures_written_to_a_step_are_seen_from_their_last_digits(
    marked: dict[str, float], step: float
) -> None:
    assert written_to(readings(marked)) == Written(lengths_mm=step, offsets_mm=step)
    finely = written_to(readings(marked | {"Ls": 3.0}))
    assert finely == Written(lengths_mm=step)


def test_rounding_adds_the_spread_of_an_even_error() -> None:
    """Standard deviation of an error evenly spread over a step: step/√12 (textbook theory)."""
    assert Written(lengths_mm=5.0).sigma_mm("width") == pytest.approx(5 / math.sqrt(12))
    assert Written(lengths_mm=5.0).sigma_mm("bow") == 0.0
