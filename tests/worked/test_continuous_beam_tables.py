"""Continuous beams against textbook tables and independently integrated cases."""

import numpy as np
import pytest

from jambwright.checks.fixings import continuous_beam, line_load

# Textbook tables of continuous beams, equal spans under uniform load, per w L and w L²; three decimals.
EQUAL_SPANS = {
    2: ([0.375, 1.250, 0.375], [-0.125]),
    3: ([0.400, 1.100, 1.100, 0.400], [-0.100, -0.100]),
    4: ([0.393, 1.143, 0.929, 1.143, 0.393], [-0.107, -0.071, -0.107]),
    5: ([0.395, 1.132, 0.974, 0.974, 1.132, 0.395], [-0.105, -0.079, -0.079, -0.105]),
}


@pytest.mark.parametrize("spans", EQUAL_SPANS)
def test_equal_spans_match_the_textbook_tables(spans):
    reactions, moments = EQUAL_SPANS[spans]
    found = continuous_beam(supports_mm=np.arange(spans + 1.0), load=line_load([0, spans], [1, 1]))
    assert found.reactions_n == pytest.approx(reactions, abs=5.1e-4)
    assert found.support_moments_n_mm[1:-1] == pytest.approx(moments, abs=5.1e-4)


# Reference cases computed independently of this code; the last two by a numerical integration that is good
# to 0.3 %.
UNEQUAL = [
    pytest.param(
        [0, 400, 1000], [0, 1000], [1, 1], [112.5, 645.8, 241.7], [0, -35_000, 0], 1e-3, id="400+600",
    ),
    pytest.param(
        [150, 600, 1050], [0, 1200], [0.6, 0.6], [213.75, 292.5, 213.75], [-6750, -11_812, -6750], 1e-3,
        id="jamb 1200",
    ),
    pytest.param(
        [200, 675, 1150], [0, 1350], [0.6, 0.6], [264.8, 280.5, 264.8], [-12_000, -10_922, -12_000], 1e-3,
        id="jamb 1350",
    ),
    pytest.param(
        [150, 600, 1050, 1500, 1950], [0, 2100], [0.6, 0.6], [215.4, 282.9, 263.6, 282.9, 215.4],
        [-6750, -11_089, -9643, -11_089, -6750], 1e-3, id="jamb 2100",
    ),
    pytest.param(
        [150, 600, 1050], [0, 400, 800, 1200], [0, 0.48, 0.48, 0], [69.4, 245.2, 69.4], [-675, -10_390, -675],
        3e-3, id="trapezoid of a pane 800 wide",
    ),
    pytest.param(
        [150, 600, 1050], [0, 600, 1200], [0, 0.72, 0], [70.5, 291.0, 70.5], [-675, -11_508, -675], 3e-3,
        id="triangle of a pane 1200 wide",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("supports", "at", "load", "reactions", "moments", "tolerance"), UNEQUAL)
def test_unequal_and_overhanging_beams_match_the_reference(supports, at, load, reactions, moments, tolerance):
    found = continuous_beam(supports_mm=supports, load=line_load(at, load))
    assert found.reactions_n == pytest.approx(reactions, rel=tolerance)
    assert found.support_moments_n_mm == pytest.approx(moments, rel=tolerance)
