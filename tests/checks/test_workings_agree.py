"""A value is the same whether its steps are noted or not, and the last step of a working is the figure acted on."""

import dataclasses
from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from demo_house import MARKS, house, opening, recorded
from jambwright.basis import table
from jambwright.basis.problems import BadInput
from jambwright.basis.working import Working
from jambwright.checks.fixings import allowed_reaction_n, fixings_for, weight_on_packers
from jambwright.checks.glass import check_unit, order_cases
from jambwright.checks.heat import (
    Glazed,
    Infill,
    Replacement,
    RoomClimate,
    by_degree_days,
    climate,
    window_heat,
)
from jambwright.checks.heat.damp_year import ColdSpot, cold_days
from jambwright.checks.heat.energy_index import index_and_band
from jambwright.checks.heat.glass_u import glass_heat
from jambwright.checks.heat.unit import unit_heat
from jambwright.checks.lifting import lift
from jambwright.checks.members import bar_between
from jambwright.checks.opening_heat import heat_as_ordered
from jambwright.checks.wind import MapSite, TerrainSite, wind_on_windows
from jambwright.checks.wind_on_house import wind_on_opening
from jambwright.frame import parse_glazing
from jambwright.frame.movement import movement_gap
from jambwright.opening.arch import arch, inside
from jambwright.paper.calculation_sheet import TITLES
from jambwright.plan.blocks import openings, place_blocks
from jambwright.plan.chain import checks_of
from jambwright.plan.joints import FoamJoint, SealantJoint, fill

MM = st.floats(300, 3000)
GAPS = st.lists(
    st.tuples(st.floats(4, 30), st.sampled_from(["air", "argon", "krypton"]), st.floats(0, 1)), max_size=3
)
TERRAIN = st.builds(
    TerrainSite,
    basic_wind_speed_ms=st.floats(15, 35), terrain=st.sampled_from(["0", "I", "II", "III", "IV"]),
    height_m=st.floats(2, 30), orography=st.floats(1, 1.5), direction_factor=st.floats(0.7, 1),
)  # fmt: skip
ON_THE_MAP = st.builds(
    MapSite,
    map_wind_speed_ms=st.floats(20, 31), altitude_m=st.floats(0, 300), distance_to_sea_km=st.floats(0, 150),
    effective_height_m=st.floats(2, 30), distance_in_town_km=st.floats(0, 20),
)  # fmt: skip
SEALANT = st.builds(
    SealantJoint, length_m=st.floats(0.1, 9), width_mm=st.floats(3, 25), depth_mm=st.floats(6, 12)
)
FOAM = st.builds(FoamJoint, length_m=st.floats(0.1, 9), gap_mm=st.floats(3, 25), depth_mm=st.floats(20, 60))
SIDE = st.builds(
    Glazed, u_w_m2k=st.floats(0.8, 5), g=st.none() | st.floats(0.2, 0.8),
    air_leakage_l50_m3_hm2=st.none() | st.floats(0, 30),
)  # fmt: skip
CHANGES = st.lists(
    st.builds(Replacement, area_m2=st.floats(0.5, 9), before=SIDE, after=SIDE, facing=st.none() | st.just("south")),
    min_size=1, max_size=3,
)  # fmt: skip
INFILLS = st.lists(
    st.builds(
        Infill, kind=st.sampled_from(["glass", "panel"]), area_m2=st.floats(0.1, 3), edge_m=st.floats(1, 8),
        u_w_m2k=st.floats(0.5, 6), psi_w_mk=st.floats(0, 0.1), g=st.floats(0, 1),
    ),
    min_size=1, max_size=3,
)  # fmt: skip


@st.composite
def wind(draw):
    size = {name: draw(st.floats(5, 20)) for name in ("wall_length_m", "wall_to_back_m")}
    return partial(
        wind_on_windows, draw(TERRAIN | ON_THE_MAP), **size, building_height_m=draw(st.floats(3, 12)),
        area_m2=draw(st.floats(0.3, 12)), from_corner_m=draw(st.floats(0, 10)),
        internal=draw(st.just("worst") | st.floats(-0.3, 0.2)),
    )  # fmt: skip


