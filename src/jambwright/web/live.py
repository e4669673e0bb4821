"""Readings looked at while they are taken: the outline so far, what disagrees, what to read next."""

from __future__ import annotations

from typing import Any

from jambwright import calc
from jambwright.readings import PLACES, ReadingSet, reading_name
from jambwright.web.texts import say

ORDER = (
    "width bottom", "width middle", "width top", "height left", "height centre", "height right",
    "diagonal rising", "diagonal falling", "plumb left", "level sill", "plumb right", "level head",
    "bow left", "bow right", "bow sill", "bow head",
)  # fmt: skip
"""The way round an opening with the tape in hand. Common practice, no published source."""

ENOUGH = 3
"""Readings before an outline says anything."""


def look(name: str, taken: ReadingSet) -> dict[str, Any]:
    """What can be said of these readings. ``name`` is the opening's mark and room."""
    lines = [
        {"kind": r.kind, "at": r.at, "mm": list(r.values_mm)} for r in taken.readings() if r.how == "measured"
    ]
    found: dict[str, Any] = {"next": next_reading(lines), "says": [], "suspects": []}
    if len(lines) < ENOUGH or not {"width", "height"} <= {line["kind"] for line in lines}:
        return found
    answer = calc.answer("opening-outline", {"readings": lines})
    return found | {
        "corners_mm": answer["corners_mm"],
        "mid_edges_mm": answer["mid_edges_mm"],
        "verdict": answer["verdict"],
        "suspects": answer["suspects"],
        "says": [_sentence(name, suspect) for suspect in answer["suspects"]],
    }


def next_reading(lines: list[dict[str, Any]]) -> dict[str, str] | None:
    """The reading to take next; none when every one was taken."""
    had = {f"{line['kind']} {line['at']}" for line in lines}
    place = next((place for place in ORDER if place not in had), None)
    if place is None:
        return None
    kind, at = place.split()
    return {"kind": kind, "at": at, "name": reading_name(kind, at)}


def _sentence(name: str, suspect: dict[str, Any]) -> str:
    reading = reading_name(suspect["kind"], suspect["at"])
    values = {"reading": reading, "read": f"{suspect['read_mm']:g}", "likely": f"{suspect['likely_mm']:.0f}"}
    return say("look.suspect", name=name, **values).removeprefix(": ")


assert set(ORDER) == {f"{kind} {at}" for kind, places in PLACES.items() for at in places}
