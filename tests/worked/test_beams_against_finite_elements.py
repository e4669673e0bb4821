"""Beams against PyNiteFEA, an independent frame analysis: reactions, support moments and deflection.

Its beam elements are exact for linear loads, so agreement is asked to 1e-6.
"""

from itertools import pairwise

import numpy as np
import pytest
from Pynite import FEModel3D

from jambwright.checks.fixings import continuous_beam, frame_reactions, grid, line_load
from jambwright.checks.fixings.pane_loads import with_point
from jambwright.checks.members import bar_between, sag_of_any_load_n_mm3

E_N_MM2, I_MM4 = 210_000.0, 1e5


def model(length_mm, supports_mm, pieces, points=()):
    """A beam along x on vertical supports, one element a span, loads cut at the spans and pushing down."""
    frame = FEModel3D()
    frame.add_material("steel", E_N_MM2, 80_000.0, 0.3, 7.85e-5)
    frame.add_section("bar", 1000.0, I_MM4, I_MM4, I_MM4)
    nodes = sorted({0.0, *supports_mm, float(length_mm)})
    for i, x in enumerate(nodes):
        frame.add_node(f"n{i}", x, 0, 0)
    for i, (start, end) in enumerate(pairwise(nodes)):
        frame.add_member(f"span {i}", f"n{i}", f"n{i + 1}", "steel", "bar")
        for a, b, q_a, q_b in pieces:
            low, high = max(a, start), min(b, end)
            if low < high:
                at_low, at_high = np.interp([low, high], [a, b], [q_a, q_b])
                frame.add_member_dist_load(f"span {i}", "Fy", -at_low, -at_high, low - start, high - start)
        for x, n in points:
            if start <= x < end or x == end == nodes[-1]:
                frame.add_member_pt_load(f"span {i}", "Fy", -n, x - start)
    held = [nodes.index(x) for x in supports_mm]
    for i in held:
        frame.def_support(f"n{i}", i == held[0], True, True, i == held[0], False, False)
    frame.analyze()
    reactions = [float(frame.nodes[f"n{i}"].RxnFY["Combo 1"]) for i in held]
    moments = [_moment(frame, nodes, i) for i in held]
    return frame, reactions, moments


def _moment(frame, nodes, i):
    """Moment at a node, hogging negative: the end of the span before it, or the start of the first."""
    if i == 0:
        return -float(frame.members["span 0"].moment("Mz", 0.0, "Combo 1"))
    return -float(frame.members[f"span {i - 1}"].moment("Mz", nodes[i] - nodes[i - 1], "Combo 1"))


CASES = [
    pytest.param(1200, [150, 600, 1050], [(0, 400, 0, 0.48), (400, 800, 0.48, 0.48), (800, 1200, 0.48, 0)],
                 [], id="trapezoid"),
    pytest.param(2000, [100, 480, 900, 1700], [(0, 900, 0.1, 0.7), (900, 1500, 0.3, 0.2)], [(950, 300.0)],
                 id="four uneven supports, step and point load"),
    pytest.param(900, [50, 850], [(0, 900, 0.5, 0.0)], [(0, 120.0), (900, 80.0)], id="loads on both "
                                                                                     "overhangs"),
]  # fmt: skip


@pytest.mark.parametrize(("length", "supports", "pieces", "points"), CASES)
def test_beam_agrees_with_finite_elements(length, supports, pieces, points):
    at = [x for a, b, *_ in pieces for x in (a, b)]
    q = [value for *_, q_a, q_b in pieces for value in (q_a, q_b)]
    load = line_load(at, q)
    for x, n in points:
        load = with_point(load, x, n)
    found = continuous_beam(supports_mm=supports, load=load)
    _, reactions, moments = model(length, supports, pieces, points)
    assert found.reactions_n == pytest.approx(reactions, rel=1e-6)
    assert found.support_moments_n_mm == pytest.approx(moments, rel=1e-6, abs=1e-3)


@pytest.mark.parametrize("widths", [(900, 900), (1200, 500), (2500, 0)])
def test_bar_between_two_panes_agrees_with_finite_elements(widths):
    span, wind = 1500.0, 1200.0
    pieces = []
    for width in widths:
        t = min(width, span) / 2
        q = wind * 1e-6 * t
        pieces += [(0, t, 0, q), (t, span - t, q, q), (span - t, span, q, 0)] if t else []
    frame, reactions, _ = model(span, [0, span], [p for p in pieces if p[1] > p[0]])
    found = bar_between(span_mm=span, pane_widths_mm=widths, wind_pa=wind, limit_mm=span / 200)
    sag = -float(frame.members["span 0"].deflection("dy", span / 2, "Combo 1"))
    assert found.reaction_n == pytest.approx(reactions[0], rel=1e-6)
    assert found.moment_n_mm == pytest.approx(
        -frame.members["span 0"].moment("Mz", span / 2, "Combo 1"), rel=1e-5
    )
    assert found.sag_times_ei_n_mm3 / (E_N_MM2 * I_MM4) == pytest.approx(sag, rel=1e-5)


def test_mullion_that_carries_the_ends_of_transoms_agrees_with_finite_elements():
    """A mullion 1500 high with a transom into it on the left at 400: its mid-span deflection."""
    part = grid(widths_mm=[700, 900], heights_mm=[400, 1100], pressure_pa=1200)
    mullion = next(bar for bar in part.bars if bar.kind == "mullion")
    load = mullion.load
    pieces = zip(load.start_mm, load.end_mm, load.at_start_n_mm, load.at_end_n_mm, strict=True)
    points = list(zip(load.point_mm, load.point_n, strict=True))
    assert len(points) == 2
    frame, _, _ = model(1500.0, [0, 1500.0], [p for p in pieces if p[1] > p[0]], points)
    sag = -float(frame.members["span 0"].deflection("dy", 750.0, "Combo 1"))
    ei_w = sag_of_any_load_n_mm3(load=load, span_mm=1500.0)
    assert float(ei_w) / (E_N_MM2 * I_MM4) == pytest.approx(sag, rel=1e-5)


def test_whole_frame_agrees_with_a_jamb_loaded_at_its_top_by_an_unfixed_head():
    """The head has no fixing: half its load stands on the top of each jamb."""
    edges = grid(widths_mm=[800], heights_mm=[1200], pressure_pa=1200)
    jamb = [150, 600, 1050]
    found = frame_reactions(
        edges=edges, positions_mm={"left": jamb, "right": jamb, "head": [], "sill": [150, 650]}
    )
    _, reactions, _ = model(
        1200, jamb, [(0, 400, 0, 0.48), (400, 800, 0.48, 0.48), (800, 1200, 0.48, 0)], [(1200, 96.0)]
    )
    assert found["left"] == pytest.approx(reactions, rel=1e-6)
    assert np.size(found["head"]) == 0
