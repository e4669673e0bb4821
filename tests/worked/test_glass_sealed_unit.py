"""Sealed units: EN 16612, Annex C, worked in the house's reference sheet; figures computed there."""

import numpy as np
import pytest

from jambwright.checks.glass import (
    LoadCase,
    PaneSize,
    check_unit,
    duration_of,
    isochoric_pressure_pa,
    strength_of,
    unit_loads,
)
from jambwright.checks.glass.plate import bulge_factor
from jambwright.checks.glass.unit import swollen, unit_factor_of
from jambwright.frame import parse_glazing

UNITS = {
    # width, height, make-up: k5, unit factor, shares of wind on pane 1, (p0 kPa, pressure left kPa)
    "1000 x 1500, 4/16/4": (1000, 1500, "4/16/4", 0.03720, 0.0095, (0.505, 0.495), (12, 0.114)),
    "1000 x 1000, 4/16/4": (1000, 1000, "4/16/4", 0.01938, 0.0181, (0.509, 0.491), (12, 0.217)),
    "600 x 1200, 4/16/4": (600, 1200, "4/16/4", 0.04990, 0.0523, (0.526, 0.474), (12, 0.628)),
    "400 x 400, 4/16/4": (400, 400, "4/16/4", 0.01938, 0.4185, (0.709, 0.291), (12, 5.02)),
    "300 x 1000, 4/16/4": (300, 1000, "4/16/4", 0.06757, 0.3949, (0.697, 0.303), (12, 4.74)),
    "500 x 1500, 6/16/4": (500, 1500, "6/16/4", 0.06455, 0.1202, (0.799, 0.201), (12, 1.44)),
}


@pytest.mark.parametrize("row", UNITS.values(), ids=UNITS)
def test_sharing_of_wind_and_climate_in_double_units(row):
    width, height, make_up, k5, factor, shares, (isochoric, left) = row
    unit, size = parse_glazing(make_up), PaneSize(width_mm=width, height_mm=height)
    # k5 of the sheet comes from a fit that is within 1 % of the series
    assert bulge_factor(aspect=size.aspect) == pytest.approx(k5, rel=0.01)
    assert unit_factor_of(swollen(unit, size)) == pytest.approx(factor, rel=0.01)
    blown = unit_loads(unit, size, wind_pa=1000.0, isochoric_pa=0.0)
    assert blown.pane_pa / 1000 == pytest.approx(shares, abs=0.003)
    swelled = unit_loads(unit, size, wind_pa=0.0, isochoric_pa=isochoric * 1000)
    assert swelled.cavity_pa / 1000 == pytest.approx([left], rel=0.01)
    assert swelled.pane_pa == pytest.approx([-swelled.cavity_pa[0], swelled.cavity_pa[0]])


@pytest.mark.parametrize(
    ("altitude_m", "warmer_k", "barometer_pa", "isochoric_pa"),
    # DIN 18008 sets, summer and winter (from memory, medium)
    [(600, 20, -2000, 16_000), (-300, -25, 4000, -16_100)],
)
def test_isochoric_pressure_of_the_usual_sets(altitude_m, warmer_k, barometer_pa, isochoric_pa):
    found = isochoric_pressure_pa(
        altitude_change_m=altitude_m, temperature_change_k=warmer_k, pressure_change_pa=barometer_pa
    )
    assert found == pytest.approx(isochoric_pa)


def test_the_linear_gas_law_is_within_4_percent_of_boyles():
    # 400 x 400, 4/16/4: (100 + p0) V = (100 + p)(V + v p) gives 4.88 and -5.18 kPa for p0 of 12 and -12 kPa
    unit, size = parse_glazing("4/16/4"), PaneSize(width_mm=400, height_mm=400)
    volume = size.area_mm2 * 16
    for isochoric, exact in ((12e3, 4.88e3), (-12e3, -5.18e3)):
        bulge = 2 * size.bulge_mm3_pa(4.0)
        roots = np.roots([bulge, volume + 1e5 * bulge, -isochoric * volume])
        boyle = roots[np.abs(roots).argmin()]
        assert boyle == pytest.approx(exact, rel=0.005)
        linear = unit_loads(unit, size, wind_pa=0.0, isochoric_pa=isochoric).cavity_pa[0]
        assert linear == pytest.approx(boyle, rel=0.04)


@pytest.mark.parametrize(
    ("wind_pa", "deflection_mm", "stress"), [(863, 6.48, 9.76), (863 * 1.5, 8.45, 12.37)]
)
def test_the_worked_unit_of_1000_by_1500(wind_pa, deflection_mm, stress):
    case = LoadCase(name="wind", kmod=duration_of("wind"), wind_pa=float(wind_pa))
    check = check_unit(parse_glazing("4/16/4"), width_mm=1000.0, height_mm=1500.0, cases=[case])
    outer = check.panes[0]
    assert outer.load_pa == pytest.approx(0.505 * wind_pa, rel=0.002)
    assert outer.deflection_mm == pytest.approx(deflection_mm, rel=0.01)
    assert outer.stress_n_mm2 == pytest.approx(stress, rel=0.01)
    assert outer.design_strength_n_mm2 == pytest.approx(20.81, abs=0.01)
    assert check.passes


@pytest.mark.parametrize(("width_mm", "height_mm", "stress"), [(300, 1000, 25.7), (400, 400, 18.6)])
def test_small_stiff_units_are_governed_by_climate(width_mm, height_mm, stress):
    cases = [LoadCase(name="summer", kmod=duration_of("daily_climate"), climate_pa=16_000.0)]
    check = check_unit(parse_glazing("4/16/4"), width_mm=width_mm, height_mm=height_mm, cases=cases)
    for pane in check.panes:
        assert pane.stress_n_mm2 == pytest.approx(stress, rel=0.01)
        assert pane.design_strength_n_mm2 == pytest.approx(float(strength_of("annealed", 0.58)))
    assert not check.passes


def test_three_panes_solved_by_hand():
    # equal panes and cavities, K = p_a v / V: (1 + 2K) p1 - K p2 = p0 + K w; (1 + 2K) p2 - K p1 = p0
    unit, size = parse_glazing("4/12/4/12/4"), PaneSize(width_mm=500, height_mm=900)
    give = 1e5 * size.bulge_mm3_pa(4.0) / (size.area_mm2 * 12)
    matrix = [[1 + 2 * give, -give], [-give, 1 + 2 * give]]
    expected = np.linalg.solve(matrix, [3000 + give * 800, 3000])
    found = unit_loads(unit, size, wind_pa=800.0, isochoric_pa=3000.0)
    assert found.cavity_pa == pytest.approx(expected)
    assert found.pane_pa == pytest.approx([800 - expected[0], expected[0] - expected[1], expected[1]])
