"""Wind and glass of ten thousand openings in one call, against a plain loop of calls for one opening."""

from time import perf_counter

import numpy as np
import pytest

from jambwright.checks.glass import check_unit, order_cases
from jambwright.checks.wind import MapSite, wind_on_windows
from jambwright.frame import parse_glazing

OPENINGS = 10_000
LOOPED = 50
UNIT = parse_glazing("4-16Ar-4 low-e")


def openings(count):
    random = np.random.default_rng(7)
    return {
        "speed": random.uniform(21, 27, count),
        "altitude": random.uniform(0, 300, count),
        "sea": random.uniform(0.5, 90, count),
        "town": random.uniform(0, 10, count),
        "height": random.uniform(4, 12, count),
        "corner": random.uniform(0, 5, count),
        "width_mm": random.uniform(300, 1500, count),
        "height_mm": random.uniform(300, 1800, count),
    }


def strength(o):
    site = MapSite(
        map_wind_speed_ms=o["speed"], altitude_m=o["altitude"], distance_to_sea_km=o["sea"],
        distance_in_town_km=o["town"], effective_height_m=o["height"],
    )  # fmt: skip
    wind = wind_on_windows(
        site, wall_length_m=8.0, wall_to_back_m=7.0, building_height_m=o["height"],
        area_m2=o["width_mm"] * o["height_mm"] / 1e6, from_corner_m=o["corner"],
    )  # fmt: skip
    cases = order_cases(in_pa=wind.in_pa, out_pa=wind.out_pa, altitude_change_m=o["altitude"])
    return check_unit(UNIT, width_mm=o["width_mm"], height_mm=o["height_mm"], cases=cases)


@pytest.mark.benchmark(group="wind and glass of 10,000 openings")
def test_one_call_against_a_loop_of_single_calls(benchmark):
    many = openings(OPENINGS)
    found = benchmark(strength, many)
    singles = [{name: float(column[i]) for name, column in many.items()} for i in range(LOOPED)]
    start = perf_counter()
    alone = [strength(single) for single in singles]
    loop_s = (perf_counter() - start) / LOOPED * OPENINGS
    assert [bool(one.passes) for one in alone] == found.passes[:LOOPED].tolist()
    benchmark.extra_info["openings_a_second"] = round(OPENINGS / benchmark.stats["mean"])
    benchmark.extra_info["times_faster_than_the_loop"] = round(loop_s / benchmark.stats["mean"])
