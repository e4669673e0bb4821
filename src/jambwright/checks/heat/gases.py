"""Gases between panes and their mixtures with air."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from jambwright.basis.tables import table
from jambwright.checks.heat.constants import Figures, plain


@dataclass(frozen=True, slots=True, kw_only=True)
class Gas:
    """Properties of the filling of one or many gaps at 10 degC, in SI units."""

    density_kg_m3: Figures
    viscosity_kg_ms: Figures
    conductivity_w_mk: Figures
    heat_capacity_j_kgk: Figures


def filling(gas: ArrayLike, fill: ArrayLike) -> Gas:
    """The filling of gaps: ``gas`` names and ``fill`` shares (0 to 1, the rest is air), of shapes that fit.

    Each property is the share-weighted mean (EN 673:2011, 5.3.3). Raises ``BadInput`` on an unknown gas.

    >>> round(float(filling("argon", 0.9).density_kg_m3), 4)
    1.6523
    """
    gases = table("glass_gases")
    names, where = np.unique(np.asarray(gas, dtype=np.str_), return_inverse=True)
    rows, air = [gases.find(gas=str(name)) for name in names], gases.find(gas="air")
    share = np.asarray(fill, dtype=np.float64)

    def mixed(column: str) -> Figures:
        pure = np.array([row[column] for row in rows])[where]
        return plain(share * pure + (1 - share) * air[column])

    return Gas(
        density_kg_m3=mixed("density_kg_m3"),
        viscosity_kg_ms=mixed("viscosity_kg_ms"),
        conductivity_w_mk=mixed("conductivity_w_mk"),
        heat_capacity_j_kgk=mixed("heat_capacity_j_kgk"),
    )
