"""What to measure so that a misread of a given size shows and can be named."""

import pytest

from jambwright.basis import BadInput
from jambwright.opening import reliability, what_to_measure
from jambwright.readings import Tool, Trust
from openings import PLACES, TAPE, UPRIGHT

STRAIGHT = Trust(bow_prior_mm=0)


def test_ends_and_diagonals_tie_without_levels_and_part_with_them() -> None:
    """Source: reliability notes of the project: plumb on both jambs separates the end widths, and so on."""
    tape = reliability([PLACES[m] for m in TAPE], width_mm=1200, height_mm=1200, trust=STRAIGHT)
    ties = {(r.kind, r.at): r.tied_with for r in tape}
    assert ties["width", "bottom"] == (("width", "top"),)
    assert ties["diagonal", "rising"] == (("diagonal", "falling"),)
    assert ties["width", "middle"] == ()
    all_round = reliability(
        [PLACES[m] for m in (*TAPE, *UPRIGHT)], width_mm=1200, height_mm=1200, trust=STRAIGHT
    )
    assert all(r.tied_with == () for r in all_round)
    assert max(r.smallest_nameable_mm or 99 for r in all_round) < 7.0


@pytest.mark.parametrize(("width", "height"), [(1200, 1200), (2400, 1100), (500, 450)])
@pytest.mark.parametrize("misread", [10.0, 5.0])
def test_the_set_advised_does_what_was_asked(misread: float, width: float, height: float) -> None:
    places = what_to_measure(misread, width_mm=width, height_mm=height, trust=STRAIGHT)
    planned = reliability(places, width_mm=width, height_mm=height, trust=STRAIGHT)
    lengths = [r for r in planned if r.kind in ("width", "height", "diagonal")]
    assert all((r.smallest_detectable_mm or 99) <= misread + 1e-9 for r in lengths)
    assert all((r.smallest_nameable_mm or 99) <= misread + 1e-9 for r in lengths)


def test_ten_millimetres_take_no_more_than_levels_and_plumbs_when_edges_are_straight() -> None:
    places = what_to_measure(10, width_mm=1200, height_mm=1200, trust=STRAIGHT)
    assert sorted(places) == sorted(PLACES[m] for m in (*TAPE, *UPRIGHT))


def test_a_better_tool_needs_fewer_readings() -> None:
    laser = Trust(tape_mm=0.7, level_mm=0.7, bow_prior_mm=0)
    many = what_to_measure(5, width_mm=1200, height_mm=1200, trust=STRAIGHT)
    few = what_to_measure(5, width_mm=1200, height_mm=1200, trust=laser)
    assert len(few) < len(many)


def test_a_misread_too_fine_for_the_tape_is_said_so() -> None:
    coarse = Trust(tools={"old": Tool(name="old", sigma_mm=5)}, tape_mm=5.0)
    with pytest.raises(BadInput, match="too fine to find with this tape"):
        what_to_measure(5, width_mm=1200, height_mm=1200, trust=coarse)
