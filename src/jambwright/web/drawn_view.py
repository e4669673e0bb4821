"""One opening while its layout is drawn: the drawing, where its lights and bars are, sizes, masses and limits."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from jambwright.basis.units import show_mm
from jambwright.one_opening import Look
from jambwright.paper.drawings import lights_on_screen
from jambwright.paper.elevation import ElevationView
from jambwright.paper.fit_views import elevation_view
from jambwright.record import OpeningRecord, PlacedLight, Rect, Split, Unread
from jambwright.web.plan_view import bare_verdict, figure_view, worst_first

Plain = dict[str, Any]

SHOWN = ("order_width", "order_height", "whole_kg", "heaviest_kg", "u", "index")
"""Figures that change with the layout, in the order they are shown."""


def drawn_view(found: Look) -> Plain:
    """All that the drawing table shows of an opening, in frame coordinates: x from the left, y from the bottom."""
    record = found.record
    told = _told(record) if isinstance(record, OpeningRecord) else _not_read(record)
    return {
        "drawing": asdict(lights_on_screen(_elevation(found))),
        "outer": _rect(found.outer),
        "lights": [_light(each, record) for each in found.layout.lights],
        "splits": [_split(each, found.outer) for each in found.splits],
        **told,
    }


def _elevation(found: Look) -> ElevationView:
    if isinstance(found.record, OpeningRecord):
        return elevation_view(found.record)
    return ElevationView(title=found.record.name, outer=found.outer, layout=found.layout, figured=False)


def _told(record: OpeningRecord) -> Plain:
    figures = {key: figure_view(key, figure) for key, figure in record.figures.items()}
    verdicts = [bare_verdict(v) for v in worst_first(record.verdicts)]
    return {
        "missing": [],
        "ordered": record.ordered,
        "figures": [figures[key] | {"steps": []} for key in SHOWN if key in figures],
        "verdicts": [v for v in verdicts if v["word"] != "meets"],
        "met": sum(v["word"] == "meets" for v in verdicts),
        "remarks": [remark.say for remark in record.remarks],
    }


def _not_read(record: Unread) -> Plain:
    return {
        "missing": list(record.missing), "ordered": False, "figures": [], "verdicts": [], "met": 0, "remarks": [],
    }  # fmt: skip


def _light(light: PlacedLight, record: OpeningRecord | Unread) -> Plain:
    glass = record.glass[light.mark] if isinstance(record, OpeningRecord) else None
    return {
        "mark": light.mark,
        "path": list(light.path),
        "door_leaf": light.door_leaf,
        "way": (light.moves if light.leaf else light.way).words,
        "sight": _rect(light.sight),
        "size": f"{show_mm(glass.width.value)} × {show_mm(glass.height.value)}" if glass else "",
        "make_up": (glass.make_up or "") if glass else "",
        "kg": f"{glass.mass_kg:.1f}" if glass else "",
    }


def _split(split: Split, outer: Rect) -> Plain:
    """The bars of a split by where they stand from the frame's left or top edge."""
    across = split.way == "across"
    places, at = [], split.rect.x_mm if across else outer.height_mm - split.rect.top_mm
    for size in split.sizes_mm[:-1]:
        at += size
        places.append(at)
    return {
        "path": list(split.path),
        "way": split.way,
        "sizes_mm": list(split.sizes_mm),
        "places_mm": places,
        "rect": _rect(split.rect),
    }


def _rect(rect: Rect) -> Plain:
    return asdict(rect)
