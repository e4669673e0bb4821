"""Dew points, temperature factors and humidity classes by EN ISO 13788:2012 (from memory, high), and outside dew.

Dew points are also compared with PsychroLib, an independent library of humid air (101 325 Pa).
"""

import psychrolib
import pytest

from jambwright import calc
from jambwright.checks.heat.damp import (
    class_excess_pa,
    dew_point_c,
    f_rsi_of_u,
    humidity_percent,
    mould_free_c,
    saturation_pa,
    surface_c,
    vapour_pa,
)
from jambwright.checks.heat.outside_dew import outer_face_c

AIR = [
    (20, 40, 934.8, 6.002, 9.269), (20, 50, 1168.5, 9.269, 12.625), (20, 60, 1402.2, 12.004, 15.435),
    (20, 70, 1635.9, 14.364, 17.861), (21, 55, 1367.1, 11.620, 15.040), (24, 70, 2087.5, 18.189, 21.794),
    (5, 95, 828.3, 4.267, 7.487), (0, 90, 549.5, -1.273, 1.630),
]  # fmt: skip


@pytest.mark.parametrize(("air", "humidity", "pressure", "dew", "mould"), AIR)
def test_dew_point_and_mould_limit_of_air(air, humidity, pressure, dew, mould):
    vapour = vapour_pa(air_c=air, humidity_percent=humidity)
    assert vapour == pytest.approx(pressure, abs=0.051)
    assert dew_point_c(vapour_pa=vapour) == pytest.approx(dew, abs=6e-4)
    assert mould_free_c(vapour_pa=vapour) == pytest.approx(mould, abs=6e-4)


@pytest.mark.parametrize(("air", "humidity"), [row[:2] for row in AIR if row[0] > 0])
def test_the_dew_point_agrees_with_an_independent_library(air, humidity):
    psychrolib.SetUnitSystem(psychrolib.SI)
    library = psychrolib.GetTDewPointFromRelHum(air, humidity / 100)
    ours = dew_point_c(vapour_pa=vapour_pa(air_c=air, humidity_percent=humidity))
    assert ours == pytest.approx(library, abs=0.02)


@pytest.mark.parametrize(
    ("air", "pressure"),
    [(5, 871.9), (10, 1227.3), (15, 1704.4), (20, 2337.0), (25, 3165.9), (-5, 401.2), (-10, 259.3)],
)
def test_saturation_pressure(air, pressure):
    assert saturation_pa(air_c=air) == pytest.approx(pressure, abs=0.051)


@pytest.mark.parametrize("air", [5.0, 10.0, 15.0, 20.0, 25.0])
def test_saturation_pressure_agrees_with_an_independent_library(air):
    psychrolib.SetUnitSystem(psychrolib.SI)
    assert saturation_pa(air_c=air) == pytest.approx(psychrolib.GetSatVapPres(air), rel=1.5e-3)


@pytest.mark.parametrize(
    ("inside", "humidity", "outside", "dew", "mould_free", "needed_dew", "needed_mould"),
    [
        (20, 50, 0, 9.269, 12.625, 0.4635, 0.6312), (20, 50, -5, 9.269, 12.625, 0.5708, 0.7050),
        (20, 60, 0, 12.004, 15.435, 0.6002, 0.7717), (20, 60, 5, 12.004, 15.435, 0.4669, 0.6957),
        (21, 50, -5, 10.187, 13.568, 0.5841, 0.7142),
    ],
)  # fmt: skip
def test_temperature_factors_needed(inside, humidity, outside, dew, mould_free, needed_dew, needed_mould):
    answer = calc.answer(
        "condensation", {"inside_c": inside, "outside_c": outside, "inside_rh": humidity, "f_rsi": 0.7}
    )
    assert answer["dew_point_c"] == pytest.approx(dew, abs=6e-4)
    assert answer["f_rsi_needed_dew"] == pytest.approx(needed_dew, abs=6e-5)
    assert answer["f_rsi_needed_mould"] == pytest.approx(needed_mould, abs=6e-5)
    assert outside + needed_mould * (inside - outside) == pytest.approx(mould_free, abs=2e-3)
    assert answer["forms"] is False
    assert answer["mould_risk"] is (needed_mould > 0.7)


