import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from jambwright.checks.wind import MapSite, TerrainSite, peak_pressure_pa, wind_class, wind_on_windows
from jambwright.checks.wind.charts import town_chart

speeds = st.floats(20, 31)
altitudes = st.floats(0, 1000)
heights = st.floats(1, 30)
seas = st.floats(0, 300)
towns = st.floats(0, 60)


def uk(speed, altitude, sea, town, height):
    return peak_pressure_pa(
        MapSite(
            map_wind_speed_ms=speed, altitude_m=altitude, distance_to_sea_km=sea, distance_in_town_km=town,
            effective_height_m=height,
        )
    )  # fmt: skip


@given(speeds, altitudes, altitudes, seas, towns, heights)
def test_higher_ground_never_has_less_wind(speed, one, other, sea, town, height):
    low, high = sorted((one, other))
    assert uk(speed, low, sea, town, height) <= uk(speed, high, sea, town, height)


@given(speeds, altitudes, seas, towns, heights, heights)
def test_a_taller_house_never_has_less_wind(speed, altitude, sea, town, one, other):
    low, high = sorted((one, other))
    # above 10 m the annex's altitude factor falls with height, a hair faster than the chart rises on high ground
    assert uk(speed, altitude, sea, town, low) <= uk(speed, altitude, sea, town, high) * 1.002


@given(speeds, altitudes, seas, seas, towns, heights)
def test_nearer_the_sea_never_has_less_wind(speed, altitude, one, other, town, height):
    near, far = sorted((one, other))
    assert uk(speed, altitude, far, town, height) <= uk(speed, altitude, near, town, height) * (1 + 1e-9)


@given(speeds, altitudes, seas, towns, heights)
def test_town_never_has_more_wind_than_country(speed, altitude, sea, town, height):
    assert uk(speed, altitude, sea, town, height) <= uk(speed, altitude, sea, 0.0, height)


@given(heights, towns, towns)
def test_the_town_factor_never_passes_1_and_falls_into_the_town(height, one, other):
    near, far = sorted((one, other))
    at_near = town_chart(effective_height_m=height, distance_in_town_km=near)
    assert town_chart(effective_height_m=height, distance_in_town_km=far) <= at_near * (1 + 1e-9)
    assert at_near <= 1


@given(st.floats(1, 200), st.floats(1, 200), st.floats(15, 35))
def test_rougher_ground_and_less_height_never_have_more_wind(one, other, speed):
    low, high = sorted((one, other))
    site = {"basic_wind_speed_ms": speed, "terrain": np.array(["0", "I", "II", "III", "IV"])}
    below = peak_pressure_pa(TerrainSite(height_m=low, **site))
    assert np.all(below <= peak_pressure_pa(TerrainSite(height_m=high, **site)) * (1 + 1e-9))
    assert np.all(np.diff(below) < 0)


@given(st.floats(0, 3000), st.floats(0, 3000))
def test_more_pressure_never_asks_for_a_lower_class(one, other):
    low, high = sorted((one, other))

    def rank(name):
        return float(name.removeprefix("E")) if name.startswith("E") else int(name)

    a, b = (rank(str(wind_class(p))) for p in (low, high))
    assert a <= b


@given(st.floats(0, 20), st.floats(0, 20), st.floats(3, 12), st.floats(0.3, 8))
def test_a_window_nearer_the_corner_is_never_sucked_less(one, other, height, area):
    near, far = sorted((one, other))
    site = MapSite(
        map_wind_speed_ms=23.0, altitude_m=50.0, distance_to_sea_km=10.0, effective_height_m=height
    )
    found = wind_on_windows(
        site, wall_length_m=9.0, wall_to_back_m=7.0, building_height_m=height, area_m2=area,
        from_corner_m=np.array([near, far]),
    )  # fmt: skip
    assert found.out_pa[0] <= found.out_pa[1] <= 0
    assert np.all(found.in_pa > 0)
