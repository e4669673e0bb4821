"""Which loads act together on glass, for how long, and with what load factors."""

from __future__ import annotations

from dataclasses import dataclass

from jambwright.basis import table
from jambwright.checks.figures import Figures
from jambwright.checks.glass.unit import isochoric_pressure_pa


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCase:
    """Loads that act together. Figures as they occur; the load factors come on top, for strength only."""

    name: str
    wind_pa: Figures
    isochoric_pa: Figures
    kmod: float
    """Duration factor of the shortest load in the case."""
    wind_factor: float = 1.0
    climate_factor: float = 1.0


def duration_of(action: str) -> float:
    """Duration factor of an action: ``wind``, ``daily_climate`` or ``permanent``."""
    return float(table("glass_actions").find(action=action)["kmod"])


def load_factor_of(action: str) -> float:
    """Load factor an order is checked with."""
    return float(table("glass_actions").find(action=action)["load_factor"])


def wind_case(
    wind_pa: Figures, isochoric_pa: Figures = 0.0, *, name: str, factor: float, climate: float
) -> LoadCase:
    """Wind, with or without the climate."""
    return LoadCase(
        name=name, wind_pa=wind_pa, isochoric_pa=isochoric_pa, kmod=duration_of("wind"), wind_factor=factor,
        climate_factor=climate,
    )  # fmt: skip


def climate_case(isochoric_pa: Figures, *, name: str, action: str, factor: float) -> LoadCase:
    """Climate without wind: lasting longer, glass bears less of it."""
    return LoadCase(
        name=name, wind_pa=0.0, isochoric_pa=isochoric_pa, kmod=duration_of(action), climate_factor=factor
    )


def order_cases(*, in_pa: Figures, out_pa: Figures, altitude_change_m: Figures = 0.0) -> tuple[LoadCase, ...]:
    """The cases an order is checked for: wind in and out, alone and with each season; each season; altitude.

    ``in_pa`` is positive and ``out_pa`` negative; altitude is that of the house over the works. Load and
    duration factors are those of the table ``glass_actions``, seasons those of ``glass_climate``.
    """
    seasons = {
        row["season"]: isochoric_pressure_pa(
            altitude_change_m=altitude_change_m, temperature_change_k=row["temperature_change_k"],
            pressure_change_pa=row["pressure_change_pa"],
        )
        for row in table("glass_climate")
    }  # fmt: skip
    wind, daily = load_factor_of("wind"), load_factor_of("daily_climate")
    blown = [
        wind_case(pressure, isochoric, name=f"wind {way}{season}", factor=wind, climate=daily)
        for way, pressure in (("in", in_pa), ("out", out_pa))
        for season, isochoric in {"": 0.0, **{f", {name}": p for name, p in seasons.items()}}.items()
    ]
    still = [climate_case(p, name=name, action="daily_climate", factor=daily) for name, p in seasons.items()]
    height = isochoric_pressure_pa(
        altitude_change_m=altitude_change_m, temperature_change_k=0.0, pressure_change_pa=0.0
    )
    lasting = climate_case(height, name="altitude", action="permanent", factor=load_factor_of("permanent"))
    return (*blown, *still, lasting)
