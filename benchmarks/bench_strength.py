"""Fixing and bar check of 10,000 openings in one process, against a plain loop that asks for one at a time.

Openings are grouped by layout and number of fixings, one call a group; the loop calls the same formulas with
the figures of one opening. Positions are laid out beforehand for both.
"""

from collections import defaultdict
from time import perf_counter

import numpy as np

from jambwright.checks.fixings import SIDES, allowed_reaction_n, fixing_in, frame_reactions, grid
from jambwright.checks.members import sag_of_any_load_n_mm3
from jambwright.plan import fixing_layout

OPENINGS, LOOPED = 10_000, 500


def openings():
    """Invented sizes and winds: one to three lights across, with or without a fanlight."""
    dice = np.random.default_rng(7)
    for _ in range(OPENINGS):
        columns, rows = int(dice.integers(1, 4)), int(dice.integers(1, 3))
        width = float(dice.integers(500, 800)) * columns
        height = float(dice.integers(900, 1500))
        heights = [height] if rows == 1 else [height - 350, 350.0]
        widths = [width / columns] * columns
        layout = fixing_layout(
            width_mm=width, height_mm=height, mullions_mm=list(np.cumsum(widths)[:-1]),
            transoms_mm=list(np.cumsum(heights)[:-1]),
        )  # fmt: skip
        yield widths, heights, {s.side: s.positions_mm for s in layout}, float(dice.integers(600, 2400))


def check(widths, heights, positions, wind, held):
    """Largest use of a fixing and the stiffness every bar wants, for one opening or many."""
    edges = grid(widths_mm=widths, heights_mm=heights, pressure_pa=wind)
    reactions = frame_reactions(edges=edges, positions_mm=positions)
    largest = np.max([abs(reactions[side]).max(-1) for side in SIDES], axis=0)
    use = largest / allowed_reaction_n(held=held, gap_mm=7.0)
    stiffness = [
        sag_of_any_load_n_mm3(load=bar.load, span_mm=bar.length_mm) / (bar.length_mm / 200)
        for bar in edges.bars
    ]
    return use, stiffness


def grouped(many):
    groups = defaultdict(list)
    for widths, heights, positions, wind in many:
        key = (len(widths), len(heights), *(len(positions[side]) for side in SIDES))
        groups[key].append((widths, heights, positions, wind))
    return [
        (
            list(np.array([g[0] for g in group]).T),
            list(np.array([g[1] for g in group]).T),
            {side: np.array([g[2][side] for g in group]) for side in SIDES},
            np.array([g[3] for g in group]),
        )
        for group in groups.values()
    ]


def test_strength_of_ten_thousand_openings(benchmark):
    many = list(openings())
    held = fixing_in(fixing="plug_10", substrate="brick")

    def together():
        return [check(*group, held) for group in grouped(many)]

    found = benchmark(together)
    start = perf_counter()
    alone = [check(*opening, held) for opening in many[:LOOPED]]
    looped_s = (perf_counter() - start) / LOOPED * OPENINGS
    once_s = benchmark.stats.stats.median
    benchmark.extra_info["openings_a_second"] = round(OPENINGS / once_s)
    benchmark.extra_info["times_the_plain_loop"] = round(looped_s / once_s, 1)
    print(f"\n{OPENINGS / once_s:,.0f} openings a second, {looped_s / once_s:.0f} times the plain loop")
    assert once_s < looped_s
    together = np.sort(np.concatenate([use for use, _ in found]))
    assert together.size == OPENINGS
    assert np.isin(np.round([use for use, _ in alone], 9), np.round(together, 9)).all()
