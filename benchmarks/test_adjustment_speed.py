"""Adjustments a second on one core, beside one general least-squares call an opening."""

import time

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from scipy.optimize import least_squares
from surveys import FULL, SETS, SHAPE, honest_readings, net_over, true_openings

MANY, PLAIN = 2000, 40


def plain_seconds_an_opening(
    places: list[tuple[str, str]], read: np.ndarray, net_rows: list[tuple[str, str]]
) -> float:
    """The plain alternative: scipy.optimize.least_squares with exact gradients, one opening at a time."""
    start = time.perf_counter()
    for row in read[:PLAIN]:
        observed = np.concatenate([row, np.zeros(len(net_rows) - len(places))])
        least_squares(
            lambda p, seen=observed: SHAPE.observe(net_rows, p)[0] - seen,
            SHAPE.start(places, row),
            jac=lambda p: SHAPE.observe(net_rows, p)[1],
        )
    return (time.perf_counter() - start) / PLAIN


@pytest.mark.benchmark(group="adjustment")
def test_adjusting_many_openings_at_once(benchmark: BenchmarkFixture) -> None:
    rng = np.random.default_rng(1)
    p = true_openings(MANY, rng)
    places = SETS[FULL]
    read = honest_readings(p, places, rng)
    net = net_over(places, p)
    plain = plain_seconds_an_opening(places, read, list(net.rows))
    fit = benchmark(net.adjust, read)
    assert np.all(fit.rank == len(SHAPE.parameters))
    each = benchmark.stats.stats.median / MANY
    benchmark.extra_info["openings_a_second"] = round(1 / each)
    benchmark.extra_info["times_faster_than_scipy_least_squares"] = round(plain / each, 1)
