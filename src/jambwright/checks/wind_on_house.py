"""The wind on every opening of a surveyed house, in one call; what is missing is named, not guessed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jambwright.basis.working import Working
from jambwright.checks.wind import MapSite, TerrainSite, wind_on_windows
from jambwright.checks.wind.coefficients import (
    Method,
    external_coefficient,
    net_coefficient,
    net_coefficients,
    net_pressure_pa,
)
from jambwright.checks.wind.site_working import peak_working
from jambwright.readings.survey import Opening, Survey


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningWind:
    """Net wind on one opening, Pa: + into the room, - out of it."""

    in_pa: float
    out_pa: float
    zone_out: str
    peak_pa: float
    area_m2: float
    """Of the opening: small ones take more a square metre."""

    @property
    def governing_pa(self) -> float:
        """The larger of push and pull."""
        return max(self.in_pa, -self.out_pa)


def missing_for_wind(survey: Survey) -> tuple[str, ...]:
    """What the survey must still say before the wind is known."""
    site, house = survey.site, survey.house
    wanted = {
        "site.wind_map_speed_ms": site.wind_map_speed_ms,
        "site.distance_to_sea_km": site.distance_to_sea_km or site.terrain,
        "house.breadth_m": house.breadth_m,
        "house.depth_m": house.depth_m,
        "house.height_m": house.height_m,
    }
    return tuple(name for name, value in wanted.items() if value is None)


def wind_on_house(survey: Survey, areas_m2: Sequence[float]) -> tuple[OpeningWind | None, ...]:
    """Net wind on each opening, in the survey's order; all ``None`` while something it needs is missing.

    A terrain category, when given, is used with EN 1991-1-4; else the UK annex with sea and town distances.
    """
    house = survey.house
    if missing_for_wind(survey):
        return (None,) * len(survey.openings)
    assert house.breadth_m
    assert house.depth_m
    assert house.height_m
    front = np.array([opening.elevation in ("front", "back") for opening in survey.openings])
    found = wind_on_windows(
        _site(survey, house.height_m),
        wall_length_m=np.where(front, house.breadth_m, house.depth_m),
        wall_to_back_m=np.where(front, house.depth_m, house.breadth_m),
        building_height_m=house.height_m,
        area_m2=np.asarray(areas_m2),
        from_corner_m=np.array([opening.from_corner_m for opening in survey.openings]),
    )
    return tuple(
        OpeningWind(
            in_pa=float(into),
            out_pa=float(out),
            zone_out=str(zone),
            peak_pa=float(found.peak_pa),
            area_m2=area,
        )
        for into, out, zone, area in zip(found.in_pa, found.out_pa, found.zone_out, areas_m2, strict=True)
    )


def wind_working(survey: Survey, opening: Opening, wind: OpeningWind) -> Working:
    """The steps from the site to the net pressures of one opening: wind onto its wall, and along or away."""
    house, work = survey.house, Working()
    assert house.breadth_m
    assert house.depth_m
    assert house.height_m
    across, back = house.breadth_m, house.depth_m
    if opening.elevation in ("left", "right"):
        across, back = back, across
    site = _site(survey, house.height_m)
    method: Method = "en" if isinstance(site, TerrainSite) else "uk"
    peak = peak_working(work, site)
    for zone, behind, way in (
        ("D", back, "in"),
        (wind.zone_out, back if wind.zone_out == "E" else across, "out"),
    ):
        external = work.step(
            f"c_pe {zone}", external_coefficient, zone=zone, height_over_depth=house.height_m / behind,
            area_m2=wind.area_m2, method=method,
        )  # fmt: skip
        net = net_coefficients(external=external)
        coefficient = float(net.into if way == "in" else net.out)
        work.note(
            f"c_{way}", "c_pe − c_pi, worst c_pi", coefficient, "-", net_coefficient.source, external=external
        )
        work.step(f"w_{way}", net_pressure_pa, peak_pressure_pa=peak, coefficient=coefficient)
    return work


def _site(survey: Survey, height_m: float) -> MapSite | TerrainSite:
    site = survey.site
    assert site.wind_map_speed_ms
    if site.terrain:
        return TerrainSite(
            basic_wind_speed_ms=site.wind_map_speed_ms, terrain=site.terrain, height_m=height_m
        )
    assert site.distance_to_sea_km
    return MapSite(
        map_wind_speed_ms=site.wind_map_speed_ms,
        altitude_m=site.altitude_m,
        distance_to_sea_km=site.distance_to_sea_km,
        distance_in_town_km=site.distance_in_town_km,
        effective_height_m=height_m,
    )
