"""Thirty invented houses with their frames in, to show what lessons look like. Nothing of them was ever measured.

Tape B is made 2 mm short, one of the three people reads half as roughly again as the tools are trusted with, and
frames come as ordered within a millimetre. The seed makes every run the same.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from jambwright.frame.sill import sill_height_mm
from jambwright.lessons.statistics import Floats
from jambwright.opening import RectangleShape
from jambwright.readings import PLACES
from jambwright.readings.reading import LENGTHS

SEED = 20261130
HOUSES = 30
TAPES = {"tape A": 0.0, "tape B": -2.0}
PEOPLE = {"Surveyor one (invented)": 1.0, "Surveyor two (invented)": 1.0, "Surveyor three (invented)": 1.5}
"""Standard deviation of a length that each reads, mm."""
READ = [(kind, at) for kind in ("width", "height", "diagonal", "level", "plumb") for at in PLACES[kind]]
Tree = dict[str, Any]


def made_up_houses(seed: int = SEED) -> list[tuple[Tree, Tree]]:
    """Readings file and frames as fitted of each house, as plain values."""
    rng = np.random.default_rng(seed)
    return [_house(rng, number) for number in range(1, HOUSES + 1)]


def _house(rng: np.random.Generator, number: int) -> tuple[Tree, Tree]:
    usual, other = ("tape A", "tape B") if number % 2 else ("tape B", "tape A")
    who = list(PEOPLE)[number % len(PEOPLE)]
    openings, fitted = [], {}
    for count in range(1, 5):
        mark = f"W{count}"
        # on every third house the other tape reads tops and right sides: so the two can be compared
        opening, left = _opening(rng, mark, who, usual, other if number % 3 == 0 else usual)
        openings.append(opening)
        if left is not None:
            fitted[mark] = left | {"on": f"2026-{number % 12 + 1:02}-15", "by": "Fitter (invented)"}
    tree = {
        "jambwright": 1,
        "note": "Invented: made by a seeded program, never measured.",
        "site": {"label": f"Invented house {number:02}"},
        "house": {"rooms": [{"name": "living room", "use": "living"}]},
        "tools": [
            {"name": name, "kind": "tape", "accuracy_class": "II"} | _check(rng, name, number)
            for name in TAPES
        ],
        "defaults": {"tape": usual},
        "openings": openings,
    }
    return tree, fitted


def _check(rng: np.random.Generator, tape: str, number: int) -> Tree:
    """Tape B was held against a rule before the last house alone."""
    if tape != "tape B" or number != HOUSES:
        return {}
    read = [float(np.round(2 * (1000 + TAPES[tape] + rng.normal(0, 0.5))) / 2) for _ in range(5)]
    return {"check": {"known_mm": 1000, "read_mm": read, "on": "2026-11-02"}}


def _opening(
    rng: np.random.Generator, mark: str, who: str, usual: str, other: str
) -> tuple[Tree, Tree | None]:
    w, h = float(rng.uniform(600, 1800)), float(rng.uniform(900, 1400))
    lean = rng.normal(0, 2.5, 5)
    bows = rng.normal(0, 1.5, 4)
    true = np.array([w, lean[0], w + lean[1], h + lean[2], lean[3], h + lean[4], *bows])
    values, _ = RectangleShape().observe(READ, true)
    outside: Tree = {}
    for (kind, at), mm in zip(READ, values, strict=True):
        if kind not in LENGTHS:
            outside.setdefault(kind, {})[at] = round(float(mm + rng.normal(0, 1.0)), 1)
            continue
        tape = other if at in ("top", "right", "falling") else usual
        read = float(np.round(mm + TAPES[tape] + rng.normal(0, PEOPLE[who])))
        outside.setdefault(kind, {})[at] = {"mm": read, "tool": tape, "who": who}
    size = _ordered(rng, outside)
    return {
        "id": mark, "room": "living room", "outside": outside,
        "ordered": {"width_mm": size[0], "height_mm": size[1] - sill_height_mm()}, "done": ["fitted"],
    }, _fitted(rng, w, h, lean, bows, size)  # fmt: skip


def _ordered(rng: np.random.Generator, outside: Tree) -> tuple[float, float]:
    """The least reading each way less a deduction that differs from opening to opening, as habits do."""
    deductions = rng.integers(9, 17, 2)
    least = (min(read["mm"] for read in outside[kind].values()) for kind in ("width", "height"))
    width, height = (float(mm - off) for mm, off in zip(least, deductions, strict=True))
    return width, height


def _fitted(
    rng: np.random.Generator, w: float, h: float, lean: Floats, bows: Floats, size: tuple[float, float]
) -> Tree | None:
    """Gaps of a true frame in the middle of the room there is; nothing where it does not go in."""
    left, right, sill, head = bows
    x_left = np.array([0.0, lean[3] / 2 + left, lean[3]])
    x_right = np.array([w, w + lean[1] / 2 - right, w + lean[1]])
    y_sill = np.array([0.0, lean[0] / 2 + sill, lean[0]])
    y_head = np.array([h + lean[4], h + (lean[4] + lean[2]) / 2 - head, h + lean[2]])
    made = np.array(size) + rng.normal(0.0, 0.4, 2)
    spare = np.array([x_right.min() - x_left.max(), y_head.min() - y_sill.max()]) - made
    if spare.min() < 0:
        return None
    x, y = x_left.max() + spare[0] / 2, y_sill.max() + spare[1] / 2
    gaps = {
        "left": ("bottom middle top", x - x_left),
        "right": ("bottom middle top", x_right - x - made[0]),
        "head": ("left centre right", y_head - y - made[1]),
        "bottom": ("left centre right", y - y_sill),
    }

    def wedge(mm: float) -> float:
        return float(max(np.round(2 * (mm + rng.normal(0, 0.3))) / 2, 0.0))

    bare = (made[0], made[1] - sill_height_mm())
    read = {
        kind: {at: float(np.round(mm + rng.normal(0, 0.8)))}
        for kind, at, mm in zip(("width", "height"), ("middle", "centre"), bare, strict=True)
    }
    return {
        "gaps_mm": {
            side: {at: wedge(float(mm)) for at, mm in zip(places.split(), found, strict=True)}
            for side, (places, found) in gaps.items()
        },
        "outside": read,
    }
