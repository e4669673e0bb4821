"""Meeting stiles of a pair against wind: closed form, and an independent frame analysis."""

from dataclasses import replace

import pytest
from Pynite import FEModel3D

from jambwright.checks.fixings import frame_reactions
from jambwright.checks.members import bar_between, e_n_mm2
from jambwright.frame.layout import lay_out
from jambwright.frame.profiles import profile_system
from jambwright.plan.bars import frame_edges, plan_bars
from jambwright.readings.wanted import Across, Down, Light

DOOR = profile_system("plain_door_70")
STILE = DOOR.stiles
PAIR = Light(opens="pair_left")


def edges(node=PAIR, width=1700.0, height=2050.0, wind=800.0):
    laid = lay_out(node, width_mm=width, height_mm=height, profile=DOOR, door=True, low=False)
    return frame_edges(node, laid, wind_pa=wind)


@pytest.mark.parametrize(
    ("width", "span", "wind", "moment_nm", "end_n", "ei"),
    [
        # beam theory with the wind shed at 45 degrees, EN 12210 class B 1/200
        (1700, 2050, 800, 336.7, 552.5, 1.422e10),
        (1700, 2050, 1200, 505.1, 828.8, 2.134e10),
        (1120, 1250, 1000, 102.1, 271.6, 2.624e9),
    ],
)
def test_load_moment_and_stiffness_of_the_stiles(width, span, wind, moment_nm, end_n, ei):
    (stiles,) = edges(width=width, height=span, wind=wind).bars
    assert stiles.kind == "meeting stiles"
    assert float(stiles.load.total_n()) / 2 == pytest.approx(end_n, rel=1e-3)
    found = bar_between(
        span_mm=span, pane_widths_mm=(width / 2, width / 2), wind_pa=wind, limit_mm=span / 200
    )
    assert float(found.moment_n_mm) / 1000 == pytest.approx(moment_nm, rel=1e-3)
    (plan,) = plan_bars(edges(width=width, height=span, wind=wind), DOOR)
    assert plan.verdict.limit == pytest.approx(span / 200)
    steps = {step.symbol: step.value for step in plan.verdict.working}
    assert steps["EI_wanted"] == pytest.approx(ei, rel=1e-3)


def test_the_stiles_bend_as_frame_analysis_says():
    span, half = 2050.0, 850.0
    (plan,) = plan_bars(edges(), DOOR)
    each = e_n_mm2("pvcu") * STILE.i_cm4 * 1e4 + plan.reinforcement.ei_n_mm2
    frame = FEModel3D()
    frame.add_material("stiles", 1.0, 0.4, 0.3, 0.0)
    frame.add_section("two", 1.0, 2 * each, 2 * each, 1.0)
    frame.add_node("foot", 0, 0, 0)
    frame.add_node("head", span, 0, 0)
    frame.add_member("stiles", "foot", "head", "stiles", "two")
    frame.def_support("foot", True, True, True, True, False, False)
    frame.def_support("head", False, True, True, False, False, False)
    peak, t = 2 * 800e-6 * half / 2, half / 2
    for low, high, a, b in ((0, t, 0, peak), (t, span - t, peak, peak), (span - t, span, peak, 0)):
        frame.add_member_dist_load("stiles", "Fy", -a, -b, low, high)
    frame.analyze()
    sag = -float(frame.members["stiles"].min_deflection("dy", "Combo 1"))
    assert plan.verdict.found == pytest.approx(sag, rel=2e-3)


def test_stiles_that_nothing_joins_leave_the_slave_leaf_alone():
    (joined,) = plan_bars(edges(), DOOR)
    (alone,) = plan_bars(edges(), replace(DOOR, stiles=replace(STILE, joined=False)))
    assert "both stiles together" in joined.verdict.why
    assert "slave leaf's stile alone" in alone.verdict.why
    assert alone.reinforcement.i_cm4 > joined.reinforcement.i_cm4


def test_a_profile_of_which_no_stile_is_held_is_told_as_unknown():
    (plan,) = plan_bars(edges(), replace(DOOR, stiles=None))
    assert plan.verdict.word == "unknown"
    assert "ask the profile maker" in plan.verdict.why


def test_the_wind_on_a_pair_reaches_the_sides_whole():
    wanted = Down(down=[Light(mm=400), Across(across=[Light(mm=300), PAIR])])
    found = edges(wanted, width=2000.0, height=2400.0)
    assert [bar.kind for bar in found.bars] == ["meeting stiles", "mullion", "transom"]
    places = dict.fromkeys(("left", "right", "head", "sill"), (200.0, 1000.0, 1800.0))
    held = frame_reactions(edges=found, positions_mm=places)
    assert sum(float(side.sum()) for side in held.values()) == pytest.approx(800e-6 * 2000 * 2400)
