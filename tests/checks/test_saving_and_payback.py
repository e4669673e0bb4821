from dataclasses import replace

import numpy as np
import pytest

from jambwright.basis import BadInput
from jambwright.checks.heat.climate import DAYS, climate
from jambwright.checks.heat.payback import Range, heat_range, heating_of, payback_words, payback_years
from jambwright.checks.heat.saving import (
    Glazed,
    Replacement,
    Saved,
    by_degree_days,
    by_months,
    need_kwh,
    usual_house,
)

PLACE = climate("uk_average")
OLD = Glazed(u_w_m2k=4.8, g=0.85, air_leakage_l50_m3_hm2=20.0)
NEW = Glazed(u_w_m2k=1.4, g=0.63, air_leakage_l50_m3_hm2=1.0)
SOUTH = Replacement(area_m2=10.0, facing="south", before=OLD, after=NEW)
HOUSE = usual_house(floor_area_m2=90.0)


def test_no_change_saves_nothing():
    same = replace(SOUTH, after=OLD)
    assert by_months([same], PLACE, HOUSE).heat_kwh == pytest.approx(0)
    assert by_degree_days([same], PLACE, degree_days_kd=2194).heat_kwh == pytest.approx(0)


def test_the_two_ways_agree_within_two_fifths():
    """They rest on different stand-ins (base 15.5 against a house at 18 degC), hence the range."""
    months = by_months([SOUTH], PLACE, HOUSE).heat_kwh
    days = by_degree_days([SOUTH], PLACE, degree_days_kd=2194).heat_kwh
    assert months == pytest.approx(days, rel=0.4)


def test_the_three_parts_make_up_the_change_of_need():
    saved = by_months([SOUTH], PLACE, HOUSE)
    after = replace(SOUTH, before=NEW)
    assert saved.heat_kwh == pytest.approx(need_kwh([SOUTH], PLACE, HOUSE) - need_kwh([after], PLACE, HOUSE))
    assert min(saved.fabric_kwh, saved.draught_kwh, saved.lost_sun_kwh) > 0


def test_without_any_gains_the_need_is_all_the_loss():
    """Plain sum over months, by hand."""
    dark = Replacement(area_m2=10.0, before=OLD, after=NEW)
    bare = replace(HOUSE, gains_w=0.0)
    gaps = np.maximum(HOUSE.inside_c - PLACE.outside_c, 0)
    loss_w_k = 90 * 2.5 + 10.0 * (4.8 + 0.0165 * 20)
    assert need_kwh([dark], PLACE, bare) == pytest.approx(float(gaps @ DAYS) * 24 / 1000 * loss_w_k)


def test_a_house_full_of_gains_needs_no_heat():
    full = need_kwh([SOUTH], PLACE, replace(HOUSE, gains_w=50_000.0))
    assert 0 <= full < 0.01 * need_kwh([SOUTH], PLACE, HOUSE)


def test_a_range_is_wider_below_than_above():
    span = heat_range([Saved(fabric_kwh=1000, draught_kwh=0, lost_sun_kwh=0)])
    assert (span.low, span.likely, span.high) == pytest.approx((687, 1000, 1275), abs=1)


def test_a_heat_pump_needs_little_fuel():
    pump = heating_of("heat_pump_air")
    assert (pump.fuel, pump.efficiency, pump.co2_kg_kwh) == ("electricity", 2.8, 0.136)
    assert heating_of("gas_condensing", efficiency=0.9).efficiency == 0.9


def test_an_unknown_heating_is_told_the_known_ones():
    with pytest.raises(BadInput, match="known are gas_condensing"):
        heating_of("magic")


@pytest.mark.parametrize(
    ("cost", "money", "best", "worst", "words"),
    [
        (3000, (200, 300, 400), 7.5, 15.0, "take 7.5 to 15 years"),
        (9000, (100, 150, 200), 45.0, 90.0, "last about 30 years"),
        (9000, (-50, 100, 200), 45.0, None, "at least 45 years"),
        (9000, (-80, -60, -50), None, None, "will not pay"),
    ],
)
def test_payback_is_said_plainly(cost, money, best, worst, words):
    span = Range(low=money[0], likely=money[1], high=money[2])
    assert payback_years(cost, span) == (best, worst)
    assert words in payback_words(cost, span)