@pytest.mark.parametrize(
    ("humidity_class", "inside_rh", "dew", "needed_dew", "needed_mould"),
    [
        (2, 48.93, 8.948, 0.4474, 0.6148),
        (3, 61.64, 12.413, 0.6207, 0.7928),
        (4, 74.35, 15.299, 0.7649, 0.9411),
    ],
)
def test_humidity_classes(humidity_class, inside_rh, dew, needed_dew, needed_mould):
    answer = calc.answer(
        "condensation",
        {"inside_c": 20, "outside_c": 0, "humidity_class": humidity_class, "outside_rh": 90, "f_rsi": 0.7},
    )
    assert answer["inside_rh"] == pytest.approx(inside_rh, abs=6e-3)
    assert answer["dew_point_c"] == pytest.approx(dew, abs=6e-4)
    assert answer["f_rsi_needed_dew"] == pytest.approx(needed_dew, abs=6e-5)
    assert answer["f_rsi_needed_mould"] == pytest.approx(needed_mould, abs=6e-5)


@pytest.mark.parametrize(("humidity_class", "grams"), [(1, 2), (2, 4), (3, 6), (4, 8)])
def test_vapour_excess_by_pressure_and_by_mass_agree(humidity_class, grams):
    """Gas law of water vapour at 20 degC: 461.5 J/kgK."""
    assert class_excess_pa(humidity_class) == pytest.approx(grams * 1e-3 * 461.5 * 293.15, abs=2.5)


def test_a_cold_window_edge_runs_with_water():
    answer = calc.answer("condensation", {"inside_c": 19, "outside_c": -3, "inside_rh": 62, "f_rsi": 0.60})
    assert answer["surface_c"] == pytest.approx(10.200)
    assert answer["dew_point_c"] == pytest.approx(11.560, abs=6e-4)
    assert answer["f_rsi_needed_dew"] == pytest.approx(0.6618, abs=6e-5)
    assert answer["forms"] is True


@pytest.mark.parametrize(
    ("u", "surface", "humidity"),
    [(5.75, 5.05, 37.4), (2.73, 12.90, 63.7), (1.40, 16.36, 79.6), (1.20, 16.88, 82.2), (0.72, 18.13, 89.0)],
)
def test_the_middle_of_a_pane_bears_so_much_room_humidity(u, surface, humidity):
    inner = surface_c(inside_c=20, outside_c=0, f_rsi=f_rsi_of_u(u_w_m2k=u))
    assert inner == pytest.approx(surface, abs=6e-3)
    bears = humidity_percent(vapour_pa=saturation_pa(air_c=inner), air_c=20)
    assert bears == pytest.approx(humidity, abs=0.06)


GLASS = (5.7, 2.7, 1.6, 1.2, 0.9, 0.6)


@pytest.mark.parametrize(
    ("outside", "humidity", "dew", "wind", "faces"),
    [
        (5, 95, 4.27, 0, (8.60, 4.94, 3.18, 2.46, 1.89, 1.29)), (5, 95, 4.27, 3, (7.03, 4.97, 4.18, 3.89, 3.67, 3.45)),
        (8, 90, 6.46, 0, (10.20, 7.18, 5.74, 5.15, 4.68, 4.19)), (8, 90, 6.46, 1, (9.75, 7.40, 6.39, 6.00, 5.70, 5.39)),
    ],
)  # fmt: skip
def test_dew_comes_on_the_outside_of_good_glass(outside, humidity, dew, wind, faces):
    """Own balance; convection by EN ISO 6946 and clear sky by Swinbank, both from memory, high."""
    dew_point = dew_point_c(vapour_pa=vapour_pa(air_c=outside, humidity_percent=humidity))
    assert dew_point == pytest.approx(dew, abs=6e-3)
    for u, face in zip(GLASS, faces, strict=True):
        found = outer_face_c(inside_c=18.0, outside_c=outside, glass_u_w_m2k=u, wind_ms=wind)
        assert found == pytest.approx(face, abs=6e-3)
        assert (found < dew_point) is (u <= 1.6)
