"""What holds for every frame: positions keep their rules, loads reach the wall whole, mirrors mirror."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from jambwright.checks.fixings import continuous_beam, frame_reactions, grid, line_load
from jambwright.checks.fixings.pane_loads import with_point
from jambwright.plan import fixing_layout, held_frame, house_rules, strengthened

sides_mm = st.integers(300, 4000)
winds_pa = st.floats(100, 3000)


@st.composite
def frames(draw):
    """Width, height, mullions and transoms, panes at least 200 wide."""
    width, height = draw(sides_mm), draw(sides_mm)

    def bars(length):
        count = draw(st.integers(0, min(3, length // 200 - 1)))
        shares = [draw(st.floats(1, 2)) for _ in range(count + 1)]
        return [round(sum(shares[: i + 1]) / sum(shares) * length, 1) for i in range(count)]

    return {"width_mm": width, "height_mm": height, "mullions_mm": bars(width), "transoms_mm": bars(height)}


def edges_of(frame, wind_pa):
    x = np.diff([0, *frame["mullions_mm"], frame["width_mm"]])
    y = np.diff([0, *frame["transoms_mm"], frame["height_mm"]])
    return grid(widths_mm=list(x), heights_mm=list(y), pressure_pa=wind_pa)


def lengths_and_bars(frame):
    along = {"left": "transoms_mm", "right": "transoms_mm", "head": "mullions_mm", "sill": "mullions_mm"}
    of = {"left": "height_mm", "right": "height_mm", "head": "width_mm", "sill": "width_mm"}
    return {side: (frame[of[side]], frame[along[side]]) for side in along}


@given(frames())
def test_positions_keep_the_rules_or_say_which_they_break(frame):
    layout, rules = fixing_layout(**frame), house_rules()
    for side in layout:
        length, bars = lengths_and_bars(frame)[side.side]
        at = np.array(side.positions_mm)
        assert np.all((at > 0) & (at < length))
        assert np.all(np.diff(at) > 0)
        kept = (
            len(at) >= 2
            and rules.edge_mm - 0.01 <= at[0] <= rules.edge_most_mm + 0.01
            and rules.edge_mm - 0.01 <= length - at[-1] <= rules.edge_most_mm + 0.01
            and np.all(np.diff(at) <= rules.centres_mm + 0.01)
            and all(np.all(abs(at - bar) >= rules.clear_mm - 0.01) for bar in bars)
        )
        one_is_enough = side.side == "head" and side.positions_mm == (length / 2,) and not bars
        assert kept or one_is_enough or side.problems
        assert not (kept and side.problems)


@given(frames())
def test_mirrored_frame_has_mirrored_fixings(frame):
    mirrored = frame | {
        "mullions_mm": [frame["width_mm"] - x for x in frame["mullions_mm"]],
        "transoms_mm": [frame["height_mm"] - y for y in frame["transoms_mm"]],
    }
    for one, other in zip(fixing_layout(**frame), fixing_layout(**mirrored), strict=True):
        length, _ = lengths_and_bars(frame)[one.side]
        assert [length - x for x in reversed(other.positions_mm)] == pytest.approx(one.positions_mm, abs=0.01)


@given(frames(), st.sampled_from(["drilled", "by_width", "none"]), winds_pa)
def test_reactions_sum_to_pressure_times_area(frame, head, wind):
    held = held_frame(fixing_layout(**frame, head=head), edges_of(frame, wind))
    total = sum(sum(side) for side in held.reactions_n.values())
    assert total == pytest.approx(wind * frame["width_mm"] * frame["height_mm"] * 1e-6, rel=1e-9)


@given(frames(), winds_pa)
def test_sides_of_a_frame_share_the_whole_wind_whatever_the_layout(frame, wind):
    edges = edges_of(frame, wind)
    total = sum(float(side.total_n()) for side in (edges.left, edges.right, edges.head, edges.sill))
    assert total == pytest.approx(wind * frame["width_mm"] * frame["height_mm"] * 1e-6, rel=1e-9)


@given(frames(), st.floats(500, 2500), st.floats(50, 2000))
def test_strengthened_frame_holds_or_says_it_cannot(frame, wind, resistance):
    edges, rules = edges_of(frame, wind), house_rules()

    def lay(*, at_least):
        return fixing_layout(**frame, at_least=at_least)

    plain = held_frame(lay(at_least={}), edges)
    held = strengthened(plain, lay, edges=edges, resistance_n=resistance, closest_mm=rules.closest_mm)
    assert held.largest_n <= max(resistance * (1 + 1e-6), plain.largest_n)
    assert (held.largest_n > resistance * (1 + 1e-6)) == any("more fit" in p.say for p in held.problems)


beams = st.lists(st.integers(1, 50), min_size=2, max_size=8).map(lambda gaps: np.cumsum(gaps) * 50.0)


@given(beams, st.floats(0, 400), st.lists(st.floats(-2, 2), min_size=3, max_size=3), st.floats(0, 1))
def test_beam_is_in_equilibrium(supports, overhang, loads, share):
    length = supports[-1] + overhang
    load = with_point(line_load([0, length / 3, length], loads), share * length, 100.0)
    found = continuous_beam(supports_mm=supports, load=load)
    assert found.reactions_n.sum() == pytest.approx(float(load.total_n()), abs=1e-6)
    moment = (found.reactions_n * supports).sum()
    assert moment == pytest.approx(float(load.moment_n_mm()), abs=1e-3 + 1e-9 * length**2)


@given(beams, st.floats(0.1, 2))
def test_mirrored_beam_has_mirrored_reactions(supports, load):
    length = supports[-1] + 100.0
    one = continuous_beam(supports_mm=supports, load=line_load([0, length], [0, load]))
    other = continuous_beam(supports_mm=(length - supports)[::-1], load=line_load([0, length], [load, 0]))
    assert one.reactions_n == pytest.approx(other.reactions_n[::-1], rel=1e-8, abs=1e-7)


@given(st.lists(st.tuples(st.integers(500, 2500), st.integers(700, 2200)), min_size=1, max_size=5), winds_pa)
def test_many_frames_in_one_call_answer_like_each_alone(sizes, wind):
    width, height = np.array(sizes, float).T
    assume(np.all(width > 400))
    places = {
        "left": height[:, None] * [0.2, 0.5, 0.8], "right": height[:, None] * [0.2, 0.5, 0.8],
        "head": width[:, None] * [0.5], "sill": width[:, None] * [0.3, 0.7],
    }  # fmt: skip
    edges = grid(widths_mm=[width * 0.4, width * 0.6], heights_mm=[height], pressure_pa=wind)
    together = frame_reactions(edges=edges, positions_mm=places)
    for i in range(len(sizes)):
        alone = frame_reactions(
            edges=grid(widths_mm=[width[i] * 0.4, width[i] * 0.6], heights_mm=[height[i]], pressure_pa=wind),
            positions_mm={side: at[i] for side, at in places.items()},
        )
        for side, reactions in alone.items():
            assert together[side][i] == pytest.approx(reactions, rel=1e-9, abs=1e-9)


@given(st.integers(2, 6))
def test_minimum_asked_for_is_given_where_there_is_room(minimum):
    rules = replace(house_rules(), jamb_minimum=minimum, sill_minimum=minimum, head_minimum=minimum)
    layout = fixing_layout(width_mm=1500, height_mm=1500, rules=rules)
    assert all(len(side.positions_mm) >= minimum for side in layout)
