"""The last step of every working is the figure that the plan acts on."""

import pytest
from jambwright.checks.heat.frame_working import frame_working, glass_of_frame_working

from demo_house import MARKS, house, opening, recorded
from jambwright.basis.working import Working
from jambwright.checks.heat.unit import unit_heat
from jambwright.checks.wind_on_house import wind_working
from jambwright.paper.calculation_sheet import TITLES
from jambwright.plan.chain import checks_of


def value(work: Working, symbol: str) -> float:
    return [step.value for step in work if step.symbol == symbol][-1]


@pytest.mark.parametrize("mark", MARKS)
def test_wind_steps_end_at_the_net_pressures(mark):
    plan = opening(mark)
    work = wind_working(house().survey, plan.opening, plan.wind)
    assert value(work, "q_p") == pytest.approx(plan.wind.peak_pa)
    assert value(work, "w_in") == pytest.approx(plan.wind.in_pa)
    assert value(work, "w_out") == pytest.approx(plan.wind.out_pa)


@pytest.mark.parametrize("mark", MARKS)
def test_heat_steps_end_at_u_index_and_band(mark):
    plan = opening(mark)
    heat, leakage = plan.heat.unit, plan.frame.chosen.profile.air_leakage_l50_m3_hm2
    work = frame_working(plan.frame, heat, air_leakage_l50_m3_hm2=leakage)
    assert value(work, "U_w") == pytest.approx(heat.real.u_w_m2k)
    if plan.frame.chosen.kind == "door":
        assert not [step for step in work if step.symbol in ("EI", "band")]
    else:
        assert value(work, "EI") == pytest.approx(heat.index_kwh_m2)
        assert value(work, "band") == heat.band.band
    for unit in filter(None, plan.frame.glazing.values()):
        steps = glass_of_frame_working(plan.frame)[str(unit)]
        assert value(steps, "U") == pytest.approx(float(unit_heat(unit).u_w_m2k))


@pytest.mark.parametrize("mark", MARKS)
def test_damp_steps_end_at_the_factor_found_and_the_factor_needed(mark):
    damp = opening(mark).heat.damp
    assert len(damp) == 3
    for verdict in damp:
        assert value(verdict.working, "f_Rsi") == verdict.found
        assert value(verdict.working, "f_Rsi needed") == pytest.approx(verdict.limit)
        stays_dry = value(verdict.working, "θ_si") >= value(verdict.working, "θ_dew")
        assert stays_dry == ("should stay dry" in verdict.why)


@pytest.mark.parametrize("mark", MARKS)
def test_packers_carry_the_weight_that_comes_down(mark):
    (verdict,) = (v for v in opening(mark).verdicts if v.rule == "fixings.weight")
    weights = [s.value for s in verdict.working if s.symbol.startswith("G at")]
    shares = [s.value for s in verdict.working if s.symbol.startswith("R at")]
    assert sum(shares) == pytest.approx(sum(weights))
    assert max(shares) == pytest.approx(verdict.found)


@pytest.mark.parametrize("mark", MARKS)
def test_every_check_shows_its_working(mark):
    worked_out = {start.split(".")[0] for start in TITLES} - {"", "structure"}
    bare = [
        v.rule
        for v in recorded(mark).checks
        if not v.working.steps and v.rule.split(".")[0] in worked_out and v.word != "unknown"
    ]
    assert bare == []


@pytest.mark.parametrize("mark", MARKS)
def test_no_verdict_is_lost_on_the_way_to_the_record(mark):
    plan = opening(mark)
    kept = [(v.rule, v.word, v.why, v.found, v.limit) for v in recorded(mark).verdicts]
    made = [*checks_of(plan), *house().rules_on(plan).verdicts]
    assert kept == [(v.rule, v.word, v.why, v.found, v.limit) for v in made]
    for verdict in plan.verdicts:
        assert verdict.rule in {v.rule for v in recorded(mark).checks}
