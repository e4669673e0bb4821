"""Panes of glass held on four edges: deflection, stress and bulge under a load."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jambwright.basis import Problem, clause
from jambwright.checks.figures import Figures, outside
from jambwright.checks.glass.plate import (
    StressFactors,
    beyond_table,
    bulge_factor,
    deflection_factor,
    glass_constant,
    plate_load,
    stress_factors,
)
from jambwright.checks.glass.strength import EN_GLASS, glass_factor

PA_IN_N_MM2 = 1e6
LEAST_MM, MOST_MM = 50, 6000


@clause(EN_GLASS, "Annex B", unit="mm", formula="w = k_4 A² q / (E h³)")
def plate_deflection_mm(
    *, k4: Figures, area_mm2: Figures, thickness_mm: Figures, load_pa: Figures
) -> Figures:
    """Deflection at the centre, with the sign of the load."""
    stiffness = glass_constant("youngs_modulus") * thickness_mm**3
    return k4 * area_mm2**2 * load_pa / PA_IN_N_MM2 / stiffness


@clause(EN_GLASS, "Annex B", unit="N/mm2", formula="σ = k_1 A q / h²")
def plate_stress_n_mm2(*, k1: Figures, area_mm2: Figures, thickness_mm: Figures, load_pa: Figures) -> Figures:
    """Greatest tension, a magnitude."""
    return k1 * area_mm2 * np.abs(load_pa) / PA_IN_N_MM2 / thickness_mm**2


@clause(
    EN_GLASS,
    "deflection of panes held on all edges",
    unit="mm",
    formula="min(a / 65, 50)",
    how="from memory, medium",
)
def deflection_limit_mm(*, short_side_mm: Figures) -> Figures:
    """How far a pane may bend; the short side is taken as its span, the safe choice.

    >>> float(deflection_limit_mm(short_side_mm=1300.0))
    20.0
    """
    return np.minimum(short_side_mm / glass_factor("deflection_span_over"), glass_factor("deflection_most"))


@dataclass(frozen=True, slots=True, kw_only=True)
class PaneSize:
    """Size of one or many panes, whichever way up."""

    width_mm: Figures
    height_mm: Figures

    @property
    def short_mm(self) -> Figures:
        """Short side."""
        return np.minimum(self.width_mm, self.height_mm)

    @property
    def area_mm2(self) -> Figures:
        """Area."""
        return np.multiply(self.width_mm, self.height_mm)

    @property
    def aspect(self) -> Figures:
        """Short over long side."""
        return self.short_mm / np.maximum(self.width_mm, self.height_mm)

    def problems(self) -> Iterator[Problem]:
        """Sizes glass is not made in."""
        for field in ("width_mm", "height_mm"):
            remedy = "Give the size of the glass, in mm."
            yield from outside(field, getattr(self, field), LEAST_MM, MOST_MM, "mm", remedy)

    def load_factor(self, thickness_mm: float, load_pa: Figures) -> Figures:
        """p* of the plate."""
        load = np.abs(load_pa) / PA_IN_N_MM2
        return plate_load(area_mm2=self.area_mm2, thickness_mm=thickness_mm, load_n_mm2=load)

    def bends_too_far(self, thickness_mm: float, load_pa: Figures) -> Figures:
        """True where the pane is far too thin for the method."""
        return beyond_table(aspect=self.aspect, plate_load=self.load_factor(thickness_mm, load_pa))

    def deflection_mm(self, thickness_mm: float, load_pa: Figures) -> Figures:
        """Deflection at the centre, with the sign of the load."""
        k4 = deflection_factor(aspect=self.aspect, plate_load=self.load_factor(thickness_mm, load_pa))
        return plate_deflection_mm(k4=k4, area_mm2=self.area_mm2, thickness_mm=thickness_mm, load_pa=load_pa)

    def stress_n_mm2(self, thickness_mm: float, load_pa: Figures) -> StressFactors:
        """Tension at the centre and the greatest anywhere, N/mm2."""
        k1 = stress_factors(aspect=self.aspect, plate_load=self.load_factor(thickness_mm, load_pa))
        rest = {"area_mm2": self.area_mm2, "thickness_mm": thickness_mm, "load_pa": load_pa}
        return StressFactors(
            centre=plate_stress_n_mm2(k1=k1.centre, **rest), most=plate_stress_n_mm2(k1=k1.most, **rest)
        )

    def bulge_mm3_pa(self, thickness_mm: float) -> Figures:
        """Volume the pane bulges by for each pascal, linear."""
        stiffness = glass_constant("youngs_modulus") * PA_IN_N_MM2 * thickness_mm**3
        return bulge_factor(aspect=self.aspect) * self.area_mm2 * self.short_mm**4 / stiffness
