"""How a field is answered, read off the shape that its model gives it in JSON Schema."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from jambwright.basis.envelope import LONGEST_NOTE

Kind = Literal[
    "figure", "count", "yes", "choice", "words", "note", "day", "moment", "anything",
    "figures", "lines", "several", "figures_by", "words_by",
    "reading", "layout", "parts", "group", "list", "groups_by",
]  # fmt: skip
"""How a field is answered: one value, several of a kind, or something with fields of its own."""
VALUES: tuple[Kind, ...] = ("figure", "count", "yes", "choice", "words", "note", "day", "moment", "anything")
SEVERAL: tuple[Kind, ...] = ("figures", "lines", "several", "figures_by", "words_by")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """What a field takes."""

    kind: Kind
    choices: tuple[Any, ...]
    least: float | None
    most: float | None
    letters: int | None
    pattern: str
    """What a text has to look like, empty where any will do."""
    inside: str
    """Model of what stands in it."""
    repeated: bool
    """One figure, or several of one place."""


def shape_of(part: Mapping[str, Any]) -> Shape:
    """The shape of one property.

    >>> shape_of({"anyOf": [{"type": "number", "minimum": 2}, {"type": "null"}]}).kind
    'figure'
    """
    kinds = [each for each in part.get("anyOf", [part]) if each.get("type") != "null"]
    kind, first = _kind(kinds)
    return Shape(
        kind=kind,
        choices=_choices(kinds),
        least=first.get("minimum", first.get("exclusiveMinimum")),
        most=first.get("maximum", first.get("exclusiveMaximum")),
        letters=first.get("maxLength"),
        pattern=first.get("pattern", ""),
        inside=_inside(first if kind != "reading" else kinds[-1]),
        repeated=kind == "figures" and len(kinds) > 1,
    )


def _kind(kinds: Sequence[Mapping[str, Any]]) -> tuple[Kind, Mapping[str, Any]]:
    """How it is answered, and the branch of its shape that tells the limits."""
    first = kinds[0]
    types = [each.get("type") for each in kinds]
    if "oneOf" in first:
        return "layout", first
    if any("$ref" in each for each in kinds):
        return ("reading" if len(kinds) > 1 else "group"), first
    if "array" in types:
        listed = kinds[types.index("array")]
        return _kind_of_list(listed["items"]), {**listed["items"], "of": listed}
    if any("enum" in each for each in kinds) or "const" in first:
        return "choice", first
    if types[0] == "object":
        return _kind_by_name(first["additionalProperties"]), first["additionalProperties"]
    if types[0] == "string":
        return _kind_of_text(first), first
    single: dict[Any, Kind] = {"boolean": "yes", "number": "figure", "integer": "count"}
    return single.get(types[0], "anything"), first


def _kind_of_text(shape: Mapping[str, Any]) -> Kind:
    by_format: dict[str, Kind] = {"date": "day", "date-time": "moment"}
    long = shape.get("maxLength", 0) >= LONGEST_NOTE
    return by_format.get(shape.get("format", ""), "note" if long else "words")


def _kind_of_list(items: Mapping[str, Any]) -> Kind:
    if "oneOf" in items:
        return "parts"
    if "$ref" in items:
        return "list"
    return "several" if "enum" in items else "figures" if items.get("type") == "number" else "lines"


def _kind_by_name(value: Mapping[str, Any]) -> Kind:
    if "$ref" in value:
        return "groups_by"
    return "figures_by" if value.get("type") == "number" else "words_by"


def _choices(kinds: Sequence[Mapping[str, Any]]) -> tuple[Any, ...]:
    found: list[Any] = []
    enums = [each for each in kinds if "enum" in each or "enum" in each.get("items", {})]
    for each in kinds:
        if each.get("type") == "boolean" and enums:
            found += [False, True]
        found += each.get("enum", each.get("items", {}).get("enum", []))
    return tuple(found) or tuple(each["const"] for each in kinds if "const" in each)


def _inside(shape: Mapping[str, Any]) -> str:
    return str(shape.get("$ref", "")).rsplit("/", 1)[-1]
