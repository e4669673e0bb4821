"""Which product classes a wind pressure asks for: EN 12210 wind, EN 12208 rain, EN 12207 air."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import ArrayLike, NDArray

from jambwright.basis import BadInput, Clause, clause, table
from jambwright.checks.figures import Figures

WATER_SHARE = 1 / 8
"""Rain test pressure over wind pressure where the bands end; the bands themselves stand at this share."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassesWanted:
    """The least classes to order for one design pressure."""

    category: str
    """Exposure category, the pressure it is named by."""
    wind: str
    water: str
    air: str
    source: Clause
    note: str


@clause("EN 12207", "Table 1", unit="m3/(h m2)", formula="Q = Q_100 (p / 100)^(2/3)", how="read")
def air_leakage_m3_hm2(*, leakage_100_m3_hm2: Figures, pressure_pa: Figures) -> Figures:
    """Air leakage at another test pressure than 100 Pa.

    >>> round(float(air_leakage_m3_hm2(leakage_100_m3_hm2=27.0, pressure_pa=300.0)), 1)
    56.2
    """
    return leakage_100_m3_hm2 * (np.asarray(pressure_pa) / 100) ** (2 / 3)


def wind_class(pressure_pa: ArrayLike) -> NDArray[np.str_]:
    """Least EN 12210 class whose test pressure P1 reaches the design pressure, of either sign.

    Above class 5 the class is E with the pressure, rounded up to 50 Pa.

    >>> [str(c) for c in wind_class([929.0, -1581.0, 2310.0])]
    ['3', '4', 'E2350']
    """
    rows = table("classes_wind")
    size = np.abs(np.asarray(pressure_pa, dtype=float))
    named = np.array([*rows.column("class"), ""], dtype="U8")
    found = named[np.searchsorted(rows.column("pressure_pa"), size)]
    beyond = np.char.add("E", (np.ceil(size / 50) * 50).astype(int).astype(str))
    return np.where(found == "", beyond, found)


def water_class(pressure_pa: float) -> str:
    """Least EN 12208 class (fully exposed, A) tested to this pressure, E in steps of 150 Pa above the last.

    >>> water_class(220.0), water_class(700.0)
    ('6A', 'E750')
    """
    rows = table("classes_water")
    for row in rows:
        if pressure_pa <= row["pressure_pa"]:
            return str(row["class"])
    last = max(rows.column("pressure_pa"))
    return f"E{last + 150 * ceil((pressure_pa - last) / 150):g}"


def classes_wanted(pressure_pa: float, nation: str = "england") -> ClassesWanted:
    """Exposure category and product classes for the greater of the net pressures in and out.

    >>> wanted = classes_wanted(929.0)
    >>> wanted.category, wanted.wind, wanted.water, wanted.air
    ('1200', '3', '4A', '3')
    """
    bands = table("exposure_bands")
    size = abs(pressure_pa)
    rows = [row for row in bands if nation in row["nations"].split()]
    if not rows:
        known = sorted({name for row in bands for name in row["nations"].split()})
        raise BadInput.one(
            "nation", f"nation: no exposure bands for `{nation}`; known are {', '.join(known)}."
        )
    last = rows[-1]
    band = next((row for row in rows if size <= row["pressure_pa"]), None) or {
        "category": f"over {last['category']}",
        "wind_class": str(wind_class(size)),
        "water_class": water_class(size * WATER_SHARE),
        "air_class": last["air_class"],
    }
    return ClassesWanted(
        category=band["category"],
        wind=band["wind_class"],
        water=band["water_class"],
        air=band["air_class"],
        source=bands.pedigree.source,
        note=bands.pedigree.note,
    )
