"""The wind of a site, by either method, and what it does to many windows at once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from jambwright.basis import Problem, table
from jambwright.basis.problems import raise_if_any
from jambwright.checks.figures import Figures, one_or_all, outside
from jambwright.checks.wind import terrain as en
from jambwright.checks.wind import uk
from jambwright.checks.wind.charts import highest_m
from jambwright.checks.wind.coefficients import (
    MOST_HEIGHT_OVER_DEPTH,
    Method,
    external_coefficient,
    net_coefficients,
    net_pressure_pa,
    zone_of,
)


def usual_air_density_kg_m3(method: Method) -> float:
    """Air density of the method."""
    return table("wind_constants").value(name=f"air_density_{method}")


@dataclass(frozen=True, slots=True, kw_only=True)
class TerrainSite:
    """A site by terrain category (EN 1991-1-4). Every figure may be an array, one an opening or house."""

    basic_wind_speed_ms: Figures
    terrain: str | NDArray[np.str_]
    height_m: Figures
    orography: Figures = 1.0
    air_density_kg_m3: Figures = 1.25
    direction_factor: Figures = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MapSite:
    """A site by the UK National Annex. Every figure may be an array, one an opening or house.

    ``effective_height_m`` is the height less the displacement height (0 unless dense housing stands upwind).
    """

    map_wind_speed_ms: Figures
    altitude_m: Figures
    distance_to_sea_km: Figures
    effective_height_m: Figures
    distance_in_town_km: Figures = 0.0
    orography: Figures = 1.0
    direction_factor: Figures = 1.0


_CHECK_UNIT = "Is it in m/s? Read it off the national map."
_RANGES: dict[str, tuple[float, float, str, str]] = {
    "basic_wind_speed_ms": (10, 80, "m/s", _CHECK_UNIT),
    "map_wind_speed_ms": (15, 40, "m/s", _CHECK_UNIT),
    "height_m": (0.1, 200, "m", "The method ends there; ask an engineer."),
    "altitude_m": (-10, 1400, "m", "Give the height of the ground above the sea."),
    "distance_to_sea_km": (0, 1000, "km", "Give the shortest distance to the sea."),
    "distance_in_town_km": (
        0,
        100,
        "km",
        "Give the shortest distance to the edge of town, 0 in the country.",
    ),
    "orography": (1, 2, "", "1 is level ground; ask an engineer for a steep hill or cliff."),
    "air_density_kg_m3": (0.9, 1.5, "kg/m3", "1.25 is usual."),
    "direction_factor": (0.5, 1, "", "1 is the safe value."),
}


def site_problems(site: TerrainSite | MapSite) -> Iterator[Problem]:
    """Every figure of the site that the method can't take."""
    ranges = _RANGES | {
        "effective_height_m": (
            0.1,
            highest_m(),
            "m",
            "The charts end there; use method en or ask an engineer.",
        )
    }
    for field in fields(site):
        if field.name in ranges:
            yield from outside(field.name, getattr(site, field.name), *ranges[field.name])


def peak_pressure_pa(site: TerrainSite | MapSite) -> Figures:
    """Peak velocity pressure of the site, Pa; same shape as its figures.

    Raises ``BadInput`` for figures outside the method's range, all at once.

    >>> suburb = MapSite(map_wind_speed_ms=21.8, altitude_m=140.0, distance_to_sea_km=100.0,
    ...     distance_in_town_km=5.0, effective_height_m=8.0)
    >>> round(peak_pressure_pa(suburb))
    660
    """
    raise_if_any(site_problems(site))
    return _by_terrain(site) if isinstance(site, TerrainSite) else _by_map(site)


def _by_terrain(site: TerrainSite) -> Figures:
    roughness = en.by_terrain(site.terrain, "roughness_m")
    least = en.by_terrain(site.terrain, "least_height_m")
    factor = en.roughness_factor(height_m=site.height_m, roughness_m=roughness, least_height_m=least)
    mean = en.mean_speed_ms(
        basic_speed_ms=site.direction_factor * site.basic_wind_speed_ms,
        roughness_factor=factor,
        orography=site.orography,
    )
    gusts = en.turbulence(
        height_m=site.height_m, roughness_m=roughness, least_height_m=least, orography=site.orography
    )
    return en.peak_from_mean_pa(
        mean_speed_ms=mean, turbulence=gusts, air_density_kg_m3=site.air_density_kg_m3
    )


