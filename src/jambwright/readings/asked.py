"""What is asked, described once: every field with label, help, unit, kind, choices, why it is asked and where.

The shape of a field comes from the models, its words from one text file (``asked.yaml``). Forms on the desk, questions
on site, the workbook, the commented blank and the schema are all written from this description.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from pydantic import BaseModel

from jambwright.basis.tables import read_text, table
from jambwright.basis.tree import parse_tree
from jambwright.readings.asked_shape import VALUES, Kind, Shape, shape_of
from jambwright.readings.places import NAMED_LISTS, Path
from jambwright.readings.survey import Survey
from jambwright.readings.systems import system_names
from jambwright.readings.ways import ways

ITEM = "*"
"""In a path: any item of a list, any name of a group."""
BY_PROGRAM = ("program", "proposals")
"""What fills in a field that no person does."""

_TABLES = {
    "regions": ("climate_regions", "region", "title"),
    "fixings": ("fixing_kinds", "fixing", "words"),
    "options": ("glass_options", "option", "title"),
}
"""Where names are listed: table, column, column of their words."""
SYSTEMS = "profiles"
"""Names of the systems: those shipped, and those of the readings file."""
OWN_SYSTEMS: Path = ("defaults", "systems")
_LISTS: Mapping[str, tuple[Path, str]] = {
    "rooms": (("house", "rooms"), "name"),
    "tools": (("tools",), "name"),
    "openings": (("openings",), "id"),
}
"""Lists of the readings file whose names another field may hold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One field of one model, wherever that model stands."""

    name: str
    of: str
    """Name of its model."""
    label: str
    help: str
    ask: str
    """As a question on site."""
    unit: str
    names: str
    """Where its choices are listed, when not in its shape."""
    column: str
    """Heading in the workbook where it is not made from the path."""
    default: Any
    needed: bool
    """Nothing is taken in its place."""
    sample: str
    """What the blank file holds."""
    blank: str
    """What is taken while it is left out, where that is not its default."""
    serves: tuple[str, ...]
    """What needs it."""
    by: str
    """What fills it in, when no person does."""
    picture: str
    """Small picture beside it, by name; empty where it needs none."""
    copies: str
    """Dotted path of the group it starts as a copy of, once one of its fields is filled in."""
    shape: Shape

    @property
    def kind(self) -> Kind:
        """How it is answered."""
        return self.shape.kind

    @property
    def choices(self) -> tuple[Any, ...]:
        """Values to choose from; empty where any fits, or where ``names`` says where they are listed."""
        return self.shape.choices

    @property
    def inside(self) -> str:
        """Model of what stands in it."""
        return self.shape.inside

    @property
    def may_be_missed(self) -> bool:
        """Whether nothing stands in while it is left out, so that something is not known."""
        value = self.kind in VALUES and self.default is None
        return bool(value and not self.blank and not self.by and self.serves)


@dataclass(frozen=True, slots=True)
class _Texts:
    """The text file."""

    fields: Mapping[str, Mapping[str, str]]
    pictures: Mapping[str, str]
    serves: Mapping[str, str]
    forms: Mapping[str, Mapping[str, Sequence[str]]]
    on_site: Sequence[str]
    words: Mapping[str, str]


@functools.cache
def _texts() -> _Texts:
    texts = parse_tree(read_text("asked.yaml"))
    ways_to_open = {
        way.kind: f"{way.words[0].upper()}{way.words[1:]}" for way in ways().values() if way.ordered
    }
    return _Texts(**{**texts, "words": {**ways_to_open, **texts["words"]}})


@functools.cache
def fields_of(of: str, root: type[BaseModel] = Survey) -> tuple[Asked, ...]:
    """The fields of a model by its name, in its order. Raises ``KeyError`` where ``root`` holds no such model."""
    shape = _shapes(root)[of]
    needed = shape.get("required", ())
    return tuple(_asked(of, name, part, name in needed) for name, part in shape["properties"].items())


def field_at(path: Path, root: type[BaseModel] = Survey, tree: Any = None) -> Asked | None:
    """The field at a path, or that of the group an item at the path belongs to; ``None`` where there is none.

    ``tree`` tells which parts of a layout are split.
    """
    of, found = root.__name__, None
    standing = tree
    keys = list(path)
    while keys:
        name = keys.pop(0)
        found = next((f for f in fields_of(of, root) if f.name == name), None) if of else None
        if found is None:
            return None
        standing = standing.get(name) if isinstance(standing, Mapping) else None
        of = found.inside
        if found.kind == "layout":
            of = layout_model(standing)
        if keys and found.kind in ("list", "groups_by", "parts", "figures_by", "words_by"):
            key = keys.pop(0)
            standing = item_at(standing, key)
            if found.kind == "parts":
                of = layout_model(standing)
    return found


def layout_model(node: Any) -> str:
    """Which model one part of a layout is."""
    split = (name for name in ("across", "down") if isinstance(node, Mapping) and node.get(name) is not None)
    return next(split, "light").capitalize()


def item_at(standing: Any, key: str) -> Any:
    """An item of a list by its name or number, of a group by its name; ``None`` where there is none."""
    if isinstance(standing, Mapping):
        return standing.get(key)
    if not isinstance(standing, list):
        return None
    if key.isdigit() and int(key) < len(standing):
        return standing[int(key)]
    return next((i for i in standing if isinstance(i, Mapping) and key in (i.get("id"), i.get("name"))), None)


def place_words(path: Path, tree: Any = None) -> str:
    """A path as a person reads it.

    >>> place_words(("openings", "W3", "sill_above_floor_mm")), place_words(("house", "rooms", "Kitchen", "use"))
    ('W3: Sill above the floor inside', 'Kitchen: Use')
    """
    field = field_at(path, tree=tree)
    label = field.label if field else " › ".join(path)
    named = next((way for way in NAMED_LISTS if path[: len(way)] == way and len(path) > len(way) + 1), None)
    return f"{path[len(named)]}: {label}" if named else label


def every_field(root: type[BaseModel] = Survey) -> Iterator[tuple[Path, Asked]]:
    """Every field under its path, ``*`` for any item; a layout is gone into once."""
    yield from _under((), root.__name__, root, ())


def _under(at: Path, of: str, root: type[BaseModel], been: tuple[str, ...]) -> Iterator[tuple[Path, Asked]]:
    for field in fields_of(of, root):
        path = (*at, field.name)
        yield path, field
        if field.kind == "layout":
            for part in ("Light", "Across", "Down"):
                yield from _under(path, part, root, (*been, part))
        elif field.kind == "parts":
            for part in ("Light", "Across", "Down"):
                if part not in been:
                    yield from _under((*path, ITEM), part, root, (*been, "Light", "Across", "Down"))
        elif field.inside:
            item = (ITEM,) if field.kind in ("list", "groups_by") else ()
            yield from _under((*path, *item), field.inside, root, been)


def sections(form: Literal["house", "opening"]) -> dict[str, list[str]]:
    """The parts of a form and the fields each begins with, by their dotted paths."""
    return {name: list(listed) for name, listed in _texts().forms[form].items()}


def section_of(form: Literal["house", "opening"], path: Path) -> str:
    """The part of a form that a field belongs to: the one that names it, or most of what it stands in."""
    dotted = ".".join(path)
    best, longest = "other", 0
    for name, listed in sections(form).items():
        for start in listed:
            if f"{dotted}.".startswith(f"{start}.") and len(start) > longest:
                best, longest = name, len(start)
    return best


def needs_of(of: str, root: type[BaseModel] = Survey) -> tuple[str, ...]:
    """Names of the values without which a group can't be kept.

    >>> needs_of("Flue")
    ('appliance', 'direction')
    """
    return tuple(field.name for field in fields_of(of, root) if field.needed and field.kind in VALUES)


def on_site() -> tuple[Path, ...]:
    """What is asked first on site, as paths inside an opening."""
    return tuple(tuple(dotted.split(".")) for dotted in _texts().on_site)


def words_of(field: Asked, value: Any) -> str:
    """A value to choose from as it is shown.

    >>> flue = next(f for f in fields_of("Flue") if f.name == "direction")
    >>> words_of(flue, "beside")
    'Beside'
    """
    words = _texts().words
    text = str(value).lower() if isinstance(value, bool) else str(value)
    listed = dict(choices_in(field, {})).get(value) if field.names in (*_TABLES, SYSTEMS) else None
    return listed or words.get(f"{field.of}.{field.name}.{text}") or words.get(text) or text.replace("_", " ")


def every_word() -> Mapping[str, str]:
    """All words to choose from, by value; those of one field alone under `Model.field.value`."""
    return _texts().words


def pictures() -> Mapping[str, str]:
    """What each small picture beside a field shows, in words."""
    return _texts().pictures


def why_asked(field: Asked) -> tuple[str, ...]:
    """What needs a field, in words."""
    return tuple(_texts().serves[name] for name in field.serves)


def choices_in(field: Asked, tree: Any) -> list[tuple[Any, str]]:
    """Values to choose from with their words; names listed in a readings file are looked up in ``tree``."""
    if field.names in _TABLES:
        name, column, words = _TABLES[field.names]
        return [(row[column], row[words]) for row in table(name)]
    if field.names == SYSTEMS:
        return [*_systems_in(tree).items()]
    if field.names in _LISTS:
        way, key = _LISTS[field.names]
        listed = functools.reduce(lambda t, k: (t or {}).get(k), way, tree) or []
        return [(item[key], item[key]) for item in listed if isinstance(item, Mapping) and item.get(key)]
    return [(value, words_of(field, value)) for value in field.choices]


def _systems_in(tree: Any) -> dict[str, str]:
    """Names and titles of the firm's own systems in a readings file, then of those shipped."""
    listed = functools.reduce(lambda t, k: t.get(k) if isinstance(t, Mapping) else None, OWN_SYSTEMS, tree)
    own = {
        str(sheet["name"]): str(sheet.get("title") or sheet["name"])
        for sheet in (listed if isinstance(listed, list) else [])
        if isinstance(sheet, Mapping) and sheet.get("name")
    }
    return own | {name: title for name, title in system_names().items() if name not in own}


