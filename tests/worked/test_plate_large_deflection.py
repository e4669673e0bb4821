"""Large deflection of a pane: the reference sheet's von Karman table, a Ritz solution and finite elements.

Reference table: nu 0.23, edges simply supported and free to move in their plane, Galerkin, four of its cases
repeated there by a displacement method. The tool reads a table of its own (Ritz, tests/plates/ritz.py)
between whose points it goes by splines; the tests below say how far that may be off.
"""

import numpy as np
import pytest

from jambwright.basis import table
from jambwright.checks.glass import PaneSize
from jambwright.checks.glass.plate import TABLE, deflection_factor, plate_load, stress_factors
from plates.elements import large_deflection_by_elements
from plates.ritz import Plate

REFERENCE = {
    # p*: (k4, k1 centre, k1 largest) at aspect 1, 0.8, 0.667, 0.5, 0.333
    0.5: [(0.04504, 0.2784, 0.2784), (0.04297, 0.3085, 0.3085), (0.03853, 0.3175, 0.3175),
          (0.02868, 0.3012, 0.3012), (0.01545, 0.2368, 0.2368)],
    1: [(0.04243, 0.2684, 0.2684), (0.04087, 0.2970, 0.2970), (0.03729, 0.3091, 0.3091),
        (0.02839, 0.2986, 0.2986), (0.01544, 0.2366, 0.2366)],
    2: [(0.03675, 0.2342, 0.2342), (0.03599, 0.2606, 0.2606), (0.03394, 0.2801, 0.2801),
        (0.02742, 0.2879, 0.2879), (0.01541, 0.2360, 0.2360)],
    5: [(0.02633, 0.1616, 0.1753), (0.02629, 0.1798, 0.1840), (0.02598, 0.2043, 0.2043),
        (0.02370, 0.2443, 0.2443), (0.01521, 0.2327, 0.2327)],
    10: [(0.01907, 0.1112, 0.158), (0.01921, 0.1209, 0.157), (0.01942, 0.1421, 0.154),
         (0.01911, 0.1909, 0.1909), (0.01451, 0.2219, 0.2219)],
    20: [(0.01341, 0.0747, 0.146), (0.01358, 0.0844, 0.145), (0.01390, 0.0942, 0.143),
         (0.01432, 0.1359, 0.1371), (0.01278, 0.1935, 0.1935)],
    50: [(0.00821, 0.0448, 0.136), (0.00834, 0.0556, 0.135), (0.00861, 0.0648, 0.133),
         (0.00913, 0.0770, 0.125), (0.00932, 0.1360, 0.1360)],
}  # fmt: skip
ASPECTS = (1.0, 0.8, 0.6667, 0.5, 0.3333)


@pytest.mark.parametrize("load", REFERENCE)
def test_factors_of_the_reference_table(load):
    for aspect, (k4, k1_centre, k1_most) in zip(ASPECTS, REFERENCE[load], strict=True):
        stress = stress_factors(aspect=aspect, plate_load=load)
        assert deflection_factor(aspect=aspect, plate_load=load) == pytest.approx(k4, rel=0.003)
        assert stress.centre == pytest.approx(k1_centre, rel=0.003)
        assert stress.most == pytest.approx(k1_most, rel=0.013)


PANES = {
    # a, b, h mm, q Pa: p*, deflection mm, stress at the centre, largest stress N/mm2
    (1000, 1000, 4, 1000): (3.488, 6.811, 11.94, 12.30),
    (1000, 1500, 4, 1000): (7.847, 10.86, 15.26, 15.54),
    (800, 1200, 4, 1200): (3.857, 7.031, 16.43, 16.43),
    (600, 1200, 4, 1500): (2.712, 4.608, 18.75, 18.75),
    (1200, 1200, 6, 1500): (2.143, 7.412, 13.75, 13.76),
    (1000, 2000, 6, 2000): (5.511, 12.23, 26.39, 26.39),
}


@pytest.mark.parametrize(("pane", "expected"), PANES.items(), ids=str)
def test_deflection_and_stress_of_the_reference_panes(pane, expected):
    short, long, thickness, load = pane
    size = PaneSize(width_mm=float(short), height_mm=float(long))
    p_star, deflection, centre, most = expected
    found = plate_load(area_mm2=size.area_mm2, thickness_mm=thickness, load_n_mm2=load / 1e6)
    assert found == pytest.approx(p_star, abs=0.0006)
    assert size.deflection_mm(thickness, load) == pytest.approx(deflection, rel=0.001)
    stress = size.stress_n_mm2(thickness, load)
    assert stress.centre == pytest.approx(centre, rel=0.002)
    assert stress.most == pytest.approx(most, rel=0.003)


def test_a_pane_may_lie_either_way_and_be_pulled_or_pushed():
    upright, lying = PaneSize(width_mm=700, height_mm=1100), PaneSize(width_mm=1100, height_mm=700)
    assert upright.deflection_mm(4, 900) == lying.deflection_mm(4, 900) == -lying.deflection_mm(4, -900)
    assert upright.stress_n_mm2(4, -900).most == lying.stress_n_mm2(4, 900).most


@pytest.mark.parametrize("aspect", [1.0, 0.6, 0.3])
def test_the_table_is_what_the_ritz_solution_gives(aspect):
    rows = [row for row in table(TABLE) if row["aspect"] == aspect and 10 < row["side_load"] < 300][::2]
    solved = Plate(aspect, terms=12).sweep([row["side_load"] / (16 * aspect**2) for row in rows])
    for row, found in zip(rows, solved, strict=True):
        assert found.k4 == pytest.approx(row["k4"], rel=0.001)
        for part in ("k1_short", "k1_long", "k1_inner", "k1_edge", "k1_corner"):
            assert getattr(found, part) == pytest.approx(row[part], rel=0.015)


@pytest.mark.parametrize("aspect", [0.97, 0.72, 0.44, 0.17])
def test_between_its_points_the_table_stays_close_to_the_ritz_solution(aspect):
    loads = np.array([3.7, 23.0, 61.0, 140.0]) / (16 * aspect**2)
    for load, solved in zip(loads, Plate(aspect, terms=10).sweep(list(loads)), strict=True):
        stress = stress_factors(aspect=aspect, plate_load=load)
        assert deflection_factor(aspect=aspect, plate_load=load) == pytest.approx(solved.k4, rel=0.003)
        assert stress.centre == pytest.approx(solved.k1_centre, rel=0.006)
        assert stress.most == pytest.approx(solved.k1_most, rel=0.01)


def test_finite_elements_agree():
    # 800 x 1200 x 4 mm at 1.2 kPa; Argyris and cubic triangles, 4 by 4 squares: good to 0.5 %
    k4, k1 = large_deflection_by_elements(800 / 1200, 3.857, poisson=0.23, cells=4)
    assert deflection_factor(aspect=800 / 1200, plate_load=3.857) == pytest.approx(k4, rel=0.004)
    assert stress_factors(aspect=800 / 1200, plate_load=3.857).centre == pytest.approx(k1, rel=0.01)
