"""A changed field in words: what it is called, whose it is, and how it is answered."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from pydantic import BaseModel

from jambwright.readings import PLACES, Survey, reading_name
from jambwright.readings.asked import Asked, choices_in, fields_of, item_at, layout_model
from jambwright.readings.fitted import AsFitted
from jambwright.readings.places import Path, is_reading
from jambwright.web.texts import say, texts

LISTS = ("list", "groups_by", "parts", "figures_by", "words_by")
PARTS_OF_LAYOUT = ("Light", "Across", "Down")
OWNERS: Mapping[Path, Literal["opening", "room", "tool"]] = {
    ("openings",): "opening",
    ("house", "rooms"): "room",
    ("tools",): "tool",
}
"""Lists of the survey whose items have names of their own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A field as a person speaks of it."""

    labels: tuple[str, ...] = ()
    """What it stands in, then what it is called; empty for the whole of what ``whose`` names."""
    of: Literal["house", "opening", "fitted", "room", "tool"] = "house"
    whose: str = ""
    reading: str = ""
    """The trade's words for it, where it is a reading."""
    field: Asked | None = None
    """The field, or the list it is an item of."""
    item: bool = False
    root: type[BaseModel] = Survey


def place_of(path: Path, tree: Any) -> Place | None:
    """The field at a path; ``None`` where this version has no such field. ``tree`` tells how a layout is split."""
    if path[0] == "fitted":
        return _fitted(path)
    owner = next((way for way in OWNERS if path[: len(way)] == way and len(path) > len(way)), None)
    steps = list(_steps(path, tree))
    if len(steps) < len(path) or not steps:
        return None
    field, item = steps[-1][1], steps[-1][2]
    if owner is None:
        return Place(labels=_labels(steps), field=field, item=item)
    inside = steps[len(owner) + 1 :]
    reading = reading_name(path[3], path[4]) if is_reading(path) else ""
    if reading and path[2] == "inside":
        reading = say("history.inside", reading=reading)
    return Place(
        labels=_labels(inside), of=OWNERS[owner], whose=path[len(owner)], reading=reading, field=field, item=item
    )  # fmt: skip


def _fitted(path: Path) -> Place | None:
    """A field of a frame as fitted, or all of one, or of every frame."""
    if len(path) == 1:
        return Place(labels=(say("history.all_fitted"),), root=AsFitted)
    steps = list(_steps(path[2:], None, AsFitted))
    if len(steps) < len(path) - 2:
        return None
    labels = tuple(label_of(field, AsFitted) for _, field, _ in steps)
    return Place(
        labels=labels, of="fitted", whose=path[1], root=AsFitted, field=steps[-1][1] if steps else None,
        reading=reading_name(path[3], path[4]) if is_reading(path) else "",
    )  # fmt: skip


def _labels(steps: list[tuple[str, Asked, bool]]) -> tuple[str, ...]:
    """Labels on the way, each item of a list by its name or its number."""
    found: list[str] = []
    for key, field, item in steps:
        if not item:
            found.append(field.label)
        elif key.isdigit():
            found.append(say("history.number", n=int(key) + 1))
        else:
            found.append(dict(choices_in(field, {})).get(key, key) if field.names else key)
    return tuple(found)


def _steps(path: Path, tree: Any, root: type[BaseModel] = Survey) -> Iterator[tuple[str, Asked, bool]]:
    """Each key of a path with its field, and whether it names an item of that field; ends where it is not known."""
    models: tuple[str, ...] = (root.__name__,)
    found: Asked | None = None
    standing = tree
    for key in path:
        if found is not None and found.kind in LISTS:
            standing = item_at(standing, key)
            models = (
                _of_layout(standing) if found.kind == "parts" else (found.inside,) if found.inside else ()
            )
            yield key, found, True
            found = None
            continue
        found = next((f for of in models for f in fields_of(of, root) if f.name == key), None)
        if found is None:
            return
        standing = standing.get(key) if isinstance(standing, Mapping) else None
        inside = (found.inside,) if found.inside else ()
        models = _of_layout(standing) if found.kind == "layout" else inside
        yield key, found, False


def _of_layout(standing: Any) -> tuple[str, ...]:
    """Models of a part of a layout, the one it is now first: it may have been another when it was changed."""
    now = layout_model(standing)
    return (now, *(name for name in PARTS_OF_LAYOUT if name != now))


def label_of(field: Asked, root: type[BaseModel]) -> str:
    """What a field is called on the form; of a frame as fitted, as on its screen."""
    if root is not AsFitted:
        return field.label
    keys = {"FittedGaps": f"fitted.gap.{field.name}", "AsFitted": f"fitted.{field.name}"}
    key = "fitted.part.gaps" if field.name == "gaps_mm" else keys.get(field.of, "")
    return texts().get(key, field.label)


def is_offset(field: Asked) -> str:
    """The kind of offset a reading is, nothing for a length: by the label of its group's model."""
    kinds = {"Levels": "level", "Plumbs": "plumb", "Bows": "bow"}
    kind = kinds.get(field.of, "")
    return kind if field.name in PLACES.get(kind, ()) else ""  # type: ignore[call-overload]  # no kind, no place
