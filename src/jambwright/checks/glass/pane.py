"""Panes of glass held on four edges: deflection, stress and bulge under a load."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jambwright.basis import Problem, Working, clause, table
from jambwright.checks.figures import Figures, outside
from jambwright.checks.glass.plate import (
    TABLE,
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

    def bends_too_far(self, thickness_mm: float, load_pa: Figures) -> Figures:
        """True where the pane is far too thin for the method."""
        return beyond_table(aspect=self.aspect, plate_load=self._plate_load(thickness_mm, load_pa))

    def deflection_mm(
        self, thickness_mm: float, load_pa: Figures, work: Working | None = None, of: str = ""
    ) -> Figures:
        """Deflection at the centre, with the sign of the load; ``of`` marks the symbols of the steps."""
        work = work or Working()
        load = self._plate_load(thickness_mm, load_pa, work, f"p*,w{of}")
        k4 = deflection_factor(aspect=self.aspect, plate_load=load)
        self._factor_step(work, f"k_4{of}", k4)
        return work.step(
            f"w{of}", plate_deflection_mm, k4=k4, area_mm2=self.area_mm2, thickness_mm=thickness_mm,
            load_pa=load_pa,
        )  # fmt: skip

    def stress_n_mm2(
        self, thickness_mm: float, load_pa: Figures, work: Working | None = None, of: str = ""
    ) -> StressFactors:
        """Tension at the centre and the greatest anywhere, N/mm2; ``of`` marks the symbols of the steps."""
        work = work or Working()
        load = self._plate_load(thickness_mm, load_pa, work, f"p*{of}")
        k1 = stress_factors(aspect=self.aspect, plate_load=load)
        self._factor_step(work, f"k_1{of}", k1.most)
        rest = {"area_mm2": self.area_mm2, "thickness_mm": thickness_mm, "load_pa": load_pa}
        return StressFactors(
            centre=plate_stress_n_mm2(k1=k1.centre, **rest),
            most=work.step(f"σ{of}", plate_stress_n_mm2, k1=k1.most, **rest),
        )

    def _plate_load(
        self, thickness_mm: float, load_pa: Figures, work: Working | None = None, symbol: str = "p*"
    ) -> Figures:
        load = np.abs(load_pa) / PA_IN_N_MM2
        return (work or Working()).step(
            symbol, plate_load, area_mm2=self.area_mm2, thickness_mm=thickness_mm, load_n_mm2=load
        )

    def _factor_step(self, work: Working, symbol: str, value: Figures) -> None:
        source = table(TABLE).pedigree.source
        work.note(
            symbol, "off the table, with the exact linear plate", value, "-", source, aspect=self.aspect
        )

    def bulge_mm3_pa(self, thickness_mm: float) -> Figures:
        """Volume the pane bulges by for each pascal, linear."""
        stiffness = glass_constant("youngs_modulus") * PA_IN_N_MM2 * thickness_mm**3
        return bulge_factor(aspect=self.aspect) * self.area_mm2 * self.short_mm**4 / stiffness
