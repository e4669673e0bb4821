"""The buying list of a house as CSV: what to buy for which visit, by the pack, and what may be left over."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from jambwright.plan.materials import Material

HEADERS = (
    "visit",
    "item",
    "size",
    "needed",
    "unit",
    "waste %",
    "packs",
    "pack size",
    "left over",
    "openings",
)


def buying_csv(materials: Sequence[Material]) -> bytes:
    """One line a thing and size, by visit. Needed is the true quantity; what is left over is after waste."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(HEADERS)
    for each in sorted(materials, key=lambda each: each.visit):
        writer.writerow(
            (
                each.visit,
                each.item,
                each.size,
                plain(each.needed),
                each.pack.unit,
                "saw cuts" if each.pack.kerf_mm else plain(100 * each.pack.waste),
                each.packs,
                each.pack.name,
                plain(each.left_over),
                " ".join(each.by_opening),
            )
        )
    return text.getvalue().encode("utf-8-sig")


def plain(value: float) -> str:
    """One decimal, and none where it is whole."""
    return f"{value:.1f}".removesuffix(".0")
