"""Sun through the glass: the g-value from layer data (EN 410) or by kind of glazing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from jambwright.basis.clause import Clause, clause
from jambwright.basis.problems import BadInput, raise_if_any
from jambwright.basis.problems import Problem as _Problem
from jambwright.basis.tables import table
from jambwright.checks.heat.constants import Array, Figures, constant, plain


@dataclass(frozen=True, slots=True, kw_only=True)
class SunShares:
    """Where the sun that falls on a unit goes, as shares of one."""

    transmitted: Array
    absorbed: Array
    """By pane, on the last axis, outside first."""


@clause("EN 410", "5.4.6", unit="W/m2K", formula="h_i = 3.6 + 4.4 ε / 0.837")
def solar_inside_w_m2k(*, emissivity: Figures) -> Figures:
    """Inside surface for the solar factor.

    >>> solar_inside_w_m2k(emissivity=0.837)
    8.0
    """
    return constant("solar_room_convection") + (
        constant("solar_room_radiation") * emissivity / constant("uncoated_emissivity")
    )


def sun_shares(
    *, transmittance: ArrayLike, reflectance_outer: ArrayLike, reflectance_inner: ArrayLike
) -> SunShares:
    """Sun let through and absorbed by a stack of panes, with all reflections between them (EN 410, 5.3, 5.4).

    Broadband values of the single panes on the last axis, outside first; the spectrum's change from pane to
    pane is left out, which costs about 0.01. Raises ``BadInput`` when a pane gives back more than it gets.
    """
    through, outer, inner = np.broadcast_arrays(
        *(np.asarray(v, dtype=np.float64) for v in (transmittance, reflectance_outer, reflectance_inner))
    )
    raise_if_any(_impossible(through, outer, inner))
    count = through.shape[-1]
    behind = np.zeros((*through.shape[:-1], count + 1))  # reflectance of everything from pane k inwards
    for k in reversed(range(count)):
        bounced = 1 - inner[..., k] * behind[..., k + 1]
        behind[..., k] = outer[..., k] + through[..., k] ** 2 * behind[..., k + 1] / bounced
    absorbed = np.empty(through.shape)
    arriving = np.ones(through.shape[:-1])
    for k in range(count):
        onward = through[..., k] * arriving / (1 - inner[..., k] * behind[..., k + 1])
        from_outside = (1 - through[..., k] - outer[..., k]) * arriving
        from_inside = (1 - through[..., k] - inner[..., k]) * behind[..., k + 1] * onward
        absorbed[..., k] = from_outside + from_inside
        arriving = onward
    return SunShares(transmitted=arriving, absorbed=absorbed)


def _impossible(through: Array, outer: Array, inner: Array) -> list[_Problem]:
    if np.all(np.minimum(np.minimum(through, outer), inner) >= 0) and np.all(
        np.maximum(outer, inner) + through <= 1
    ):
        return []
    return [
        _Problem(
            "transmittance",
            "transmittance: what a pane lets through and reflects must each be at least 0 and together "
            "at most 1; check the data sheet.",
        )
    ]


@clause("EN 410", "5.4.6", unit="W/m2K", formula="1/Λ = 1/h_s + d/λ of the end panes, d/2λ of middle ones")
def pane_to_pane_w_m2k(*, pane_mm: Array, gap_conductance_w_m2k: Array) -> Array:
    """Conductance between neighbouring panes: the gap with its share of the glass. Last axis as in the unit.

    >>> pane_to_pane_w_m2k(pane_mm=np.array([4.0, 4.0]), gap_conductance_w_m2k=np.array([5.313]))
    array([5.096])
    """
    glass = np.asarray(pane_mm) * 1e-3 / constant("glass_conductivity")
    share = np.full(glass.shape[-1], 0.5)
    share[[0, -1]] = 1.0
    between = share * glass
    return 1 / (1 / gap_conductance_w_m2k + between[..., :-1] + between[..., 1:])


@clause("EN 410", "5.4", unit="-", formula="g = τ_e + Σ a_k R(outside to k) / (1/h_e + Σ 1/Λ + 1/h_i)")
def solar_factor(
    *, transmitted: Figures, absorbed: Array, gap_conductance_w_m2k: Array, inside_w_m2k: Figures = 8.0
) -> Figures:
    """Total transmittance: the sun let through and the heat of the panes that ends inside.

    ``absorbed`` by pane and ``gap_conductance_w_m2k`` by gap on the last axis, outside first.

    >>> solar_factor(transmitted=0.83, absorbed=np.array([0.095]), gap_conductance_w_m2k=np.array([]))
    0.8545
    """
    outside = 1 / constant("solar_outside")
    gaps = np.cumsum(1 / np.asarray(gap_conductance_w_m2k), axis=-1)
    to_pane = np.concatenate([np.zeros((*gaps.shape[:-1], 1)), gaps], axis=-1) + outside
    whole = to_pane[..., -1] + 1 / inside_w_m2k
    return plain(transmitted + (absorbed * to_pane).sum(axis=-1) / whole)


def g_by_kind(*, panes: int, coating: str) -> tuple[float, Clause]:
    """The g-value of a kind of glazing and its source. Raises ``BadInput`` beyond three panes."""
    kinds = table("solar_g")
    if not any(row["panes"] == panes for row in kinds):
        raise BadInput.one(
            "panes",
            f"panes: no g-value is known for {panes} panes; give the maker's g.",
        )
    row = kinds.find(panes=panes, coating=coating)
    return float(row["g"]), kinds.source(row)


@clause(
    "UK window energy index", "from SAP", unit="-", formula="g_w = 0.9 g A_g / A_w", how="from memory, medium"
)
def window_g(*, g: Figures, glass_share: Figures) -> Figures:
    """Solar factor of the whole window, averaged over the angles of the sun; the opaque frame counts as 0.

    >>> window_g(g=0.63, glass_share=0.70)
    0.397
    """
    return constant("solar_factor") * g * glass_share
