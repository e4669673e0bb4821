"""What a form shows of one place of a file: every field with what stands there now, as plain values."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from typing import Any
from urllib.parse import quote

from pydantic import BaseModel

from jambwright.readings import Survey, places
from jambwright.readings.asked import (
    Asked,
    choices_in,
    fields_of,
    layout_model,
    needs_of,
    uses_of,
    why_asked,
    words_of,
)
from jambwright.readings.asked_shape import SEVERAL, VALUES
from jambwright.readings.places import NAMED_LISTS, Path
from jambwright.readings.specified import SPECIFIED, asked_of
from jambwright.web.texts import say

Plain = dict[str, Any]


class View:
    """Makes the items of one form over a tree; ``root`` is the model of the whole tree."""

    def __init__(self, tree: Mapping[str, Any], root: type[BaseModel] = Survey) -> None:
        self.tree = tree
        self.root = root

    def standing(self, path: Path) -> Any:
        """What stands at a path."""
        return places.get(self.tree, path) if path else self.tree

    def items(self, of: str, at: Path) -> list[Plain]:
        """Every field of a model that stands at a path."""
        fields = list(fields_of(of, self.root))
        if at[0:1] == ("openings",) and at[2:] == SPECIFIED:
            fields = [field for field in fields if asked_of(self.standing(at[:2]), field.name)]
        return [self.item(field, (*at, field.name)) for field in fields]

    def item(self, field: Asked, path: Path) -> Plain:
        """One field, or what has fields of its own."""
        made: Callable[[Asked, Path], Plain]
        if field.kind in VALUES or (field.kind in SEVERAL and not field.kind.endswith("_by")):
            made = self.field
        elif field.kind in ("figures_by", "words_by", "groups_by"):
            made = self._by_name
        elif field.kind == "list":
            made = self._table
        elif field.kind in ("layout", "parts"):
            made = self._layout
        elif field.inside == "ReadingSet":
            made = self._face
        else:
            made = self._group
        return made(field, path)

    def field(self, field: Asked, path: Path) -> Plain:
        """One value, or several of a kind in one control."""
        value = self.standing(path)
        return {
            "type": "field",
            **self._told(field, path),
            "kind": field.kind,
            "options": [[json.dumps(v), words] for v, words in self._options(field, value)],
            "listed": _listed(field),
            "value": _typed(field, value),
            "was": json.dumps(value),
            "letters": field.shape.letters,
            "blank": field.blank
            or (say("form.usual", what=usual) if (usual := _default_words(field)) else ""),
            "missing": self.root is Survey and value is None and field.may_be_missed,
            "needed": field.needed,
            "by": field.by,
            "repeated": field.shape.repeated,
        }

    def _told(self, field: Asked, path: Path) -> Plain:
        """What every item shows of itself."""
        return {
            "path": places.text(path),
            "id": field_id(path),
            "name": field.name,
            "label": field.label,
            "help": field.help,
            "picture": field.picture,
            "unit": field.unit,
            "why": list(why_asked(field)),
        }

    def _needs(self, field: Asked) -> tuple[str, ...]:
        """What a group or a row needs before it can be kept."""
        return needs_of(field.inside, self.root) if field.kind in ("group", "list") else ()

    def _options(self, field: Asked, value: Any) -> list[tuple[Any, str]]:
        if field.kind == "yes":
            return [(True, say("yes")), (False, say("no"))]
        known = choices_in(field, self.tree)
        strange = (
            []
            if value is None or isinstance(value, list) or value in dict(known)
            else [(value, words_of(field, value))]
        )
        return [*known, *strange] if known or field.choices else []

    def _group(self, field: Asked, path: Path) -> Plain:
        standing = self.standing(path)
        items = self.items(field.inside, path)
        if standing is None and (field.blank or self._needs(field)):
            items = [item | {"missing": False} for item in items]  # a group that may be absent lacks nothing
        return {
            "type": "group",
            **self._told(field, path),
            "items": items,
            "present": standing is not None,
            "needs": list(self._needs(field)),
            "copies": json.dumps(places.get(self.tree, tuple(field.copies.split("."))) or {})
            if field.copies
            else "",
            "blank": field.blank,
            "may_go": standing is not None and bool(field.blank or self._needs(field)) and not field.needed,
            "section": self._is_wall(field),
        }

    @staticmethod
    def _is_wall(field: Asked) -> bool:
        """Whether it is drawn as a section."""
        return field.inside == "Wall"

    def _table(self, field: Asked, path: Path) -> Plain:
        key = NAMED_LISTS.get(path, "")
        inside = [f for f in fields_of(field.inside, self.root) if f.kind in (*VALUES, *SEVERAL)]
        groups = [f for f in fields_of(field.inside, self.root) if f.kind in ("group", "list")]
        rows = [
            self._row(inside, groups, (*path, str(item[key] if key else n)))
            for n, item in enumerate(self.standing(path) or [])
        ]
        for row in rows:
            row["uses"] = [places.text(p) for p in uses_of(self.tree, path[-1], row["name"])] if key else []
        needs = self._needs(field)
        return {
            "type": "table",
            **self._told(field, path),
            "columns": [{"label": f.label, "unit": f.unit, "help": f.help} for f in inside],
            "rows": rows,
            "key": key,
            "unlisted": self._unlisted(path),
            "was": json.dumps(self.standing(path)),
            "by": field.by,
            "new": [View({}, self.root).field(f, (*path, "+", f.name)) | {"needed": f.name in needs, "missing": False,
                    "options": [[json.dumps(v), w] for v, w in self._options(f, None)]} for f in inside],
        }  # fmt: skip

    def _unlisted(self, path: Path) -> list[str]:
        """Rooms that openings name and no row lists."""
        if path != ("house", "rooms"):
            return []
        listed = {room["name"] for room in self.standing(path) or []}
        return list(
            dict.fromkeys(o["room"] for o in self.tree.get("openings") or [] if o["room"] not in listed)
        )

    def _row(self, inside: list[Asked], groups: list[Asked], path: Path) -> Plain:
        """One item, its values as controls, and its groups and lists, which stand below the table."""
        below = [self.item(f, (*path, f.name)) for f in groups]
        return {
            "path": places.text(path),
            "id": field_id(path),
            "name": path[-1],
            "cells": [self.field(f, (*path, f.name)) for f in inside],
            "groups": [g | {"label": f"{path[-1]}: {g['label']}"} for g in below],
        }

    def _by_name(self, field: Asked, path: Path) -> Plain:
        standing = self.standing(path) or {}
        known = dict(choices_in(field, self.tree))
        names = [*known, *(name for name in standing if name not in known)]
        if field.kind == "groups_by":
            inner = [
                {
                    "name": n,
                    "label": n,
                    "items": self.items(field.inside, (*path, n)),
                    "path": places.text((*path, n)),
                }
                for n in names
            ]
        else:
            inner = [self._named(field, (*path, name), known.get(name, name)) for name in names]
        return {
            "type": "by",
            **self._told(field, path),
            "kind": field.kind,
            "inner": inner,
            "free": not known,
            "blank": field.blank,
        }

    def _named(self, field: Asked, path: Path, words: str) -> Plain:
        value = self.standing(path)
        kind = "figure" if field.kind == "figures_by" else "words"
        plain = {"options": [], "listed": False, "letters": None, "repeated": False, "help": "", "blank": ""}
        told = {"missing": False, "needed": False, "by": "", "was": json.dumps(value), "label": words}
        shown = "" if value is None else f"{value}"
        return self._told(field, path) | plain | told | {"type": "field", "kind": kind, "value": shown}

    def _face(self, field: Asked, path: Path) -> Plain:
        """A face of an opening: its readings stand on a page of their own."""
        read = [r for r in self.readings(path) if r["mm"]["value"]]
        return {"type": "page", **self._told(field, path), "state": say("form.read", n=len(read))}

    def readings(self, path: Path) -> list[Plain]:
        """Every place of one face, with what was read there and how."""
        rows, before = [], None
        for group, place in _places(fields_of("ReadingSet")):
            at = (*path, group.name, place.name)
            taken = self.standing(at)
            whole = taken if isinstance(taken, Mapping) else {} if taken is None else {"mm": taken}
            view = View({"at": whole})
            parts = {f.name: view.field(f, ("at", f.name)) for f in fields_of(place.inside)}
            for name, part in parts.items():
                part |= {"path": places.text((*at, name)), "id": field_id((*at, name))}
            parts["tool"]["options"] = [
                [json.dumps(v), w]
                for v, w in self._options(_named_field(place.inside, "tool"), whole.get("tool"))
            ]
            parts["mm"]["missing"] = taken is None and not place.blank
            drawn = "" if group is before else group.picture  # once for all of a kind
            before = group
            rows.append({**self._told(place, at), "picture": drawn, "was": json.dumps(taken), **parts})
        return rows

    def _layout(self, field: Asked, path: Path) -> Plain:
        """How a frame is split: a page for every light and part."""
        return {
            "type": "layout",
            **self._told(field, path),
            "parts": list(self._parts(path) if field.kind == "layout" else self._inner(path, 0)),
            "split": self._split(path),
        }

    def _split(self, path: Path) -> str:
        return layout_model(self.standing(path)).lower()

    def _parts(self, path: Path, deep: int = 0) -> Iterator[Plain]:
        """The lights and splits of a layout, from the whole to its parts, each with its path."""
        split = self._split(path)
        yield {"href_path": places.text(path), "split": split, "words": self.light_words(path), "deep": deep}
        if split != "light":
            yield from self._inner((*path, split), deep + 1)

    def light_words(self, path: Path) -> str:
        """How a light of a layout opens; nothing for what is split."""
        opens = _named_field("Light", "opens")
        node = self.standing(path) or {}
        return words_of(opens, node.get("opens", opens.default)) if self._split(path) == "light" else ""

    def _inner(self, path: Path, deep: int) -> Iterator[Plain]:
        for number in range(len(self.standing(path) or [])):
            yield from self._parts((*path, str(number)), deep)


def field_id(path: Path) -> str:
    """What a field is called on its page."""
    return "f" + quote(places.text(path), safe="/~")


def _listed(field: Asked) -> bool:
    """Whether nothing but what is listed fits; a room may be named before it is listed."""
    return field.kind in ("yes", "choice") or (bool(field.names) and field.names != "rooms")


def _typed(field: Asked, value: Any) -> Any:
    """A value as it stands in its control."""
    if value is None:
        return ""
    if _listed(field):
        return json.dumps(value)
    if field.kind == "several":
        return [json.dumps(each) for each in value]
    if field.kind == "figures":
        figures = value if isinstance(value, list) else [value]
        return (" " if field.shape.repeated else ", ").join(f"{figure:.10g}" for figure in figures)
    if field.kind == "lines":
        return "\n".join(value)
    if field.kind == "anything":
        return json.dumps(value, ensure_ascii=False)
    return f"{value:.12g}" if isinstance(value, float) else str(value)


def _default_words(field: Asked) -> str:
    """What is taken while nothing is typed, in words."""
    default = field.default
    if default is None or isinstance(default, list | dict) or default == "":
        return ""
    if isinstance(default, bool):
        return say("yes") if default else say("no")
    if isinstance(default, float | int):
        return f"{default:g}"
    return words_of(field, default)


def _places(groups: tuple[Asked, ...]) -> Iterator[tuple[Asked, Asked]]:
    for group in groups:
        for place in fields_of(group.inside):
            yield group, place


def _named_field(of: str, name: str) -> Asked:
    return next(field for field in fields_of(of) if field.name == name)
