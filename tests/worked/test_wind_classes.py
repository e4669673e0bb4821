"""EN 12210, 12208, 12207 classes: values of the reference sheet (read); exposure bands recalled."""

import pytest

from jambwright.basis import BadInput
from jambwright.checks.wind import air_leakage_m3_hm2, classes_wanted, wind_class
from jambwright.checks.wind.classes import water_class


@pytest.mark.parametrize(
    ("leakage_100", "pressure_pa", "leakage"),
    [(27, 300, 56.2), (9, 600, 29.7), (3, 600, 9.91), (27, 50, 17.0)],
)
def test_air_leakage_follows_the_two_thirds_law(leakage_100, pressure_pa, leakage):
    found = air_leakage_m3_hm2(leakage_100_m3_hm2=leakage_100, pressure_pa=pressure_pa)
    assert found == pytest.approx(leakage, rel=0.005)


def test_the_class_is_the_least_whose_test_pressure_reaches_the_design_pressure():
    # reference sheet: 929 to 1062 Pa wants class 3, 1581 class 4, 1807 class 5
    pressures = [400.0, 400.1, -929.0, 1062.0, -1581.0, 1807.0, 2000.0, 2001.0]
    assert [str(c) for c in wind_class(pressures)] == ["1", "2", "3", "3", "4", "5", "5", "E2050"]


def test_exposure_category_brings_its_classes():
    wanted = classes_wanted(-1062.0)
    assert (wanted.category, wanted.wind, wanted.water) == ("1200", "3", "4A")
    # one product tested to the 2015 edition, category 2000: water 6A (read)
    assert classes_wanted(1900.0).water == "6A"


def test_beyond_the_bands_the_pressure_itself_is_the_class():
    wanted = classes_wanted(2400.0)
    # 1989 edition, top category 2400: water 300 Pa (read), which is class 7A
    assert (wanted.category, wanted.wind, wanted.water) == ("over 2000", "E2400", "7A")
    assert water_class(601.0) == "E750"


def test_a_nation_without_bands_is_refused_by_name():
    with pytest.raises(BadInput, match="no exposure bands for `atlantis`"):
        classes_wanted(900.0, "atlantis")
