"""Wind on windows: peak pressure of a site, zones and coefficients of a wall, net pressure in and out, classes.

Two ways to the peak pressure: EN 1991-1-4 by terrain category, and its UK National Annex by map speed,
altitude and the distances to the sea and to the edge of town. Pressure that pushes into the room is
positive, suction is negative, everywhere.
"""

from jambwright.checks.wind.classes import ClassesWanted, air_leakage_m3_hm2, classes_wanted, wind_class
from jambwright.checks.wind.coefficients import (
    NetCoefficients,
    NetPressures,
    external_coefficient,
    net_coefficients,
    net_pressures,
    zone_lengths_m,
    zone_of,
)
from jambwright.checks.wind.site import (
    MapSite,
    TerrainSite,
    WindOnWindows,
    map_notes,
    peak_pressure_pa,
    wind_on_windows,
    window_problems,
)
from jambwright.checks.wind.terrain import orography_factor, probability_factor
from jambwright.checks.wind.uk import direction_factor, displacement_height_m, map_speed_help

__all__ = [
    "ClassesWanted",
    "MapSite",
    "NetCoefficients",
    "NetPressures",
    "TerrainSite",
    "WindOnWindows",
    "air_leakage_m3_hm2",
    "classes_wanted",
    "direction_factor",
    "displacement_height_m",
    "external_coefficient",
    "map_notes",
    "map_speed_help",
    "net_coefficients",
    "net_pressures",
    "orography_factor",
    "peak_pressure_pa",
    "probability_factor",
    "wind_class",
    "wind_on_windows",
    "window_problems",
    "zone_lengths_m",
    "zone_of",
]
