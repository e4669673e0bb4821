"""Options side by side and the saving of the house, from the demo survey and changes to it."""

import json

import pytest

from demo_house import house, opening
from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import read_text, table
from jambwright.basis.tree import parse_tree
from jambwright.frame.glazing_unit import parse_glazing
from jambwright.plan.options import AS_ORDERED, house_options, quoted_at
from jambwright.plan.saving import house_saving
from jambwright.readings.plausible import unlikely_opening
from jambwright.readings.survey import HeatingKind
from jambwright.readings.survey_file import read_survey


def demo_with(**changed):
    tree = parse_tree(read_text("demo_house.yaml"))
    tree["openings"] = [o for o in tree["openings"] if o["id"] in ("W2", "W7", "D1")]
    for name, value in changed.items():
        if value is None:
            tree["house"].pop(name, None)
        else:
            tree["house"][name] = value
    return tree


def planned(tree):
    return job.plan_house(read_survey(json.dumps(tree, default=str)))


@pytest.fixture(scope="module")
def options():
    return house_options(house())


def test_what_is_ordered_has_the_heat_of_the_order(options):
    whole, single = options.whole, options.single
    for each in single:
        row, heat = each.rows[AS_ORDERED], opening(each.opening_id).heat.unit
        assert row.u_w_m2k == pytest.approx(heat.real.u_w_m2k)
        if opening(each.opening_id).frame.chosen.kind == "door":
            assert (row.index_kwh_m2, row.band) == (None, None)
        else:
            assert row.index_kwh_m2 == pytest.approx(heat.index_kwh_m2)
            assert row.band == heat.band.band
    ordered = whole[0]
    assert ordered.name == AS_ORDERED
    assert ordered.u_w_m2k == pytest.approx(house().heat.u_w_m2k)
    assert ordered.index_kwh_m2 == pytest.approx(house().heat.index_kwh_m2)


def test_safety_glass_stays_safety_glass_in_every_option(options):
    for each in options.single:
        panes = parse_glazing(each.rows[AS_ORDERED].glass).panes
        for row in each.rows.values():
            other = parse_glazing(row.glass).panes
            for now, then in ((panes[0], other[0]), (panes[-1], other[-1])):
                assert now.kind == "annealed" or then.kind != "annealed", (each.name, row.name)


def test_a_window_frame_is_no_option_for_a_door(options):
    whole, single = options.whole, options.single
    doors = [each for each in single if opening(each.opening_id).frame.chosen.kind == "door"]
    assert doors
    assert all("timber" not in each.rows for each in doors)
    timber = next(option for option in whole if option.name == "timber")
    assert timber.units == len(single) - len(doors)


def test_a_door_in_a_window_profile_is_planned_and_said_to_be():
    """As a phone leaves a door of which nothing is asked but its room: the house's usual profile, a window's."""
    tree = demo_with()
    [door] = [one for one in tree["openings"] if one["id"] == "D1"]
    door["wanted"] = {"kind": "door"}
    survey = read_survey(json.dumps(tree, default=str))
    plan = job.plan_house(survey)
    [single] = [each for each in house_options(plan).single if each.opening_id == "D1"]
    assert AS_ORDERED in single.rows
    assert "timber" not in single.rows
    [door_read] = [one for one in survey.openings if one.id == "D1"]
    assert "Plain 70 mm PVC-U window is not made for a door" in " ".join(
        problem.say for problem in unlikely_opening(survey, door_read)
    )
    [window] = [one for one in survey.openings if one.id == "W2"]
    assert [p for p in unlikely_opening(survey, window) if p.field == "wanted.profile"] == []


def test_triple_glass_loses_less_and_weighs_more(options):
    by_name = {option.name: option for option in options.whole}
    assert by_name["triple"].u_w_m2k < by_name[AS_ORDERED].u_w_m2k < by_name["metal_spacer"].u_w_m2k
    assert by_name["triple"].glass_kg > by_name[AS_ORDERED].glass_kg
    assert by_name["metal_spacer"].edge_dry_up_to_percent < by_name[AS_ORDERED].edge_dry_up_to_percent


def test_fabric_saved_is_area_times_drop_times_degree_days():
    saving = house_saving(house())
    # Midlands 2188 K day at base 15.5: SAP 10.2 Table U1 months by Hitchin's formula (reference 6.1)
    by_hand = saving.area_m2 * (saving.before_u_w_m2k - saving.after_u_w_m2k) * 2188 * 24 / 1000
    assert saving.ways["degree days"].fabric_kwh == pytest.approx(by_hand, rel=1e-3)


def test_single_glass_in_timber_counts_as_in_the_sap_table():
    # SAP table of windows: single glazing in timber or PVC-U 4.8 W/m2K
    assert house_saving(house()).before_u_w_m2k == pytest.approx(4.8)


def test_the_range_holds_both_ways_and_draughts_stand_apart():
    saving = house_saving(house())
    for way in saving.ways.values():
        assert saving.heat_kwh.low < way.heat_kwh < saving.heat_kwh.high
        assert way.draught_kwh == 0
    assert 0 < saving.draught_kwh[0] <= saving.draught_kwh[1]


def test_fuel_carbon_and_money_follow_from_the_heat():
    saving = house_saving(quoted_at(planned(demo_with(quotes={})), 6000.0))
    assert saving.fuel_kwh.likely == pytest.approx(saving.heat_kwh.likely / 0.84)  # SAP Table 4b, condensing
    assert saving.co2_kg.likely == pytest.approx(saving.fuel_kwh.likely * 0.210)  # SAP 10.2 gas
    assert saving.money.likely == pytest.approx(saving.fuel_kwh.likely * 0.07)
    assert saving.cost == 6000.0
    assert "years" in saving.payback


def test_without_heating_price_and_facing_the_saving_says_what_is_missing():
    saving = house_saving(planned(demo_with(heating=None, quotes=None, front_faces=None)))
    assert saving.fuel_kwh is saving.co2_kg is saving.money is saving.payback is None
    said = " ".join(saving.missing)
    for words in ("how the house is heated", "price of the whole job", "where the front looks"):
        assert words in said
    assert all(way.lost_sun_kwh == 0 for way in saving.ways.values())


def test_openings_whose_old_glazing_nobody_looked_at_are_named():
    tree = demo_with()
    del tree["openings"][0]["now"]["glazing"]
    assert any(line.startswith("W2: not counted") for line in house_saving(planned(tree)).missing)
    for each in tree["openings"]:
        each["now"].pop("glazing", None)
    assert house_saving(planned(tree)) is None


@pytest.mark.parametrize(
    ("front", "sunniest"), [("south", "front"), ("north", "back"), ("west", "right"), ("east", "left")]
)
def test_the_elevation_that_looks_south_loses_most_sun(front, sunniest):
    # who stands before a house that looks west looks east himself and has the south on his right
    lost = {}
    for elevation in ("front", "back", "left", "right"):
        tree = demo_with(front_faces=front)
        tree["openings"] = [tree["openings"][1] | {"elevation": elevation}]
        lost[elevation] = house_saving(planned(tree)).ways["degree days"].lost_sun_kwh
    assert max(lost, key=lost.get) == sunniest


def test_a_quote_for_no_option_is_refused_with_the_options_known():
    with pytest.raises(BadInput) as bad:
        planned(demo_with(quotes={"tripel": 9000}))
    said = " ".join(p.say for p in bad.value.problems)
    assert "tripel" in said
    assert "triple" in said.replace("tripel", "")


def test_every_kind_of_heating_can_be_typed_in():
    assert set(HeatingKind.__args__) == set(table("heating_kinds").column("heating"))
