"""The window energy index: sun let in less heat lost over a heating season, and its band."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from jambwright.basis.clause import clause
from jambwright.basis.tables import table
from jambwright.basis.working import Working
from jambwright.checks.heat.constants import Figures, constant

NEAR_EDGE_KWH_M2 = 0.5
"""Within half a unit of an edge the band hangs on how the index is rounded."""


@clause("UK window energy index", unit="W/m2K", formula="L = 0.0165 L₅₀")
def leakage_w_m2k(*, air_leakage_l50_m3_hm2: Figures) -> Figures:
    """Heat lost by draught through the closed window, from its leakage at 50 Pa.

    >>> leakage_w_m2k(air_leakage_l50_m3_hm2=0.2)
    0.0033
    """
    return constant("infiltration_share") * air_leakage_l50_m3_hm2


@clause("UK window energy index", unit="kWh/m2 year", formula="EI = 218.6 g_w − 68.5 (U_w + L)", how="read")
def energy_index_kwh_m2(*, g_window: Figures, u_w_m2k: Figures, leakage_w_m2k: Figures) -> Figures:
    """Yearly gain (positive) or loss of a square metre of window. A door without glass has ``g_window`` 0.

    >>> energy_index_kwh_m2(g_window=0.45, u_w_m2k=1.4, leakage_w_m2k=0.0)
    2.470
    """
    sun = constant("solar_kwh_m2", of="index_constants")
    loss = constant("heat_loss_kkh", of="index_constants")
    return sun * g_window - loss * (u_w_m2k + leakage_w_m2k)


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A band of the energy index."""

    band: str
    sure: bool
    """False near an edge: the whole-number index may fall into ``or_else``."""
    or_else: str


def energy_band(index_kwh_m2: float) -> Band:
    """The band of an index, unrounded, and the band it may turn to when rounded.

    >>> energy_band(2.47)
    Band(band='A', sure=True, or_else='A')
    >>> energy_band(-0.3).or_else
    'A'
    """
    band = _band(index_kwh_m2)
    near = {_band(index_kwh_m2 - NEAR_EDGE_KWH_M2), _band(index_kwh_m2 + NEAR_EDGE_KWH_M2)} - {band}
    return Band(band=band, sure=not near, or_else=next(iter(near), band))


def _band(index_kwh_m2: float) -> str:
    rows = table("index_bands")
    edges = [(row["band"], row["at_least_kwh_m2"]) for row in rows]
    return str(next(band for band, edge in edges if edge is None or index_kwh_m2 >= edge))


def index_and_band(
    *, g_window: float, u_w_m2k: float, air_leakage_l50_m3_hm2: float, work: Working | None = None
) -> tuple[float, Band]:
    """The index of a window, kWh/m2 a year, and its band; ``work`` takes the steps."""
    work = work or Working()
    leakage = work.step("L", leakage_w_m2k, air_leakage_l50_m3_hm2=air_leakage_l50_m3_hm2)
    index = float(
        work.step("EI", energy_index_kwh_m2, g_window=g_window, u_w_m2k=u_w_m2k, leakage_w_m2k=leakage)
    )
    band, source = energy_band(index), table("index_bands").pedigree.source
    work.note("band", "by the table of bands", band.band, "", source, sure=band.sure)
    return index, band


@clause("Area-weighted mean", unit="", formula="Σ A x / Σ A", how="calculated")
def area_weighted(*, areas_m2: ArrayLike, values: ArrayLike) -> float:
    """The house's value from those of its units.

    >>> area_weighted(areas_m2=[1, 3], values=[2.0, 1.0])
    1.25
    """
    return float(np.average(np.asarray(values), weights=np.asarray(areas_m2)))
