"""Meeting rails and interlocks against wind: closed form, and an independent frame analysis."""

import pytest
from Pynite import FEModel3D

from jambwright.basis.tables import table
from jambwright.checks.fixings import frame_reactions
from jambwright.checks.members import bar_between, e_n_mm2
from jambwright.frame.layout import lay_out
from jambwright.frame.profiles import profile_system
from jambwright.plan.bars import frame_edges, plan_bars
from jambwright.readings.wanted import Across, Light

PVCU, DOOR = profile_system("plain_70"), profile_system("plain_door_70")
SASH = Light(opens="vertical_slider")


def planned(node, profile, width, height, wind, *, door=False):
    laid = lay_out(node, width_mm=width, height_mm=height, profile=profile, door=door, low=False)
    edges = frame_edges(node, laid, wind_pa=wind)
    return edges, plan_bars(edges, profile)


def test_load_and_stiffness_of_meeting_rails():
    # beam theory with the wind shed at 45 degrees, EN 12210 class B 1/200: span 900 between panes of 700, 1200 Pa
    found = bar_between(span_mm=900, pane_widths_mm=(700, 700), wind_pa=1200, limit_mm=900 / 200)
    assert float(found.moment_n_mm) / 1000 == pytest.approx(67.90, rel=1e-3)
    assert float(found.ei_required_n_mm2) == pytest.approx(1.232e9, rel=1e-3)


def test_the_rails_span_from_jamb_to_jamb_and_share_the_wind():
    edges, (rails,) = planned(SASH, PVCU, 900.0, 1400.0, 1200.0)
    assert [bar.kind for bar in edges.bars] == ["meeting rails"]
    assert rails.length_mm == 900
    assert "both rails together while the fastener is shut" in rails.verdict.why
    row = table("vertical_sashes").find(profile="plain_70")
    each = e_n_mm2("pvcu") * row["i_cm4"] * 1e4 + (
        rails.reinforcement.ei_n_mm2 if rails.reinforcement else 0.0
    )
    (bar,) = edges.bars
    assert float(bar.load.total_n()) == pytest.approx(2 * 231.0, rel=0.02)
    assert rails.verdict.limit == 4.5
    assert rails.verdict.found == pytest.approx(sag(bar, 2 * each, 900.0), rel=2e-3)


@pytest.mark.parametrize("kind", ["slider_ox", "slider_oxxo"])
def test_interlocks_bend_as_frame_analysis_says(kind):
    edges, bars = planned(Light(opens=kind), DOOR, 3600.0, 2100.0, 800.0, door=True)
    assert [bar.kind for bar in edges.bars] == {
        "slider_ox": ["interlock"], "slider_oxxo": ["interlock", "meeting panes", "interlock"],
    }[kind]  # fmt: skip
    for plan, bar in zip(bars, edges.bars, strict=True):
        assert "one stile alone" in plan.verdict.why
        row = table("sliders").find(profile="plain_door_70")
        alone = e_n_mm2("pvcu") * row["i_cm4"] * 1e4 + (
            plan.reinforcement.ei_n_mm2 if plan.reinforcement else 0.0
        )
        assert plan.verdict.found == pytest.approx(sag(bar, alone, 2100.0), rel=2e-3)


def sag(bar, ei, span):
    """Of a simple beam under the bar's own load, by an independent frame analysis."""
    frame = FEModel3D()
    frame.add_material("member", 1.0, 0.4, 0.3, 0.0)
    frame.add_section("whole", 1.0, ei, ei, 1.0)
    frame.add_node("low", 0, 0, 0)
    frame.add_node("high", span, 0, 0)
    frame.add_member("bar", "low", "high", "member", "whole")
    frame.def_support("low", True, True, True, True, False, False)
    frame.def_support("high", False, True, True, False, False, False)
    load = bar.load
    for low, high, a, b in zip(load.start_mm, load.end_mm, load.at_start_n_mm, load.at_end_n_mm, strict=True):
        if high > low:
            frame.add_member_dist_load("bar", "Fy", -float(a), -float(b), float(low), float(high))
    frame.analyze()
    return -float(frame.members["bar"].min_deflection("dy", "Combo 1"))


def test_the_wind_on_sashes_and_panes_reaches_the_sides_whole():
    wanted = Across(across=[Light(mm=700), SASH])
    edges, bars = planned(wanted, PVCU, 1900.0, 1500.0, 1000.0)
    assert [bar.name for bar in bars] == ["Meeting rails 1", "Mullion 2"]
    places = dict.fromkeys(("left", "right", "head", "sill"), (200.0, 750.0, 1300.0))
    held = frame_reactions(edges=edges, positions_mm=places)
    assert sum(float(side.sum()) for side in held.values()) == pytest.approx(1000e-6 * 1900 * 1500)
