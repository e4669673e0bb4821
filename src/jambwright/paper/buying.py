"""What to buy for which visit, and what to put in the van for each journey, as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from jambwright.plan.materials import Material
from jambwright.plan.van_loads import VanLoad

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

PICK_HEADERS = ("load", "visit", "units kg", "packs", "pack size", "item", "size", "openings", "in the van")


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


def picking_csv(loads: Sequence[VanLoad]) -> bytes:
    """One line a thing and size, by van load, with room to tick it off."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(PICK_HEADERS)
    for load in loads:
        kg = f"{load.units_kg:.0f}" if load.units_kg else ""
        for pick in load.picks:
            each = pick.material
            marks = [mark for mark in each.by_opening if mark in load.openings]
            row = (load.number, load.visit, kg, pick.packs, each.pack.name, each.item, each.size)
            writer.writerow((*row, " ".join(marks), ""))
    return text.getvalue().encode("utf-8-sig")


def plain(value: float) -> str:
    """One decimal, and none where it is whole."""
    return f"{value:.1f}".removesuffix(".0")
