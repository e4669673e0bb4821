import numpy as np
import pytest

from jambwright.basis import BadInput
from jambwright.checks.fixings import screw_length_mm, weight_on_packers, weight_verdict
from jambwright.checks.fixings.screw_length import stock_lengths_mm

WINDOW = {"width_mm": 1200.0, "at_mm": [0, 600, 1200], "masses_kg": [8, 18, 8]}


def test_packers_carry_the_whole_weight():
    found = weight_on_packers(**WINDOW, packers_mm=[60, 600, 1140])
    assert sum(found.packers_n) == pytest.approx(34 * 9.81)
    assert found.problems == ()


def test_mullion_without_a_packer_is_told():
    found = weight_on_packers(**WINDOW, packers_mm=[60, 1140])
    assert "600 mm from the left" in found.problems[0].say


@pytest.mark.parametrize(
    ("packers", "word"), [([60, 600, 1140], "meets"), ([60, 1140], "advise"), ([], "fails"), ([600], "fails")]
)
def test_weight_wants_a_way_to_the_sill(packers, word):
    assert weight_verdict(**WINDOW, packers_mm=packers, jamb_fixings=6).word == word


def test_unpacked_weight_hangs_on_the_screws():
    found = weight_verdict(**WINDOW, packers_mm=[], jamb_fixings=6)
    assert found.found == pytest.approx(34 * 9.81 / 6)


@pytest.mark.parametrize(
    ("frame", "gap", "embedment", "length"),
    [(45, 7, 50, 112), (45, 5, 42, 92), (45, 5, 42.5, 112), (70, 30, 80, 182)],
)
def test_next_stock_length_up_is_taken(frame, gap, embedment, length):
    """Frame + gap + embedment, worked by hand."""
    assert screw_length_mm(fixing="screw_7_5", frame_mm=frame, gap_mm=gap, embedment_mm=embedment) == length


def test_lengths_take_arrays():
    gaps = np.array([5.0, 12.0, 60.0])
    found = screw_length_mm(fixing="plug_10", frame_mm=45, gap_mm=gaps, embedment_mm=50)
    assert found.tolist() == [100, 120, 160]


def test_screw_that_is_not_in_stock_is_refused_with_the_remedy():
    with pytest.raises(BadInput, match="use lugs"):
        screw_length_mm(fixing="plug_8", frame_mm=70, gap_mm=40, embedment_mm=50)


def test_negative_sizes_are_refused_together():
    with pytest.raises(BadInput) as refused:
        screw_length_mm(fixing="plug_8", frame_mm=-1, gap_mm=-2, embedment_mm=50)
    assert [p.field for p in refused.value.problems] == ["frame_mm", "gap_mm"]


def test_unknown_kind_is_refused():
    with pytest.raises(BadInput, match="plug_10"):
        stock_lengths_mm("nail")
