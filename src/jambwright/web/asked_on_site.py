"""What is asked at an opening, as data for the phone: first what the walk round it needs, then the rest by its part."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from jambwright.readings.asked import (
    Asked,
    choices_in,
    fields_of,
    needs_of,
    on_site,
    pictures,
    section_of,
    sections,
    why_asked,
)
from jambwright.readings.asked_shape import VALUES
from jambwright.readings.places import Path
from jambwright.readings.specified import SPECIFIED, asked_of

Plain = dict[str, Any]
ELSEWHERE: tuple[Path, ...] = (
    ("id",), ("room",), ("wanted", "kind"), ("outside",), ("inside",), ("delivered",),
)  # fmt: skip
"""Asked on screens of their own: the opening itself, its readings, and its unit when it comes."""


def asked_on_site() -> Plain:
    """Questions in order, what groups need before they can be kept, and what they start as a copy of."""
    found = dict(_questions("Opening", ()))
    first = [found.pop(path) for path in on_site()]
    rest: dict[str, list[Plain]] = {name: [] for name in sections("opening")}
    for path, asked in found.items():
        rest[section_of("opening", path)].append(asked)
    sets = fields_of("ReadingSet")
    groups, chosen = dict(_groups("Opening", ())), dict(_choices("Opening", ()))
    return {
        "first": first,
        "rest": {name: asked for name, asked in rest.items() if asked},
        "delivered": _delivered(),
        "pictures": dict(pictures()),
        "of_readings": {field.name: field.picture for field in sets if field.picture},
        "choices": {"/".join(path): _listed(field) for path, field in chosen.items()},
        "needs": {
            "/".join(path): needs_of(field.inside) for path, field in groups.items() if needs_of(field.inside)
        },
        "copies": {"/".join(path): _pointer(field.copies) for path, field in groups.items() if field.copies},
    }


def _delivered() -> dict[str, list[Plain]]:
    """What is asked when an ordered unit comes, part by part; of each light by the names of its own fields."""
    found: dict[str, list[Plain]] = {name: [] for name in ("frame", "parts", "damage", "signed", "remake")}
    own = {"on": "signed", "by": "signed", "damaged": "damage", "damage": "damage"}
    for path, asked in _questions("Delivered", ()):
        part = path[0] if path[0] in found and len(path) > 1 else own.get(path[0], "frame")
        found[part].append(asked)
    return found | {"light": [asked for _, asked in _questions("DeliveredLight", ())]}


def question(path: Path, field: Asked) -> Plain:
    """One question as the phone takes it."""
    return {
        "path": "/".join(path),
        "kind": field.kind,
        "ask": field.ask,
        "help": field.help,
        "picture": field.picture,
        "unit": field.unit,
        "letters": field.shape.letters,
        "pattern": field.shape.pattern,
        "least": field.shape.least,
        "most": field.shape.most,
        "names": field.names,
        "choices": _listed(field),
        "why": list(why_asked(field)),
        "missed": field.may_be_missed or field.default == "unknown",
        "of_doors": path[:2] == SPECIFIED and not asked_of({}, path[-1]),
    }


def _listed(field: Asked) -> list[list[Any]]:
    return [list(choice) for choice in choices_in(field, {})]


def _questions(of: str, at: Path) -> Iterator[tuple[Path, Plain]]:
    for field in fields_of(of):
        path = (*at, field.name)
        if path in ELSEWHERE or field.by:
            continue
        if field.kind in (*VALUES, "layout"):
            yield path, question(path, field)
        elif field.kind == "group":
            yield from _questions(field.inside, path)


def _choices(of: str, at: Path) -> Iterator[tuple[Path, Asked]]:
    """Every field of an opening that holds one of a few words; a layout's by how its lights open."""
    for field in fields_of(of):
        path = (*at, field.name)
        if field.kind == "layout":
            yield path, next(each for each in fields_of("Light") if each.name == "opens")
        elif field.choices:
            yield path, field
        elif field.kind == "group" and path not in ELSEWHERE:
            yield from _choices(field.inside, path)


def _groups(of: str, at: Path) -> Iterator[tuple[Path, Asked]]:
    for field in fields_of(of):
        if field.kind == "group" and (path := (*at, field.name)) not in ELSEWHERE:
            yield path, field
            yield from _groups(field.inside, path)


def _pointer(dotted: str) -> str:
    return "/" + dotted.replace(".", "/")
