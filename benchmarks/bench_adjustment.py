"""The same for pytest-benchmark: many openings at once, with the ratio to the plain alternative beside it."""

import numpy as np
import pytest
from adjustment_speed import MANY, PLAIN, plainly, seconds, surveyed
from pytest_benchmark.fixture import BenchmarkFixture
from surveys import SHAPE


@pytest.mark.benchmark(group="adjustment")
def test_adjusting_many_openings_at_once(benchmark: BenchmarkFixture) -> None:
    net, read = surveyed()
    plain = seconds(plainly, net, read[:PLAIN]) / PLAIN
    fit = benchmark(net.adjust, read)
    assert np.all(fit.rank == len(SHAPE.parameters))
    each = benchmark.stats.stats.median / MANY
    benchmark.extra_info["openings_a_second"] = round(1 / each)
    benchmark.extra_info["times_faster_than_scipy_least_squares"] = round(plain / each, 1)
