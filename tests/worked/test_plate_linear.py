"""The linear plate, four edges simply supported: Timoshenko's table, a plain double series, finite elements.

Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed., Table 8 (nu 0.3), in the house's
reference sheet with nu 0.23 beside it, digits as printed. Roark, 7th ed., Table 11.4 case 1a (read): 0.4 %.
"""

import numpy as np
import pytest

from jambwright.checks.glass.plate import bulge_factor, deflection_factor, linear_plate, stress_factors
from plates.elements import linear_plate_by_elements

TABLE = {
    # b/a: alpha, beta short and long at nu 0.3, beta short and long at nu 0.23, mean over most
    1.0: (0.00406, 0.0479, 0.0479, 0.0453, 0.0453, 0.4191),
    1.1: (0.00487, 0.0555, 0.0493, 0.0530, 0.0462, 0.4193),
    1.2: (0.00565, 0.0627, 0.0501, 0.0603, 0.0464, 0.4200),
    1.3: (0.00639, 0.0694, 0.0503, 0.0671, 0.0462, 0.4210),
    1.4: (0.00708, 0.0755, 0.0502, 0.0734, 0.0456, 0.4224),
    1.5: (0.00772, 0.0812, 0.0498, 0.0792, 0.0447, 0.4239),
    1.75: (0.00908, 0.0929, 0.0483, 0.0913, 0.0422, 0.4288),
    2.0: (0.01013, 0.1017, 0.0464, 0.1005, 0.0396, 0.4348),
    2.5: (0.01150, 0.1129, 0.0430, 0.1122, 0.0353, 0.4491),
    3.0: (0.01223, 0.1189, 0.0406, 0.1185, 0.0324, 0.4647),
    5.0: (0.01297, 0.1246, 0.0377, 0.1246, 0.0290, 0.5199),
    1e6: (0.01302, 0.1250, 0.0375, 0.1250, 0.0288, 0.640),
}


@pytest.mark.parametrize(("long_over_short", "row"), TABLE.items())
def test_factors_of_timoshenkos_table(long_over_short, row):
    usual = linear_plate(aspect=1 / long_over_short, poisson=0.3)
    glass = linear_plate(aspect=1 / long_over_short, poisson=0.23)
    assert usual.deflection == pytest.approx(row[0], abs=6e-6)
    found = (usual.moment_short, usual.moment_long, glass.moment_short, glass.moment_long)
    assert found == pytest.approx(row[1:5], abs=6e-5)
    assert usual.mean_over_most == pytest.approx(row[5], abs=6e-5)


@pytest.mark.parametrize("aspect", [1.0, 0.7, 0.3])
def test_factors_of_the_plain_double_series(aspect):
    poisson, n = 0.23, 2 * np.arange(400) + 1
    m, k = n[:, None], n[None, :]
    sign = np.where((m + k) % 4 == 2, 1.0, -1.0)
    deflection = 16 / np.pi**6 * sign / (m * k * (m**2 + k**2 * aspect**2) ** 2)
    short = np.pi**2 * ((m**2 + poisson * k**2 * aspect**2) * deflection).sum()
    mean = (np.abs(deflection) * 4 / np.pi**2 / (m * k)).sum()
    found = linear_plate(aspect=aspect, poisson=poisson)
    assert found.deflection == pytest.approx(deflection.sum(), rel=1e-6)
    assert found.moment_short == pytest.approx(short, rel=1e-4)
    assert found.deflection * found.mean_over_most == pytest.approx(mean, rel=2e-6)


@pytest.mark.parametrize("aspect", [1.0, 0.6])
def test_factors_of_finite_elements(aspect):
    # Argyris triangles, 8 by 8 squares: good to 0.01 %
    deflection, short, long, mean = linear_plate_by_elements(aspect, poisson=0.23)
    found = linear_plate(aspect=aspect, poisson=0.23)
    assert found.deflection == pytest.approx(deflection, rel=5e-4)
    assert (found.moment_short, found.moment_long) == pytest.approx((short, long), rel=2e-3)
    assert found.mean_over_most == pytest.approx(mean / deflection, rel=5e-4)


@pytest.mark.parametrize(
    ("long_over_short", "deflection", "stress"), [(1.0, 0.0444, 0.2874), (2.0, 0.1110, 0.6102)]
)
def test_factors_of_roark(long_over_short, deflection, stress):
    # w = deflection q a4 / E h3 and s = stress q a2 / h2 at nu 0.3
    found = linear_plate(aspect=1 / long_over_short, poisson=0.3)
    assert found.deflection * 12 * (1 - 0.3**2) == pytest.approx(deflection, rel=0.004)
    assert found.moment_short * 6 == pytest.approx(stress, rel=0.004)


def z_formulas(aspect, poisson=0.23):
    """Small-load limits of EN 16612, Annex B (from memory, high)."""
    over = 1 / aspect - 1
    z1 = 192 * (1 - poisson**2) * aspect**2 * (0.00406 + 0.00896 * (1 - np.exp(-1.123 * over**1.097)))
    z2 = 24 * aspect * (0.0447 + 0.0803 * (1 - np.exp(-1.17 * over**1.073)))
    k5 = z1 / 16 / aspect**2 * (0.4198 + 0.22 * np.exp(-6.8 * aspect**1.33))
    return z1 / 16, z2 / 4, k5


@pytest.mark.parametrize("aspect", [1.0, 0.8, 0.5, 0.25, 0.12])
def test_small_loads_agree_with_the_formulas_of_en_16612(aspect):
    k4, k1, k5 = z_formulas(aspect)
    assert deflection_factor(aspect=aspect, plate_load=0.0) == pytest.approx(k4, rel=0.008)
    assert stress_factors(aspect=aspect, plate_load=0.0).most == pytest.approx(k1, rel=0.015)
    assert bulge_factor(aspect=aspect) == pytest.approx(k5, rel=0.01)
