"""Readings looked at while they are taken: the outline so far, what disagrees, what to read next."""

from __future__ import annotations

from typing import Any

from jambwright.job import look_at_readings
from jambwright.readings import PLACES, Opening, Site, Survey, reading_name
from jambwright.readings.usual import Defaults
from jambwright.readings.written import written_to
from jambwright.web.shapes import ReadingCheck


def look(given: ReadingCheck) -> dict[str, Any]:
    """What can be said of these readings, as plain values; ``says`` speaks of the opening by its name."""
    had = {(r.kind, r.at) for r in given.outside.readings()}
    if not {"width", "height"} <= {kind for kind, _ in had}:
        return {"next": _first_left(had), "says": [], "suspects": []}
    opening = Opening(id="W", room="-", outside=given.outside)
    survey = Survey(
        jambwright=1,
        site=Site(label="-"),
        tools=given.tools,
        defaults=Defaults(tape=given.tape),
        openings=[opening],
    )
    outline, findings, advice = look_at_readings(survey, opening)
    name = f"{given.name}: " if given.name else ""
    written = [say[0].upper() + say[1:] for say in written_to(given.outside.readings()).say]
    beside = [*findings.remarks, *written, advice.extra_say]
    return {
        "corners_mm": outline.corners_mm,
        "mid_edges_mm": outline.mid_edges_mm,
        "verdict": advice.word,
        "suspects": [
            {"kind": s.kind, "at": s.at, "read_mm": s.read_mm, "likely_mm": s.likely_mm}
            for s in findings.suspects
        ],
        "one_set": advice.one_set,
        "remarks": findings.remarks,
        "says": [name + say for say in (*advice.say, *beside) if say],
        "next": next((_place(*place) for place in (advice.measure_next, *advice.extra) if place), None),
    }


def _first_left(had: set[tuple[Any, str]]) -> dict[str, str] | None:
    """The way round an opening with the tape in hand: each kind at all its places, in their order."""
    left = ((kind, at) for kind, places in PLACES.items() for at in places if (kind, at) not in had)
    return next((_place(kind, at) for kind, at in left), None)


def _place(kind: str, at: str) -> dict[str, str]:
    return {"kind": kind, "at": at, "name": reading_name(kind, at)}
