"""Cases of the UK window energy index (formula read: cwct.co.uk, building.co.uk; bands from the trade press)."""

import pytest

from jambwright import calc
from jambwright.checks.heat.energy_index import energy_band


@pytest.mark.parametrize(
    ("g_window", "u", "l50", "index", "band"),
    [
        (0.45, 1.4, 0.0, 2.470, "A"), (0.34, 0.9, 0.0, 12.674, "A+"), (0.49, 1.1, 0.0, 31.764, "A++"),
        (0.40, 1.3, 0.2, -1.836, "B"), (0.30, 1.4, 0.2, -30.546, "E"), (0.42647, 1.3028, 0.1, 3.871, "A"),
    ],
)  # fmt: skip
def test_index_and_band(g_window, u, l50, index, band):
    answer = calc.answer("energy-index", {"g_window": g_window, "u_w_m2k": u, "air_leakage_l50_m3_hm2": l50})
    assert answer["index_kwh_m2_year"] == pytest.approx(index, abs=6e-4)
    assert answer["band"] == band
    assert answer["band_sure"] is True


def test_an_opaque_door_only_loses():
    answer = calc.answer("energy-index", {"g_window": 0, "u_w_m2k": 1.8, "air_leakage_l50_m3_hm2": 3.0})
    assert answer["index_kwh_m2_year"] == pytest.approx(-126.69, abs=0.005)


@pytest.mark.parametrize(
    ("index", "band"),
    [(20, "A++"), (19.9, "A+"), (10, "A+"), (0, "A"), (-0.1, "B"), (-10, "B"), (-20, "C"), (-30, "D"), (-50, "E"),
     (-70, "F"), (-70.1, "G")],
)  # fmt: skip
def test_a_band_begins_at_its_lower_edge(index, band):
    assert energy_band(index).band == band


@pytest.mark.parametrize(
    ("index", "sure", "or_else"), [(-0.4, False, "A"), (-0.6, True, "B"), (0.2, False, "B"), (5, True, "A")]
)
def test_near_an_edge_the_band_is_not_sure(index, sure, or_else):
    band = energy_band(index)
    assert (band.sure, band.or_else) == (sure, or_else)
