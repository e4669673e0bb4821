"""EN 1991-1-4, tables 4.1 and 7.1 and chapters 4 and 7: the house's reference sheet, figures computed there."""

import numpy as np
import pytest

from jambwright.checks.wind import (
    TerrainSite,
    external_coefficient,
    net_coefficients,
    orography_factor,
    peak_pressure_pa,
    probability_factor,
    zone_lengths_m,
)
from jambwright.checks.wind.terrain import by_terrain, roughness_factor, turbulence

EXPOSURE = {
    # c_e at 5, 8, 10, 15 m
    "0": (2.604, 2.860, 2.985, 3.218),
    "I": (2.367, 2.636, 2.769, 3.016),
    "II": (1.929, 2.212, 2.352, 2.616),
    "III": (1.281, 1.566, 1.709, 1.980),
    "IV": (1.176, 1.176, 1.176, 1.444),
}


@pytest.mark.parametrize(("terrain", "exposures"), EXPOSURE.items())
def test_exposure_by_terrain_category(terrain, exposures):
    heights = np.array([5.0, 8.0, 10.0, 15.0])
    site = TerrainSite(basic_wind_speed_ms=20.0, terrain=terrain, height_m=heights, air_density_kg_m3=1.25)
    assert peak_pressure_pa(site) / (0.625 * 20**2) == pytest.approx(np.array(exposures), abs=0.0006)


@pytest.mark.parametrize(
    ("terrain", "height_m", "speed_ms", "c_r", "i_v", "peak_pa"),
    [
        ("II", 10, 22, 1.0067, 0.1887, 711.6),
        ("II", 10, 26, 1.0067, 0.1887, 993.8),
        ("III", 8, 24, 0.7072, 0.3046, 563.9),
        ("IV", 6, 23, 0.5396, 0.4343, 388.9),
    ],
)
def test_peak_pressure_step_by_step(terrain, height_m, speed_ms, c_r, i_v, peak_pa):
    place = {
        "height_m": height_m,
        "roughness_m": by_terrain(terrain, "roughness_m"),
        "least_height_m": by_terrain(terrain, "least_height_m"),
    }
    assert roughness_factor(**place) == pytest.approx(c_r, abs=5e-5)
    assert turbulence(**place) == pytest.approx(i_v, abs=5e-5)
    site = TerrainSite(basic_wind_speed_ms=float(speed_ms), terrain=terrain, height_m=float(height_m))
    assert peak_pressure_pa(site) == pytest.approx(peak_pa, abs=0.06)


def test_one_call_takes_a_site_for_each_opening():
    site = TerrainSite(
        basic_wind_speed_ms=np.array([22.0, 24.0, 23.0]),
        terrain=np.array(["II", "III", "IV"]),
        height_m=np.array([10.0, 8.0, 6.0]),
    )
    assert peak_pressure_pa(site) == pytest.approx([711.6, 563.9, 388.9], abs=0.06)


@pytest.mark.parametrize(
    ("breadth_m", "depth_m", "height_m", "zones"),
    [
        (8, 9, 5.5, {"A": (0, 1.6), "B": (1.6, 8.0), "C": (8.0, 9.0)}),
        (6, 10, 8, {"A": (0, 1.2), "B": (1.2, 6.0), "C": (6.0, 10.0)}),
        (30, 5, 9, {"A": (0, 3.6), "B": (3.6, 5.0)}),
        # e >= 5 d: all of the wall is zone A
        (40, 3, 10, {"A": (0, 3.0)}),
    ],
)
def test_zones_of_a_side_wall(breadth_m, depth_m, height_m, zones):
    found = zone_lengths_m(breadth_m=breadth_m, depth_m=depth_m, height_m=height_m)
    assert list(found) == list(zones)
    for zone, ends in zones.items():
        assert found[zone] == pytest.approx(ends)


@pytest.mark.parametrize(
    ("zone", "height_over_depth", "coefficient"),
    [("D", 0.5, 0.733), ("E", 0.5, -0.367), ("E", 2.0, -0.550), ("D", 0.1, 0.7), ("A", 3.0, -1.2)],
)
def test_coefficients_between_the_rows_of_table_7_1(zone, height_over_depth, coefficient):
    for method in ("en", "uk"):
        found = external_coefficient(
            zone=zone, height_over_depth=height_over_depth, area_m2=10.0, method=method
        )
        assert found == pytest.approx(coefficient, abs=0.0005)


@pytest.mark.parametrize(
    ("zone", "area_m2", "into", "out"),
    [
        ("D", 1.5, 1.1, 0.0),
        ("D", 1.0, 1.3, 0.0),
        ("A", 1.5, 0.0, -1.4),
        ("A", 0.8, 0.0, -1.6),
        ("B", 1.5, 0.0, -1.0),
        ("B", 0.8, 0.0, -1.3),
        ("C", 1.5, 0.0, -0.7),
        ("E", 0.8, 0.0, -0.7),
    ],
)
def test_net_coefficients_on_a_window_of_a_house_as_high_as_deep(zone, area_m2, into, out):
    external = external_coefficient(zone=zone, height_over_depth=1.0, area_m2=area_m2, method="uk")
    net = net_coefficients(external=external)
    assert (net.into, net.out) == (pytest.approx(into), pytest.approx(out))


def test_area_counts_by_its_logarithm_between_1_and_10_m2():
    # EN 1991-1-4, 7.2.1(1): cpe = cpe,1 - (cpe,1 - cpe,10) log10(A); at sqrt(10) m2 half way
    half = external_coefficient(zone="A", height_over_depth=1.0, area_m2=10**0.5, method="en")
    assert half == pytest.approx(-1.3)
    small = external_coefficient(zone="A", height_over_depth=1.0, area_m2=0.3, method="en")
    assert small == pytest.approx(-1.4)


def test_net_pressures_of_the_birmingham_suburb():
    # reference sheet: qp 664 gives D 730, A -929, A small -1062, D small 863
    for zone, area, expected in (("D", 2, 730), ("A", 2, -929), ("A", 0.9, -1062), ("D", 0.9, 863)):
        external = external_coefficient(zone=zone, height_over_depth=1.0, area_m2=area, method="uk")
        net = net_coefficients(external=external)
        assert (net.into + net.out) * 664 == pytest.approx(expected, abs=1)


def test_uk_inland_lies_3_percent_under_open_country_of_the_plain_method():
    # reference sheet: 2.32 x 0.613 = 1.424 against 2.352 x 0.625 = 1.470 at 10 m
    from jambwright.checks.wind import MapSite

    uk = peak_pressure_pa(
        MapSite(map_wind_speed_ms=20.0, altitude_m=0.0, distance_to_sea_km=100.0, effective_height_m=10.0)
    )
    en = peak_pressure_pa(TerrainSite(basic_wind_speed_ms=20.0, terrain="II", height_m=10.0))
    assert uk / en == pytest.approx(1.424 / 1.470, rel=0.002)


@pytest.mark.parametrize(
    ("years", "factor"),
    [(2, 0.7764), (5, 0.8545), (10, 0.9025), (25, 0.9597), (50, 1.0), (100, 1.0385)],
)
def test_probability_factor_of_a_return_period(years, factor):
    assert probability_factor(return_period_years=years) == pytest.approx(factor, abs=6e-5)


@pytest.mark.parametrize(
    ("slope", "place_factor", "factor"), [(0.04, 0.6, 1.0), (0.15, 0.6, 1.18), (0.4, 0.6, 1.36)]
)
def test_orography_factor_of_a_hill(slope, place_factor, factor):
    assert orography_factor(slope=slope, place_factor=place_factor) == pytest.approx(factor)
