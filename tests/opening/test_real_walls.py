"""Walls and tools that are not as the engine takes them: made-up worlds of ``worlds``, which owe it nothing.

A few openings of each; ``benchmarks/real_walls.py`` measures all worlds with many. Bounds are binomial, wide enough
that a true figure at its aim fails one time in ten thousand (scipy.stats.binom).
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import binom

from jambwright.frame.chance import draw
from jambwright.opening import BETS, SCALES, Findings, Gaps, Outline, adjust, evidence, search
from jambwright.opening.contacts import snug
from jambwright.readings import USUAL, Reading
from jambwright.readings.written import written_to
from worlds import WORLDS, Hole, World, frame_errors, holes, read

MANY = 60
RARELY = 1e-4
GAPS = Gaps(left=5.0, right=5.0, head=5.0, bottom=5.0)
WRONG_ON_PURPOSE = {"three widths 20 mm short alike", "bows called the wrong way"}
UNREAD_SHAPE = {"head arched by 40 mm, eight tape readings"}


def surveyed(world: World, many: int = MANY) -> list[tuple[Hole, list[Reading]]]:
    rng = np.random.default_rng(15)
    return [(hole, read(world, hole, rng)) for hole in holes(world, many, rng)]


def looked_at(taken: list[Reading]) -> tuple[Outline, Findings]:
    trust = replace(USUAL, written_to=written_to(taken))
    outline = adjust(taken, trust=trust)
    return outline, search(outline, taken, trust)


@pytest.mark.parametrize("name", [n for n in WORLDS if n not in WRONG_ON_PURPOSE | UNREAD_SHAPE])
def test_odd_walls_and_honest_readings_raise_few_alarms(name: str) -> None:
    alarms = sum(looked_at(taken)[1].doubted for _, taken in surveyed(replace(WORLDS[name], house=1)))
    if "houses" not in name:
        assert binom.sf(alarms - 1, MANY, 0.02) > RARELY


@pytest.mark.parametrize("name", WORLDS)
def test_an_innocent_reading_is_hardly_ever_blamed(name: str) -> None:
    world = WORLDS[name]
    blamed = 0
    for _, taken in surveyed(world):
        _, findings = looked_at(taken)
        blamed += any(
            s.chance >= 0.9 and not (s.kind == "width" and world.widths_mm) and s.kind != world.signs_turned
            for s in findings.suspects
        )
    assert binom.sf(blamed - 1, MANY, 0.01) > RARELY


@pytest.mark.parametrize(
    "name",
    [
        "bows tent-shaped, uniform to 8 mm, tapers to 15 mm",
        "bows parabolic, uniform to 8 mm",
        "leans twice as large",
        "eight tape readings only",
        "bows to 18 mm, parabolic",
        "head arched by 40 mm",
    ],
)
def test_a_frame_said_to_go_in_nine_times_in_ten_goes_in_as_often(name: str) -> None:
    rng = np.random.default_rng(16)
    went_in = 0
    for hole, taken in surveyed(WORLDS[name]):
        outline, _ = looked_at(taken)
        space = outline.space()
        near = snug(space, GAPS)
        draws = draw(outline, space, GAPS, near, draws_log2=12)
        slack = np.sort(np.minimum(draws.width_most - near.width, draws.height_most - near.height))
        more = float(slack[len(slack) // 10])
        size = (near.width + more, near.height + more)
        went_in += hole.takes(*size, frame_errors(*size, rng))
    assert binom.cdf(went_in, MANY, 0.88) > RARELY


def test_worse_tools_are_seen_over_a_house_and_not_called_misreads() -> None:
    alarms, many = 0, 10
    for n in range(many):
        rng = np.random.default_rng(n)
        world = World(tools=1.5)
        house = [read(world, hole, rng) for hole in holes(world, 8, rng)]
        says = np.array([evidence(taken, USUAL) for taken in house[1:]])
        assert (
            SCALES.after(says).log_chance[SCALES.tools > 1].max() > SCALES.log_chance[SCALES.tools > 1].max()
        )
        alarms += search(adjust(house[0]), house[0], USUAL, SCALES.after(says)).doubted
    assert binom.sf(alarms - 1, many, 0.02) > RARELY


def test_a_bow_that_was_read_is_believed_as_read() -> None:
    """8 mm in at the left jamb, read as such: the belief is centred on the adjusted bow, not nearer to straight."""
    world = World(bows="none")
    taken = surveyed(world, 1)[0][1]
    bowed = {("bow", "left"): 8.0, ("width", "middle"): -8.0}
    taken = [replace(r, values_mm=(r.mm + bowed.get((r.kind, r.at), 0.0),)) for r in taken]
    outline = adjust(taken)
    bow = outline.shape.parameters.index("bow_left")
    assert outline.belief().mean[bow] == pytest.approx(outline.parameters[bow], abs=0.1)
    assert outline.parameters[bow] == pytest.approx(8.0, abs=2.0)


def test_a_house_of_bulging_walls_widens_what_is_thought_of_an_edge_that_was_not_read() -> None:
    """Middle widths and heights that bulge in all other openings: the unread bows here may be large too."""
    straight, crooked = (
        np.array([adjust(taken).bow_and_lean_evidence() for _, taken in surveyed(world, 8)])
        for world in (
            replace(WORLDS["eight tape readings only"], bows="none"),
            replace(WORLDS["eight tape readings only"], bow_mm=18.0),
        )
    )
    wide = BETS.unread_bows > 1
    shares = [np.exp(BETS.after(says).log_chance[wide]).sum() for says in (straight, crooked)]
    assert shares[0] < 0.05
    assert shares[1] > 0.5
