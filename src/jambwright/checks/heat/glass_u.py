"""Heat through the middle of the glass: any number of panes, any gas, coating and slope (EN 673).

Arrays carry the gaps (or panes) on their last axis, outside first; axes before it are many units at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import ArrayLike

from jambwright.basis.clause import clause
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.basis.working import Working
from jambwright.checks.heat.constants import Array, Figures, constant, plain
from jambwright.checks.heat.gases import Gas, filling

SETTLED_K = 1e-9
MOST_ROUNDS = 200
"""The share of the temperature drop settles in about ten rounds; past this it never will."""


@clause("EN 673:2011", "5.2", unit="W/m2K", formula="h_r = 4 σ T_m³ / (1/ε₁ + 1/ε₂ − 1)")
def radiation_conductance_w_m2k(*, emissivity_outer: Figures, emissivity_inner: Figures) -> Figures:
    """Radiation across a gap from the corrected emissivities of its two faces.

    >>> radiation_conductance_w_m2k(emissivity_outer=0.837, emissivity_inner=0.837)
    3.70
    """
    mean_k = constant("gap_mean_temperature")
    return 4 * constant("stefan_boltzmann") * mean_k**3 / (1 / emissivity_outer + 1 / emissivity_inner - 1)


@clause("EN 673:2011", "5.3.1", unit="-", formula="Gr = g s³ ΔT ρ² / (T_m μ²)")
def grashof(*, gap_mm: Figures, drop_k: Figures, density_kg_m3: Figures, viscosity_kg_ms: Figures) -> Figures:
    """Grashof number of a gap with a temperature drop across it."""
    buoyancy = constant("gravity") * (gap_mm * 1e-3) ** 3 * drop_k * density_kg_m3**2
    return buoyancy / (constant("gap_mean_temperature") * viscosity_kg_ms**2)


@clause("EN 673:2011", "5.3.1", unit="-", formula="Pr = μ c / λ")
def prandtl(*, viscosity_kg_ms: Figures, heat_capacity_j_kgk: Figures, conductivity_w_mk: Figures) -> Figures:
    """Prandtl number of a filling.

    >>> prandtl(viscosity_kg_ms=2.1237e-5, heat_capacity_j_kgk=567.9, conductivity_w_mk=0.017652)
    0.683
    """
    return viscosity_kg_ms * heat_capacity_j_kgk / conductivity_w_mk


@clause("EN 673:2011", "5.3.1", unit="-", formula="Nu = max(1, A (Gr Pr)^n), A and n by slope")
def nusselt(*, grashof: Figures, prandtl: Figures, slope_deg: Figures = 90.0) -> Figures:
    """Nusselt number, heat flowing upwards or sideways; ``slope_deg`` is 90 for upright, 0 for flat."""
    by_slope = table("gap_convection")
    slopes = by_slope.column("slope_deg")
    factor = np.interp(slope_deg, slopes, by_slope.column("factor"))
    exponent = np.interp(slope_deg, slopes, by_slope.column("exponent"))
    return plain(np.maximum(1.0, factor * (grashof * prandtl) ** exponent))


@clause("EN 673:2011", "5.3", unit="W/m2K", formula="h_g = Nu λ / s")
def gas_conductance_w_m2k(*, nusselt: Figures, conductivity_w_mk: Figures, gap_mm: Figures) -> Figures:
    """Conduction and convection across a gap."""
    return nusselt * conductivity_w_mk / (gap_mm * 1e-3)


@clause("EN 673:2011", "Annex A", unit="W/m2K", formula="h_i = 3.6 + 4.1 ε / 0.837; 1/0.13 uncoated")
def room_conductance_w_m2k(*, emissivity: Figures) -> Figures:
    """Inside surface. Only a coated room face (corrected emissivity below 0.83) departs from 1/0.13."""
    uncoated = constant("uncoated_emissivity")
    coated = constant("room_convection") + constant("room_radiation") * emissivity / uncoated
    return plain(
        np.where(np.asarray(emissivity) < uncoated - 0.005, coated, 1 / constant("inside_resistance"))
    )


@clause("EN 673:2011", "5.1", unit="W/m2K", formula="1/U = R_se + Σ 1/h_s + Σ d/λ + 1/h_i")
def glass_u_w_m2k(*, glass_mm: Figures, gaps_m2kw: Figures, inside_w_m2k: Figures) -> Figures:
    """U of the glass from the sum of its pane thicknesses and the resistance of its gaps.

    >>> glass_u_w_m2k(glass_mm=4.0, gaps_m2kw=0.0, inside_w_m2k=1 / 0.13)
    5.747
    """
    glass = glass_mm * 1e-3 / constant("glass_conductivity")
    return 1 / (constant("outside_resistance") + gaps_m2kw + glass + 1 / inside_w_m2k)


@clause("EN 673:2011", "8", unit="W/m2K", formula="U rounded to one decimal, half up", how="read")
def declared_u_w_m2k(*, u_w_m2k: Figures) -> Figures:
    """The declared value: one decimal, half up.

    >>> declared_u_w_m2k(u_w_m2k=1.25)
    1.3
    """
    return plain(np.floor(u_w_m2k * 10 + 0.5 + 1e-9) / 10)


@clause("EN 673:2011", "5.3.1", unit="W/m2K", formula="h_g + h_r")
def gap_conductance_w_m2k(*, gas_w_m2k: Figures, radiation_w_m2k: Figures) -> Figures:
    """Whole conductance of a gap."""
    return gas_w_m2k + radiation_w_m2k


@dataclass(frozen=True, slots=True, kw_only=True)
class Gaps:
    """What happens in every gap with the temperature drops across them; gaps on the last axis."""

    nusselt: Array
    gas_w_m2k: Array
    radiation_w_m2k: Array
    conductance_w_m2k: Array
    """Whole conductance h_s of each gap."""
    drop_k: Array


def settle_gaps(
    *,
    gap_mm: ArrayLike,
    gas: Gas,
    emissivity_outer: ArrayLike,
    emissivity_inner: ArrayLike,
    slope_deg: float = 90.0,
) -> Gaps:
    """Share 15 K among the gaps by their resistance until nothing moves (EN 673:2011, 5.3 and Annex B).

    ``emissivity_outer`` and ``emissivity_inner`` are the corrected values of the two faces of each gap.
    """
    across = partial(
        across_gaps,
        gap_mm=np.asarray(gap_mm, dtype=np.float64),
        gas=gas,
        emissivity_outer=np.asarray(emissivity_outer, dtype=np.float64),
        emissivity_inner=np.asarray(emissivity_inner, dtype=np.float64),
        slope_deg=slope_deg,
    )
    shape = np.broadcast_shapes(
        np.shape(gap_mm), np.shape(emissivity_outer), np.shape(emissivity_inner), np.shape(gas.density_kg_m3)
    )
    whole_k = constant("gaps_temperature_drop")
    drop = np.full(shape, whole_k / shape[-1]) if shape[-1] else np.zeros(shape)
    for _ in range(MOST_ROUNDS):
        found = across(drop_k=drop)
        resistance = 1 / found.conductance_w_m2k
        shared = whole_k * resistance / resistance.sum(axis=-1, keepdims=True)
        if np.max(np.abs(shared - drop), initial=0.0) < SETTLED_K:
            return found
        drop = shared
    raise BadInput.one(
        "gap_mm", "gap_mm: the temperatures in these gaps do not settle; check widths and gases."
    )


def across_gaps(
    *,
    gap_mm: Figures,
    gas: Gas,
    emissivity_outer: Figures,
    emissivity_inner: Figures,
    drop_k: Figures,
    slope_deg: float = 90.0,
    work: Working | None = None,
    of: str = "",
) -> Gaps:
    """What happens in gaps with those temperature drops across them.

    ``work`` takes the steps of a single gap; ``of`` marks their symbols.
    """
    work = work or Working()
    radiation = work.step(
        f"h_r{of}", radiation_conductance_w_m2k,
        emissivity_outer=emissivity_outer, emissivity_inner=emissivity_inner,
    )  # fmt: skip
    buoyancy = work.step(
        f"Gr{of}", grashof, gap_mm=gap_mm, drop_k=drop_k,
        density_kg_m3=gas.density_kg_m3, viscosity_kg_ms=gas.viscosity_kg_ms,
    )  # fmt: skip
    fluid = work.step(
        f"Pr{of}", prandtl, viscosity_kg_ms=gas.viscosity_kg_ms,
        heat_capacity_j_kgk=gas.heat_capacity_j_kgk, conductivity_w_mk=gas.conductivity_w_mk,
    )  # fmt: skip
    moving = work.step(f"Nu{of}", nusselt, grashof=buoyancy, prandtl=fluid, slope_deg=slope_deg)
    still = work.step(
        f"h_g{of}", gas_conductance_w_m2k,
        nusselt=moving, conductivity_w_mk=gas.conductivity_w_mk, gap_mm=gap_mm,
    )  # fmt: skip
    whole = work.step(f"h_s{of}", gap_conductance_w_m2k, gas_w_m2k=still, radiation_w_m2k=radiation)
    shape = np.shape(drop_k)
    return Gaps(
        nusselt=np.broadcast_to(moving, shape),
        gas_w_m2k=np.broadcast_to(still, shape),
        radiation_w_m2k=np.broadcast_to(radiation, shape),
        conductance_w_m2k=np.broadcast_to(whole, shape),
        drop_k=np.asarray(drop_k),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassHeat:
    """Heat through the middle of one or many glass units."""

    u_w_m2k: Array
    declared_u_w_m2k: Array
    """One decimal, half up."""
    inside_w_m2k: Array
    gaps: Gaps


def glass_heat(
    *,
    pane_mm: ArrayLike,
    gap_mm: ArrayLike = (),
    gas: ArrayLike = (),
    fill: ArrayLike = (),
    face_emissivity: ArrayLike | None = None,
    slope_deg: float = 90.0,
    work: Working | None = None,
) -> GlassHeat:
    """U of glass units; many with the same number of panes in one call.

    ``pane_mm`` has panes on its last axis (N), ``gap_mm``, ``gas`` and ``fill`` N - 1 gaps, and
    ``face_emissivity`` 2 N corrected values, face 1 to the weather (uncoated when left out). Axes before the
    last broadcast. ``work`` takes the steps, where one unit is given.

    >>> heat = glass_heat(pane_mm=[4, 4], gap_mm=[16], gas=["argon"], fill=[0.9])
    >>> round(float(heat.u_w_m2k), 3)
    2.622
    """
    panes = np.asarray(pane_mm, dtype=np.float64)
    count = panes.shape[-1]
    faces = (
        np.full(2 * count, constant("uncoated_emissivity"))
        if face_emissivity is None
        else np.asarray(face_emissivity, dtype=np.float64)
    )
    gaps = settle_gaps(
        gap_mm=gap_mm,
        gas=filling(gas, fill),
        emissivity_outer=faces[..., 1:-1:2],
        emissivity_inner=faces[..., 2::2],
        slope_deg=slope_deg,
    )
    if work:
        _note_gaps(work, gap_mm, gas, fill, faces, gaps, slope_deg)
    work = work or Working()
    inside = work.step("h_i", room_conductance_w_m2k, emissivity=plain(faces[..., -1]))
    u = work.step(
        "U", glass_u_w_m2k, glass_mm=plain(panes.sum(axis=-1)),
        gaps_m2kw=plain((1 / gaps.conductance_w_m2k).sum(axis=-1)), inside_w_m2k=inside,
    )  # fmt: skip
    declared = work.step("U declared", declared_u_w_m2k, u_w_m2k=u)
    return GlassHeat(
        u_w_m2k=np.asarray(u),
        declared_u_w_m2k=np.asarray(declared),
        inside_w_m2k=np.asarray(inside),
        gaps=gaps,
    )


def _note_gaps(
    work: Working, gap_mm: ArrayLike, gas: ArrayLike, fill: ArrayLike, faces: Array, gaps: Gaps,
    slope_deg: float,
) -> None:  # fmt: skip
    """The steps across each gap of one unit, with its settled temperature drop."""
    source = table("glass_gases").pedigree.source
    each = np.broadcast_arrays(gap_mm, gas, fill, faces[1:-1:2], faces[2::2], gaps.drop_k)
    for number, (width, name, share, outer, inner, drop) in enumerate(zip(*each, strict=True), start=1):
        of, one = f" gap {number}", filling(name, share)
        work.note(f"ΔT{of}", "15 K shared by resistance, settled", float(drop), "K", nusselt.source)
        work.note(
            f"λ{of}", "share-weighted mean with air", one.conductivity_w_mk, "W/mK", source,
            gas=str(name), fill=float(share),
        )  # fmt: skip
        across_gaps(
            gap_mm=float(width), gas=one, emissivity_outer=float(outer), emissivity_inner=float(inner),
            drop_k=float(drop), slope_deg=slope_deg, work=work, of=of,
        )  # fmt: skip
