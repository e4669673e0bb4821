"""What stood and stands in a field, in words: figures with their unit, groups by their labels."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, datetime
from typing import Any

from pydantic import BaseModel

from jambwright.basis.units import show_mm
from jambwright.readings import PLACES
from jambwright.readings.asked import Asked, choices_in, every_word, fields_of, layout_model, words_of
from jambwright.readings.fitted import AsFitted
from jambwright.readings.places import parse
from jambwright.web.history_place import Place, is_offset, label_of, place_of
from jambwright.web.texts import say

MOST_PARTS = 8
"""Parts of a group that are told; the rest are counted."""
MOST_LETTERS = 200
COUNTED = ("mends", "changes", "accepted")
"""Lists of the program's own, told by how many they are."""


def value_words(place: Place, value: Any) -> str:
    """A value as it is spoken of."""
    if value is None:
        return say("history.nothing")
    if place.item and place.field is not None:
        return _item(place.field, value, place.root)
    if place.field is None:
        return _frame(value) if place.of == "fitted" else _listed(value)
    return words_for(place.field, value, place.root)


def words_for(field: Asked, value: Any, root: type[BaseModel]) -> str:
    """A value of a field."""
    if value is None or value in ("", [], {}):
        return say("history.nothing")
    if field.of == "AsFitted" and field.name == "plan":
        return say("history.a_plan")
    if field.of == "AcceptedChange" and field.name == "place":
        return _place(value)
    if field.kind == "reading":
        return _reading(field, value)
    if field.kind == "layout":
        return _layout(value)
    if isinstance(value, Mapping):
        return _mapping(field, value, root)
    if isinstance(value, list):
        return _list(field, value, root)
    return _single(field, value)


def _single(field: Asked, value: Any) -> str:
    """One value."""
    if isinstance(value, bool):
        own = field.kind == "choice"
        return _quoted(words_of(field, value) if own else say("yes") if value else say("no"))
    if isinstance(value, int | float):
        unit = _unit(field)
        return f"{_number(value)} {unit}" if unit else _number(value)
    if field.choices or field.names:
        known = {*field.choices, *(name for name, _ in choices_in(field, {}))}
        if value in known:
            return _quoted(words_of(field, value))
    if field.kind in ("day", "moment") and (told := _day(value)):
        return told
    return _quoted(value)


def _unit(field: Asked) -> str:
    return "mm" if field.of in ("GapsUp", "GapsAlong") else field.unit


def _number(value: float) -> str:
    """
    >>> _number(1208), _number(1051.5), _number(-2.0)
    ('1,208', '1,051.5', '−2')
    """
    return f"{value:,.10g}".replace("-", "−")


def _quoted(value: Any) -> str:
    text = " ".join(str(value).split())
    return say("history.quoted", text=text if len(text) <= MOST_LETTERS else f"{text[: MOST_LETTERS - 1]}…")


def _day(value: Any) -> str:
    try:
        moment = datetime.fromisoformat(str(value))
    except ValueError:
        return ""
    day = date(moment.year, moment.month, moment.day)
    words = f"{day.day} {day:%B %Y}"
    return words if len(str(value)) <= len("2026-01-01") else f"{words}, {moment:%H:%M}"


def _reading(field: Asked, value: Any) -> str:
    """What was read at one place, with how and with what where that was told."""
    taken = value if isinstance(value, Mapping) else {"mm": value}
    figures = taken["mm"] if isinstance(taken.get("mm"), list) else [taken.get("mm")]
    kind = is_offset(field)
    said = say("history.and").join(_read(kind, figure) for figure in figures)
    more = [
        say(f"history.taken.{name}", what=taken[name])
        for name in ("tool", "who")
        if isinstance(taken.get(name), str)
    ]
    if taken.get("how") in ("told", "scaled"):
        more.append(every_word().get(str(taken["how"]), str(taken["how"])).lower())
    return f"{said} ({', '.join(more)})" if more else said


def _read(kind: str, figure: Any) -> str:
    if isinstance(figure, bool) or not isinstance(figure, int | float):
        return _quoted(figure) if figure is not None else say("history.nothing")
    if kind and figure:
        way = "plus" if figure > 0 else "minus"
        return f"{show_mm(abs(figure))} mm ({say(f'pad.{kind}.{way}').lower()})"
    return f"{_number(figure)} mm"


def _layout(value: Any) -> str:
    """The lights of a layout by how they open."""
    opens = next(f for f in fields_of("Light") if f.name == "opens")
    lights = [words_of(opens, light) for light in _lights(value)]
    return say("history.lights", n=len(lights), lights=_some([light.lower() for light in lights]))