def _by_map(site: MapSite) -> Figures:
    height = site.effective_height_m
    speed = uk.basic_speed_ms(
        map_wind_speed_ms=site.map_wind_speed_ms,
        altitude_factor=uk.altitude_factor(altitude_m=site.altitude_m, effective_height_m=height),
        direction_factor=site.direction_factor,
    )
    density = usual_air_density_kg_m3("uk")
    return uk.peak_from_basic_pa(
        basic_pressure_pa=uk.basic_pressure_pa(basic_speed_ms=speed, air_density_kg_m3=density),
        exposure=uk.exposure_factor(effective_height_m=height, distance_to_sea_km=site.distance_to_sea_km),
        town=uk.town_factor(effective_height_m=height, distance_in_town_km=site.distance_in_town_km),
        hill=uk.hill_factor(orography=site.orography),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class WindOnWindows:
    """What the wind does to each window from whichever side it blows: + into the room, - out of it."""

    peak_pa: Figures
    in_pa: Figures
    """From the wind that blows onto the window's wall."""
    out_pa: Figures
    """From the wind along the wall, or away from it, whichever sucks harder."""
    zone_out: NDArray[np.str_]
    """The zone of that suction."""


def wind_on_windows(
    site: TerrainSite | MapSite,
    *,
    wall_length_m: Figures,
    wall_to_back_m: Figures,
    building_height_m: Figures,
    area_m2: Figures,
    from_corner_m: Figures = 0.0,
    internal: float | Literal["worst"] = "worst",
) -> WindOnWindows:
    """Governing net pressures of many windows in one call, the wind free to blow from anywhere.

    Every figure is one value or an array, one an opening. ``wall_length_m`` is the length of the wall the
    window sits in, ``wall_to_back_m`` the other plan dimension of the house, ``from_corner_m`` from the
    window's nearest edge to the nearest corner of the building; 0 when it is not known, the safe value.

    Raises ``BadInput`` for sizes that can't be and for a house more than 5 times as high as it is deep.
    """
    height_over = {
        "onto": building_height_m / np.asarray(wall_to_back_m),
        "along": building_height_m / np.asarray(wall_length_m),
    }
    raise_if_any(window_problems(height_over_depth=height_over, area_m2=area_m2, from_corner_m=from_corner_m))
    method: Method = "en" if isinstance(site, TerrainSite) else "uk"
    peak = peak_pressure_pa(site)
    along = zone_of(
        wall="side", breadth_m=wall_to_back_m, height_m=building_height_m, from_corner_m=from_corner_m
    )

    def net(zone: object, ratio: Figures) -> tuple[Figures, Figures]:
        external = external_coefficient(
            zone=np.asarray(zone), height_over_depth=ratio, area_m2=area_m2, method=method
        )
        both = net_coefficients(external=external, internal=internal)
        return (
            net_pressure_pa(peak_pressure_pa=peak, coefficient=both.into),
            net_pressure_pa(peak_pressure_pa=peak, coefficient=both.out),
        )

    into = net("D", height_over["onto"])[0]
    side, back = net(along, height_over["along"])[1], net("E", height_over["onto"])[1]
    return WindOnWindows(
        peak_pa=peak,
        in_pa=into,
        out_pa=np.minimum(side, back),
        zone_out=one_or_all(np.where(np.asarray(side) <= back, along, "E")),
    )


def window_problems(
    *, height_over_depth: dict[str, Figures], area_m2: Figures, from_corner_m: Figures
) -> Iterator[Problem]:
    """What is wrong with the building's proportions or the window's place."""
    for ratio in height_over_depth.values():
        yield from outside(
            "building", ratio, 0.01, MOST_HEIGHT_OVER_DEPTH, "",
            "That is height over depth: check the sizes; a building more slender needs an engineer.",
        )  # fmt: skip
    yield from outside("area_m2", area_m2, 0.01, 50, "m2", "Give the area of the window.")
    yield from outside("from_corner_m", from_corner_m, 0, 200, "m", "0 is the safe value.")
