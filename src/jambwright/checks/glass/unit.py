"""A sealed unit: how the gas between the panes shares the wind, and what climate does to it.

Exact solution of the linear problem for any number of panes: each pane bulges in proportion to the
difference of pressure on its faces, each cavity keeps its gas (Boyle's law, small changes). For two panes it is
the insulating unit factor of EN 16612, Annex C.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jambwright.basis import clause
from jambwright.checks.figures import Figures, Floats
from jambwright.checks.glass.pane import PaneSize
from jambwright.checks.glass.strength import EN_GLASS, effective_thicknesses_mm, glass_factor
from jambwright.frame import GlazingUnit

CAVITY = "Annex C"


@clause(EN_GLASS, CAVITY, unit="Pa", formula="p_0 = 12 ΔH + 340 ΔT − Δp", how="from memory, high")
def isochoric_pressure_pa(
    *, altitude_change_m: Figures, temperature_change_k: Figures, pressure_change_pa: Figures
) -> Figures:
    """Over-pressure the cavity would have if the panes could not bulge.

    Altitude of the house less that of the works, cavity temperature and barometer against the day of sealing.

    >>> isochoric_pressure_pa(altitude_change_m=600.0, temperature_change_k=20.0, pressure_change_pa=-2000.0)
    16000.0
    """
    return (
        glass_factor("pressure_per_metre") * altitude_change_m
        + glass_factor("pressure_per_kelvin") * temperature_change_k
        - pressure_change_pa
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitLoads:
    """Pressures in a unit; the last axis runs over cavities or panes from outside."""

    cavity_pa: Floats
    """Over-pressure of each cavity above the room."""
    pane_pa: Floats
    """Net load on each pane, + into the room."""


def unit_loads(unit: GlazingUnit, size: PaneSize, *, wind_pa: Figures, isochoric_pa: Figures) -> UnitLoads:
    """Pressures of every cavity and pane under wind on the outer pane and one climate in all cavities.

    Sizes and loads are one value, or arrays of shapes that fit each other.
    """
    shape = np.broadcast_shapes(np.shape(size.area_mm2), np.shape(wind_pa), np.shape(isochoric_pa))
    wind = np.broadcast_to(wind_pa, shape)[..., np.newaxis]
    if not unit.cavities:
        return UnitLoads(cavity_pa=np.zeros((*shape, 0)), pane_pa=wind.astype(float))
    outer, inner = _give(unit, size, shape)
    push = np.broadcast_to(np.asarray(isochoric_pa, dtype=float)[..., np.newaxis], outer.shape).copy()
    push[..., :1] += outer[..., :1] * wind
    cavity = _solve(1 + outer + inner, outer, inner, push)
    faces = np.concatenate([wind, cavity, np.zeros((*shape, 1))], axis=-1)
    return UnitLoads(cavity_pa=cavity, pane_pa=faces[..., :-1] - faces[..., 1:])


def swollen(unit: GlazingUnit, size: PaneSize) -> UnitLoads:
    """Pressures of a unit in still air at one pascal of isochoric pressure."""
    return unit_loads(unit, size, wind_pa=0.0, isochoric_pa=1.0)


def unit_factor_of(swelled: UnitLoads) -> Figures:
    """Unit factor of any ``swollen`` unit: of the cavity that keeps most of its pressure; 1 for single glass.

    With two panes that bulge by v of a cavity V it is φ = 1 / (1 + p_a Σ v / V) of EN 16612, Annex C.
    """
    cavities = swelled.cavity_pa
    return cavities.max(axis=-1) if cavities.shape[-1] else np.ones(cavities.shape[:-1])[()]


def _give(unit: GlazingUnit, size: PaneSize, shape: tuple[int, ...]) -> tuple[Floats, Floats]:
    """How much each cavity gives to a pascal by its outer and by its inner pane: p_a v / V."""
    thicknesses = [effective_thicknesses_mm(pane)[0] for pane in unit.panes]
    of_1_mm = np.broadcast_to(size.bulge_mm3_pa(1.0), shape)
    bulge = np.multiply.outer(of_1_mm, 1 / np.array(thicknesses) ** 3)
    volume = np.multiply.outer(np.broadcast_to(size.area_mm2, shape), [c.gap_mm for c in unit.cavities])
    give = glass_factor("air_pressure") / volume
    return give * bulge[..., :-1], give * bulge[..., 1:]


def _solve(own: Floats, outer: Floats, inner: Floats, push: Floats) -> Floats:
    """Each cavity against its neighbours: own p_i − outer p_(i−1) − inner p_(i+1) = push."""
    count = own.shape[-1]
    matrix = np.zeros((*own.shape, count))
    for i in range(count):
        matrix[..., i, i] = own[..., i]
        if i > 0:
            matrix[..., i, i - 1] = -outer[..., i]
        if i + 1 < count:
            matrix[..., i, i + 1] = -inner[..., i]
    return np.asarray(np.linalg.solve(matrix, push[..., np.newaxis])[..., 0], dtype=np.float64)
