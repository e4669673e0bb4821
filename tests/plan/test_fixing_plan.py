"""Kind, number and length of fixings chosen for wind and wall."""

import itertools
from functools import partial

import pytest

from jambwright.basis import BadInput
from jambwright.checks.fixings import grid
from jambwright.plan import fixing_layout, plan_fixings

GAPS = {"left": 6, "right": 7, "head": 5, "sill": 5}


def planned(substrate, wind_pa, **more):
    lay = partial(fixing_layout, width_mm=1200, height_mm=1200)
    edges = grid(widths_mm=[1200], heights_mm=[1200], pressure_pa=wind_pa)
    return plan_fixings(lay, edges=edges, substrate=substrate, gaps_mm=GAPS, frame_mm=45, **more)


def test_calm_brick_wall_keeps_the_rule_and_asks_for_a_pull_test():
    found = planned("brick", 800)
    assert found.held.layout.count == fixing_layout(width_mm=1200, height_mm=1200).count
    assert found.verdict.word == "advise"
    assert "have pull tests made" in found.verdict.why
    assert found.problems == ()


def test_exposed_coast_gets_more_fixings_than_a_calm_place():
    assert (
        planned("aerated_block_7", 2400).held.layout.count > planned("aerated_block_7", 800).held.layout.count
    )


def test_wall_too_weak_for_the_wind_fails_and_says_what_to_do():
    found = planned("aerated_block", 2400)
    assert found.verdict.word == "fails"
    assert any("structural engineer" in p.say for p in found.problems)


def test_fixings_added_for_strength_stay_the_spacing_of_the_wall_apart():
    found = planned("aerated_block_7", 1800)
    at = found.held.layout.left.positions_mm
    assert min(b - a for a, b in itertools.pairwise(at)) >= found.fixing.spacing_mm


def test_unfixed_head_that_overloads_the_jambs_gets_lugs():
    """A mullion end on an unfixed head loads the tops of the jambs, where more jamb fixings do not help."""
    lay = partial(fixing_layout, width_mm=880, height_mm=1200, mullions_mm=[440], head="by_width")
    edges = grid(widths_mm=[440, 440], heights_mm=[1200], pressure_pa=1600)
    assert lay(at_least={}).head.positions_mm == ()
    found = plan_fixings(lay, edges=edges, substrate="aerated_block_7", gaps_mm=GAPS, frame_mm=45)
    assert found.held.layout.head.held_by == "lug"
    assert found.problems == ()


def test_length_reaches_through_frame_and_gap_into_the_wall():
    found = planned("brick", 800)
    for side, length in found.lengths_mm.items():
        assert length >= 45 + GAPS[side] + found.fixing.embedment_mm


def test_stone_has_no_figure_and_the_verdict_is_unknown():
    found = planned("stone", 800)
    assert (found.fixing, found.verdict.word) == (None, "unknown")
    assert "pull tests" in found.verdict.why


def test_screw_near_the_face_of_the_wall_is_told():
    assert "65 mm from the outer face" in planned("brick", 800, edge_mm=65).verdict.why


def test_gap_no_screw_reaches_across_is_a_caution_on_that_side():
    lay = partial(fixing_layout, width_mm=1200, height_mm=1200)
    edges = grid(widths_mm=[1200], heights_mm=[1200], pressure_pa=100)
    found = plan_fixings(lay, edges=edges, substrate="concrete", gaps_mm=GAPS | {"left": 400}, frame_mm=45)
    assert [p.field for p in found.problems if "longest" in p.say] == ["left_mm"]
    assert "left" not in found.lengths_mm


def test_unknown_substrate_is_refused():
    with pytest.raises(BadInput, match="substrate"):
        planned("cheese", 800)
