"""Clear openings of ten thousand lights: one call on arrays against a plain loop with the math module."""

from __future__ import annotations

import math
from time import perf_counter
from typing import Any

import numpy as np

from jambwright.checks.regulations.escape_opening import straight_clear_mm

COUNT = 10_000


def plain_loop(width: list[float], angle: list[float], blocked: list[float]) -> list[float]:
    return [
        max(w * (1 - math.cos(math.radians(min(a, 90.0)))) - o, 0.0)
        for w, a, o in zip(width, angle, blocked, strict=True)
    ]


def test_one_call_is_faster_than_a_plain_loop(benchmark: Any) -> None:
    random = np.random.default_rng(1)
    width, angle, blocked = (random.uniform(*span, COUNT) for span in ((300, 900), (30, 120), (0, 80)))
    lists = [column.tolist() for column in (width, angle, blocked)]

    def arrays() -> Any:
        return straight_clear_mm(frame_clear_mm=width, open_angle_deg=angle, obstruction_mm=blocked)

    np.testing.assert_allclose(arrays(), plain_loop(*lists))
    loop_seconds = min(_timed(lambda: plain_loop(*lists)) for _ in range(5))
    benchmark(arrays)
    ratio = loop_seconds / min(_timed(arrays) for _ in range(5))
    benchmark.extra_info["times_faster_than_plain_loop"] = round(ratio, 1)
    assert ratio > 1


def _timed(run: Any) -> float:
    start = perf_counter()
    run()
    return perf_counter() - start
