"""What is said on the ladder: the verdict, what nothing checks, what to measure next."""

import re

import pytest

from jambwright.opening import Advice, adjust, advise, search
from jambwright.readings import USUAL, Reading
from openings import FULL, TAPE, UPRIGHT, diagonals_in_doubt, error_free, readings

CLEAN = error_free(FULL)


def advice(marked: dict[str, float]) -> Advice:
    taken = readings(marked)
    got = adjust(taken)
    return advise(got, search(got, taken, USUAL), USUAL)


@pytest.mark.parametrize(
    ("marks", "word"),
    [
        (FULL, "agree"),
        ((*TAPE, *UPRIGHT), "agree"),
        (TAPE, "agree"),
        ((*TAPE, "Ls"), "agree"),
        ((*TAPE[:6], *UPRIGHT), "agree"),
        (("Wb", "Wt", "Hl", "Hr", "D1", "D2"), "agree"),
        (TAPE[:6], "too few readings to tell"),
        (TAPE[:7], "too few readings to tell"),
        (("Wb", "Wt", "Hl", "Hr"), "too few readings to tell"),
        (("Wm", "Hc"), "too few readings to tell"),
        ((*TAPE[:6], "Ls", "Pl"), "too few readings to tell"),
    ],
    ids=lambda v: " ".join(v) if isinstance(v, tuple) else v,
)
def test_the_verdict_follows_what_the_set_can_check(marks: tuple[str, ...], word: str) -> None:
    assert advice({m: CLEAN[m] for m in marks}).word == word


def test_a_missing_diagonal_is_asked_for_and_the_other_named_as_unchecked() -> None:
    got = advice({m: CLEAN[m] for m in TAPE if m != "D1"})
    assert ("diagonal", "falling") in got.unchecked
    assert got.measure_next == ("diagonal", "rising")
    assert any("Nothing checks the falling diagonal" in line for line in got.say)


def test_a_lone_level_is_named_as_unchecked() -> None:
    assert advice({m: CLEAN[m] for m in (*TAPE, "Ls")}).unchecked == (("level", "sill"),)


def test_missing_squareness_and_level_are_said_in_plain_words() -> None:
    say = " ".join(advice({m: CLEAN[m] for m in TAPE[:6]}).say)
    assert "out of square is not measured" in say
    assert "No level or plumb was read" in say


def test_a_suspect_is_to_be_measured_again_with_its_likely_value() -> None:
    got = advice(CLEAN | {"Wb": 1024.0})
    assert got.word == "measure again"
    assert got.measure_next == ("width", "bottom")
    assert "bottom width 1024 mm is likely 1204 mm (two figures swapped" in got.say[0]


def test_the_extra_reading_is_one_that_parts_the_explanations() -> None:
    """Two diagonals in doubt: widths and heights tell nothing; a plumb, or one of the two again, does."""
    got = advice(diagonals_in_doubt())
    assert got.measure_next is not None
    assert got.measure_next[0] in {"plumb", "diagonal", "level"}
    assert "can't tell which" in got.say[-1]


def test_more_than_two_misreads_send_the_fitter_round_again() -> None:
    wrong = {"Wb": 41.0, "Wt": -63.0, "Hr": -52.0, "D1": 74.0}
    got = advice(CLEAN | {m: CLEAN[m] + by for m, by in wrong.items()})
    assert got.word == "measure again"
    assert "measure the whole opening again" in got.say[-1]


def test_a_reading_is_never_told_as_wrong_by_nothing() -> None:
    """A jamb stepped by 12 mm whose plumb was called the wrong way; a second plumb is off by a hair beside it."""
    width = {"bottom": 1198, "lower_quarter": 1198, "middle": 1208, "upper_quarter": 1210, "top": 1210}
    others = readings(
        {"Hl": 1050, "Hc": 1051, "Hr": 1050, "D1": 1594, "D2": 1604, "Ls": 1, "Lh": 0, "Pl": 12, "Pr": 0}
    )
    taken = [*(Reading(kind="width", at=at, values_mm=(float(mm),)) for at, mm in width.items()), *others]
    got = adjust(taken)
    said = " ".join(advise(got, search(got, taken, USUAL), USUAL).say)
    assert "plumb of the left jamb -12 mm, not 12" in said
    assert not re.search(r"(?<![\d.-])(-?\d+) mm, not \1(?![\d.])", said)
    assert said.count("-12 mm, not 12") == 1


def test_nought_is_never_told_as_less_than_nought() -> None:
    """A bow that was likely a hair under 0 is told as 0, not as -0."""
    for mark in ("Bl", "Br", "Bs", "Bh"):
        for off in (-97.0, 97.0):
            assert "-0 mm" not in " ".join(advice(CLEAN | {mark: CLEAN[mark] + off}).say)
