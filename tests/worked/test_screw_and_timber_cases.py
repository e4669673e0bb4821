"""Screws: bending across the gap (EN 1992-4) and withdrawal from timber (EN 1995-1-1, 8.7.2).

Rows calculated independently from the clauses; figures to the digits given.
"""

import numpy as np
import pytest

from jambwright.basis import BadInput
from jambwright.checks.fixings import screw, screw_withdrawal_n, timber

# d, V, l, fu: free head M, stress, sag; held head M, stress, sag; M0_Rk in N m
SCREWS = [
    pytest.param(5.3, 300, 20, 800, (6000, 411, 0.098), (3000, 205, 0.025), 14.03, id="5.3, lever 20"),
    pytest.param(5.3, 300, 40, 800, (12_000, 821, 0.787), (6000, 411, 0.197), 14.03, id="5.3, lever 40"),
    pytest.param(6.0, 400, 15, 500, (6000, 283, 0.034), (3000, 141, 0.008), 12.72, id="6.0, lever 15"),
    pytest.param(7.0, 400, 20, 500, (8000, 238, 0.043), (4000, 119, 0.011), 20.20, id="7.0, lever 20"),
]


@pytest.mark.parametrize(("d", "shear", "lever", "fu", "free", "held", "limit"), SCREWS)
def test_screw_across_the_gap_matches_the_reference(d, shear, lever, fu, free, held, limit):
    modulus = screw.section_modulus_mm3(root_diameter_mm=d)
    second = screw.second_moment_mm4(root_diameter_mm=d)
    for head, (moment, stress, sag) in (("free", free), ("held", held)):
        found = screw.bending_moment_n_mm(shear_n=shear, lever_mm=lever, head=head)
        assert found == pytest.approx(moment)
        assert screw.bending_stress_n_mm2(moment_n_mm=found, modulus_mm3=modulus) == pytest.approx(
            stress, abs=0.55
        )
        bent = screw.deflection_mm(
            shear_n=shear, lever_mm=lever, e_n_mm2=210_000, second_moment_mm4=second, head=head
        )
        assert bent == pytest.approx(sag, abs=0.00051)
    strength = screw.characteristic_moment_n_mm(modulus_mm3=modulus, fu_n_mm2=fu)
    assert strength / 1000 == pytest.approx(limit, abs=0.0051)


# d, lef, rho_k, n: f_ax,k, F_ax,Rk, F_Rd short, F_Rd instantaneous
TIMBER = [
    pytest.param(6, 40, 310, 1, 14.45, 2601, 1800, 2201, id="6 x 40 in C16"),
    pytest.param(8, 50, 310, 1, 12.24, 4895, 3389, 4142, id="8 x 50 in C16"),
    pytest.param(6, 36, 350, 1, 16.09, 2607, 1805, 2206, id="6 x 36 in C24"),
    pytest.param(8, 60, 350, 2, 13.24, 11_859, 8210, 10_035, id="two 8 x 60 in C24"),
]


@pytest.mark.parametrize(("d", "depth", "rho", "n", "strength", "pulled", "short", "instant"), TIMBER)
def test_withdrawal_matches_en_1995(d, depth, rho, n, strength, pulled, short, instant):
    f = timber.withdrawal_strength_n_mm2(diameter_mm=d, depth_mm=depth, rho_k_kg_m3=rho)
    assert f == pytest.approx(strength, abs=0.0051)
    found = screw_withdrawal_n(diameter_mm=d, depth_mm=depth, rho_k_kg_m3=rho, count=n)
    assert found == pytest.approx(pulled, abs=0.6)
    for load, wanted in (("short", short), ("instant", instant)):
        k = timber.k_mod(service_class=2, load=load)
        design = timber.design_n(characteristic_n=found, k_mod=k, gamma_m=1.3)
        assert design == pytest.approx(wanted, abs=1)


def test_withdrawal_at_an_angle_loses_the_share_of_the_clause():
    """1 / (1.2 cos² α + sin² α): at 45 degrees 1 / 1.1."""
    square = screw_withdrawal_n(diameter_mm=6, depth_mm=40, rho_k_kg_m3=310)
    leaning = screw_withdrawal_n(diameter_mm=6, depth_mm=40, rho_k_kg_m3=310, angle_deg=45)
    assert leaning / square == pytest.approx(1 / 1.1)


def test_withdrawal_takes_arrays():
    found = screw_withdrawal_n(
        diameter_mm=np.array([6.0, 8.0]),
        depth_mm=np.array([40.0, 50.0]),
        rho_k_kg_m3=np.array([310.0, 310.0]),
    )
    assert found == pytest.approx([2601, 4895], abs=0.6)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"diameter_mm": 5.0}, "diameter_mm"),
        ({"depth_mm": 30.0}, "depth_mm"),
        ({"angle_deg": 20.0}, "angle_deg"),
        ({"root_diameter_mm": 5.0}, "root_diameter_mm"),
    ],
)
def test_withdrawal_outside_the_rule_is_refused_by_name(wrong, field):
    with pytest.raises(BadInput) as refused:
        screw_withdrawal_n(**({"diameter_mm": 6.0, "depth_mm": 40.0, "rho_k_kg_m3": 310.0} | wrong))
    assert [p.field for p in refused.value.problems] == [field]
