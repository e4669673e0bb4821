"""Look-ups in the two charts of the UK National Annex, read between their points on logarithmic scales."""

from __future__ import annotations

import functools

import numpy as np
from scipy.interpolate import RegularGridInterpolator

from jambwright.basis import table
from jambwright.checks.figures import Figures, one_or_all

HEIGHT = "effective_height_m"


def exposure_chart(*, effective_height_m: Figures, distance_to_sea_km: Figures) -> Figures:
    """Fig NA.7. Outside its ends the end value holds: higher than true for low heights and far seas."""
    return _look_up(
        "wind_exposure_uk", "distance_to_sea_km", "exposure", effective_height_m, distance_to_sea_km
    )


def town_chart(*, effective_height_m: Figures, distance_in_town_km: Figures) -> Figures:
    """Fig NA.8. Nearer the edge of town than the chart's first line the factor is 1: open country."""
    name, distance = "wind_town_uk", "distance_in_town_km"
    nearest = _grid(name, distance, "town")[0][1][0]
    inside = _look_up(name, distance, "town", effective_height_m, distance_in_town_km)
    in_town = np.log(np.maximum(distance_in_town_km, 1e-9)) >= nearest
    return one_or_all(np.where(in_town, inside, 1.0))


def highest_m() -> float:
    """The greatest effective height in the charts."""
    return float(max(table("wind_exposure_uk").column(HEIGHT)))


def highest_read_m() -> float:
    """The greatest effective height that was read off the charts; above it they are carried on by a fit."""
    return float(max(row[HEIGHT] for row in table("wind_exposure_uk") if row["how"] == "digitised"))


def _look_up(name: str, distance: str, value: str, height: Figures, km: Figures) -> Figures:
    (heights, distances), chart = _grid(name, distance, value)
    at_height, at_km = np.broadcast_arrays(np.log(height), np.log(np.maximum(km, 1e-9)))
    points = np.stack(
        [np.clip(at_height, heights[0], heights[-1]), np.clip(at_km, distances[0], distances[-1])], axis=-1
    )
    return one_or_all(np.exp(chart(points)).reshape(at_height.shape))


@functools.cache
def _grid(
    name: str, distance: str, value: str
) -> tuple[tuple[np.ndarray, np.ndarray], RegularGridInterpolator]:
    chart = table(name)
    heights = sorted(set(chart.column(HEIGHT)))
    distances = sorted(set(chart.column(distance)))
    axes = (np.log(heights), np.log(distances))
    values = np.log(np.reshape(chart.column(value), (len(heights), len(distances))))
    return axes, RegularGridInterpolator(axes, values)
