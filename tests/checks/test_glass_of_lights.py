"""The glass of the lights of one frame: judged as asked, never changed, with what would hold beside it."""

from dataclasses import fields

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jambwright.basis.tables import table
from jambwright.checks.glass import check_unit, order_cases, stronger_make_ups
from jambwright.checks.glass_of_lights import glass_of_lights
from jambwright.checks.heat import sound_rw_db, unit_heat
from jambwright.checks.regulations.safety_glass import impact_class, usual_class
from jambwright.checks.wind_on_house import OpeningWind
from jambwright.frame import Cavity, GlazingUnit, Pane, parse_glazing
from jambwright.frame.layout import lay_out
from jambwright.frame.profiles import profile_system
from jambwright.readings.wanted import Light

STORM = OpeningWind(in_pa=2400.0, out_pa=-2900.0, zone_out="A", peak_pa=2000.0, area_m2=1.5)
TOWN = OpeningWind(in_pa=700.0, out_pa=-800.0, zone_out="B", peak_pa=650.0, area_m2=1.5)


def laid_out(width_mm, height_mm, **light):
    profile = profile_system("plain_70")
    return lay_out(
        Light(**light), width_mm=width_mm, height_mm=height_mm, profile=profile, door=False, low=False
    )


def judged(make_up, *, wind=STORM, width_mm=1200.0, height_mm=1400.0, **light):
    asked = parse_glazing(make_up) if isinstance(make_up, str) else make_up
    return glass_of_lights(laid_out(width_mm, height_mm, **light), {"A": asked}, wind=wind, altitude_m=50.0)


def test_a_verdict_names_its_light_and_the_make_up_asked_for():
    (verdict,) = judged("4-16Ar-4 low-e").verdicts
    assert (verdict.word, verdict.part.mark) == ("fails", "A")
    assert "4-16Ar-4 low-e" in verdict.why
    assert "factors 'safe', EN 1990" in verdict.why
    assert "works at sea level" in verdict.why


def test_what_is_proposed_holds_and_nothing_is_changed_for_it():
    found = judged("4-16Ar-4 low-e")
    proposed = found.proposed["A"]
    (again,) = judged(proposed).verdicts
    assert again.word == "advise"  # by recalled factors, until the glass maker is asked
    assert " holds: at most " in again.why
    assert found.remarks == ()
    assert not hasattr(found, "glazing")


def test_a_wind_not_known_checks_nothing():
    found = judged("4-16Ar-4 low-e", wind=None)
    assert (found.verdicts, found.proposed, found.remarks) == ((), {}, ())


def test_glass_that_holds_needs_no_proposal():
    found = judged("4-16Ar-4 low-e", wind=TOWN)
    assert [v.word for v in found.verdicts] == ["advise"]
    assert "ask the glass maker for his calculation" in found.verdicts[0].why
    assert not found.proposed
    assert not found.remarks


def test_laminated_glass_is_never_proposed_away():
    found = judged("4-16Ar-6.8L low-e")
    assert [v.word for v in found.verdicts] == ["fails"]
    assert found.proposed["A"].panes[1].kind == "laminated"
    # the toughened unit that holds is no answer to laminated asked for inside
    assert judged("4T-16Ar-4T low-e").verdicts[0].word == "advise"


def test_gas_cavity_and_coating_stay_as_asked_even_where_the_stock_has_others():
    asked = parse_glazing("4-20Kr-4 low-e 2")
    proposed = judged(asked).proposed["A"]
    assert proposed.cavities == asked.cavities
    assert proposed.low_e == asked.low_e


def test_unlike_panes_against_noise_stay_unlike():
    found = judged("6-16Ar-4 low-e", width_mm=1500.0, height_mm=1600.0)
    outer, inner = (pane.thickness_mm for pane in found.proposed["A"].panes)
    assert outer - inner >= 2


def test_where_nothing_holds_nothing_is_proposed_and_what_was_tried_is_told():
    gale = OpeningWind(in_pa=9000.0, out_pa=-9000.0, zone_out="A", peak_pa=9000.0, area_m2=4.0)
    found = judged("6.4L-16Ar-6.4L low-e", wind=gale, width_mm=2400.0, height_mm=2300.0)
    assert not found.proposed
    (remark,) = found.remarks
    tried = stronger_make_ups(parse_glazing("6.4L-16Ar-6.4L low-e"))
    assert f"none of {len(tried)} stronger make-ups, {tried[0]} to {tried[-1]}," in remark.say


