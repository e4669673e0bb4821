"""Openings and readings made by hand for the tests."""

from collections.abc import Mapping, Sequence

import numpy as np

from jambwright.opening import Outline, RectangleShape, adjust
from jambwright.readings import USUAL, Reading, Trust

PLACES = {
    "Wb": ("width", "bottom"),
    "Wm": ("width", "middle"),
    "Wt": ("width", "top"),
    "Hl": ("height", "left"),
    "Hc": ("height", "centre"),
    "Hr": ("height", "right"),
    "D1": ("diagonal", "rising"),
    "D2": ("diagonal", "falling"),
    "Ls": ("level", "sill"),
    "Lh": ("level", "head"),
    "Pl": ("plumb", "left"),
    "Pr": ("plumb", "right"),
    "Bl": ("bow", "left"),
    "Br": ("bow", "right"),
    "Bs": ("bow", "sill"),
    "Bh": ("bow", "head"),
}
"""Short marks of places, as in the data files."""

TRUE_CORNERS = {"BR": (1204.0, 3.0), "TR": (1201.0, 1057.0), "TL": (-4.0, 1053.0)}
"""A crooked opening with straight edges."""

Marked = Mapping[str, float | Sequence[float]]


def readings(marked: Marked) -> list[Reading]:
    """Readings by mark; a list is repeats."""
    found = []
    for mark, mm in marked.items():
        values = (float(mm),) if isinstance(mm, float | int) else tuple(float(v) for v in mm)
        kind, at = PLACES[mark]
        found.append(Reading(kind=kind, at=at, values_mm=values))
    return found


def outline(marked: Marked, trust: Trust = USUAL) -> Outline:
    """The adjusted outline of readings by mark."""
    return adjust(readings(marked), trust=trust)


def error_free(marks: Sequence[str], bows: Sequence[float] = (0.0, 0.0, 0.0, 0.0)) -> dict[str, float]:
    """What error-free readings of the crooked opening would say, to the nearest millimetre."""
    corners = [c for mark in ("BR", "TR", "TL") for c in TRUE_CORNERS[mark]]
    values, _ = RectangleShape().observe([PLACES[m] for m in marks], np.array([*corners, *bows]))
    return {m: float(round(v)) for m, v in zip(marks, values, strict=True)}


TAPE = ("Wb", "Wm", "Wt", "Hl", "Hc", "Hr", "D1", "D2")
UPRIGHT = ("Ls", "Lh", "Pl", "Pr")
BOWS = ("Bl", "Br", "Bs", "Bh")
FULL = (*TAPE, *UPRIGHT, *BOWS)


def diagonals_in_doubt() -> dict[str, float]:
    """Tape readings of an opening racked to the left whose rising diagonal is read 12 mm too long."""
    racked = np.array([1200.0, 0, 1192, 1050, -8, 1050, 0, 0, 0, 0])
    values, _ = RectangleShape().observe([PLACES[m] for m in TAPE], racked)
    marked = {m: float(v) for m, v in zip(TAPE, values, strict=True)}
    return marked | {"D1": marked["D2"]}
