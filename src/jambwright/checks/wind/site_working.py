"""The steps from a site to its peak pressure, for the report."""

from __future__ import annotations

from jambwright.basis import Working
from jambwright.basis.problems import raise_if_any
from jambwright.checks.figures import Figures
from jambwright.checks.wind import terrain as en
from jambwright.checks.wind import uk
from jambwright.checks.wind.charts import highest_read_m
from jambwright.checks.wind.site import MapSite, TerrainSite, site_problems, usual_air_density_kg_m3


def peak_working(work: Working, site: TerrainSite | MapSite) -> float:
    """Note the steps to the peak pressure of one site and return it."""
    raise_if_any(site_problems(site))
    steps = _terrain_steps(work, site) if isinstance(site, TerrainSite) else _map_steps(work, site)
    return float(steps)


def _terrain_steps(work: Working, site: TerrainSite) -> Figures:
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


def _map_steps(work: Working, site: MapSite) -> Figures:
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
