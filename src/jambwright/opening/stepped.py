"""A stepped jamb: what hints at one, and whether the quarter widths show it.

A jamb that a later pier, a repaired corner or a dropped course has stepped reads like a bow at its middle. Only a
width between the middle and an end tells the two apart: a jamb that bends or curves leaves its quarter points a
known share of its bow, a stepped one does not.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from jambwright.opening.net import net_of
from jambwright.opening.quartered import BENT, CURVED, QUARTERED
from jambwright.opening.rectangle import RECTANGLE
from jambwright.opening.said import said, whole
from jambwright.opening.shape import Floats, Place
from jambwright.readings import QUARTERS, Reading, Trust, reading_name

STEPPED = 1.9
"""Standard deviations that a quarter width stands beyond every smooth jamb's before a step is spoken of: smooth
jambs are called stepped in 2 openings of 100 (``benchmarks/real_walls.py``)."""


def step_words(found: Sequence[tuple[Place, float]]) -> Iterator[str]:
    """What quarter widths say of steps, in plain words."""
    for place, off in found:
        yield said(
            "step",
            reading=reading_name(*place),
            off=whole(abs(off)),
            narrower="less" if off < 0 else "more",
        )


def steps(readings: Sequence[Reading], trust: Trust, worse: float = 1.0) -> list[tuple[Place, float]]:
    """Quarter widths that no smooth jambs would leave, with by how much they are off, mm.

    The other readings foretell a quarter width for jambs bent at their middles and for curved ones; what lies
    between is smooth too. What is beyond, against the readings' own scatter, is a step; ``worse`` is how much
    larger that scatter is than was said.
    """
    quarters = [r for r in readings if (r.kind, r.at) in QUARTERS]
    others = [r for r in readings if (r.kind, r.at) not in QUARTERS]
    if not quarters or not {"width", "height"} <= {r.kind for r in others}:
        return []
    net, read = net_of(others, trust, RECTANGLE)
    fit = net.adjust(read)
    places = [(r.kind, r.at) for r in quarters]
    smooth, slopes = QUARTERED.smooth_widths(places, fit.parameters, (BENT, CURVED))
    spread = np.einsum("knu,uv,knv->kn", slopes, fit.covariance, slopes)
    return [
        (place, float(off))
        for place, off, sigma in zip(places, *_beyond(quarters, smooth, spread, trust), strict=True)
        if abs(off) > STEPPED * worse * sigma
    ]


def _beyond(
    quarters: Sequence[Reading], smooth: Floats, spread: Floats, trust: Trust
) -> tuple[Floats, Floats]:
    """How far each reading is beyond what two smooth jambs leave, and the standard deviation of that."""
    read = np.array([r.mm for r in quarters])
    own = np.array([trust.once_mm(r, r.mm) / math.sqrt(len(r.values_mm)) for r in quarters])
    low, high = smooth.min(0), smooth.max(0)
    nearest = np.abs(smooth - read).argmin(0)
    off = np.where(read < low, read - low, np.where(read > high, read - high, 0.0))
    return off, np.sqrt(own**2 + spread[nearest, np.arange(len(read))])