def _lights(node: Any) -> Iterator[str]:
    if not isinstance(node, Mapping):
        return
    split = layout_model(node).lower()
    if split == "light":
        yield str(node.get("opens", "fixed"))
        return
    parts = node[split]
    for part in parts if isinstance(parts, list) else ():
        yield from _lights(part)


def _mapping(field: Asked, value: Mapping[str, Any], root: type[BaseModel]) -> str:
    """A group by the labels of its fields, or what is kept by name."""
    if field.kind == "groups_by":
        return _some(
            [f"{_quoted(name)} ({_group(field.inside, inner, root)})" for name, inner in value.items()]
        )
    if field.inside:
        return _group(field.inside, value, root)
    if field.kind not in ("figures_by", "words_by"):
        return say("history.strange", n=len(value))
    names = dict(choices_in(field, {})) if field.names else {}
    return _some(
        [f"{names.get(name) or _quoted(name)}: {_single(field, inner)}" for name, inner in value.items()]
    )


def _list(field: Asked, value: list[Any], root: type[BaseModel]) -> str:
    if field.name in COUNTED:
        return say(f"history.count.{field.name}", n=len(value))
    if field.kind == "parts":
        return _layout({field.name: value})
    if field.kind == "list":
        return _some([_named(field, item, root) for item in value])
    return say("history.and").join(_single(field, each) for each in value)


def _named(field: Asked, item: Any, root: type[BaseModel]) -> str:
    """An item of a list by its name, or by its fields where it has none."""
    if not isinstance(item, Mapping):
        return _single(field, item)
    name = item.get("id") or item.get("name")
    return str(name) if name else _group(field.inside, item, root)


def _item(field: Asked, value: Any, root: type[BaseModel]) -> str:
    """The whole of one item: an opening by its room and how much of it was read."""
    if field.kind == "parts":
        return _layout(value)
    if not isinstance(value, Mapping):
        return _single(field, value)
    if field.inside == "Opening":
        return say("history.opening", room=value.get("room") or "–", n=_count_readings(value))
    return _group(
        field.inside, {name: inner for name, inner in value.items() if name not in ("id", "name")}, root
    )


def _count_readings(opening: Mapping[str, Any]) -> int:
    faces = (opening.get(face) or {} for face in ("outside", "inside"))
    groups = (face.get(kind) or {} for face in faces if isinstance(face, Mapping) for kind in PLACES)
    return sum(
        len([r for r in group.values() if r is not None]) for group in groups if isinstance(group, Mapping)
    )


def _group(of: str, value: Any, root: type[BaseModel]) -> str:
    """The fields of a group that say something."""
    if not isinstance(value, Mapping):
        return _quoted(value)
    known = {field.name: field for field in fields_of(of, root)}
    told = [
        _pair(known[name], inner, root)
        for name, inner in value.items()
        if name in known and inner not in (None, "", [], {})
    ]
    strange = len([name for name in value if name not in known])
    if strange:
        told.append(say("history.strange", n=strange))
    return _some(told) if told else say("history.nothing")


def _pair(field: Asked, value: Any, root: type[BaseModel]) -> str:
    words = words_for(field, value, root)
    if field.kind == "reading":
        return f"{field.label[:1].lower()}{field.label[1:]} {words}"
    if field.inside in READING_GROUPS:
        return words
    return (
        f"{label_of(field, root)}: {words}" if field.kind != "group" else f"{label_of(field, root)} ({words})"
    )


READING_GROUPS = ("ReadingSet", "Widths", "Heights", "Diagonals", "Levels", "Plumbs", "Bows")
"""Groups whose readings speak for themselves."""


def _frame(value: Any) -> str:
    """All that was read of one frame as fitted."""
    return _group(AsFitted.__name__, value, AsFitted)


def _listed(value: Any) -> str:
    """By marks."""
    return _some([str(mark) for mark in value]) if isinstance(value, Mapping) and value else _none_or(value)


def _none_or(value: Any) -> str:
    return _quoted(value) if value else say("history.nothing")


def _place(value: Any) -> str:
    """The field that an accepted change touched."""
    try:
        place = place_of(parse(str(value)), {})
    except ValueError:
        place = None
    return say("history.field_name", label=" › ".join(place.labels)) if place else say("history.a_field")


def _some(parts: list[str]) -> str:
    """The first of them, and how many more there are."""
    told = "; ".join(parts[:MOST_PARTS])
    more = len(parts) - MOST_PARTS
    return f"{told}; {say('history.more', n=more)}" if more > 0 else told
