import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jambwright.checks.heat.climate import degree_days_of_month
from jambwright.checks.heat.damp import dew_point_c, humidity_percent, mould_free_c, saturation_pa, vapour_pa
from jambwright.checks.heat.emissivity import corrected_emissivity
from jambwright.checks.heat.energy_index import energy_band, energy_index_kwh_m2
from jambwright.checks.heat.glass_u import declared_u_w_m2k, glass_heat
from jambwright.checks.heat.outside_dew import outer_face_c
from jambwright.checks.heat.saving import used_share
from jambwright.checks.heat.solar import solar_factor, sun_shares
from jambwright.checks.heat.window_u import whole_u_w_m2k

GASES = st.sampled_from(["air", "argon", "krypton", "xenon"])
GAPS = st.lists(st.tuples(st.floats(4, 30), GASES, st.floats(0, 1)), min_size=1, max_size=4)
EMISSIVITY = st.floats(0.01, 0.837)


def heat_of(gaps, emissivity=0.837, slope=90.0):
    faces = [emissivity if face and face % 2 == 0 else 0.837 for face in range(2 * len(gaps) + 2)]
    widths, gases, fills = zip(*gaps, strict=True)
    return glass_heat(
        pane_mm=[4.0] * (len(gaps) + 1),
        gap_mm=widths,
        gas=gases,
        fill=fills,
        face_emissivity=faces,
        slope_deg=slope,
    )


@given(GAPS, EMISSIVITY, st.floats(0, 90))
def test_the_gaps_share_fifteen_degrees_and_pass_the_same_heat(gaps, emissivity, slope):
    settled = heat_of(gaps, emissivity, slope).gaps
    assert settled.drop_k.sum() == pytest.approx(15)
    flow = settled.drop_k * settled.conductance_w_m2k
    assert flow == pytest.approx(np.full(len(gaps), flow[0]), rel=1e-6)


@given(GAPS, EMISSIVITY)
def test_a_coating_never_makes_the_glass_colder(gaps, emissivity):
    assert heat_of(gaps, emissivity).u_w_m2k <= heat_of(gaps).u_w_m2k + 1e-9


@given(GAPS, EMISSIVITY)
def test_one_more_gap_never_raises_u(gaps, emissivity):
    more = [*gaps, (12.0, "air", 1.0)]
    assert heat_of(more, emissivity).u_w_m2k < heat_of(gaps, emissivity).u_w_m2k


@given(st.floats(0.001, 1.0), st.floats(0.001, 1.0))
def test_correcting_an_emissivity_keeps_the_order(one, other):
    low, high = sorted([one, other])
    assert corrected_emissivity(normal=low) <= corrected_emissivity(normal=high)


@given(st.floats(0.1, 7))
def test_a_declared_value_is_within_half_a_tenth(u):
    assert abs(declared_u_w_m2k(u_w_m2k=u) - u) <= 0.05 + 1e-6


@given(st.floats(0.1, 5), st.floats(0.1, 5), st.floats(0.3, 6), st.floats(0.3, 6))
def test_without_edges_the_window_lies_between_its_parts(glass, frame, u_glass, u_frame):
    u = whole_u_w_m2k(areas_m2=[glass, frame], u_w_m2k=[u_glass, u_frame], edges_m=[], psi_w_mk=[])
    assert min(u_glass, u_frame) - 1e-9 <= u <= max(u_glass, u_frame) + 1e-9


@given(st.floats(-20, 40), st.floats(2, 100))
def test_the_dew_point_takes_back_what_the_vapour_gave(air, humidity):
    vapour = vapour_pa(air_c=air, humidity_percent=humidity)
    dew = dew_point_c(vapour_pa=vapour)
    assert saturation_pa(air_c=dew) == pytest.approx(vapour, rel=1e-9)
    assert dew <= air + 1e-9
    assert mould_free_c(vapour_pa=vapour) > dew
    assert humidity_percent(vapour_pa=vapour, air_c=air) == pytest.approx(humidity)


@given(st.floats(0, 10), st.floats(0.5, 5.7), st.floats(0, 5))
def test_better_glass_has_a_colder_outer_face(outside, u, wind):
    worse = outer_face_c(inside_c=20.0, outside_c=outside, glass_u_w_m2k=u, wind_ms=wind)
    better = outer_face_c(inside_c=20.0, outside_c=outside, glass_u_w_m2k=0.9 * u, wind_ms=wind)
    assert better < worse < 20.0


PANE = st.tuples(st.floats(0.2, 0.9), st.floats(0.01, 0.5), st.floats(0.01, 0.5)).filter(
    lambda p: p[0] + max(p[1], p[2]) <= 1
)


@given(st.lists(PANE, min_size=1, max_size=4))
def test_sun_is_neither_made_nor_lost(panes):
    through, outer, inner = (np.array(column) for column in zip(*panes, strict=True))
    shares = sun_shares(transmittance=through, reflectance_outer=outer, reflectance_inner=inner)
    assert 0 < shares.transmitted + shares.absorbed.sum() <= 1 + 1e-9
    assert (shares.absorbed >= -1e-9).all()
    gaps = np.full(len(panes) - 1, 3.0)
    g = solar_factor(transmitted=shares.transmitted, absorbed=shares.absorbed, gap_conductance_w_m2k=gaps)
    assert shares.transmitted - 1e-9 <= g <= shares.transmitted + shares.absorbed.sum() + 1e-9


@given(st.floats(-10, 30), st.floats(5, 22))
def test_degree_days_are_never_fewer_than_the_plain_gap(mean, base):
    days = degree_days_of_month(mean_c=mean, days=30.0, base_c=base)
    assert days >= max(0.0, 30 * (base - mean)) - 1e-6


@given(st.floats(0, 20), st.floats(1, 8))
def test_gains_are_used_in_part_and_never_beyond_the_loss(ratio, exponent):
    used = used_share(gain_to_loss=ratio, exponent=exponent)
    assert 0 < used <= 1
    assert used * ratio <= 1 + 1e-9


@given(st.floats(0, 0.9), st.floats(0.5, 5))
def test_a_better_index_never_has_a_worse_band(g, u):
    order = ["G", "F", "E", "D", "C", "B", "A", "A+", "A++"]
    worse = energy_index_kwh_m2(g_window=g, u_w_m2k=u, leakage_w_m2k=0.0)
    better = energy_index_kwh_m2(g_window=g, u_w_m2k=0.9 * u, leakage_w_m2k=0.0)
    assert order.index(energy_band(better).band) >= order.index(energy_band(worse).band)


@given(st.lists(st.floats(4, 24), min_size=1, max_size=20), EMISSIVITY)
def test_many_units_at_once_are_each_by_itself(widths, emissivity):
    faces = [0.837, 0.837, emissivity, 0.837]
    column = np.array(widths)[:, None]
    many = glass_heat(pane_mm=[4, 4], gap_mm=column, gas=["argon"], fill=[0.9], face_emissivity=faces)
    alone = [float(heat_of([(width, "argon", 0.9)], emissivity).u_w_m2k) for width in widths]
    assert many.u_w_m2k == pytest.approx(alone)
