"""The wind of a site, by either method, and what it does to many windows at once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from functools import partial
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from jambwright.basis import Problem, Working, clause, table
from jambwright.basis.problems import raise_if_any
from jambwright.checks.figures import Figures, one_or_all, outside
from jambwright.checks.wind import terrain as en
from jambwright.checks.wind import uk
from jambwright.checks.wind.charts import highest_m, highest_read_m
from jambwright.checks.wind.coefficients import (
    MOST_HEIGHT_OVER_DEPTH,
    Method,
    net_pressures,
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


def peak_pressure_pa(site: TerrainSite | MapSite, work: Working | None = None) -> Figures:
    """Peak velocity pressure of the site, Pa; same shape as its figures. ``work`` takes the steps.

    Raises ``BadInput`` for figures outside the method's range, all at once.

    >>> suburb = MapSite(map_wind_speed_ms=21.8, altitude_m=140.0, distance_to_sea_km=100.0,
    ...     distance_in_town_km=5.0, effective_height_m=8.0)
    >>> round(peak_pressure_pa(suburb))
    660
    """
    raise_if_any(site_problems(site))
    work = work or Working()
    return _by_terrain(site, work) if isinstance(site, TerrainSite) else _by_map(site, work)


def _by_terrain(site: TerrainSite, work: Working) -> Figures:
    place = {
        "height_m": site.height_m,
        "roughness_m": en.by_terrain(site.terrain, "roughness_m"),
        "least_height_m": en.by_terrain(site.terrain, "least_height_m"),
    }
    factor = work.step("c_r", en.roughness_factor, **place)
    gusts = work.step("I_v", en.turbulence, **place, orography=site.orography)
    speed = site.direction_factor * site.basic_wind_speed_ms
    mean = work.step(
        "v_m", en.mean_speed_ms, basic_speed_ms=speed, roughness_factor=factor, orography=site.orography
    )
    density = site.air_density_kg_m3
    return work.step(
        "q_p", en.peak_from_mean_pa, mean_speed_ms=mean, turbulence=gusts, air_density_kg_m3=density
    )


def _by_map(site: MapSite, work: Working) -> Figures:
    height = site.effective_height_m
    altitude = work.step("c_alt", uk.altitude_factor, altitude_m=site.altitude_m, effective_height_m=height)
    speed = work.step(
        "v_b", uk.basic_speed_ms, map_wind_speed_ms=site.map_wind_speed_ms, altitude_factor=altitude,
        direction_factor=site.direction_factor,
    )  # fmt: skip
    density = usual_air_density_kg_m3("uk")
    basic = work.step("q_b", uk.basic_pressure_pa, basic_speed_ms=speed, air_density_kg_m3=density)
    exposure = work.step(
        "c_e", uk.exposure_factor, effective_height_m=height, distance_to_sea_km=site.distance_to_sea_km
    )
    town = work.step(
        "c_e,T", uk.town_factor, effective_height_m=height, distance_in_town_km=site.distance_in_town_km
    )
    hill = work.step("hill", uk.hill_factor, orography=site.orography)
    return work.step(
        "q_p", uk.peak_from_basic_pa, basic_pressure_pa=basic, exposure=exposure, town=town, hill=hill
    )


def map_notes(site: MapSite) -> list[str]:
    """What to know about a figure off the charts before relying on it."""
    notes = ["Chart values are digitised and good to about 2 %."]
    if site.effective_height_m > highest_read_m():
        notes.append(
            f"Above {highest_read_m():g} m the charts are carried on by a fit, 1 % high against one "
            "published case at 27 m."
        )
    return notes


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
    work: Working | None = None,
) -> WindOnWindows:
    """Governing net pressures of many windows in one call, the wind free to blow from anywhere.

    Every figure is one value or an array, one an opening. ``wall_length_m`` is the length of the wall the
    window sits in, ``wall_to_back_m`` the other plan dimension of the house, ``from_corner_m`` from the
    window's nearest edge to the nearest corner of the building; 0 when it is not known, the safe value.
    ``work`` takes the steps, where one window is given.

    Raises ``BadInput`` for sizes that can't be and for a house more than 5 times as high as it is deep.
    """
    height_over = {
        "onto": building_height_m / np.asarray(wall_to_back_m),
        "along": building_height_m / np.asarray(wall_length_m),
    }
    raise_if_any(window_problems(height_over_depth=height_over, area_m2=area_m2, from_corner_m=from_corner_m))
    work = work or Working()
    peak = peak_pressure_pa(site, work)
    net = partial(
        net_pressures, peak_pa=peak, area_m2=area_m2, internal=internal, work=work,
        method="en" if isinstance(site, TerrainSite) else "uk",
    )  # fmt: skip
    onto = net(zone="D", height_over_depth=height_over["onto"], ways=("in",))
    zone = zone_of(
        wall="side", breadth_m=wall_to_back_m, height_m=building_height_m, from_corner_m=from_corner_m,
        work=work,
    )  # fmt: skip
    along = net(zone=zone, height_over_depth=height_over["along"], ways=("out",), of=" along")
    away = net(zone="E", height_over_depth=height_over["onto"], ways=("out",), of=" away")
    out = work.step("w_out", harder_suction_pa, along_pa=along.out_pa, away_pa=away.out_pa)
    return WindOnWindows(
        peak_pa=peak,
        in_pa=onto.in_pa,
        out_pa=out,
        zone_out=one_or_all(np.where(np.asarray(along.out_pa) <= away.out_pa, zone, "E")),
    )


@clause(
    "The wind free to blow from anywhere", unit="Pa", formula="w_out = min(w_out along, w_out away)",
    how="calculated",
)  # fmt: skip
def harder_suction_pa(*, along_pa: Figures, away_pa: Figures) -> Figures:
    """The harder of the suctions of the wind along the wall and away from it, out of the room negative.

    >>> float(harder_suction_pa(along_pa=-700.0, away_pa=-350.0))
    -700.0
    """
    return np.minimum(along_pa, away_pa)


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
