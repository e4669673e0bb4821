"""UK National Annex to EN 1991-1-4: worked cases of the house's reference sheet and one published example.

The reference cases were computed from the full digitised contours; the tool reads a table of them with two
or three digits, so 1 % is asked (a chart is good to about 2 %).
"""

import pytest

from jambwright.checks.wind import (
    MapSite,
    direction_factor,
    displacement_height_m,
    peak_pressure_pa,
)
from jambwright.checks.wind.charts import exposure_chart, town_chart
from jambwright.checks.wind.uk import altitude_factor, basic_pressure_pa, hill_factor, peak_from_basic_pa

CASES = {
    "Birmingham suburb": ((21.8, 140, 100, 5, 8, 1.0), 664),
    "Aberdeen coast": ((26.0, 30, 1, 0, 8, 1.0), 1129),
    "Bristol town": ((21.9, 60, 10, 2, 6, 1.0), 579),
    "London, displaced 3 m": ((21.6, 30, 50, 10, 9 - 3, 1.0), 459),
    "Plymouth hill": ((23.5, 100, 2, 0, 7, 1.2), 1242),
}


@pytest.mark.parametrize(("site", "peak_pa"), CASES.values(), ids=CASES)
def test_peak_pressure_of_the_worked_sites(site, peak_pa):
    speed, altitude, sea, town, height, orography = site
    found = peak_pressure_pa(
        MapSite(
            map_wind_speed_ms=speed, altitude_m=altitude, distance_to_sea_km=sea, distance_in_town_km=town,
            effective_height_m=height, orography=orography,
        )
    )  # fmt: skip
    assert found == pytest.approx(peak_pa, rel=0.01)


def test_peak_pressure_of_the_published_sheffield_example():
    # SCI P394, section 9.1 as quoted in print: v_map 22.1, A 105 m, z 27 m, 100 km to sea, 2 km in town,
    # c_e c_e,T 2.90, q_p 1058 Pa
    basic = basic_pressure_pa(basic_speed_ms=22.1 * 1.105, air_density_kg_m3=1.226)
    assert peak_from_basic_pa(basic_pressure_pa=basic, exposure=2.90) == pytest.approx(1058, rel=0.005)
    # the whole chain: the printed example takes c_alt at its safe value for z up to 10 m
    high = peak_pressure_pa(
        MapSite(
            map_wind_speed_ms=22.1, altitude_m=105.0, distance_to_sea_km=100.0, distance_in_town_km=2.0,
            effective_height_m=27.0,
        )
    )  # fmt: skip
    at_height = altitude_factor(altitude_m=105.0, effective_height_m=27.0)
    assert high * (1.105 / at_height) ** 2 == pytest.approx(1058, rel=0.02)


@pytest.mark.parametrize(
    ("effective_height_m", "sea_km", "exposure"),
    # fit of the contours, reference sheet
    [(8, 1, 2.568), (8, 100, 2.180), (6, 10, 2.149)],
)
def test_exposure_chart_agrees_with_the_fit_of_the_contours(effective_height_m, sea_km, exposure):
    found = exposure_chart(effective_height_m=effective_height_m, distance_to_sea_km=sea_km)
    assert found == pytest.approx(exposure, rel=0.004)


@pytest.mark.parametrize(("effective_height_m", "town_km", "town"), [(8, 5, 0.801), (6, 10, 0.741)])
def test_town_chart_agrees_with_the_fit_of_the_contours(effective_height_m, town_km, town):
    found = town_chart(effective_height_m=effective_height_m, distance_in_town_km=town_km)
    assert found == pytest.approx(town, rel=0.005)


def test_far_inland_the_chart_follows_the_roughness_and_turbulence_behind_it():
    # NA Figs NA.3, NA.5 at 100 km: c_r = 0.1728 ln(z / 0.03); I_v 0.188 at 5 m, 0.173 at 10, 0.160 at 20
    from math import log

    for height, turbulence in ((5, 0.188), (10, 0.173), (20, 0.160)):
        expected = ((1 + 3 * turbulence) * 0.1728 * log(height / 0.03)) ** 2
        found = exposure_chart(effective_height_m=height, distance_to_sea_km=100)
        assert found == pytest.approx(expected, rel=0.01)


AT_SEA_LEVEL = {
    # v_map 22, 24, 26, 30 m/s
    (5, 1, 0): (664, 791, 928, 1235),
    (5, 50, 0): (573, 682, 801, 1066),
    (5, 50, 5): (428, 510, 598, 796),
    (8, 1, 0): (762, 907, 1064, 1417),
    (8, 50, 0): (658, 783, 919, 1224),
    (8, 10, 2): (589, 700, 822, 1094),
    (8, 50, 5): (529, 629, 738, 983),
    (10, 10, 0): (737, 877, 1029, 1370),
}


@pytest.mark.parametrize(("place", "peaks_pa"), AT_SEA_LEVEL.items())
def test_peak_pressures_at_sea_level(place, peaks_pa):
    import numpy as np

    height, sea, town = place
    found = peak_pressure_pa(
        MapSite(
            map_wind_speed_ms=np.array([22.0, 24.0, 26.0, 30.0]), altitude_m=0.0, distance_to_sea_km=sea,
            distance_in_town_km=town, effective_height_m=height,
        )
    )  # fmt: skip
    assert found == pytest.approx(np.array(peaks_pa), rel=0.01)


def test_direction_factors_of_table_na_1():
    # NA Table NA.1 (read); 195 degrees lies half way between 0.85 and 0.93, 345 between 0.82 and 0.78
    assert direction_factor(bearing_deg=240.0) == 1.0
    assert direction_factor(bearing_deg=195.0) == pytest.approx(0.89)
    assert direction_factor(bearing_deg=345.0) == pytest.approx(0.80)
    assert direction_factor(bearing_deg=-15.0) == pytest.approx(0.80)


@pytest.mark.parametrize(
    ("height_m", "upwind_m", "gap_m", "displacement_m"),
    # EN 1991-1-4 A.5 (read); the middle row is the reference sheet's own check
    [(8, 7, 20, 4.4), (8, 7, 14, 4.8), (8, 4, 5, 3.2), (8, 7, 42, 0.0), (20, 7, 20, 4.4)],
)
def test_displacement_height(height_m, upwind_m, gap_m, displacement_m):
    found = displacement_height_m(height_m=height_m, upwind_height_m=upwind_m, gap_m=gap_m)
    assert found == pytest.approx(displacement_m)


def test_hill_factor_of_a_slope():
    assert hill_factor(orography=1.2) == pytest.approx(1.266, abs=0.0005)
