"""Calculations by name: the window energy index and its band."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks.heat.energy_index import energy_band, energy_index_kwh_m2, index_working, leakage_w_m2k


class IndexAsked(Strict):
    """A window at the reference size."""

    g_window: Annotated[float, Field(ge=0, le=1)]
    """Of the whole window: 0.9 x g of the glass x glazed share. 0 for a door without glass."""
    u_w_m2k: Annotated[float, Field(gt=0, le=10)]
    air_leakage_l50_m3_hm2: Annotated[float, Field(ge=0)]
    """At 50 Pa, m3 an hour and square metre of window."""


class IndexAnswer(Answer):
    """The index and its band."""

    index_kwh_m2_year: float
    band: str
    band_sure: bool
    """False within half a unit of an edge."""
    band_when_rounded: str
    """The band that the whole-number index may fall into."""


def _index(asked: IndexAsked) -> IndexAnswer:
    leakage = leakage_w_m2k(air_leakage_l50_m3_hm2=asked.air_leakage_l50_m3_hm2)
    index = float(energy_index_kwh_m2(g_window=asked.g_window, u_w_m2k=asked.u_w_m2k, leakage_w_m2k=leakage))
    band = energy_band(index)
    return IndexAnswer(
        index_kwh_m2_year=index, band=band.band, band_sure=band.sure, band_when_rounded=band.or_else
    )


def _index_working(asked: IndexAsked) -> Working:
    work = Working()
    index_working(
        work,
        g_window=asked.g_window,
        u_w_m2k=asked.u_w_m2k,
        air_leakage_l50_m3_hm2=asked.air_leakage_l50_m3_hm2,
    )
    return work


CALCULATIONS: tuple[Calculation[Any], ...] = (
    Calculation(
        name="energy-index",
        summary="window energy index and band",
        asks=IndexAsked,
        answers=IndexAnswer,
        run=_index,
        working=_index_working,
        example={"g_window": 0.45, "u_w_m2k": 1.4, "air_leakage_l50_m3_hm2": 0},
    ),
)
