import numpy as np
import pytest

from jambwright.basis import BadInput
from jambwright.checks.heat.climate import climate, region_of_nation
from jambwright.checks.heat.damp import dew_point_c, vapour_pa
from jambwright.checks.heat.damp_year import (
    RoomClimate,
    cold_spots,
    condensation_verdicts,
    damp_advice,
    spot_year,
)
from jambwright.checks.heat.outside_dew import outside_dew_note

MIDLANDS = climate("midlands")


def year_of(air, *, glass_u=1.2, frame_u=1.3, spacer="improved"):
    spots = cold_spots(glass_u_w_m2k=glass_u, frame_u_w_m2k=frame_u, spacer=spacer)
    return [spot_year(spot, MIDLANDS, air) for spot in spots]


def test_a_good_window_in_a_well_aired_house_stays_dry_and_needs_no_advice():
    years = year_of(RoomClimate(humidity_class=2))
    found = {v.rule: v for v in condensation_verdicts(years, MIDLANDS, RoomClimate(humidity_class=2))}
    assert found["condensation.glass"].word == found["condensation.frame"].word == "meets"
    # the edge is by a rough value, which proves nothing
    assert "should stay dry" in found["condensation.edge"].why
    assert found["condensation.edge"].word == "advise"
    assert damp_advice(years, spacer="improved") == []


def test_single_glass_mists_in_winter_only():
    glass, _, _ = year_of(RoomClimate(humidity_class=3), glass_u=5.7)
    assert "jan" in glass.wet_months
    assert "jul" not in glass.wet_months


def test_a_wet_house_is_told_to_air_to_heat_and_to_order_a_warm_edge():
    air = RoomClimate(humidity_class=4)
    years = year_of(air, spacer="normal")
    advice = " ".join(damp_advice(years, spacer="normal"))
    for word in ("vents", "heat", "warm-edge", "mould"):
        assert word in advice
    words = {v.rule: v.word for v in condensation_verdicts(years, MIDLANDS, air)}
    assert words["condensation.edge"] == "advise"


def test_no_damp_verdict_is_ever_graver_than_advice():
    air = RoomClimate(inside_percent=95.0)
    assert {
        v.word for v in condensation_verdicts(year_of(air, glass_u=5.7, spacer="normal"), MIDLANDS, air)
    } == {"advise"}


def test_the_edge_is_said_to_be_a_rough_value():
    air = RoomClimate()
    edge = next(
        v for v in condensation_verdicts(year_of(air), MIDLANDS, air) if v.rule == "condensation.edge"
    )
    assert "rough" in edge.why


def test_a_place_is_wet_exactly_where_it_needs_more_than_it_has():
    for year in year_of(RoomClimate(humidity_class=4), spacer="normal"):
        needed = (year.dew_point_c - year.cold_day_c) / (20.0 - year.cold_day_c)
        assert (year.wet == (year.spot.f_rsi < needed)).all()


def test_the_humidity_a_place_bears_puts_its_dew_point_on_its_coldest_surface():
    edge = year_of(RoomClimate())[1]
    dew = dew_point_c(vapour_pa=vapour_pa(air_c=20.0, humidity_percent=edge.dry_up_to_percent))
    assert dew == pytest.approx(float(np.min(edge.surface_c)), abs=1e-6)


def test_a_read_humidity_holds_all_year():
    glass = year_of(RoomClimate(inside_percent=55.0))[0]
    assert glass.inside_percent == pytest.approx(np.full(12, 55.0))


def test_a_cold_room_that_could_not_hold_its_water_is_refused():
    with pytest.raises(BadInput, match="warmer room"):
        year_of(RoomClimate(inside_c=6.0, humidity_class=4))


def test_every_nation_has_a_region():
    for nation in ("england", "wales", "scotland", "northern_ireland", "ireland"):
        assert climate(region_of_nation(nation)).outside_c.shape == (12,)


def test_an_unknown_region_is_told_the_known_ones():
    with pytest.raises(BadInput, match=r"known are uk_average, thames"):
        climate("atlantis")


def test_outside_dew_is_explained_as_no_fault():
    note = outside_dew_note(glass_u_w_m2k=0.9)
    assert note is not None
    assert "no fault" in note
    assert outside_dew_note(glass_u_w_m2k=5.7) is None
