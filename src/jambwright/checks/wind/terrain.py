"""Peak velocity pressure by terrain category: EN 1991-1-4, chapter 4."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from jambwright.basis import clause, table
from jambwright.checks.figures import Figures, one_or_all

EN = "EN 1991-1-4:2005+A1:2010"


def by_terrain(terrain: ArrayLike, column: str) -> Figures:
    """A column of the terrain table (``roughness_m``, ``least_height_m``) for one or many categories."""
    rows = table("wind_terrain_en")
    given = np.asarray(terrain, dtype=str)
    known = np.unique(given)
    values = [rows.find(terrain=str(name))[column] for name in known]
    return one_or_all(np.asarray(values)[np.searchsorted(known, given)])


@clause(EN, "4.2(2)P note 4 eq. (4.2)", unit="-", formula="√((1 − K ln(−ln(1 − p))) / (1 − K ln(−ln 0.98)))")
def probability_factor(*, return_period_years: Figures) -> Figures:
    """Factor on the basic speed for another return period than 50 years; K = 0.2, n = 0.5.

    >>> round(float(probability_factor(return_period_years=10.0)), 4)
    0.9025
    """
    yearly = 1 / np.asarray(return_period_years)
    rarity = 1 - 0.2 * np.log(-np.log(1 - yearly))
    return np.sqrt(rarity / (1 - 0.2 * np.log(-np.log(0.98))))


@clause(EN, "A.3(3)", unit="-", formula="c_o = 1 + 2 s Φ, from Φ 0.3 on 1 + 0.6 s, under 0.05 1", how="read")
def orography_factor(*, slope: Figures, place_factor: Figures) -> Figures:
    """Orography factor of a hill or cliff of upwind ``slope`` Φ; ``place_factor`` s is read off Figs A.2, A.3.

    >>> round(float(orography_factor(slope=0.15, place_factor=0.6)), 2)
    1.18
    """
    slope = np.asarray(slope)
    return np.where(slope < 0.05, 1.0, 1 + 2 * place_factor * np.minimum(slope, 0.3))[()]


@clause(EN, "4.3.2(1) eq. (4.5)", unit="-", formula="k_r = 0.19 (z_0 / 0.05)^0.07")
def terrain_factor(*, roughness_m: Figures) -> Figures:
    """Terrain factor.

    >>> terrain_factor(roughness_m=0.05)
    0.19
    """
    return 0.19 * (roughness_m / 0.05) ** 0.07


@clause(EN, "4.3.2(1) eqs (4.4), (4.5)", unit="-", formula="c_r = k_r ln(max(z, z_min) / z_0)")
def roughness_factor(*, height_m: Figures, roughness_m: Figures, least_height_m: Figures) -> Figures:
    """How much of the basic speed is left at a height; the least height holds below it."""
    height = np.maximum(height_m, least_height_m)
    return terrain_factor(roughness_m=roughness_m) * np.log(height / roughness_m)


@clause(EN, "4.4(1) eq. (4.7)", unit="-", formula="I_v = 1 / (c_o ln(max(z, z_min) / z_0))")
def turbulence(
    *, height_m: Figures, roughness_m: Figures, least_height_m: Figures, orography: Figures = 1.0
) -> Figures:
    """Intensity of turbulence."""
    height = np.maximum(height_m, least_height_m)
    return 1 / (orography * np.log(height / roughness_m))


@clause(EN, "4.3.1(1) eq. (4.3)", unit="m/s", formula="v_m = c_r c_o v_b")
def mean_speed_ms(*, basic_speed_ms: Figures, roughness_factor: Figures, orography: Figures = 1.0) -> Figures:
    """Mean wind speed at a height."""
    return roughness_factor * orography * basic_speed_ms


@clause(EN, "4.5(1) eq. (4.8)", unit="Pa", formula="q_p = (1 + 7 I_v) ρ/2 v_m²")
def peak_from_mean_pa(*, mean_speed_ms: Figures, turbulence: Figures, air_density_kg_m3: Figures) -> Figures:
    """Peak velocity pressure from mean speed and turbulence."""
    return (1 + 7 * turbulence) * 0.5 * air_density_kg_m3 * mean_speed_ms**2
