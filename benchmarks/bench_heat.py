"""100 000 glass U-values in one call against a plain Python loop over the same units, one by one."""

import math
import time

import numpy as np
import pytest

from jambwright.checks.heat.emissivity import corrected_emissivity
from jambwright.checks.heat.gases import filling
from jambwright.checks.heat.glass_u import glass_heat

UNITS = 100_000
SAMPLE = 5_000
"""Units the plain loop does; its time is scaled up to all of them."""


@pytest.fixture(scope="module")
def triples():
    """Triple units with two unequal argon gaps and coatings on faces 2 and 5."""
    chance = np.random.default_rng(5)
    faces = np.full((UNITS, 6), 0.837)
    faces[:, [1, 4]] = corrected_emissivity(normal=chance.uniform(0.01, 0.2, (UNITS, 2)))
    return {
        "pane_mm": np.full((UNITS, 3), 4.0),
        "gap_mm": chance.uniform(6, 20, (UNITS, 2)),
        "gas": ["argon", "argon"],
        "fill": chance.uniform(0.8, 1.0, (UNITS, 2)),
        "face_emissivity": faces,
    }


def plain_loop(units, count):
    """The same formulas with the math module, a unit at a time."""
    argon, air = filling("argon", 1.0), filling("air", 1.0)
    pure = [
        (float(getattr(argon, name)), float(getattr(air, name)))
        for name in ("density_kg_m3", "viscosity_kg_ms", "conductivity_w_mk", "heat_capacity_j_kgk")
    ]
    found = []
    for i in range(count):
        gaps = []
        for k in range(2):
            share, width = float(units["fill"][i, k]), float(units["gap_mm"][i, k]) / 1000
            rho, mu, conductivity, heat = (share * gas + (1 - share) * rest for gas, rest in pure)
            outer, inner = (float(units["face_emissivity"][i, 2 * k + f]) for f in (1, 2))
            radiation = 4 * 5.67e-8 * 283**3 / (1 / outer + 1 / inner - 1)
            gaps.append((width, rho, mu, conductivity, mu * heat / conductivity, radiation))
        drops = [7.5, 7.5]
        while True:
            resistances = []
            for (width, rho, mu, conductivity, prandtl, radiation), drop in zip(gaps, drops, strict=True):
                grashof = 9.81 * width**3 * drop * rho**2 / (283 * mu**2)
                nusselt = max(1.0, 0.035 * (grashof * prandtl) ** 0.38)
                resistances.append(1 / (nusselt * conductivity / width + radiation))
            shared = [15 * r / sum(resistances) for r in resistances]
            settled = max(abs(a - b) for a, b in zip(shared, drops, strict=True)) < 1e-9
            drops = shared
            if settled:
                break
        found.append(1 / (0.17 + 0.012 + math.fsum(resistances)))
    return found


def test_many_glass_u_values_in_one_call(benchmark, triples):
    many = benchmark.pedantic(lambda: glass_heat(**triples).u_w_m2k, rounds=5, warmup_rounds=1)
    started = time.perf_counter()
    alone = plain_loop(triples, SAMPLE)
    loop_s = (time.perf_counter() - started) * UNITS / SAMPLE
    assert many[:SAMPLE] == pytest.approx(alone, rel=1e-9)
    benchmark.extra_info["times_faster_than_the_plain_loop"] = round(loop_s / benchmark.stats.stats.mean, 1)