def uses_of(tree: Any, names: str, name: str) -> Iterator[Path]:
    """Paths of every field that holds a name of that list: what must follow when the name changes."""
    yield from _uses(tree, (), Survey.__name__, names, name)


def _uses(tree: Any, at: Path, of: str, names: str, name: str) -> Iterator[Path]:
    for field in fields_of(of) if isinstance(tree, Mapping) else ():
        value, path = tree.get(field.name), (*at, field.name)
        if value is None:
            continue
        if field.names == names and value == name and not field.choices:
            yield path
        elif field.kind == "list" and isinstance(value, list):
            key = NAMED_LISTS.get(path, "")
            for number, item in enumerate(value):
                if isinstance(item, Mapping):
                    yield from _uses(item, (*path, str(item.get(key, number))), field.inside, names, name)
        elif field.kind in ("group", "reading"):
            yield from _uses(value, path, field.inside, names, name)


@functools.cache
def _shapes(root: type[BaseModel]) -> dict[str, Any]:
    schema = root.model_json_schema()
    return {**schema.get("$defs", {}), root.__name__: schema}


def _asked(of: str, name: str, part: Mapping[str, Any], needed: bool) -> Asked:
    own = _text_of(of, name)
    shape = shape_of(part)
    return Asked(
        name=name,
        of=of,
        label=own.get("label", name.replace("_", " ").capitalize()),
        help=own.get("help", part.get("description", "")),
        ask=own.get("ask", own.get("label", name)),
        unit=own.get("unit", _unit(name) if shape.kind in ("figure", "count", "figures") else ""),
        names=own.get("names", ""),
        column=own.get("column", ""),
        default=None if shape.kind == "group" else part.get("default"),
        needed=needed,
        sample=own.get("sample", ""),
        blank=own.get("blank", ""),
        serves=tuple(own.get("for", "").split()),
        by=own.get("by", ""),
        picture=own.get("picture", ""),
        copies=own.get("copies", ""),
        shape=shape,
    )


def _text_of(of: str, name: str) -> Mapping[str, str]:
    fields = _texts().fields
    owners = (of, "Part", "Any") if of in ("Light", "Across", "Down") else (of, "Any")
    return next((fields[key] for owner in owners if (key := f"{owner}.{name}") in fields), {})


def _unit(name: str) -> str:
    """By the end of the name.

    >>> _unit("floor_area_m2"), _unit("storeys")
    ('m²', '')
    """
    own = {row["field"]: row["unit"] for row in table("envelope")}
    if own.get(name):
        return str(own[name])
    units = sorted(table("unit_limits"), key=lambda row: -len(row["unit"]))
    return next((row["shown"] for row in units if f"_{name}".endswith(f"_{row['unit']}")), "")
