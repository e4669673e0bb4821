"""The faces of the house with their openings in place, for drawing: metres, seen from outside, x right, y up."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import fmean
from typing import Any

FACES = ("front", "right", "back", "left")
STOREY_M = 2.6
"""Floor to floor where nothing else is known. Common practice, no published source."""
SILL_ABOVE_FLOOR_M = {"window": 0.9, "door": 0.0}
USUAL_M = {"window": (1.0, 1.1), "door": (0.9, 2.05)}
"""Drawn at where nothing was read. Common practice, no published source."""
EDGE_M = 0.5
BETWEEN_M = 0.6


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One opening on a face."""

    id: str
    room: str
    x_m: float
    y_m: float
    width_m: float
    height_m: float
    placed: bool = False
    """It was said where it is; else it stands in the order of the list."""
    side_said: bool = True
    room_listed: bool = True
    """Of a room that is not listed the storey is not known."""
    sized: bool = True
    """Width and height were read; else it is drawn at a usual size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One face of the house."""

    name: str
    width_m: float
    height_m: float
    holes: tuple[Hole, ...]
    wall_m: float | None
    """Length of the wall, where it is known."""

    @property
    def guessed(self) -> dict[str, list[str]]:
        """What was not said of openings on this face and is drawn as usual all the same, with their marks."""
        said = ("placed", "side_said", "room_listed", "sized")
        marks = {name: [h.id for h in self.holes if not getattr(h, name)] for name in said}
        return {name: found for name, found in marks.items() if found}

    @property
    def beyond(self) -> list[str]:
        """Openings drawn past the end of the wall."""
        return [h.id for h in self.holes if self.wall_m and h.x_m + h.width_m > self.wall_m + 1e-6]

    @property
    def overlaps(self) -> list[tuple[str, str]]:
        """Pairs of openings that can't both stand where they are drawn."""
        return [(a.id, b.id) for n, a in enumerate(self.holes) for b in self.holes[n + 1 :] if _meet(a, b)]


def _meet(a: Hole, b: Hole) -> bool:
    across = a.x_m < b.x_m + b.width_m and b.x_m < a.x_m + a.width_m
    return across and a.y_m < b.y_m + b.height_m and b.y_m < a.y_m + a.height_m


def faces(tree: dict[str, Any]) -> list[Face]:
    """The faces that have openings. Heights are true, and places along the wall where ``along_mm`` says them."""
    house = tree.get("house") or {}
    storeys = {room["name"]: room.get("storey", 0) for room in house.get("rooms") or []}
    found = []
    for name in FACES:
        mine = [o for o in tree["openings"] if (o.get("elevation") or "front") == name]
        if mine:
            found.append(_face(name, house, [(o, storeys.get(o["room"], 0)) for o in mine]))
    return found


def _face(name: str, house: dict[str, Any], openings: list[tuple[dict[str, Any], int]]) -> Face:
    wide = house.get("breadth_m" if name in ("front", "back") else "depth_m") or None
    rows = {storey: [o for o, s in openings if s == storey] for storey in sorted({s for _, s in openings})}
    needs = max(sum(_size(o)[0] + BETWEEN_M for o in row) + 2 * EDGE_M for row in rows.values())
    ends = (o["along_mm"] / 1000 + _size(o)[0] for o, _ in openings if o.get("along_mm") is not None)
    width = max(wide or 0.0, needs, *ends)
    listed = {room["name"] for room in house.get("rooms") or []}
    holes = [hole for storey, row in rows.items() for hole in _row(row, storey, width, listed)]
    height = max(house.get("storeys", 1) * STOREY_M, *(hole.y_m + hole.height_m + 0.4 for hole in holes))
    return Face(name=name, width_m=width, height_m=height, holes=tuple(holes), wall_m=wide)


def _row(openings: list[dict[str, Any]], storey: int, width_m: float, listed: set[str]) -> list[Hole]:
    free = width_m - sum(_size(o)[0] for o in openings)
    gap, x = free / (len(openings) + 1), 0.0
    holes = []
    for opening in openings:
        x += gap
        wide, high = _size(opening)
        sill_mm = opening.get("sill_above_floor_mm")
        sill = SILL_ABOVE_FLOOR_M[_kind(opening)] if sill_mm is None else sill_mm / 1000
        holes.append(
            Hole(
                id=opening["id"],
                room=opening["room"],
                x_m=x if opening.get("along_mm") is None else opening["along_mm"] / 1000,
                y_m=storey * STOREY_M + sill,
                width_m=wide,
                height_m=high,
                placed=opening.get("along_mm") is not None,
                side_said=bool(opening.get("elevation")),
                room_listed=opening["room"] in listed,
                sized=all(_read_m(opening)),
            )
        )
        x += wide
    return holes


def _size(opening: dict[str, Any]) -> tuple[float, float]:
    wide, high = _read_m(opening)
    usual = USUAL_M[_kind(opening)]
    return wide or usual[0], high or usual[1]


def _kind(opening: dict[str, Any]) -> str:
    return "door" if (opening.get("wanted") or {}).get("kind") == "door" else "window"


def _read_m(opening: dict[str, Any]) -> tuple[float | None, float | None]:
    outside = opening.get("outside") or {}
    return _mean_m(outside.get("width") or {}), _mean_m(outside.get("height") or {})


def _mean_m(places: dict[str, Any]) -> float | None:
    figures = [mm for reading in places.values() for mm in _figures(reading)]
    mean = fmean(figures) / 1000 if figures else 0.0
    return mean if mean > 0 else None


def _figures(reading: Any) -> list[float]:
    mm = reading.get("mm") if isinstance(reading, dict) else reading
    if mm is None:
        return []
    return [float(value) for value in (mm if isinstance(mm, list) else [mm])]
