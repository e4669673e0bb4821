"""Degree days, sun on walls and worked savings (SAP Appendix U read in public transcriptions)."""

import numpy as np
import pytest

from jambwright import calc
from jambwright.checks.heat.climate import (
    DAYS,
    HEATING_MONTHS,
    climate,
    degree_days_of_year,
    sun_on_wall_w_m2,
)
from jambwright.checks.heat.saving import degree_day_heat_kwh, sun_kwh


@pytest.mark.parametrize(
    ("region", "mean", "hitchin", "plain"),
    [
        ("uk_average", 10.02, 2194, 2062), ("east_pennines", 10.02, 2194, 2062), ("thames", 11.08, 1910, 1774),
        ("south_east_england", 10.86, 1959, 1816), ("southern_england", 10.97, 1911, 1764),
        ("south_west_england", 10.86, 1891, 1741), ("severn", 10.47, 2050, 1910), ("midlands", 10.05, 2188, 2056),
        ("west_pennines", 10.19, 2128, 1989), ("north_west_england_south_west_scotland", 9.03, 2469, 2360),
        ("borders", 9.13, 2444, 2324), ("north_east_england", 9.46, 2351, 2217), ("east_anglia", 10.72, 2012, 1874),
        ("west_scotland", 8.88, 2510, 2415), ("east_scotland", 8.68, 2587, 2491),
        ("north_east_scotland", 8.18, 2747, 2674), ("highland", None, 2917, 2865),
        ("western_isles", None, 2483, 2416), ("wales", 9.86, 2195, 2059), ("northern_ireland", None, 2297, 2178),
    ],
)  # fmt: skip
def test_regional_degree_days_to_base_15_5(region, mean, hitchin, plain):
    """Independent reckoning from the same SAP table, by Hitchin's formula and as a plain sum of gaps."""
    place = climate(region)
    assert degree_days_of_year(place) == pytest.approx(hitchin, abs=0.6)
    assert float(np.maximum(15.5 - place.outside_c, 0) @ DAYS) == pytest.approx(plain, abs=0.6)
    if mean is not None:
        assert float(place.outside_c @ DAYS) / 365 == pytest.approx(mean, abs=6e-3)


FLUX = {
    "north": ("10.63 20.32 34.53 55.46 74.72 79.99 74.68 59.25 41.52 24.19 13.12 8.86", 363.9),
    "east": ("19.64 38.42 63.27 92.28 113.09 115.77 110.22 94.68 73.59 45.59 24.49 16.15", 590.4),
    "west": ("19.64 38.42 63.27 92.28 113.09 115.77 110.22 94.68 73.59 45.59 24.49 16.15", 590.4),
    "south": ("46.75 76.57 97.53 110.23 114.87 110.55 108.01 104.89 101.89 82.59 55.42 40.40", 766.4),
}


@pytest.mark.parametrize("facing", FLUX)
def test_sun_on_upright_glass(facing):
    """North and south equal the figures printed on SAP worksheets (from memory, high)."""
    printed, year = FLUX[facing]
    sun = sun_on_wall_w_m2(climate("uk_average"), facing=facing)
    assert sun == pytest.approx([float(v) for v in printed.split()], abs=5.1e-3)
    assert float(sun @ DAYS) * 24 / 1000 == pytest.approx(year, abs=0.051)


@pytest.mark.parametrize(
    ("area", "before", "after", "days", "efficiency", "heat", "fuel", "carbon"),
    [(18, 4.8, 1.4, 2194, 0.84, 3222.5, 3836.4, 805.6), (10, 2.7, 1.2, 2463, 0.90, 886.7, 985.2, 206.9)],
)
def test_worked_savings(area, before, after, days, efficiency, heat, fuel, carbon):
    answer = calc.answer(
        "house-saving",
        {
            "degree_days": days,
            "heating": {"kind": "gas_condensing", "efficiency": efficiency},
            "openings": [{"area_m2": area, "before": {"u_w_m2k": before}, "after": {"u_w_m2k": after}}],
        },
    )
    way = answer["by_degree_days"]
    assert way["fabric_kwh"] == pytest.approx(heat, abs=0.06)
    assert way["fuel_kwh"] == pytest.approx(fuel, abs=0.1)
    assert way["co2_kg"] == pytest.approx(carbon, abs=0.06)


@pytest.mark.parametrize(
    ("facing", "lost"), [("north", 18.9), ("east", 32.2), ("west", 32.2), ("south", 48.6)]
)
def test_sun_lost_to_better_glass_from_october_to_may(facing, lost):
    """g 0.85 to 0.63, frame factor 0.7, average overshading 0.77, SAP's 0.9."""
    sun = sun_on_wall_w_m2(climate("uk_average"), facing=facing)
    found = sun_kwh(sun_w_m2=sun, days=DAYS * HEATING_MONTHS, area_m2=1.0, g=0.85 - 0.63, glass_share=0.7)
    assert found == pytest.approx(lost, abs=0.051)


def test_the_national_standard_year_gives_the_saving_of_its_constant():
    """2463 K day at base 15.5, a fixed year for comparison (read: enmanreg.org, vesma.com)."""
    months = [395, 342, 297, 233, 151, 77, 42, 45, 83, 177, 275, 346]
    assert sum(months) == 2463
    assert degree_day_heat_kwh(u_drop_w_m2k=1.5, area_m2=10, degree_days_kd=sum(months)) == pytest.approx(
        886.7, abs=0.06
    )
