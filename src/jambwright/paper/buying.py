"""What to buy for which visit, as CSV, and what to put in the van for each journey, as PDF."""

from __future__ import annotations

from collections.abc import Sequence, Set
from datetime import date
from typing import Any

from jambwright.paper.crew_papers import show_day
from jambwright.paper.csv_file import csv_bytes
from jambwright.paper.gate_words import SHUT, stops
from jambwright.paper.pdf import typeset
from jambwright.record import Material, Pick, PlanRecord, VanLoad

HEADERS = (
    "visit",
    "wanted on",
    "item",
    "size",
    "needed",
    "unit",
    "waste %",
    "packs",
    "pack size",
    "left over",
    "openings",
    "hold",
)


def buying_csv(record: PlanRecord, materials: Sequence[Material]) -> bytes:
    """One line a thing and size, by visit and day. Needed is the true quantity; what is left over is after waste.

    Under ``hold`` stand the openings it is for that must not be ordered yet; below the list, why.
    """
    shut = {each.id for each in record.openings if each.gates.ordering.state == "shut"}
    listed = [_cells(each, shut) for each in sorted(materials, key=_soonest)]
    blank = ("",) * (len(HEADERS) - 1)
    why = [(*blank, f"{heading} {words}") for heading, words in stops(record, "ordering")]
    return csv_bytes([HEADERS, *listed, *why])


def _cells(each: Material, shut: Set[str]) -> tuple[Any, ...]:
    return (
        each.visit,
        each.first.on.isoformat() if each.first else "",
        each.item,
        each.size,
        plain(each.needed),
        each.pack.unit,
        "saw cuts" if each.pack.kerf_mm else plain(100 * each.pack.waste),
        each.packs,
        each.pack.name,
        plain(each.left_over),
        " ".join(each.by_opening),
        _held([mark for mark in each.by_opening if mark in shut]),
    )


def _held(marks: Sequence[str]) -> str:
    return f"{SHUT['ordering']}: {' '.join(marks)}" if marks else ""


def _soonest(material: Material) -> tuple[int, date]:
    return material.visit, material.first.on if material.first else date.max


def picking_pdf(record: PlanRecord) -> bytes:
    """A page a van load, with boxes to tick."""
    data = {"loads": [_load(load) for load in record.loads]}
    return typeset("picking.typ", record, data, gate="work")


def _load(load: VanLoad) -> dict[str, Any]:
    return {
        "number": load.number,
        "day": show_day(load.when.on) if load.when else "",
        "openings": ", ".join(load.openings),
        "kg": f"{load.units_kg:.0f}" if load.units_kg else "",
        "picks": [_pick(pick, load) for pick in load.picks],
        "bring": [f"{kit.count} {kit.what}{'s' if kit.count > 1 else ''}" for kit in load.bring],
    }


def _pick(pick: Pick, load: VanLoad) -> dict[str, str]:
    each = pick.material
    return {
        "packs": str(pick.packs),
        "pack": each.pack.name,
        "item": each.item,
        "size": each.size,
        "openings": "all" if len(pick.openings) == len(load.openings) > 1 else " ".join(pick.openings),
    }


def plain(value: float) -> str:
    """One decimal, and none where it is whole."""
    return f"{value:.1f}".removesuffix(".0")
