"""The limits of readings as data for the phone, taken from where the engine has them."""

from __future__ import annotations

from statistics import NormalDist
from typing import Any

from jambwright.basis.envelope import most
from jambwright.basis.tables import table
from jambwright.readings import PLACES, reading_name
from jambwright.readings.reading import LENGTHS
from jambwright.readings.survey_file import LONGEST_MM, NEEDED, OFFSET_LARGEST_MM, SHORTEST_MM
from jambwright.readings.tools import USUAL

FALSE_ALARM = 0.001
"""Chance that honest readings are asked about, a test (Baarda's usual level; from memory, high)."""


def limits() -> dict[str, Any]:
    """Ranges, places, names and trust of readings, and what else may be: all that the check without signal needs."""
    return {
        "lengths": list(LENGTHS),
        "shortest_mm": SHORTEST_MM,
        "longest_mm": LONGEST_MM,
        "offset_largest_mm": OFFSET_LARGEST_MM,
        "most_repeats": most("repeats"),
        "ranges": {
            row["field"]: [row["least"], row["most"], row["why"]] for row in table("envelope") if row["unit"]
        },
        "needed": list(NEEDED),
        "places": {kind: list(places) for kind, places in PLACES.items()},
        "names": {f"{kind} {at}": reading_name(kind, at) for kind, places in PLACES.items() for at in places},
        "length_sigma_mm": USUAL.tape_mm,
        "offset_sigma_mm": USUAL.level_mm,
        "bow_prior_mm": USUAL.bow_prior_mm,
        "critical": round(NormalDist().inv_cdf(1 - FALSE_ALARM / 2), 4),
    }
