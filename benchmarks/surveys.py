"""Simulated surveys: true openings with random lean, bow and taper, and honest readings of them."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from jambwright.opening import RectangleShape
from jambwright.opening.net import Net, plan_net
from jambwright.readings import PLACES, USUAL
from jambwright.readings.tools import unmeasured_mm

Floats = NDArray[np.float64]
SHAPE = RectangleShape()
EVERY = [(kind, at) for kind, places in PLACES.items() for at in places]
SETS = {
    "full: 8 tape, 4 level and plumb, 4 bows": EVERY,
    "8 tape, 4 level and plumb": EVERY[:12],
    "8 tape": EVERY[:8],
}
FULL, NO_BOWS, TAPE_ONLY = SETS
TAPE = range(8)
"""Rows of the tape readings in every set."""

SMALLEST_MM, LARGEST_MM = 450.0, 3000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Houses:
    """How crooked the openings are: standard deviations, mm."""

    corner_mm: float | None = 4.0
    """Of each coordinate of three corners; by edge as the stand-ins say when none."""
    bow_mm: float = 2.0


USUAL_HOUSES = Houses()
CROOKED_HOUSES = Houses(corner_mm=8.0, bow_mm=4.0)


def true_openings(many: int, rng: np.random.Generator, houses: Houses = USUAL_HOUSES) -> Floats:
    """Parameters of true openings, (many, 10)."""
    w, h = rng.uniform(SMALLEST_MM, LARGEST_MM, (2, many))
    zero = np.zeros(many)
    p = np.stack([w, zero, w, h, zero, h, zero, zero, zero, zero], -1)
    if houses.corner_mm is None:
        along, up = unmeasured_mm(w), unmeasured_mm(h)
        sill, head, left, right = rng.normal(0, 1, (4, many)) * np.stack([along, along, up, up])
        p[:, 1] += sill
        p[:, 2] += right
        p[:, 3] += head
        p[:, 4] += left
    else:
        p[:, :6] += rng.normal(0, houses.corner_mm, (many, 6))
    p[:, 6:] = rng.normal(0, houses.bow_mm, (many, 4))
    return p


def honest_readings(p: Floats, places: list[tuple[str, str]], rng: np.random.Generator) -> Floats:
    """Readings good to 1 mm, written to the millimetre, (many, n)."""
    values, _ = SHAPE.observe(places, p)
    return np.round(values + rng.normal(0, 1.0, values.shape))


def net_over(places: list[tuple[str, str]], p: Floats) -> Net:
    """The net of these readings over openings of many sizes."""
    return plan_net(places, np.ones(len(places)), p[:, 0], p[:, 5], USUAL, SHAPE)


def part(net: Net, some: slice) -> Net:
    """The net over some of the openings."""
    return replace(net, upright_sigmas=net.upright_sigmas[some])
