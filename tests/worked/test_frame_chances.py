"""The chance that a frame goes in, by what it has to spare and by the set of readings.

Source: methods notes of the project, table "P(fit) by spare" (calculated with a multivariate normal
distribution; straight edges, common tape error 0.5 mm, frame = expected corners) and the external effects of
unnoticed misreads beside it. Tolerance: the digits printed there and the draws.
"""

from math import hypot

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from jambwright.frame import MakerTolerance, misread_effects, order_size
from jambwright.frame.chance import Draws, draw
from jambwright.opening import Belief, Gaps, Outline, Rectangle, largest_rectangle
from jambwright.opening.contacts import contacts, space_slopes
from jambwright.readings import Trust
from openings import outline

GAPS = Gaps(left=5, right=5, head=5, bottom=5)
PERFECT = MakerTolerance(size_mm=0, diagonal_mm=0)
SETS = {"F": 9, "I": 11, "J": 12}
"""How many of the marks below each set holds."""
CHANCES = {
    (1200, 1200, "F"): (0.26, 0.67, 0.91, 0.98, 0.997),
    (1200, 1200, "I"): (0.45, 0.88, 0.991, 1.0, 1.0),
    (1200, 1200, "J"): (0.53, 0.93, 0.997, 1.0, 1.0),
    (2400, 1100, "F"): (0.26, 0.67, 0.90, 0.98, 0.996),
    (2400, 1100, "I"): (0.38, 0.79, 0.96, 0.993, 0.999),
    (2400, 1100, "J"): (0.46, 0.88, 0.988, 0.999, 1.0),
}


def square(width: float, height: float, set_name: str) -> Outline:
    diagonal = hypot(width, height)
    marks = {"Wb": width, "Wm": width, "Wt": width, "Hl": height, "Hc": height, "Hr": height}
    marks |= {"D1": diagonal, "D2": diagonal, "Ls": 0.0, "Pl": 0.0, "Pr": 0.0, "Lh": 0.0}
    slant = {"level": hypot(0.7, 0.0005 * width), "plumb": hypot(0.7, 0.0005 * height)}
    kept = dict(list(marks.items())[: SETS[set_name]])
    return outline(kept, Trust(tape_mm=slant, bow_prior_mm=0))


def readings_alone(opening: Outline, frame: Rectangle) -> Draws:
    """Draws that count in nothing but the readings, as the table does."""
    alone = Belief.alone(opening.parameters, opening.covariance)
    return draw(opening, opening.space(), GAPS, frame, maker=PERFECT, common_mm=0.5, belief=alone)


@pytest.mark.parametrize(("width", "height", "set_name"), CHANCES)
def test_the_chance_by_spare_agrees_with_the_table(width: int, height: int, set_name: str) -> None:
    opening = square(width, height, set_name)
    largest = largest_rectangle(opening.space(), GAPS)
    draws = readings_alone(opening, largest)
    found = [draws.probability(largest.width - spare, largest.height - spare) for spare in range(1, 6)]
    assert found == pytest.approx(CHANCES[width, height, set_name], abs=0.012)


def test_the_chance_agrees_with_a_multivariate_normal_distribution() -> None:
    """Outside check: scipy.stats.multivariate_normal over every pair of contacts."""
    opening = square(1200, 1200, "J")
    largest = largest_rectangle(opening.space(), GAPS)
    slopes = space_slopes(opening.bends(), contacts(opening.space(), GAPS, largest))
    forms = np.array(
        [
            high - low
            for one, other in (("left", "right"), ("bottom", "head"))
            for low in slopes[one][:2]
            for high in slopes[other][:2]
        ]
    )
    covariance = forms @ opening.covariance @ forms.T + 0.5**2
    draws = readings_alone(opening, largest)
    for spare in (0.5, 1.5, 3.0):
        exact = multivariate_normal.cdf(
            np.full(8, spare),
            cov=covariance,
            allow_singular=True,
            maxpts=40_000,
            abseps=1e-3,
            rng=np.random.default_rng(1),
        )
        found = draws.probability(largest.width - spare, largest.height - spare)
        assert found == pytest.approx(exact, abs=0.004)


EFFECTS = {("F", "Wb"): (6.6, 0.6), ("F", "D1"): (6.4, 1.1), ("J", "Wb"): (2.9, 0.4), ("J", "D1"): (1.7, 1.7)}
PLACE = {"Wb": ("width", "bottom"), "D1": ("diagonal", "rising")}


@pytest.mark.parametrize(("set_name", "mark"), EFFECTS)
def test_unnoticed_misreads_move_the_frame_as_the_notes_say(set_name: str, mark: str) -> None:
    effects = misread_effects(square(1200, 1200, set_name))
    assert effects[PLACE[mark]] == pytest.approx(EFFECTS[set_name, mark], abs=0.11)


def test_zero_spare_goes_in_one_time_in_twenty_not_one_in_two() -> None:
    """Same source: zero spare gives 3 to 8 %, because eight forms must all hold."""
    opening = square(1200, 1200, "F")
    largest = largest_rectangle(opening.space(), GAPS)
    draws = readings_alone(opening, largest)
    assert 0.02 < draws.probability(largest.width, largest.height) < 0.09


def test_more_readings_allow_a_larger_frame_at_the_same_chance() -> None:
    sizes = [order_size(square(1200, 1200, s), gaps_mm=GAPS, round_down_to_mm=0.1) for s in SETS]
    totals = [s.width_mm + s.height_mm for s in sizes]
    assert totals == sorted(totals)
    assert all(s.probability_fits >= 0.99 for s in sizes)
