"""A weak input never proves anything: each check's `meets` is capped by it, and a declared value lifts the cap."""

from dataclasses import replace
from datetime import date
from typing import get_args

import numpy as np
import pytest

from demo_house import changed
from jambwright import job
from jambwright.basis.clause import SURENESS, WEAK, How
from jambwright.checks.changed_order import remedy_proposals
from jambwright.checks.declared import doubt, unit_doubts
from jambwright.checks.fixings import DeclaredResistance, fixing_in, fixing_verdict, weight_verdict
from jambwright.checks.glass import DeclaredGlass, glass_verdict, order_cases
from jambwright.checks.heat.climate import climate
from jambwright.checks.heat.damp_year import RoomClimate, cold_spots, condensation_verdicts, spot_year
from jambwright.checks.members import bar_verdict
from jambwright.checks.movement import gap_verdict
from jambwright.checks.regulations import (
    AccessFacts,
    EnergyFacts,
    EscapeFacts,
    GlassFacts,
    GuardingFacts,
    OpenerFacts,
    PaneFacts,
    check_access,
    check_energy,
    check_escape,
    check_guarding,
    check_pane,
    check_purge,
    rules_in_force,
)
from jambwright.checks.regulations import (
    RoomAir as AirFacts,
)
from jambwright.checks.verdict import Rest, Verdict, settled
from jambwright.frame import parse_glazing
from jambwright.frame.movement import movement_gap
from jambwright.readings.survey_file import read_survey

GRADES = get_args(How)
ENGLAND = rules_in_force("england", date(2026, 12, 7))
DEMO_DAY = "2026-12-07"


def rest(how, ask="ask the maker"):
    return Rest(what="a generic profile", how=how, ask=ask, of_product=True)


def word(how):
    """Common practice stands for no maker's product."""
    return "advise" if how in WEAK or how.startswith("common practice") else "meets"


def bar(how):
    return bar_verdict(
        name="Mullion 1", span_mm=1500, sag_times_ei_n_mm3=4.1e10, ei_n_mm2=8e9, limit_rule="class_b",
        rests_on=[rest(how)],
    )  # fmt: skip


def fixing(how):
    held = fixing_in(fixing="plug_10", substrate="brick")
    declared = DeclaredResistance(design_n=900, by="sheet", rest=rest(how))
    return fixing_verdict(held=held, largest_n=100, gap_mm=5, declared=declared)


def glass(how):
    return glass_verdict(
        parse_glazing("4-16Ar-4"), width_mm=600, height_mm=800,
        cases=order_cases(in_pa=500, out_pa=-400),
        declared=DeclaredGlass(wind_pa=500, bears_pa=900, by="sheet", rest=rest(how)),
    )  # fmt: skip


def damp(how):
    air, region = RoomClimate(humidity_class=1), climate("midlands")
    spots = cold_spots(glass_u_w_m2k=1.0, frame_u_w_m2k=1.0, spacer="improved", rests=(("frame", rest(how)),))
    return condensation_verdicts([spot_year(spots[-1], region, air)], region, air)[0]


def energy(how):
    facts = EnergyFacts(kind="window", u_w_m2k=1.3, rests_on=(("u_w_m2k", rest(how)),))
    return check_energy(facts, ENGLAND)[0]


def band(how):
    facts = EnergyFacts(kind="window", band="B", rests_on=(("band", rest(how)),))
    return check_energy(facts, ENGLAND)[0]


def escape(how, rule="escape.width", name="frame_clear_width_mm"):
    facts = EscapeFacts(
        room_needs=True, hinge="side_hung", frame_clear_width_mm=700, frame_clear_height_mm=1000,
        obstruction_mm=50, open_angle_deg=90, bottom_above_floor_mm=900, rests_on=((name, rest(how)),),
    )  # fmt: skip
    return next(v for v in check_escape(facts, ENGLAND) if v.rule == rule)


def guarding(how):
    facts = GuardingFacts(
        bottom_above_floor_mm=850, drop_outside_mm=2700, children=False, sill_above_floor_mm=760,
        rests_on=(("bottom_above_floor_mm", rest(how)),),
    )  # fmt: skip
    return check_guarding(facts, ENGLAND)[0]


