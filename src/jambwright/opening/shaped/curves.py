"""Curves of arched heads: height over the springing line at a distance from midspan, real or complex.

Each is written so that no rise at all is a straight line, not a division by nothing. Sources: geometry of the circle
and the ellipse (calculated).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from jambwright.opening.shaped.figure import Cells

Curve = Callable[[Cells, Cells, Cells, Cells], Cells]
"""Distance from midspan, span, rise and one more parameter to height."""
TINY = 1e-12


def circle(x: Cells, span: Cells, rise: Cells, _more: Cells) -> Cells:
    """One arc through both springings and the crown; ``k`` is one over its radius."""
    k = 2 * rise / ((span / 2) ** 2 + rise**2)
    return np.asarray(rise - k * x**2 / (1 + _root(1 - (k * x) ** 2)))


def ellipse(x: Cells, span: Cells, rise: Cells, _more: Cells) -> Cells:
    """Half an ellipse on the springing line."""
    return np.asarray(rise * _root(1 - (2 * x / span) ** 2))


def two_centred(x: Cells, span: Cells, rise: Cells, radius: Cells) -> Cells:
    """Two arcs of one radius that meet at the crown; their centres need not lie on the springing line."""
    a = span / 2
    chord = np.sqrt(a**2 + rise**2)
    off = _root(radius**2 - (chord / 2) ** 2)
    centre_x, centre_y = a / 2 - rise * off / chord, rise / 2 - a * off / chord
    return np.asarray(centre_y + _root(radius**2 - (_outward(x) - centre_x) ** 2))


def three_centred(x: Cells, span: Cells, rise: Cells, small: Cells) -> Cells:
    """A large arc over the crown, one of the small radius down to each springing."""
    a = span / 2
    large = large_radius(span, rise, small)
    reach = np.hypot((a - small).real, (large - rise).real)
    meets = np.asarray(large).real * (a - small).real / np.where(reach > 0, reach, 1.0)
    out = _outward(x)
    crown = rise - large + _root(large**2 - x**2)
    haunch = _root(small**2 - (out - (a - small)) ** 2)
    return np.where(np.asarray(out).real <= meets, crown, haunch)


def large_radius(span: Cells, rise: Cells, small: Cells) -> Cells:
    """Radius over the crown of a three-centred arch."""
    a = span / 2
    return np.asarray((a**2 + rise**2 - 2 * a * small) / (2 * (rise - small)))


def _outward(x: Cells) -> Cells:
    """How far from midspan; at it neither side's slope is taken, but their mean."""
    return np.asarray(np.sign(np.asarray(x).real) * x)


def _root(square: Cells) -> Cells:
    """Square root; of what a step of the adjustment may bring below nothing, next to none."""
    return np.sqrt(np.where(np.asarray(square).real > TINY, square, TINY))
