"""Adjustments a second on one core, beside one general least-squares call an opening.

Run as a script; the figures go to ``results/adjustment_speed.json`` and ``results/adjustment_speed.md``.
"""

import json
import statistics
import time
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares
from surveys import FULL, SETS, SHAPE, Floats, honest_readings, net_over, true_openings

from jambwright.opening.net import Net

SEED = 1
MANY, PLAIN, TURNS = 2000, 100, 5
RESULTS = Path(__file__).parent / "results"


def surveyed() -> tuple[Net, Floats]:
    """A net over many openings and their readings, full sets."""
    rng = np.random.default_rng(SEED)
    p = true_openings(MANY, rng)
    return net_over(SETS[FULL], p), honest_readings(p, SETS[FULL], rng)


def plainly(net: Net, read: Floats) -> None:
    """The plain alternative: scipy.optimize.least_squares with exact gradients, one opening at a time."""
    for row in read:
        observed = net.all_rows(row)
        least_squares(
            lambda p, seen=observed: SHAPE.observe(net.rows, p)[0] - seen,
            SHAPE.start(net.places, row),
            jac=lambda p: SHAPE.observe(net.rows, p)[1],
        )


def seconds(work: object, *given: object) -> float:
    """Middle time of a few turns."""
    turns = []
    for _ in range(TURNS):
        start = time.process_time()
        work(*given)  # type: ignore[operator]
        turns.append(time.process_time() - start)
    return statistics.median(turns)


if __name__ == "__main__":
    over, read = surveyed()
    together = seconds(over.adjust, read) / MANY
    alone = seconds(plainly, over, read[:PLAIN]) / PLAIN
    figures = {
        "openings_a_second": round(1 / together),
        "plain_openings_a_second": round(1 / alone),
        "ratio": round(alone / together, 1),
    }
    (RESULTS / "adjustment_speed.json").write_text(json.dumps(figures, indent=2) + "\n")
    (RESULTS / "adjustment_speed.md").write_text(
        "# Adjustments a second on one core\n\n"
        f"Full sets of 16 readings, {MANY} openings in one call, covariance and redundancy included: "
        f"{figures['openings_a_second']} a second, {figures['ratio']} times as many as one call of "
        f"scipy.optimize.least_squares an opening ({figures['plain_openings_a_second']} a second, parameters "
        "only). The figures depend on the machine, the ratio less so.\n"
    )