def test_a_narrow_light_that_falls_under_its_climate_is_advised():
    found = judged("4-16Ar-4 low-e", wind=TOWN, width_mm=500.0, height_mm=1100.0)
    (verdict,) = found.verdicts
    assert verdict.word == "advise"
    assert "edge under 500 mm" in verdict.why
    assert "toughened" in verdict.why
    assert not found.proposed
    assert "glass maker" in found.remarks[0].say


def test_advice_on_laminated_glass_does_not_toughen_it_away():
    found = judged("4T-16Ar-6.4L low-e", wind=TOWN, width_mm=460.0, height_mm=500.0)
    (verdict,) = found.verdicts
    assert verdict.word == "advise"
    assert "narrower cavity" in verdict.why
    assert "toughened" not in verdict.why


def test_an_obscure_light_is_checked_as_patterned_glass():
    # EN 16612:2019: k_sp 0.75 of patterned annealed glass (from memory, medium)
    clear, obscure = (judged("4-16Ar-4 low-e", obscure=is_so).verdicts[0] for is_so in (False, True))
    assert obscure.found == pytest.approx(clear.found / 0.75)
    assert "every pane patterned" in obscure.why


def thin(pane):
    """Thin ones of a kind: these often fail."""
    listed = [row["thickness_mm"] for row in table("glass_panes") if row["kind"] == pane]
    return st.sampled_from(sorted(listed)[:4])


kinds = st.sampled_from(["annealed", "toughened", "laminated", "heat_strengthened"])
panes = kinds.flatmap(lambda kind: thin(kind).map(lambda t: Pane(thickness_mm=t, kind=kind)))
cavities = st.builds(
    Cavity,
    gap_mm=st.sampled_from([6.0, 12.0, 14.0, 16.0, 20.0]),
    gas=st.sampled_from(["air", "argon", "krypton"]),
    fill=st.sampled_from([0.85, 0.9, 1.0]),
)


@st.composite
def units(draw):
    count = draw(st.integers(1, 3))
    faces = [] if count == 1 else draw(st.sets(st.integers(2, 2 * count - 1)))
    return GlazingUnit(
        panes=tuple(draw(panes) for _ in range(count)),
        cavities=tuple(draw(cavities) for _ in range(count - 1)),
        low_e=tuple(sorted(faces)),
    )


def rank(pane):
    """EN 12600 drop height passed as safety glass, better is lower; 4 for none."""
    usual = usual_class(pane.kind, pane.thickness_mm)
    found = impact_class(usual) if usual else None
    return found.height if found and found.mode != "A" and found.height else 4


@settings(max_examples=60, deadline=None)
@given(units(), st.floats(900, 2200), st.floats(900, 2200), st.floats(1500, 5000), st.booleans())
def test_what_is_proposed_is_no_less_in_any_property_asked_for(unit, width, height, wind, obscure):
    blown = OpeningWind(in_pa=wind, out_pa=-wind, zone_out="A", peak_pa=wind, area_m2=2.0)
    found = judged(unit, wind=blown, width_mm=width, height_mm=height, obscure=obscure)
    assert [v.part.mark for v in found.verdicts] == ["A"]
    new = found.proposed.get("A")
    if new is None:
        return
    assert found.verdicts[0].word == "fails"
    assert len(new.panes) == len(unit.panes)
    for was, now in zip(unit.panes, new.panes, strict=True):
        assert now.thickness_mm >= was.thickness_mm
        assert now.layers_mm[1] >= was.layers_mm[1]
        assert rank(now) <= rank(was)
        assert now.kind == was.kind or (was.kind, now.kind) == ("annealed", "toughened")
    assert {f.name for f in fields(new) if getattr(new, f.name) != getattr(unit, f.name)} == {"panes"}
    assert unit_heat(new).u_w_m2k <= unit_heat(unit).u_w_m2k
    heard, hears = sound_rw_db(unit), sound_rw_db(new)
    assert not (heard and hears) or hears[0] >= heard[0]
    asked_unlike, unlike = (abs(u.panes[0].thickness_mm - u.panes[-1].thickness_mm) for u in (unit, new))
    assert unlike >= asked_unlike - 1e-9
    glass = laid_out(width, height).lights[0].glass
    cases = order_cases(in_pa=wind, out_pa=-wind, altitude_change_m=50.0)
    size = {"width_mm": glass.width_mm, "height_mm": glass.height_mm}
    assert check_unit(new, **size, cases=cases, patterned=obscure).passes
