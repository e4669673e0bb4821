"""Which misreads a set of readings can show, for 17 sets, two sizes and four states of the edges.

Source: tests/data/opening_reliability.json (calculated, tape 1 mm, levels hypot(0.7, 0.5 mm/m)). Tolerance:
the four decimals of the redundancy numbers and the two of the smallest detectable misreads.
"""

import json
from math import hypot
from pathlib import Path
from typing import Any

import pytest

from jambwright.opening import reliability
from jambwright.readings import Trust
from openings import PLACES

FILE = Path(__file__).parent.parent / "data" / "opening_reliability.json"
ROWS: list[dict[str, Any]] = json.loads(FILE.read_text())["rows"]
BOW_PRIOR = {"straight": 0.0, "bow measured": 1.1 / 2**0.5, "bow unknown": 2.8 / 2**0.5, "bow free": 3e3}
"""For one edge; the file gives the two opposite edges together."""


def name(row: dict[str, Any]) -> str:
    width, height = row["opening"]
    return f"{row['set']}, {width}x{height}, {row['bow']}"


@pytest.mark.parametrize("row", ROWS, ids=name)
def test_redundancy_and_detectable_misreads_agree(row: dict[str, Any]) -> None:
    width, height = row["opening"]
    bow = next(prior for words, prior in BOW_PRIOR.items() if row["bow"].startswith(words))
    slant = {"level": hypot(0.7, 0.0005 * width), "plumb": hypot(0.7, 0.0005 * height)}
    planned = reliability(
        [PLACES[mark] for mark in row["readings"]],
        width_mm=width,
        height_mm=height,
        trust=Trust(tape_mm=slant, bow_prior_mm=bow),
    )
    free = bow > 100  # a very wide bow stands for a free one
    assert [r.redundancy for r in planned] == pytest.approx(row["r"], abs=1e-4 if not free else 3e-4)
    for got, want in zip(planned, row["mdb_mm"], strict=True):
        if want is None or (free and want > 50):
            assert got.smallest_detectable_mm is None or free
        else:
            assert got.smallest_detectable_mm == pytest.approx(want, abs=0.006, rel=1e-3)
