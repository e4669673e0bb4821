"""Mullions and transoms: closed forms verified by numerical integration, cases calculated independently."""

import numpy as np
import pytest

from jambwright.checks.members import bar, bar_between, deflection_limit_mm, e_n_mm2, parallel_ei_n_mm2

STEEL = 210_000 * 1e4


@pytest.mark.parametrize(
    ("depth", "reaction", "moment", "sag"),
    [(450, 525.0, 247_500, 5.6768e10), (750, 375.0, 187_500, 4.2188e10)],
    ids=["trapezoid", "triangle"],
)
def test_closed_forms_match_numerical_integration(depth, reaction, moment, sag):
    """L 1500, q0 1 N/mm; five significant figures."""
    shape = {"peak_n_mm": 1.0, "depth_mm": depth, "span_mm": 1500}
    assert bar.end_reaction_n(**shape) == pytest.approx(reaction, rel=1e-9)
    assert bar.moment_n_mm(**shape) == pytest.approx(moment, rel=1e-9)
    assert bar.sag_times_ei_n_mm3(**shape) == pytest.approx(sag, rel=2e-5)


# span, widths, wind in Pa, moment N m, reaction N, E I for L/200 in N mm², steel cm4 at L/150, 175, 200, 300
CASES = [
    pytest.param(1350, (850, 850), 1200, 201.7, 471.8, 5.540e9, (1.98, 2.31, 2.64, 3.96), id="1350, 850+850"),
    pytest.param(1500, (900, 900), 1200, 267.3, 567.0, 8.175e9, (2.92, 3.41, 3.89, 5.84), id="1500, 900+900"),
    pytest.param(1200, (600, 600), 800, 79.2, 216.0, 1.949e9, (0.70, 0.81, 0.93, 1.39), id="1200, 600+600"),
    pytest.param(
        1100, (1200, 500), 1000, 90.7, 257.5, 2.016e9, (0.72, 0.84, 0.96, 1.44), id="1100, 1200+500"
    ),
]


@pytest.mark.parametrize(("span", "widths", "wind", "moment", "reaction", "ei", "steel"), CASES)
def test_bar_matches_the_reference(span, widths, wind, moment, reaction, ei, steel):
    found = bar_between(span_mm=span, pane_widths_mm=widths, wind_pa=wind, limit_mm=span / 200)
    assert found.moment_n_mm / 1000 == pytest.approx(moment, abs=0.06)
    assert found.reaction_n == pytest.approx(reaction, abs=0.06)
    assert found.ei_required_n_mm2 == pytest.approx(ei, rel=3e-4)
    limits = span / np.array([150, 175, 200, 300])
    needed = bar_between(span_mm=span, pane_widths_mm=widths, wind_pa=wind, limit_mm=limits)
    assert needed.ei_required_n_mm2 / STEEL == pytest.approx(np.array(steel), abs=0.006)


def test_reinforced_bar_of_2000_bends_a_hundredth_of_its_span():
    """2000, 900+900, 1.2 kPa, E I = 210000*4.5e4 + 2500*35e4: 20.06 mm, fails class A."""
    ei = parallel_ei_n_mm2(e_n_mm2=[210_000, 2500], i_cm4=[4.5, 35])
    assert ei == pytest.approx(1.0325e10)
    found = bar_between(span_mm=2000, pane_widths_mm=(900, 900), wind_pa=1200, limit_mm=10)
    assert found.moment_n_mm / 1000 == pytest.approx(503.5, abs=0.06)
    assert found.reaction_n == pytest.approx(837.0)
    assert found.ei_required_n_mm2 == pytest.approx(2.071e10, rel=3e-4)
    sag = found.sag_times_ei_n_mm3 / ei
    assert sag == pytest.approx(20.06, abs=0.005)
    assert sag > deflection_limit_mm(span_mm=2000.0, rule="class_a")


def test_uniform_shortcut_is_16_percent_safe():
    """1500 with the full width of 900 as a uniform load: 5 q L⁴/384 at L/200 wants 9.49e9 N mm², 4.52 cm4."""
    q = 1200e-6 * 900
    uniform = 5 * q * 1500**4 / 384 / (1500 / 200)
    assert uniform == pytest.approx(9.49e9, rel=1e-3)
    shed = bar_between(span_mm=1500, pane_widths_mm=(900, 900), wind_pa=1200, limit_mm=7.5)
    assert uniform / shed.ei_required_n_mm2 == pytest.approx(1.16, abs=0.005)


# EN 12210 classes A, B, C; EN 13830:2015 in its three ranges; UK practice; DIN 18008-2
LIMITS = [
    ("class_a", 1500, 10.0), ("class_b", 1500, 7.5), ("class_c", 1500, 5.0),
    ("curtain", 3000, 15.0), ("curtain", 4500, 20.0), ("curtain", 8000, 32.0),
    ("unit_uk", 1400, 8.0), ("unit_uk", 3500, 15.0), ("single_uk", 1250, 10.0), ("unit_edge", 1200, 6.0),
]  # fmt: skip


@pytest.mark.parametrize(("rule", "span", "limit"), LIMITS)
def test_deflection_limits_follow_their_rule(rule, span, limit):
    assert deflection_limit_mm(span_mm=span, rule=rule) == pytest.approx(limit)


def test_limits_take_arrays():
    spans = np.array([3000.0, 4500.0, 8000.0])
    assert deflection_limit_mm(span_mm=spans, rule="curtain") == pytest.approx(np.array([15.0, 20.0, 32.0]))


@pytest.mark.parametrize(
    ("material", "e"), [("pvcu", 2200), ("steel", 210_000), ("aluminium", 70_000), ("softwood_c24", 11_000)]
)
def test_moduli_are_those_of_their_standards(material, e):
    """EN 12608-1, EN 1993-1-1, EN 1999-1-1, EN 338."""
    assert e_n_mm2(material) == e