@st.composite
def glass(draw):
    gaps = draw(GAPS)
    faces = draw(st.lists(st.floats(0.02, 0.837), min_size=2 * len(gaps) + 2, max_size=2 * len(gaps) + 2))
    return partial(
        glass_heat, pane_mm=[4.0] * (len(gaps) + 1), gap_mm=[gap for gap, _, _ in gaps],
        gas=[gas for _, gas, _ in gaps], fill=[fill for _, _, fill in gaps], face_emissivity=faces,
        slope_deg=draw(st.floats(0, 90)),
    )  # fmt: skip


@st.composite
def cold(draw):
    read = draw(st.none() | st.floats(20, 90))
    air = RoomClimate(inside_c=20.0, inside_percent=read, humidity_class=draw(st.integers(1, 4)))
    spot = ColdSpot(name="edge", f_rsi=draw(st.floats(0, 1)), source=table("edge_cold_spots").pedigree.source)
    return partial(
        cold_days, spot, air, outside_c=draw(st.floats(-15, 15)), outside_percent=draw(st.floats(50, 95))
    )


@st.composite
def strong(draw):
    size = {name: draw(st.floats(400, 1500)) for name in ("width_mm", "height_mm")}
    unit = parse_glazing(draw(st.sampled_from(["4-16Ar-4 low-e", "6T", "6.4L-12-4-12-4T"])))
    cases = order_cases(in_pa=draw(st.floats(100, 1500)), out_pa=draw(st.floats(-1500, -100)))
    return partial(check_unit, unit, **size, cases=cases)


@st.composite
def arched(draw):
    kind, span = draw(st.sampled_from(["segmental", "semicircular", "gothic"])), draw(MM)
    rise = {"segmental": draw(st.floats(0.1, 0.5)), "semicircular": 0.5, "gothic": draw(st.floats(0.5, 1.5))}
    return lambda work=None: inside(
        arch(kind, span_mm=span, rise_mm=rise[kind] * span, work=work), 5.0, work=work
    )


def calls(function, **given):
    return st.builds(partial, st.just(function), **given)


NOTED = {
    "wind": wind(),
    "glass": glass(),
    "window": calls(
        window_heat, frame_m2=st.floats(0.1, 1), frame_u_w_m2k=st.floats(0.8, 3),
        bars=st.sampled_from(table("glazing_bars").column("bars")),
    ).flatmap(lambda call: INFILLS.map(lambda infills: partial(call, infills))),
    "index": calls(
        index_and_band, g_window=st.floats(0, 0.8), u_w_m2k=st.floats(0.6, 6),
        air_leakage_l50_m3_hm2=st.floats(0, 30),
    ),
    "cold days": cold(),
    "glass strength": strong(),
    "movement": calls(
        movement_gap, material=st.sampled_from(["pvcu", "timber", "aluminium"]),
        colour=st.sampled_from(["white", "dark"]), length_mm=MM, set_temperature_c=st.floats(0, 25),
    ),
    "fixing": calls(
        allowed_reaction_n, gap_mm=st.floats(0, 40), head=st.sampled_from(["free", "held"]),
        held=st.sampled_from([each for wall in ("brick", "concrete", "timber") for each in fixings_for(wall)]),
    ),
    "packers": calls(
        weight_on_packers, width_mm=st.just(2000.0), at_mm=st.just([0.0, 900.0, 2000.0]),
        masses_kg=st.lists(st.floats(1, 80), min_size=3, max_size=3),
        packers_mm=st.floats(100, 1800).map(lambda x: [60.0, x, 1940.0]),
    ),
    "bar": calls(
        bar_between, span_mm=MM, pane_widths_mm=st.tuples(MM, MM), wind_pa=st.floats(0, 2000),
        limit_mm=st.floats(1, 20),
    ),
    "lift": calls(lift, mass_kg=st.floats(1, 120), people=st.integers(1, 4), twist_deg=st.floats(0, 120)),
    "arch": arched(),
    "blocks": calls(
        place_blocks, glass_width_mm=MM, glass_height_mm=MM, sag_mm=st.floats(0, 8),
    ).flatmap(lambda call: st.sampled_from(openings()).map(lambda way: partial(call, way))),
    "joints": st.tuples(st.lists(SEALANT, max_size=4), st.lists(FOAM, max_size=4)).map(
        lambda given: partial(fill, *given)
    ),
    "saving": CHANGES.map(
        lambda changes: partial(by_degree_days, changes, climate("midlands"), degree_days_kd=2000.0)
    ),
}  # fmt: skip


