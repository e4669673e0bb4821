"""Peak velocity pressure by the UK National Annex: map speed, altitude, sea, town, hills."""

from __future__ import annotations

import numpy as np

from jambwright.basis import clause, table
from jambwright.checks.figures import Figures
from jambwright.checks.wind.charts import exposure_chart, town_chart

NA = "NA to BS EN 1991-1-4:2005+A1:2010"


@clause(NA, "NA.2.5", unit="-", formula="c_alt = 1 + 0.001 A (10 / max(z, 10))^0.2", how="read")
def altitude_factor(*, altitude_m: Figures, effective_height_m: Figures) -> Figures:
    """Altitude factor; the height above ground matters only over 10 m.

    >>> float(altitude_factor(altitude_m=140.0, effective_height_m=8.0))
    1.14
    """
    return 1 + 0.001 * altitude_m * (10 / np.maximum(effective_height_m, 10.0)) ** 0.2


@clause("EN 1991-1-4:2005+A1:2010", "4.2(2) eq. (4.1)", unit="m/s", formula="v_b = c_dir c_alt v_map")
def basic_speed_ms(
    *, map_wind_speed_ms: Figures, altitude_factor: Figures, direction_factor: Figures = 1.0
) -> Figures:
    """Basic wind speed; the season factor is 1 for permanent work."""
    return direction_factor * altitude_factor * map_wind_speed_ms


@clause("EN 1991-1-4:2005+A1:2010", "4.5(1) eq. (4.10)", unit="Pa", formula="q_b = ρ/2 v_b²")
def basic_pressure_pa(*, basic_speed_ms: Figures, air_density_kg_m3: Figures) -> Figures:
    """Basic velocity pressure."""
    return 0.5 * air_density_kg_m3 * basic_speed_ms**2


@clause(NA, "NA.2.17, Fig NA.7", unit="-", formula="c_e off the chart", how="digitised")
def exposure_factor(*, effective_height_m: Figures, distance_to_sea_km: Figures) -> Figures:
    """Exposure of open country."""
    return exposure_chart(effective_height_m=effective_height_m, distance_to_sea_km=distance_to_sea_km)


@clause(NA, "NA.2.17, Fig NA.8", unit="-", formula="c_e,T off the chart; 1 in open country", how="digitised")
def town_factor(*, effective_height_m: Figures, distance_in_town_km: Figures) -> Figures:
    """Shelter of a town; never above 1."""
    return town_chart(effective_height_m=effective_height_m, distance_in_town_km=distance_in_town_km)


@clause(NA, "NA.2.17, up to 50 m", unit="-", formula="((c_o + 0.6) / 1.6)²", how="read")
def hill_factor(*, orography: Figures) -> Figures:
    """Rise of pressure on a hill.

    >>> hill_factor(orography=1.2)
    1.2656
    """
    return ((orography + 0.6) / 1.6) ** 2


@clause(NA, "NA.2.17", unit="Pa", formula="q_p = c_e c_e,T q_b ((c_o + 0.6) / 1.6)²", how="read")
def peak_from_basic_pa(
    *, basic_pressure_pa: Figures, exposure: Figures, town: Figures = 1.0, hill: Figures = 1.0
) -> Figures:
    """Peak velocity pressure."""
    return exposure * town * hill * basic_pressure_pa


@clause(NA, "Table NA.1", unit="-", formula="c_dir off the table, linear between bearings", how="read")
def direction_factor(*, bearing_deg: Figures) -> Figures:
    """Direction factor of the wind that comes from a bearing, clockwise from north.

    >>> float(direction_factor(bearing_deg=195.0))
    0.89
    """
    rows = table("wind_direction_uk")
    return np.interp(bearing_deg, rows.column("bearing_deg"), rows.column("direction"), period=360)


@clause(
    "EN 1991-1-4:2005+A1:2010", "A.5", unit="m", formula="h_dis by the gap to the houses upwind", how="read"
)
def displacement_height_m(*, height_m: Figures, upwind_height_m: Figures, gap_m: Figures) -> Figures:
    """How much of the height is sheltered by dense housing of ``upwind_height_m`` a ``gap_m`` upwind.

    0 is the safe value and the default of the tool.

    >>> float(displacement_height_m(height_m=8.0, upwind_height_m=7.0, gap_m=20.0))
    4.4
    """
    near = np.minimum(0.8 * upwind_height_m, 0.6 * height_m)
    between = np.minimum(1.2 * upwind_height_m - 0.2 * gap_m, 0.6 * height_m)
    steps = [gap_m <= 2 * upwind_height_m, gap_m < 6 * upwind_height_m]
    return np.select(steps, [near, between], 0.0)[()]


def map_speed_help() -> str:
    """Some places with their map wind speed, calm to stormy, for a person who looks for their own.

    >>> map_speed_help()
    'Oxford 21.5, Nottingham 21.9, Leeds 22.5, Aberystwyth 23.3, Edinburgh 24.7, Inverness 27.0 m/s'
    """
    places = table("wind_places_uk").rows[::5]
    return ", ".join(f"{row['place']} {row['map_wind_speed_ms']:.1f}" for row in places) + " m/s"
