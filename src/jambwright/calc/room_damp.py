"""Calculations by name: will water or mould come on a cold surface."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, model_validator

from jambwright.basis.border import Strict
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks.heat.damp import (
    dew_point_c,
    f_rsi_needed,
    humidity_percent,
    mould_free_c,
    surface_c,
)
from jambwright.checks.heat.damp_year import RoomClimate, room_vapour_pa

DRIEST_PERCENT = 1.0


def _percent(value: float) -> float:
    if value <= DRIEST_PERCENT:
        raise ValueError(
            f"humidity is given in percent, and {value:g} % is drier than any room. "
            f"Did you mean {100 * value:g}? Write it so."
        )
    return value


Percent = Annotated[float, Field(gt=0, le=100), AfterValidator(_percent)]
Celsius = Annotated[float, Field(ge=-50, le=60)]


class DampAsked(Strict):
    """A surface between room and weather; the room's humidity read, or by class."""

    inside_c: Celsius
    outside_c: Celsius
    inside_rh: Percent | None = None
    """Relative humidity of the room, percent."""
    humidity_class: Literal[1, 2, 3, 4, 5] | None = None
    """EN ISO 13788:2012: 2 dwelling with normal occupancy, 3 when not known, 4 wet rooms."""
    outside_rh: Percent | None = None
    """Relative humidity outside, percent; with humidity_class."""
    f_rsi: Annotated[float, Field(ge=0, le=1)]
    """Temperature factor of the surface: 0 as cold as outside, 1 as warm as the room."""

    @model_validator(mode="after")
    def _make_sense(self) -> DampAsked:
        if (self.inside_rh is None) == (self.humidity_class is None):
            raise ValueError("give either inside_rh, or humidity_class with outside_rh.")
        if (self.humidity_class is None) != (self.outside_rh is None):
            raise ValueError("humidity_class and outside_rh go together; give both, or inside_rh alone.")
        if self.inside_c <= self.outside_c:
            raise ValueError(
                f"inside_c {self.inside_c:g} is not above outside_c {self.outside_c:g}; this check is for cold "
                "weather. Check the two temperatures."
            )
        return self

    def air(self) -> RoomClimate:
        """The room's air."""
        return RoomClimate(
            inside_c=self.inside_c,
            inside_percent=self.inside_rh,
            humidity_class=self.humidity_class or RoomClimate().humidity_class,
        )


class DampAnswer(Answer):
    """What the surface does."""

    dew_point_c: float
    """Of the room's air."""
    surface_c: float
    f_rsi_needed_dew: float
    """To stay dry; 0 or less: any surface does."""
    f_rsi_needed_mould: float
    """To stay below 80 % at the surface."""
    forms: bool
    """Water forms on the surface."""
    mould_risk: bool
    """If this lasts, mould can grow."""
    inside_rh: float
    """Relative humidity of the room, percent."""


def _reckon(asked: DampAsked, work: Working) -> DampAnswer:
    vapour = float(
        room_vapour_pa(asked.air(), outside_c=asked.outside_c, outside_percent=asked.outside_rh, work=work)
    )
    humidity = float(work.step("φ_i", humidity_percent, vapour_pa=vapour, air_c=asked.inside_c))
    dew = float(work.step("θ_dew", dew_point_c, vapour_pa=vapour))
    mould_free = float(work.step("θ_80", mould_free_c, vapour_pa=vapour))
    climate = {"inside_c": asked.inside_c, "outside_c": asked.outside_c}
    surface = float(work.step("θ_si", surface_c, f_rsi=asked.f_rsi, **climate))
    return DampAnswer(
        dew_point_c=dew,
        surface_c=surface,
        f_rsi_needed_dew=float(work.step("f_Rsi dew", f_rsi_needed, surface_needed_c=dew, **climate)),
        f_rsi_needed_mould=float(
            work.step("f_Rsi mould", f_rsi_needed, surface_needed_c=mould_free, **climate)
        ),
        forms=surface < dew,
        mould_risk=surface < mould_free,
        inside_rh=humidity,
    )


CALCULATIONS: tuple[Calculation[Any], ...] = (
    Calculation(
        name="condensation",
        summary="dew point, and whether water or mould comes on a cold surface",
        asks=DampAsked,
        answers=DampAnswer,
        run=_reckon,
        example={"inside_c": 20, "outside_c": 0, "inside_rh": 50, "f_rsi": 0.6},
    ),
)