def plain(found):
    """Every figure of a result, to compare one by one."""
    if dataclasses.is_dataclass(found):
        return {field.name: plain(getattr(found, field.name)) for field in dataclasses.fields(found)}
    if isinstance(found, (list, tuple)):
        return [plain(each) for each in found]
    return found.tolist() if hasattr(found, "tolist") else found


@pytest.mark.parametrize("name", NOTED)
@given(data=st.data())
def test_a_value_is_the_same_with_and_without_its_steps(name, data):
    call, work = data.draw(NOTED[name]), Working()
    without = told(call)
    assert told(partial(call, work=work)) == without
    assert work.steps or isinstance(without, str)
    # one opening, one figure a step
    assert all(np.ndim(step.value) == 0 or isinstance(step.value, (list, tuple)) for step in work)


def told(call):
    """What a call finds, figure by figure, or why it is refused."""
    try:
        return plain(call())
    except BadInput as refused:
        return str(refused)


def value(work: Working, symbol: str) -> float:
    return [step.value for step in work if step.symbol == symbol][-1]


@pytest.mark.parametrize("mark", MARKS)
def test_wind_steps_end_at_the_net_pressures_found_for_all_openings_at_once(mark):
    plan, work = opening(mark), Working()
    found = wind_on_opening(house().survey, plan.opening, plan.wind.area_m2, work)
    assert dataclasses.asdict(found) == pytest.approx(dataclasses.asdict(plan.wind))
    assert value(work, "q_p") == pytest.approx(plan.wind.peak_pa)
    assert value(work, "w_in") == pytest.approx(plan.wind.in_pa)
    assert value(work, "w_out") == pytest.approx(plan.wind.out_pa)


@pytest.mark.parametrize("mark", MARKS)
def test_heat_steps_end_at_u_index_and_band(mark):
    plan, work = opening(mark), Working()
    heat = plan.heat.unit
    assert heat_as_ordered(plan.opening, plan.frame, work) == heat
    assert value(work, "U_w") == heat.real.u_w_m2k
    if plan.frame.chosen.kind == "door":
        assert not [step for step in work if step.symbol in ("EI", "band")]
    else:
        assert value(work, "EI") == heat.index_kwh_m2
        assert value(work, "band") == heat.band.band
    shown = next(each for each in recorded(mark).found if each.about == "heat").workings
    for unit in filter(None, plan.frame.glazing.values()):
        assert value(shown[f"glass {unit}"], "U") == pytest.approx(float(unit_heat(unit).u_w_m2k))


@given(GAPS.filter(bool), st.floats(0.02, 0.837))
def test_the_steps_of_each_gap_are_those_of_all_gaps_settled_together(gaps, emissivity):
    work, faces = Working(), [emissivity] * (2 * len(gaps) + 2)
    found = glass_heat(
        pane_mm=[4.0] * (len(gaps) + 1), gap_mm=[gap for gap, _, _ in gaps], gas=[gas for _, gas, _ in gaps],
        fill=[fill for _, _, fill in gaps], face_emissivity=faces, work=work,
    ).gaps  # fmt: skip
    for number, conductance in enumerate(found.conductance_w_m2k, start=1):
        assert value(work, f"h_s gap {number}") == pytest.approx(conductance, rel=1e-12)


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
