import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jambwright.checks.glass import PaneSize, check_unit, choose_glass, order_cases, stock_glass, unit_loads
from jambwright.checks.glass.unit import swollen, unit_factor_of
from jambwright.frame import Cavity, GlazingUnit, Pane, parse_glazing

sides = st.floats(150, 2500)
thicknesses = st.sampled_from([3.0, 4.0, 5.0, 6.0, 8.0, 10.0])
gaps = st.floats(6, 24)
loads = st.floats(-4000, 4000)


@st.composite
def units(draw, most=4):
    count = draw(st.integers(1, most))
    return GlazingUnit(
        panes=tuple(Pane(thickness_mm=draw(thicknesses)) for _ in range(count)),
        cavities=tuple(Cavity(gap_mm=draw(gaps)) for _ in range(count - 1)),
    )


@given(units(), sides, sides, loads, loads)
def test_the_panes_together_carry_the_wind(unit, width, height, wind, isochoric):
    size = PaneSize(width_mm=width, height_mm=height)
    found = unit_loads(unit, size, wind_pa=wind, isochoric_pa=isochoric)
    assert found.pane_pa.sum() == pytest.approx(wind, abs=1e-6)


@given(units(), sides, sides)
def test_every_pane_takes_a_share_of_the_wind_and_none_pulls_against_it(unit, width, height):
    shares = unit_loads(
        unit, PaneSize(width_mm=width, height_mm=height), wind_pa=1.0, isochoric_pa=0.0
    ).pane_pa
    assert np.all(shares > 0)
    assert np.all(shares <= 1)


@given(thicknesses, thicknesses, gaps)
def test_big_panes_share_by_stiffness_and_tiny_ones_leave_all_to_the_blown_one(outer, inner, gap):
    unit = GlazingUnit(
        panes=(Pane(thickness_mm=outer), Pane(thickness_mm=inner)), cavities=(Cavity(gap_mm=gap),)
    )
    stiff = outer**3 / (outer**3 + inner**3)
    big = unit_loads(unit, PaneSize(width_mm=50_000, height_mm=50_000), wind_pa=1.0, isochoric_pa=0.0)
    assert big.pane_pa == pytest.approx([stiff, 1 - stiff], abs=1e-3)
    tiny = PaneSize(width_mm=30, height_mm=30)
    assert unit_loads(unit, tiny, wind_pa=1.0, isochoric_pa=0.0).pane_pa == pytest.approx([1, 0], abs=1e-2)
    assert unit_factor_of(swollen(unit, tiny)) == pytest.approx(1, abs=1e-2)


@given(sides, sides, thicknesses, st.floats(100, 4000), st.floats(100, 4000))
def test_more_load_never_bends_or_strains_a_pane_less(width, height, thickness, one, other):
    low, high = sorted((one, other))
    size = PaneSize(width_mm=width, height_mm=height)
    assert abs(size.deflection_mm(thickness, low)) <= abs(size.deflection_mm(thickness, high)) * 1.0005
    assert size.stress_n_mm2(thickness, low).most <= size.stress_n_mm2(thickness, high).most * 1.0005


@given(sides, sides, st.floats(100, 3000))
def test_thicker_glass_never_bends_more(width, height, load):
    size = PaneSize(width_mm=width, height_mm=height)
    bent = [size.deflection_mm(float(t), load) for t in (3, 4, 5, 6, 8, 10, 12)]
    assert np.all(np.diff(bent) <= 0)


@given(st.lists(st.tuples(sides, sides, st.floats(0, 2500)), min_size=2, max_size=5))
def test_many_openings_in_one_call_are_what_each_is_alone(openings):
    unit = parse_glazing("4-16Ar-6.4L low-e")
    width, height, wind = (np.array(column) for column in zip(*openings, strict=True))
    together = check_unit(unit, width_mm=width, height_mm=height, cases=order_cases(in_pa=wind, out_pa=-wind))
    for i, (w, h, p) in enumerate(openings):
        alone = check_unit(unit, width_mm=w, height_mm=h, cases=order_cases(in_pa=p, out_pa=-p))
        assert together.utilisation[i] == pytest.approx(alone.utilisation)
        assert together.passes[i] == alone.passes


@settings(max_examples=25)
@given(st.floats(300, 1800), st.floats(300, 1800), st.floats(300, 2000), st.sampled_from([0, 1, 2, 3]))
def test_the_glass_chosen_passes_and_nothing_lighter_does(width, height, wind, wanted):
    choice = choose_glass(
        width_mm=width, height_mm=height, in_pa=wind, out_pa=-wind, class_inside=wanted, stock=stock_glass()
    )
    at = int(choice.chosen[0])
    if at >= 0:
        assert choice.why_not(at) == []
    assert all(choice.why_not(i) for i in range(at if at >= 0 else len(choice.stock)))
    masses = [glass.unit.mass_kg_m2 for glass in choice.stock]
    assert masses == sorted(masses)
