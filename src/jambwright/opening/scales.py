"""Openings and tools that are worse than most: how likely each degree is, before and after the readings.

Nobody knows beforehand how crooked the walls of a house are, nor how well its readings were taken. So no single
figure is taken for either: a few are, each with a chance, and the readings weigh them (a scale mixture). One
bulging wall then passes for a bulging wall, and readings that scatter more than was said are not called misreads.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from jambwright.opening.net import Net
from jambwright.opening.shape import Floats

OWN_WAY = 0.1
"""Chance that an opening is not like the others of its house. House value."""

Chances = Mapping[float, float]
"""Times the usual, and how likely."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scales:
    """Degrees that are weighed, (k,) each: times the usual."""

    tools: Floats
    """Scatter of the readings, times what is said of the tools."""
    read_bows: Floats
    """Of edges whose bow was read."""
    unread_bows: Floats
    leans: Floats
    steps: Floats
    """Of quarter points that stand off a smooth jamb."""
    log_chance: Floats
    """Before the readings."""

    def factors(self, net: Net) -> Floats:
        """What the sigmas of a net's rows are multiplied by, (k, rows)."""
        read = len(net.places)
        factors = np.repeat(self.tools[:, None], len(net.rows), 1)
        for row, place in enumerate(net.stand_ins, read):
            if place in net.shape.upright:
                factors[:, row] = self.leans
            elif place in net.shape.steps:
                factors[:, row] = self.steps
            elif place in net.places:
                factors[:, row] = self.read_bows
            else:
                factors[:, row] = self.unread_bows
        return factors

    def only(self, net: Net) -> tuple[Scales, NDArray[np.intp]]:
        """Without those that make no difference to a net; and for each of these, which of the kept ones it is."""
        factors = self.factors(net)
        _, first, which = np.unique(factors, axis=0, return_index=True, return_inverse=True)
        which = which.reshape(-1)
        log_chance = np.full(len(first), -np.inf)
        np.logaddexp.at(log_chance, which, self.log_chance)
        kept = replace(
            self,
            tools=self.tools[first],
            read_bows=self.read_bows[first],
            unread_bows=self.unread_bows[first],
            leans=self.leans[first],
            steps=self.steps[first],
            log_chance=log_chance,
        )
        return kept, which

    def after(self, evidence: Floats) -> Scales:
        """These scales once other openings of the house have spoken, ``evidence`` (openings, k).

        Never for certain: one opening may be worse than the rest of its house.
        """
        if not len(evidence):
            return self
        learnt = chances(self.log_chance + evidence.sum(0))
        kept = np.logaddexp(learnt + math.log(1 - OWN_WAY), chances(self.log_chance) + math.log(OWN_WAY))
        return replace(self, log_chance=np.asarray(kept))


def scales(
    *,
    tools: Chances,
    read_bows: Chances = {1.0: 1.0},  # noqa: B006  # never changed
    unread_bows: Chances = {1.0: 1.0},  # noqa: B006  # never changed
    leans: Chances = {1.0: 1.0},  # noqa: B006  # never changed
    steps: Chances = {1.0: 1.0},  # noqa: B006  # never changed
) -> Scales:
    """All combinations of degrees that are independent of each other."""
    every = list(itertools.product(*(each.items() for each in (tools, read_bows, unread_bows, leans, steps))))
    times = np.array([[degree for degree, _ in some] for some in every])
    return Scales(
        tools=times[:, 0],
        read_bows=times[:, 1],
        unread_bows=times[:, 2],
        leans=times[:, 3],
        steps=times[:, 4],
        log_chance=np.array([sum(np.log(chance) for _, chance in some) for some in every]),
    )


TOOLS: Chances = {1.0: 0.85, 1.5: 0.13, 2.25: 0.02}
"""What is said of the tools holds most often; hands, light and a rough reveal make readings scatter more. House
values."""

TOOLS_ACCUSED: Chances = {1.0: 0.6, 1.5: 0.35, 2.25: 0.05}
"""An accusation allows for rough readings more readily than a bet. In one opening alone nothing else tells of them, so
a misread of 10 mm is found less often than with tools that are known; the other openings of a house soon tell
(``benchmarks/misreads.py``). House values."""

STEPS: Chances = {0.3: 0.85, 1.5: 0.15}
"""Most jambs run smooth between ends and middle; a few are stepped by several millimetres. House values."""

SCALES = scales(tools=TOOLS_ACCUSED, read_bows={1.0: 0.8, 3.5: 0.2}, steps=STEPS)
"""What an accusation is weighed with. Bows that were not read keep the usual: nothing but a length would speak for
a greater one, and a misread of that length would hide in it. House values (``benchmarks/misreads.py``)."""

BETS = scales(tools=TOOLS, unread_bows={1.0: 0.88, 3.0: 0.12}, leans={1.0: 0.7, 2.5: 0.3}, steps=STEPS)
"""What a size is bet on. House values (``benchmarks/real_walls.py``)."""


def chances(logs: Floats) -> Floats:
    """Logarithms of chances that sum to 1 over the last axis."""
    return np.asarray(logs - np.logaddexp.reduce(logs, -1)[..., None])
