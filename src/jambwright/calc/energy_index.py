"""Calculations by name: the window energy index and its band."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks.heat.energy_index import index_and_band


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


def _index(asked: IndexAsked, work: Working) -> IndexAnswer:
    index, band = index_and_band(**asked.model_dump(), work=work)
    return IndexAnswer(
        index_kwh_m2_year=index, band=band.band, band_sure=band.sure, band_when_rounded=band.or_else
    )


CALCULATIONS: tuple[Calculation[Any], ...] = (
    Calculation(
        name="energy-index",
        summary="window energy index and band",
        asks=IndexAsked,
        answers=IndexAnswer,
        run=_index,
        example={"g_window": 0.45, "u_w_m2k": 1.4, "air_leakage_l50_m3_hm2": 0},
    ),
)
