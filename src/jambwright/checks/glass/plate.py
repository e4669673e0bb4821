"""A rectangular pane held on four edges under uniform load: linear plate, and large deflection.

Short side a, long side b, aspect λ = a / b, area A, thickness h. Factors are those of EN 16612, Annex B:
deflection k4 A² q / (E h³), stress k1 A q / h², bulge k5 A a⁴ q / (E h³). Large deflections
come from a table of von Karman plates free to move in their plane: each factor over its small-load value, read
between the points by cubic splines, times that of the linear plate.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy.interpolate import RectBivariateSpline

from jambwright.basis import clause, table
from jambwright.checks.figures import Figures, Floats, one_or_all

SERIES_TERMS = 6
"""What is left out is about a millionth."""
TABLE = "plate_large_deflection"


def glass_constant(name: str) -> float:
    """One constant of glass."""
    return table("glass_constants").value(name=name)


@dataclass(frozen=True, slots=True, kw_only=True)
class LinearPlate:
    """Small deflection: w = deflection q a⁴ / D, M = moment q a²; mean deflection over the greatest."""

    deflection: Figures
    moment_short: Figures
    """Moment of the stress along the short side."""
    moment_long: Figures
    mean_over_most: Figures


def linear_plate(*, aspect: Figures, poisson: float) -> LinearPlate:
    """Factors of the thin plate at its centre: the double sine series, summed in closed form along b.

    Timoshenko and Woinowsky-Krieger, 2nd ed., articles 30 and 31; from memory, high.

    >>> square = linear_plate(aspect=1.0, poisson=0.3)
    >>> round(float(square.deflection), 5), round(float(square.moment_short), 4)
    (0.00406, 0.0479)
    """
    lam = np.asarray(aspect, dtype=float)[..., np.newaxis]
    m = 2 * np.arange(SERIES_TERMS) + 1
    sign = np.where(m % 4 == 1, 1.0, -1.0)
    x = m * np.pi / (2 * lam)
    tanh, inverse_cosh = np.tanh(x), 2 * np.exp(-x) / (1 + np.exp(-2 * x))
    bent = sign * inverse_cosh
    deflection = 5 / 384 - (2 / (np.pi * m) ** 5 * (x * tanh + 2) * bent).sum(-1)
    across = ((2 * poisson + (1 - poisson) * (x * tanh + 2)) * bent / m**3).sum(-1)
    along = ((2 - (1 - poisson) * (x * tanh + 2)) * bent / m**3).sum(-1)
    mean = (8 / (np.pi * m) ** 6 * ((3 - tanh**2) / 2 - 1.5 * tanh / x)).sum(-1)
    return LinearPlate(
        deflection=one_or_all(deflection),
        moment_short=one_or_all(1 / 8 - 2 / np.pi**3 * across),
        moment_long=one_or_all(poisson / 8 - 2 / np.pi**3 * along),
        mean_over_most=one_or_all(mean / deflection),
    )


@clause("EN 16612:2019", "Annex B", unit="-", formula="p* = (A / (4 h²))² q / E", how="from memory, high")
def plate_load(*, area_mm2: Figures, thickness_mm: Figures, load_n_mm2: Figures) -> Figures:
    """Load without dimensions; large deflection starts to count at about 1."""
    return (area_mm2 / (4 * thickness_mm**2)) ** 2 * load_n_mm2 / glass_constant("youngs_modulus")


def deflection_factor(*, aspect: Figures, plate_load: Figures) -> Figures:
    """k4 of the deflection at the centre, for any load of the table."""
    grid, lam = _large_deflection_table(), np.asarray(aspect, dtype=float)
    return one_or_all(_k4(lam) * grid.k4.ev(*grid.place(lam, plate_load)))


@dataclass(frozen=True, slots=True, kw_only=True)
class StressFactors:
    """k1 of the stress at the centre and of the largest: a pane that bends far is worst near its corners."""

    centre: Figures
    most: Figures


def stress_factors(*, aspect: Figures, plate_load: Figures) -> StressFactors:
    """k1 for any load of the table.

    The table keeps the tension along either side at the centre, in the middle, along the edges and near the
    corners apart: each goes smoothly with the load, while the greatest of them does not.
    """
    grid, lam = _large_deflection_table(), np.asarray(aspect, dtype=float)
    place = grid.place(lam, plate_load)
    small = 6 * lam * linear_plate(aspect=lam, poisson=glass_constant("poisson_ratio")).moment_short
    centre = np.maximum(grid.k1["short"].ev(*place), grid.k1["long"].ev(*place))
    most = np.maximum.reduce([centre, *(grid.k1[part].ev(*place) for part in ("inner", "edge", "corner"))])
    return StressFactors(centre=one_or_all(small * centre), most=one_or_all(small * most))


def beyond_table(*, aspect: Figures, plate_load: Figures) -> Figures:
    """True where a pane bends further than the table goes: over 17 thicknesses, whatever its shape."""
    return one_or_all(_side_load(aspect, plate_load) > _large_deflection_table().most_load)


def bulge_factor(*, aspect: Figures) -> Figures:
    """k5: volume under the pane, linear.

    >>> round(float(bulge_factor(aspect=0.5)), 4)
    0.0500
    """
    lam = np.asarray(aspect, dtype=float)
    mean = linear_plate(aspect=lam, poisson=glass_constant("poisson_ratio")).mean_over_most
    return one_or_all(_k4(lam) / lam**2 * mean)


def _k4(lam: Floats) -> Figures:
    poisson = glass_constant("poisson_ratio")
    return 12 * (1 - poisson**2) * lam**2 * linear_plate(aspect=lam, poisson=poisson).deflection


def _side_load(aspect: Figures, plate_load: Figures) -> Figures:
    # the same load told by the short side: a⁴ q / (E h⁴); narrow panes then behave alike
    return 16 * np.asarray(aspect) ** 2 * plate_load


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    least_aspect: float
    most_load: float
    k4: RectBivariateSpline
    k1: Mapping[str, RectBivariateSpline]
    """By part of the pane, over the small-load value along the short side at the centre."""

    def place(self, aspect: Figures, plate_load: Figures) -> tuple[Floats, Floats]:
        """Where on the grid; narrower panes take its narrowest, heavier loads its heaviest."""
        load = np.minimum(_side_load(aspect, plate_load), self.most_load)
        lam, load = np.broadcast_arrays(np.maximum(aspect, self.least_aspect), load)
        return lam, _stretched(load)


def _stretched(side_load: Floats) -> Floats:
    # brings the small loads, where everything happens, and the large ones on one scale
    return np.log1p(side_load / 10)


@functools.cache
def _large_deflection_table() -> _Grid:
    rows = table(TABLE)
    aspects, loads = (sorted(set(rows.column(name))) for name in ("aspect", "side_load"))
    shape = len(aspects), len(loads)

    def surface(name: str, over: str) -> RectBivariateSpline:
        values, small = (np.reshape(rows.column(column), shape) for column in (name, over))
        return RectBivariateSpline(aspects, _stretched(np.array(loads)), values / small[:, :1])

    return _Grid(
        least_aspect=aspects[0],
        most_load=loads[-1],
        k4=surface("k4", over="k4"),
        k1={
            part: surface(f"k1_{part}", over="k1_short")
            for part in ("short", "long", "inner", "edge", "corner")
        },
    )
