"""The weather a window meets: a region's months, degree days, and the sun on a wall."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jambwright.basis.clause import Clause, clause
from jambwright.basis.tables import table
from jambwright.checks.heat.constants import Array, Figures, constant, plain

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
DAYS: Array = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31], dtype=np.float64)
HEATING_MONTHS = np.array([month not in ("jun", "jul", "aug", "sep") for month in MONTHS])
"""October to May, when lost sun costs heating."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate:
    """One region; arrays hold January to December."""

    region: str
    title: str
    latitude_deg: float
    outside_c: Array
    level_sun_w_m2: Array
    humidity_percent: Array
    source: Clause


def climate(region: str) -> Climate:
    """The climate of a region. Raises ``BadInput`` that names the known regions."""
    row = table("climate_regions").find(region=region)
    return Climate(
        region=region,
        title=row["title"],
        latitude_deg=row["latitude_deg"],
        outside_c=_months("climate_temperature", region=region),
        level_sun_w_m2=_months("climate_sun", region=region),
        humidity_percent=_months("climate_humidity", region="uk_average"),
        source=table("climate_temperature").pedigree.source,
    )


def region_of_nation(nation: str) -> str:
    """The region that stands for a nation when none is named; both parts of Ireland share one."""
    nation = "northern_ireland" if nation == "ireland" else nation
    return str(table("climate_regions").find(nation=nation)["region"])


def _months(name: str, **key: str) -> Array:
    row = table(name).find(**key)
    return np.array([row[month] for month in MONTHS])


@clause(
    "CIBSE TM41", "Hitchin's formula", unit="K day", formula="D = N (T_b − T_m) / (1 − exp(−k (T_b − T_m)))"
)
def degree_days_of_month(*, mean_c: Figures, days: Figures, base_c: Figures = 15.5) -> Figures:
    """Heating degree days of a month from its mean temperature, any shape.

    >>> degree_days_of_month(mean_c=4.3, days=31, base_c=15.5)
    347.3
    """
    k = constant("day_length_factor", of="saving_stand_ins")
    gap = np.asarray(base_c - mean_c, dtype=np.float64)
    level = np.abs(gap) < 1e-9  # the formula's limit where the month's mean is the base itself
    safe = np.where(level, 1.0, gap)
    return plain(days * np.where(level, 1 / k, safe / -np.expm1(-k * safe)))


def degree_days_of_year(region: Climate, *, base_c: float = 15.5) -> float:
    """Heating degree days of a region's year.

    >>> round(degree_days_of_year(climate("uk_average")))
    2194
    """
    months = degree_days_of_month(mean_c=region.outside_c, days=DAYS, base_c=base_c)
    return float(np.sum(months))


@clause(
    "SAP 2012",
    "Appendix U3",
    unit="W/m2",
    formula="S = S_h (A c² + B c + C), c = cos(latitude − declination)",
    how="read",
)
def sun_on_wall_w_m2(region: Climate, *, facing: str) -> Array:
    """Mean sun on upright glass, January to December. Raises ``BadInput`` that names the known facings.

    >>> round(float(sun_on_wall_w_m2(climate("uk_average"), facing="south")[0]), 2)
    46.75
    """
    row = table("sun_on_walls").find(facing=facing)
    cubic, square, straight = (np.array([row[f"k{3 * i + j}"] for i in range(3)]) for j in (1, 2, 3))
    s = np.sin(np.radians(90) / 2)
    a, b, c = cubic * s**3 + square * s**2 + straight * s
    declination = _months("climate_declination", sun="declination")
    height = np.cos(np.radians(region.latitude_deg - declination))
    result: Array = region.level_sun_w_m2 * (a * height**2 + b * height + c + 1)
    return result
