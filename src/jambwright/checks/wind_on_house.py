"""The wind on every opening of a surveyed house, in one call; what is missing is named, not guessed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from jambwright.basis.working import Working
from jambwright.checks.figures import Figures, one_or_all
from jambwright.checks.verdict import Verdict
from jambwright.checks.wind import MapSite, TerrainSite, WindOnWindows, wind_on_windows
from jambwright.readings import places
from jambwright.readings.asked import place_words
from jambwright.readings.places import Path
from jambwright.readings.survey import Opening, Survey

FRONTS = ("front", "back")
"""The elevations as long as the house is broad."""


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


def missing_for_wind(survey: Survey) -> tuple[Path, ...]:
    """Fields that the survey must still give before the wind is known."""
    site, house = survey.site, survey.house
    wanted = {
        ("site", "wind_map_speed_ms"): site.wind_map_speed_ms,
        ("site", "distance_to_sea_km"): site.distance_to_sea_km or site.terrain,
        ("house", "breadth_m"): house.breadth_m,
        ("house", "depth_m"): house.depth_m,
        ("house", "height_m"): house.height_m,
    }
    return tuple(name for name, value in wanted.items() if value is None)


def wind_on_house(survey: Survey, areas_m2: Sequence[float]) -> tuple[OpeningWind | None, ...]:
    """Net wind on each opening, in the survey's order; all ``None`` while something it needs is missing.

    A terrain category, when given, is used with EN 1991-1-4; else the UK annex with sea and town distances.
    """
    if missing_for_wind(survey):
        return (None,) * len(survey.openings)
    found = _acting(
        survey,
        front=np.array([opening.elevation in FRONTS for opening in survey.openings]),
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


def wind_on_opening(survey: Survey, opening: Opening, area_m2: float, work: Working) -> OpeningWind:
    """Net wind on one opening of a house whose wind is known; ``work`` takes the steps to it from the site."""
    found = _acting(
        survey, front=opening.elevation in FRONTS, area_m2=area_m2, from_corner_m=opening.from_corner_m,
        work=work,
    )  # fmt: skip
    return OpeningWind(
        in_pa=float(found.in_pa),
        out_pa=float(found.out_pa),
        zone_out=str(found.zone_out),
        peak_pa=float(found.peak_pa),
        area_m2=area_m2,
    )


def _acting(
    survey: Survey, *, front: Any, area_m2: Figures, from_corner_m: Figures, work: Working | None = None
) -> WindOnWindows:
    """The wind on one opening or many, in a wall at the front or back or in one at the side."""
    house = survey.house
    assert house.breadth_m
    assert house.depth_m
    assert house.height_m
    return wind_on_windows(
        _site(survey, house.height_m),
        wall_length_m=one_or_all(np.where(front, house.breadth_m, house.depth_m)),
        wall_to_back_m=one_or_all(np.where(front, house.depth_m, house.breadth_m)),
        building_height_m=house.height_m,
        area_m2=area_m2,
        from_corner_m=from_corner_m,
        work=work,
    )


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


def wind_known(survey: Survey, wind: OpeningWind | None) -> tuple[Verdict, ...]:
    """While the wind is not known, neither is the strength of anything: say what to give."""
    if wind:
        return ()
    missing = missing_for_wind(survey)
    give = ", ".join(place_words(path).lower() for path in missing)
    why = f"The wind is not known, so glass, bars and fixings are not checked: give {give}."
    at = tuple(map(places.text, missing))
    return (Verdict(rule="wind.known", word="unknown", why=why, places=at),)