def zone(how):
    facts = PaneFacts(
        place="window", bottom_above_floor_mm=850, top_above_floor_mm=1500, width_mm=500, height_mm=650,
        leaves=(GlassFacts(kind="annealed", thickness_mm=4),), sill_above_floor_mm=760,
        rests_on=(("bottom_above_floor_mm", rest(how)),),
    )  # fmt: skip
    return check_pane(facts, ENGLAND)[0]


def purge(how):
    opener = OpenerFacts(
        width_mm=900, height_mm=1000, hinge="side_hung", open_angle_deg=60,
        rests_on=(("sash_width_mm", rest(how)),),
    )  # fmt: skip
    room = AirFacts(use="living", floor_area_m2=12, mechanical="none", vents=(8000,), openers=(opener,))
    return check_purge(room, ENGLAND)[0]


def upstand(how):
    facts = AccessFacts(upstand_mm=12, clear_width_mm=800, rests_on=(("upstand_mm", rest(how)),))
    return check_access(facts, ENGLAND)[0]


def leaf(how):
    facts = AccessFacts(
        upstand_mm=12, clear_width_mm=800, old_clear_width_mm=700, rests_on=(("clear_width_mm", rest(how)),)
    )
    return check_access(facts, ENGLAND)[1]


def recalled(how):
    return replace(ENGLAND["energy.window.u"], how=how).verdict("meets", "U 1.3.", found=1.3)


CHECKS = [
    bar, fixing, glass, damp, energy, band, escape,
    lambda how: escape(how, "escape.area", "obstruction_mm"),
    lambda how: escape(how, "escape.bottom", "bottom_above_floor_mm"),
    guarding, zone, purge, upstand, leaf,
]  # fmt: skip


@pytest.mark.parametrize("how", GRADES)
@pytest.mark.parametrize("check", CHECKS)
def test_meets_is_capped_where_its_input_is_weak(check, how):
    found = check(how)
    assert found.word == word(how)
    assert ("ask the maker" in found.why) == (found.word == "advise")
    assert how in [each.how for each in found.rests_on]


@pytest.mark.parametrize("how", GRADES)
def test_a_limit_that_is_recalled_weakly_gives_no_meets(how):
    found = recalled(how)
    assert found.word == ("advise" if how in WEAK else "meets")
    assert ("ask building control" in found.why) == (how in WEAK)


def test_a_verdict_that_forgets_the_cap_can_not_be_made():
    with pytest.raises(ValueError, match="can't rest on a generic profile"):
        Verdict(rule="energy.window.u", word="meets", why="", rests_on=(rest("invented"),))


def test_a_weak_input_still_shuts_and_says_whom_to_ask():
    found = settled(rule="x", word="fails", why="Too little.", rests_on=[rest("invented")])
    assert (found.word, found.why) == ("fails", "Too little. By a generic profile (invented): ask the maker.")


def test_every_grade_has_its_place():
    assert sorted(SURENESS) == sorted(GRADES)


def test_whatever_the_masses_packers_under_every_line_meet():
    found = weight_verdict(
        width_mm=1200, at_mm=[0, 1200], masses_kg=[20, 20], packers_mm=[60, 1140], jamb_fixings=4
    )
    assert found.word == "meets"


def test_a_sill_that_is_high_enough_needs_no_maker():
    """Structural sills of 800 mm: whatever the profile, nothing above them starts lower."""
    weak = (("bottom_above_floor_mm", rest("invented")),)
    facts = GuardingFacts(
        bottom_above_floor_mm=900,
        drop_outside_mm=2700,
        children=False,
        sill_above_floor_mm=800,
        rests_on=weak,
    )
    assert check_guarding(facts, ENGLAND)[0].word == "meets"


