"""What glass bears: design bending strength by kind and duration, and the thickness of laminated glass."""

from __future__ import annotations

from typing import TypedDict

import numpy as np

from jambwright.basis import clause, table
from jambwright.checks.figures import Figures
from jambwright.frame import Pane, PaneKind

EN_GLASS = "EN 16612:2019"


def glass_factor(name: str) -> float:
    """One factor of the table of glass design."""
    return table("glass_factors").value(name=name)


@clause(EN_GLASS, "kmod", unit="-", formula="k_mod = min(1, 0.663 t^(−1/16))")
def duration_factor(*, hours: Figures) -> Figures:
    """How much of its short-term strength float glass keeps under a load that lasts ``hours``.

    >>> round(float(duration_factor(hours=1 / 6)), 3)
    0.742
    """
    return np.minimum(1.0, 0.663 * hours ** (-1 / 16))


@clause(
    EN_GLASS,
    "design value of bending strength",
    unit="N/mm2",
    formula="f_g,d = k_e k_mod k_sp f_g,k / γ_M,A + k_v (f_b,k − f_g,k) / γ_M,v",
    how="from memory, medium",
)
def design_strength_n_mm2(*, characteristic_n_mm2: Figures, kmod: Figures, surface: Figures = 1.0) -> Figures:
    """Design strength of glass held on four edges; ``characteristic`` is f_b,k of its kind, ``surface`` k_sp.

    >>> round(float(design_strength_n_mm2(characteristic_n_mm2=45.0, kmod=0.74)), 2)
    20.81
    """
    floats, factor = glass_factor("float_characteristic"), kmod * glass_factor("edge") * surface
    prestress = glass_factor("prestress_process") * (characteristic_n_mm2 - floats)
    return factor * floats / glass_factor("material_float") + prestress / glass_factor("material_prestress")


def surface_factor(*, patterned: bool) -> float:
    """k_sp: how much of its strength the surface leaves annealed glass."""
    return glass_factor("surface_patterned" if patterned else "surface")


def characteristic_of(kind: PaneKind, *, patterned: bool = False) -> float:
    """Characteristic bending strength of a kind of glass, N/mm2."""
    row = table("glass_strength").find(kind=kind)
    return float(row["patterned_n_mm2" if patterned else "characteristic_n_mm2"])


def strength_of(kind: PaneKind, kmod: Figures, *, patterned: bool = False) -> Figures:
    """Design strength of a kind of glass under a load of duration factor ``kmod``, N/mm2.

    >>> round(float(strength_of("toughened", 0.74)), 2)
    83.31
    >>> round(float(strength_of("annealed", 0.74, patterned=True)), 2)
    15.61
    """
    return design_strength_n_mm2(
        characteristic_n_mm2=characteristic_of(kind, patterned=patterned),
        kmod=kmod,
        surface=surface_factor(patterned=patterned),
    )


class _Build(TypedDict):
    """What a laminate is made of."""

    plies_mm: tuple[float, ...]
    interlayer_mm: float
    shear_transfer: float


@clause(
    EN_GLASS,
    "effective thickness for deflection",
    unit="mm",
    formula="h_ef,w = (Σ h³ + 12 ω Σ h h_m²)^(1/3)",
)
def thickness_for_deflection_mm(
    *, plies_mm: tuple[float, ...], interlayer_mm: float, shear_transfer: float
) -> float:
    """Thickness of the single pane that bends like the laminate; plies of two."""
    outer, inner = plies_mm
    middle = _off_middle_mm(plies_mm, interlayer_mm)
    shared = outer * middle[0] ** 2 + inner * middle[1] ** 2
    return float((outer**3 + inner**3 + 12 * shear_transfer * shared) ** (1 / 3))


@clause(
    EN_GLASS,
    "effective thickness for stress",
    unit="mm",
    formula="h_ef,σ,j = √(h_ef,w³ / (h_j + 2 ω h_m,j))",
)
def thickness_for_stress_mm(
    *, plies_mm: tuple[float, ...], interlayer_mm: float, shear_transfer: float
) -> float:
    """Thickness of the single pane whose stress is that of the most stressed ply."""
    bending = thickness_for_deflection_mm(
        plies_mm=plies_mm, interlayer_mm=interlayer_mm, shear_transfer=shear_transfer
    )
    middle = _off_middle_mm(plies_mm, interlayer_mm)
    return min(
        float((bending**3 / (ply + 2 * shear_transfer * off)) ** 0.5)
        for ply, off in zip(plies_mm, middle, strict=True)
    )


def _off_middle_mm(plies_mm: tuple[float, ...], interlayer_mm: float) -> tuple[float, float]:
    """How far each ply's middle lies from the laminate's neutral plane."""
    outer, inner = plies_mm
    apart = (outer + inner) / 2 + interlayer_mm
    return apart * inner / (outer + inner), apart * outer / (outer + inner)


def effective_thicknesses_mm(pane: Pane) -> tuple[float, float]:
    """Thickness for deflection and for stress; the nominal one for a pane of a single ply.

    The plies of laminated glass slide freely, the safe assumption.

    >>> [round(t, 3) for t in effective_thicknesses_mm(Pane(thickness_mm=6.4, kind="laminated"))]
    [3.78, 4.243]
    """
    plies_mm, interlayer_mm = pane.layers_mm
    if len(plies_mm) == 1:
        return pane.thickness_mm, pane.thickness_mm
    shear = glass_factor("interlayer_shear")
    build: _Build = {"plies_mm": plies_mm, "interlayer_mm": interlayer_mm, "shear_transfer": shear}
    return thickness_for_deflection_mm(**build), thickness_for_stress_mm(**build)
