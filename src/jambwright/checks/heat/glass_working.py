"""The steps from panes, gaps and coatings to the U of the glass, for the report."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from jambwright.basis.tables import table
from jambwright.basis.working import Working
from jambwright.checks.heat.gases import filling
from jambwright.checks.heat.glass_u import (
    GlassHeat,
    declared_u_w_m2k,
    gas_conductance_w_m2k,
    glass_u_w_m2k,
    grashof,
    nusselt,
    prandtl,
    radiation_conductance_w_m2k,
    room_conductance_w_m2k,
)
from jambwright.checks.heat.unit import Coating, faces_of, unit_heat
from jambwright.frame.glazing_unit import GlazingUnit


def unit_working(work: Working, unit: GlazingUnit, *, coating: Coating = "soft") -> float:
    """Note the steps to the declared U of a unit as written on the order, and return it."""
    return glass_working(
        work,
        unit_heat(unit, coating=coating),
        pane_mm=[pane.thickness_mm for pane in unit.panes],
        gaps=[(cavity.gap_mm, cavity.gas, cavity.fill) for cavity in unit.cavities],
        face_emissivity=faces_of(unit, coating),
    )


def glass_working(
    work: Working,
    heat: GlassHeat,
    *,
    pane_mm: Sequence[float],
    gaps: Sequence[tuple[float, str, float]],
    face_emissivity: Sequence[float],
    slope_deg: float = 90.0,
) -> float:
    """Note the steps of one unit, its gaps as width, gas and fill, and return the declared U."""
    for index, gap in enumerate(gaps):
        outer, inner = face_emissivity[2 * index + 1], face_emissivity[2 * index + 2]
        _gap(work, index + 1, gap, (outer, inner), float(heat.gaps.drop_k[index]), slope_deg)
    inside = work.step("h_i", room_conductance_w_m2k, emissivity=face_emissivity[-1])
    u = work.step(
        "U",
        glass_u_w_m2k,
        glass_mm=sum(pane_mm),
        gaps_m2kw=float(np.sum(1 / heat.gaps.conductance_w_m2k)),
        inside_w_m2k=float(inside),
    )
    return float(work.step("U declared", declared_u_w_m2k, u_w_m2k=u))


def _gap(
    work: Working,
    number: int,
    gap: tuple[float, str, float],
    emissivity: tuple[float, float],
    drop_k: float,
    slope_deg: float,
) -> None:
    width, name, fill = gap
    gas, source = filling(name, fill), table("glass_gases").pedigree.source
    conductivity, viscosity = float(gas.conductivity_w_mk), float(gas.viscosity_kg_ms)
    work.note(f"ΔT gap {number}", "15 K shared by resistance, settled", drop_k, "K", nusselt.source)
    work.note(
        f"λ gap {number}", "share-weighted mean with air", conductivity, "W/mK", source, gas=name, fill=fill
    )
    radiation = work.step(
        f"h_r gap {number}",
        radiation_conductance_w_m2k,
        emissivity_outer=emissivity[0],
        emissivity_inner=emissivity[1],
    )
    buoyancy = work.step(
        f"Gr gap {number}", grashof, gap_mm=width, drop_k=drop_k,
        density_kg_m3=float(gas.density_kg_m3), viscosity_kg_ms=viscosity,
    )  # fmt: skip
    fluid = work.step(
        f"Pr gap {number}", prandtl, viscosity_kg_ms=viscosity,
        heat_capacity_j_kgk=float(gas.heat_capacity_j_kgk), conductivity_w_mk=conductivity,
    )  # fmt: skip
    moving = work.step(f"Nu gap {number}", nusselt, grashof=buoyancy, prandtl=fluid, slope_deg=slope_deg)
    still = work.step(
        f"h_g gap {number}",
        gas_conductance_w_m2k,
        nusselt=moving,
        conductivity_w_mk=conductivity,
        gap_mm=width,
    )
    work.note(f"h_s gap {number}", "h_g + h_r", still + radiation, "W/m2K", nusselt.source)