def test_a_place_that_stays_dry_in_any_weather_does_not_rest_on_the_recalled_humidity():
    region, warm = climate("midlands"), RoomClimate(humidity_class=1)
    (spot, *_) = cold_spots(glass_u_w_m2k=0.6, frame_u_w_m2k=1.0, spacer="improved")
    wet = replace(region, humidity_percent=np.full(12, 100.0))
    assert not spot_year(spot, wet, warm).wet.any()
    assert condensation_verdicts([spot_year(spot, region, warm)], region, warm)[0].word == "meets"


@pytest.mark.parametrize(("material", "word"), [("pvcu", "meets"), ("grp", "advise")])
def test_a_joint_rests_on_how_its_material_grows(material, word):
    """PVC-U by published tables; glass-reinforced plastic from memory."""
    wanted = movement_gap(material=material, colour="white", length_mm=1200)
    found = gap_verdict(got_mm=6, wanted=wanted)
    assert found.word == word
    assert ("ask the frame's maker how much it grows" in found.why) == (word == "advise")


# declared values


def verdicts(mark, **declared):
    """The verdicts of one demo opening that declares just this, by rule."""
    given = {"by": "invented sheet 7"} | declared if declared else None
    base = {"layout": {"across": [{"opens": "side_hung_left", "open_angle_deg": 90, "vent_mm2": 8000}, {}]}}
    survey = read_survey(changed(**{mark: {"wanted": base | ({"declared": given} if given else {})}}))
    plan = job.plan_house(survey)
    one = next(p for p in plan.openings if p.opening.id == mark)
    found = {}
    for verdict in (*one.verdicts, *plan.rules.openings[mark].verdicts):
        found.setdefault(verdict.rule, verdict)
    return found, one


@pytest.mark.parametrize(
    ("rule", "declared"),
    [
        ("energy.window.u", {"u_w_m2k": 1.4}),
        ("energy.window.band", {"energy_band": "B", "u_w_m2k": 1.6}),
        ("glass.strength", {"glass_wind_pa": 1200}),
        ("members.deflection", {"bar_ei_n_mm2": 9e9}),
        ("fixings.strength", {"fixing_resistance_n": 900}),
        ("condensation.edge", {"f_rsi_edge": 0.85}),
        ("condensation.glass", {"u_glass_w_m2k": 0.8}),
        ("condensation.frame", {"u_frame_w_m2k": 0.9}),
        ("escape.width", {"lights": {"A": {"clear_width_mm": 470, "clear_height_mm": 1000}}}),
        ("escape.bottom", {"lights": {"A": {"bottom_mm": 95}}}),
    ],
)
def test_a_declared_value_lifts_the_cap_and_is_named(rule, declared):
    # the lights of W3 are so narrow that the glass maker is asked about their climate all the same
    mark = "W7" if rule == "glass.strength" else "W3"
    without, _ = verdicts(mark)
    found, _ = verdicts(mark, **declared)
    before = without.get(rule) or without["energy.window.u"]
    assert before.word in ("advise", "fails", "unknown")
    edge = "Site pull test" in found[rule].why  # close to the face of the wall, which no resistance mends
    assert found[rule].word == ("advise" if edge else "meets"), found[rule].why
    assert found[rule].rests_on[0].how == "declared by the maker"


def test_a_modelled_value_neither_meets_nor_fails_through_rounding():
    """The generic frame with argon and a low coating: 1.4002 against 1.4; EN ISO 10077-1 gives two figures."""
    found, one = verdicts("W3")
    assert round(one.heat.unit.reference.u_w_m2k, 2) == 1.4 < one.heat.unit.reference.u_w_m2k
    verdict = found["energy.window.u"]
    assert (verdict.word, round(verdict.found, 4), verdict.limit) == ("unknown", 1.4002, 1.4)
    assert "U 1.4002 W/m²K" in verdict.why
    assert "U at most 1.4 W/m²K" in verdict.why
    assert "ask the maker for the declared U-value" in verdict.why


