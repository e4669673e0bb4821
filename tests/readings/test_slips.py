"""What may have been meant by a figure as written, and doubts that arithmetic raises."""

import numpy as np
import pytest

from jambwright.readings import Reading, doubts
from jambwright.readings.slips import meant, slips_of


@pytest.mark.parametrize(
    ("slip", "written", "among"),
    [
        ("swapped", 1120, 1210),
        ("swapped", 1201, 1210),
        ("swapped", 2110, 1210),
        ("ten_or_hundred", 1220, 1210),
        ("ten_or_hundred", 1110, 1210),
        ("figure", 121, 1210),
        ("figure", 110, 1210),
        ("figure", 12210, 1210),
        ("unit", 121.0, 1210),
        ("unit", 47.638, 1210),
        ("wrong_end", 1310, 1210),
        ("wrong_end", 1135, 1210),
        ("sign", -4, 4),
    ],
)
def test_the_true_figure_is_among_what_may_have_been_meant(slip: str, written: float, among: float) -> None:
    assert np.nanmin(np.abs(meant(slip, np.array(float(written))) - among)) < 0.01


def test_equal_neighbours_and_leading_noughts_are_no_swaps() -> None:
    assert np.isnan(meant("swapped", np.array(1111.0))).all()
    found = meant("swapped", np.array(57.0))
    assert set(found[~np.isnan(found)]) == {75.0}


@pytest.mark.parametrize("kind", ["width", "level"])
def test_shares_of_slips_sum_to_one(kind: str) -> None:
    assert sum(s.share for s in slips_of(kind)) == pytest.approx(1)


def width(at: str, *mm: float) -> Reading:
    return Reading(kind="width", at=at, values_mm=mm)


@pytest.mark.parametrize(
    ("odd", "words"),
    [
        (121.0, "a tenth of the other widths (1210, 1211): given in centimetres? Write 1210"),
        (12100.0, "ten times the other widths"),
        (47.6, "a twenty-fifth of the other widths"),
    ],
)
def test_units_mixed_up_are_doubted_with_the_figure_to_write(odd: float, words: str) -> None:
    (found,) = doubts([width("bottom", odd), width("middle", 1210), width("top", 1211)])
    assert found.say.startswith("bottom width")
    assert words in found.say
    assert found.field == "width.bottom"


def test_a_lone_figure_in_centimetres_is_doubted() -> None:
    (found,) = doubts([width("bottom", 121)])
    assert "under the 150 mm of any frame" in found.say


def test_repeats_far_apart_are_to_be_read_once_more() -> None:
    (found,) = doubts([width("bottom", 1210, 1219)])
    assert found.kind == "caution"
    assert "9 mm apart; read it once more" in found.say
    assert doubts([width("bottom", 1210, 1213)]) == []


def test_honest_readings_raise_no_doubt() -> None:
    assert doubts([width("bottom", 1210), width("middle", 1180), width("top", 1225)]) == []
