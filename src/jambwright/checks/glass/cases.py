"""Which actions on glass act together: leading and accompanying, with their factors and how long they last.

Wind and the climate of the cavity, temperature and barometer together, are variable: either leads and the other
accompanies it with less. What altitude leaves in the cavity is permanent. ``C1`` wind leads, ``C2`` climate leads,
``C3`` climate alone, ``C4`` altitude alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from jambwright.basis import Working, table
from jambwright.checks.figures import Figures
from jambwright.checks.glass.unit import isochoric_pressure_pa

Factors = Literal["safe", "infill"]
"""Sets of load factors, table ``glass_load_factors``."""
DECIDES: Factors = "safe"
"""The set that decides for a house."""
MILDER: Factors = "infill"
CLIMATE_ALONE = ("C3", "C4")
_SYMBOLS = {
    "variable": "γ_Q", "permanent": "γ_G", "permanent_relieving": "γ_G,inf", "climate_beside_wind": "ψ_0 climate",
    "wind_beside_climate": "ψ_0 wind",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCase:
    """Actions that act together, each as it occurs.

    ``share`` is what of an action counts beside the leading one, for stress and bending; ``factor`` comes on top for
    stress. Wind is that on the outer pane, + into the room; climate and altitude are isochoric over-pressures.
    """

    name: str
    says: str = ""
    """What acts, in words."""
    kmod: float
    """Duration factor of the shortest action."""
    wind_pa: Figures = 0.0
    climate_pa: Figures = 0.0
    altitude_pa: Figures = 0.0
    wind_factor: float = 1.0
    climate_factor: float = 1.0
    altitude_factor: Figures = 1.0
    wind_share: float = 1.0
    climate_share: float = 1.0

    @property
    def bending_pa(self) -> tuple[Figures, Figures]:
        """Wind and isochoric pressure that bend the panes, without load factors."""
        return self.wind_share * self.wind_pa, self.climate_share * self.climate_pa + self.altitude_pa

    @property
    def design_pa(self) -> tuple[Figures, Figures]:
        """Wind and isochoric pressure that stress them, with load factors."""
        wind, climate = self.wind_factor * self.wind_share, self.climate_factor * self.climate_share
        return wind * self.wind_pa, climate * self.climate_pa + self.altitude_factor * self.altitude_pa


def duration_of(action: str) -> float:
    """Duration factor of an action: ``wind``, ``daily_climate``, ``barometer`` or ``permanent``."""
    return float(table("glass_actions").find(action=action)["kmod"])


def load_factors(factors: Factors) -> dict[str, float]:
    """The factors of one set by name."""
    return {row["factor"]: row["value"] for row in table("glass_load_factors") if row["factors"] == factors}


def note_factors(work: Working, factors: Factors) -> None:
    """Note every factor of a set with its own source."""
    rows = table("glass_load_factors")
    for row in rows:
        if row["factors"] == factors:
            name = row["factor"].replace("_", " ")
            work.note(_SYMBOLS[row["factor"]], f"{name}, set {factors}", row["value"], "-", rows.source(row))


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate:
    """A state of the cavity against the day it was sealed, altitude apart: isochoric over-pressure."""

    pressure_pa: Figures
    kmod: float


def combined(
    winds: Mapping[str, Figures],
    climates: Mapping[str, Climate],
    altitude_pa: Figures,
    factors: Factors = DECIDES,
) -> tuple[LoadCase, ...]:
    """Cases ``C1`` to ``C4`` for every wind with every climate.

    An action that relieves must not flatter the pane, so ``winds`` and ``climates`` hold both directions, or none
    where there is no other. Altitude that relieves the climate counts with its smaller factor.
    """
    return tuple(_combined(winds, climates, altitude_pa, load_factors(factors)))


def _combined(
    winds: Mapping[str, Figures],
    climates: Mapping[str, Climate],
    altitude_pa: Figures,
    by: Mapping[str, float],
) -> Iterator[LoadCase]:
    variable, permanent, gust = by["variable"], by["permanent"], duration_of("wind")
    for season, climate in climates.items():
        relieves = np.sign(climate.pressure_pa) * np.sign(altitude_pa) < 0
        cavity = {
            "climate_pa": climate.pressure_pa, "climate_factor": variable, "altitude_pa": altitude_pa,
            "altitude_factor": np.where(relieves, by["permanent_relieving"], permanent)[()],
        }  # fmt: skip
        for way, wind_pa in winds.items():
            blown = {"wind_pa": wind_pa, "wind_factor": variable, "kmod": gust, **cavity}
            yield LoadCase(
                name="C1", says=f"{way}, with {season}", climate_share=by["climate_beside_wind"], **blown
            )
            yield LoadCase(
                name="C2", says=f"{season}, with {way}", wind_share=by["wind_beside_climate"], **blown
            )
        yield LoadCase(name="C3", says=f"{season} alone", kmod=climate.kmod, **cavity)
    yield LoadCase(
        name="C4",
        says="altitude alone",
        kmod=duration_of("permanent"),
        altitude_pa=altitude_pa,
        altitude_factor=permanent,
    )


def order_cases(
    *, in_pa: Figures, out_pa: Figures, altitude_change_m: Figures = 0.0, factors: Factors = DECIDES
) -> tuple[LoadCase, ...]:
    """The cases an order is checked for: wind in and out, winter and summer of the table ``glass_climate``.

    ``in_pa`` is positive and ``out_pa`` negative, as they occur; altitude is that of the house over the works.
    """
    climates = {
        row["season"]: Climate(
            pressure_pa=isochoric_pressure_pa(
                altitude_change_m=0.0, temperature_change_k=row["temperature_change_k"],
                pressure_change_pa=row["pressure_change_pa"],
            ),
            kmod=duration_of("daily_climate"),
        )
        for row in table("glass_climate")
    }  # fmt: skip
    altitude = isochoric_pressure_pa(
        altitude_change_m=altitude_change_m, temperature_change_k=0.0, pressure_change_pa=0.0
    )
    return combined({"wind in": in_pa, "wind out": out_pa}, climates, altitude, factors)


def given_cases(
    *,
    wind_pa: float,
    temperature_pa: float,
    barometer_pa: float,
    altitude_pa: float,
    factors: Factors = DECIDES,
) -> tuple[LoadCase, ...]:
    """The cases of actions told one by one: the wind blows either way, and the climate comes or stays away.

    Temperature and barometer that relieve each other count one by one.
    """
    daily, weather = duration_of("daily_climate"), duration_of("barometer")
    climates = {"no climate": Climate(pressure_pa=0.0, kmod=daily)}
    if temperature_pa * barometer_pa > 0:
        climates["climate"] = Climate(pressure_pa=temperature_pa + barometer_pa, kmod=daily)
    elif temperature_pa:
        climates["temperature"] = Climate(pressure_pa=temperature_pa, kmod=daily)
    if barometer_pa:
        climates["barometer"] = Climate(pressure_pa=barometer_pa, kmod=weather)
    winds = {"wind in": abs(wind_pa), "wind out": -abs(wind_pa)}
    return combined(winds, climates, altitude_pa, factors)


def wind_alone(cases: Sequence[LoadCase]) -> tuple[LoadCase, ...]:
    """The cases that the wind leads, without what is in the cavity."""
    return tuple(
        LoadCase(
            name=case.name,
            says=case.says,
            kmod=case.kmod,
            wind_pa=case.wind_pa,
            wind_factor=case.wind_factor,
        )
        for case in cases
        if case.name == "C1"
    )