@pytest.mark.parametrize(
    ("u_w_m2k", "how", "word"),
    [
        (1.3499, "invented", "advise"),  # clearly under, by a stand-in that proves nothing
        (1.35, "invented", "advise"),
        (1.3999, "invented", "advise"),
        (1.4, "invented", "advise"),
        (1.4002, "invented", "unknown"),
        (1.4499, "invented", "unknown"),
        (1.45, "invented", "fails"),  # a clear miss
        (1.35, "declared by the maker", "meets"),
        (1.4, "declared by the maker", "meets"),
        (1.4002, "declared by the maker", "fails"),
    ],
)
def test_a_stand_in_within_two_figures_of_the_limit_asks_the_maker(u_w_m2k, how, word):
    """EN ISO 10077-1: the result has two significant figures, so 1.35 to under 1.45 is 1.4."""
    facts = EnergyFacts(kind="window", u_w_m2k=u_w_m2k, band="C", rests_on=(("u_w_m2k", rest(how)),))
    assert check_energy(facts, ENGLAND)[0].word == word


def test_a_band_that_meets_is_enough_where_the_stand_in_lies_at_the_limit():
    declared = Rest(what="the label", how="declared by the maker")
    facts = EnergyFacts(
        kind="window", u_w_m2k=1.4002, band="B", rests_on=(("u_w_m2k", rest("invented")), ("band", declared))
    )
    assert check_energy(facts, ENGLAND)[0].word == "meets"


def test_a_declared_value_is_said_beside_the_modelled():
    found, _ = verdicts("W3", u_w_m2k=1.3)
    assert "U 1.3 W/m²K on the maker's declared value, modelled 1.4002" in found["energy.window.u"].why


def test_a_declared_value_rules_also_where_it_is_worse():
    found, _ = verdicts("W3", bar_ei_n_mm2=1e9)
    assert found["members.deflection"].word == "fails"


def test_a_declared_value_that_is_too_good_is_cautioned():
    much = {"fixing_resistance_n": 9000, "bar_ei_n_mm2": 9e11, "glass_wind_pa": 9000}
    _, one = verdicts("W3", u_w_m2k=0.7, energy_band="A++", **much)
    told = {p.field.removeprefix("wanted.declared.") for p in one.remarks if "wanted.declared" in p.field}
    assert told == {"u_w_m2k", "energy_band", "fixing_resistance_n", "bar_ei_n_mm2", "glass_wind_pa"}


def test_what_is_likely_is_not_cautioned():
    _, one = verdicts("W3", u_w_m2k=1.3, u_glass_w_m2k=1.1, lights={"A": {"bottom_mm": 95}})
    assert [p for p in one.remarks if "wanted.declared" in p.field] == []


@pytest.mark.parametrize(
    ("lights", "says"),
    [
        ({"Q": {"bottom_mm": 95}}, "name light Q"),
        ({"B": {"bottom_mm": 95}}, "name light B"),
        ({"A": {"clear_width_mm": 470}}, "declared together"),
        ({"A": {"clear_width_mm": 900, "clear_height_mm": 1000}}, "more than is likely"),
    ],
)
def test_what_is_declared_of_a_light_that_can_not_be_is_said(lights, says):
    _, one = verdicts("W3", lights=lights)
    (told,) = [p.say for p in unit_doubts(one.opening.wanted.declared, one.frame, one.heat.unit)]
    assert says in told


@pytest.mark.parametrize("declared", [1.06, 1.4, 2.0])
def test_a_value_within_a_quarter_of_the_modelled_or_worse_is_likely(declared):
    assert list(doubt("u_w_m2k", declared=declared, modelled=1.4, by="sheet")) == []


def test_what_is_declared_of_a_light_goes_when_the_light_is_changed():
    _, one = verdicts("W3", u_w_m2k=1.3, lights={"A": {"clear_width_mm": 400, "clear_height_mm": 1000}})
    rules = job.plan_house(
        read_survey(changed(W3={"wanted": one.opening.wanted.model_dump(exclude_unset=True)}))
    )
    found = rules.rules.openings["W3"]
    offered = remedy_proposals(one.opening, one.frame, found.verdicts, found.remedies.choices)
    assert offered
    for proposal in offered:
        gone = {change.place: change.value for change in proposal.changes}
        assert gone["/openings/W3/wanted/declared/lights"] is None
        assert "/openings/W3/wanted/declared/u_w_m2k" not in gone
