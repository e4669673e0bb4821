"""The forms of the desk, part by part, and which of them shows a field."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal
from urllib.parse import quote

from jambwright.readings import places
from jambwright.readings.asked import Asked, fields_of, section_of, sections
from jambwright.readings.done import awaits_delivery
from jambwright.readings.places import Path
from jambwright.web.form_items import View, field_id

Plain = dict[str, Any]
Form = Literal["house", "opening"]
LAYOUT = ("wanted", "layout")


def form_view(tree: Mapping[str, Any], form: Form, at: Path) -> list[Plain]:
    """A whole form, part by part; a part without fields is left out."""
    view = View(tree)
    found: dict[str, list[Plain]] = {name: [] for name in sections(form)}
    of = "Survey" if form == "house" else "Opening"
    for field, path in _parted(form, of, ()):
        if path == ("delivered",) and not _asked_of_its_unit(places.get(tree, at)):
            continue
        found[section_of(form, path)].append(view.item(field, (*at, *path)))
    order = sections(form)
    return [
        {
            "name": name,
            "title": "",
            "items": _in_order(items, order[name], at),
            **_counts(items),
        }
        for name, items in found.items()
        if items
    ]


def _asked_of_its_unit(opening: Any) -> bool:
    """Whether it is asked what came: of a unit on order, and where something is written already."""
    return bool(opening.get("delivered")) or awaits_delivery(opening.get("done") or ())


def _parted(form: Form, of: str, at: Path) -> Iterator[tuple[Asked, Path]]:
    """Fields, and groups that stand whole in one part of the form."""
    starts = [start for listed in sections(form).values() for start in listed]
    for field in fields_of(of):
        path = (*at, field.name)
        if path == ("openings",) or field.by == "program":
            continue
        if field.kind == "group" and any(start.startswith(f"{'.'.join(path)}.") for start in starts):
            yield from _parted(form, field.inside, path)
        else:
            yield field, path


def _in_order(items: list[Plain], listed: list[str], at: Path) -> list[Plain]:
    """As the part lists them; those it does not name after those it does."""
    named = [places.text((*at, *start.split("."))) for start in listed]

    def turn(item: Plain) -> int:
        return next(
            (n for n, start in enumerate(named) if f"{item['path']}/".startswith(f"{start}/")), len(named)
        )

    return sorted(items, key=turn)


def _counts(items: list[Plain]) -> Plain:
    lacking = sum(1 for each in controls(items) if each["missing"])
    return {"missing": lacking + sum(len(item["unlisted"]) for item in items if item["type"] == "table")}


def controls(items: list[Plain]) -> Iterator[Plain]:
    """Every control among items, those of groups and tables too."""
    for item in items:
        if item["type"] == "field":
            yield item
        elif item["type"] == "group":
            yield from controls(item["items"])
        elif item["type"] == "table":
            for row in item["rows"]:
                yield from row["cells"]
                yield from controls(row["groups"])


def field_page(path: Path) -> Path:
    """Which form shows the field at a path, as the path of that form; nothing for the House form."""
    if path[0] != "openings":
        return ()
    if path[2:3] in (("outside",), ("inside",)):
        return path[:3]
    if path[2:4] == LAYOUT and len(path) > 4:
        part = path[-1].isdigit() or path[-1] in ("across", "down")
        return path if part else path[:-1]
    return path[:2]


def field_href(house: str, path: str) -> str:
    """The address of the field at a path."""
    keys = places.parse(path)
    form = field_page(keys)
    at = f"?at={quote(places.text(form), safe='/~')}" if form else ""
    return f"/houses/{house}/form{at}#{field_id(keys)}"
