"""Made-up surveys with every size of slip, and how far two looks at them agree."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from jambwright.readings.reading import LENGTHS
from jambwright.readings.slips import meant
from worlds import EIGHTEEN, SIXTEEN, World, holes

SLIPS: tuple[float | str, ...] = (0, 10, 20, 30, 40, 50, 70, 100, "swapped", "sign")
LEAST_READ, MOST_READ = 0.35, 0.95
"""Shares of the places that are read where an opening is half read."""
NEAR_MM = 0.5
STEP_MM = (5.0, 40.0)

Found = Mapping[str, Any]


def surveyed(
    slip: float | str, *, half: bool, rng: np.random.Generator, quarters: bool = False
) -> dict[str, Any]:
    """One opening as the phone and the server are asked about it, with one slip in it.

    Where ``quarters`` were read too a jamb is stepped in every second opening.
    """
    stepped = quarters and rng.random() < 0.5
    [hole] = holes(World(bow_mm=4.0, step_mm=STEP_MM if stepped else None), 1, rng)
    every = EIGHTEEN if quarters else SIXTEEN
    kept = list(every)
    if half:
        share = rng.uniform(LEAST_READ, MOST_READ)
        # one width and one height at the least, without which nothing is looked at
        must = {rng.integers(3), 3 + rng.integers(3)}
        kept = [place for n, place in enumerate(every) if n in must or rng.random() < share]
    read = {place: float(round(hole.says(place) + rng.normal(0, 1.0))) + 0.0 for place in kept}
    place = _where(slip, read, rng)
    if place is not None:
        read[place] = _slipped(slip, read[place], rng)
    outside: dict[str, dict[str, float]] = {}
    for (kind, at), mm in read.items():
        outside.setdefault(kind, {})[at] = mm
    return {"name": "W1 Kitchen", "outside": outside, "tools": [], "tape": None}


def _where(
    slip: float | str, read: Mapping[tuple[str, str], float], rng: np.random.Generator
) -> tuple[str, str] | None:
    if slip == 0:
        return None
    may = {
        "swapped": [place for place in read if place[0] in LENGTHS],
        "sign": [place for place in read if place[0] not in LENGTHS and read[place]],
    }
    among = may.get(str(slip), list(read))
    return among[rng.integers(len(among))] if among else None


def _slipped(slip: float | str, mm: float, rng: np.random.Generator) -> float:
    if slip == "sign":
        return -mm
    if slip == "swapped":
        others = meant("swapped", np.array(mm))
        others = others[~np.isnan(others)]
        return float(rng.choice(others)) if len(others) else mm
    return mm + float(slip) * float(rng.choice([-1.0, 1.0]))


def agreement(engine: Sequence[Found], phone: Sequence[Found]) -> dict[str, float]:
    """Shares of openings, and of those the engine doubts, in which both say the same."""
    both = list(zip(engine, phone, strict=True))
    doubted = [(one, other) for one, other in both if one["suspects"]]
    named = [(one["suspects"][0], other["suspects"][0]) for one, other in doubted if other["suspects"]]
    alike = [(one, other) for one, other in named if _place(one) == _place(other)]
    near = sum(abs(one["likely_mm"] - other["likely_mm"]) <= NEAR_MM for one, other in alike)
    return {
        "openings": len(both),
        "doubted": len(doubted),
        "verdict": sum(one.get("verdict") == other.get("verdict") for one, other in both) / len(both),
        "first named": len(alike) / max(len(doubted), 1),
        "likely value": near / max(len(alike), 1),
        "next": sum(one["next"] == other["next"] for one, other in both) / len(both),
        "sentences": sum(_said(one) == _said(other) for one, other in both) / len(both),
    }


def _said(found: Found) -> tuple[list[str], list[str]]:
    return list(found["says"]), list(found.get("remarks", []))


def _place(suspect: Found) -> tuple[str, str]:
    return suspect["kind"], suspect["at"]
