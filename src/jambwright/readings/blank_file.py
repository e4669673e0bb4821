"""The blank readings file with its comments, written from the description of what is asked."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Any

from jambwright.readings.asked import Asked, choices_in, fields_of
from jambwright.readings.asked_shape import VALUES

HEAD = """\
# Jambwright readings file, blank. Lengths in millimetres. Every opening is seen from OUTSIDE:
# left and right are as you face it from the garden or the street.
# Delete what you do not need; a value left out is taken from `defaults` or reported as not known.
# A group behind # is used by taking the # away. Check it any time with:  jambwright check THIS_FILE
"""
COMMENT_AT = 34
WIDE = 120
FEW = 9
"""More choices than these are listed in full by the schema."""


def blank_file() -> str:
    """The blank file as `jambwright form --yaml` writes it."""
    return HEAD + "\n".join(_model("Survey", "", "")) + "\n"


def _model(of: str, indent: str, behind: str) -> Iterator[str]:
    for field in fields_of(of):
        if field.by != "proposals":
            yield from _field(field, indent, behind)


def _field(field: Asked, indent: str, behind: str) -> Iterator[str]:
    inner = indent + "  "
    if field.kind == "group" and field.inside.endswith("s") and _all_readings(field.inside):
        places = ", ".join(f"{place.name}: " for place in fields_of(field.inside))
        yield from _line(f"{indent}{field.name}: {{{places}}}", field.help, behind)
    elif field.kind == "group":
        off = behind or ("# " if _is_optional(field) else "")
        yield from _line(f"{indent}{field.name}:", field.help, off)
        yield from _model(field.inside, inner, off)
    elif field.kind == "list" and any(inside.sample for inside in fields_of(field.inside)):
        yield from _line(f"{indent}{field.name}:", field.help, behind)
        first, *rest = _model(field.inside, inner + "  ", behind)
        yield f"{first[: len(behind + inner)]}- {first[len(behind + inner) + 2 :]}"
        yield from rest
    elif field.kind == "layout":
        help_ = f"{field.help} One light as here; or across: [..] from the left, or down: [..] from the head."
        yield from _line(f"{indent}{field.name}:", help_, behind)
        yield from _model("Light", inner, behind)
    else:
        yield from _line(f"{indent}{field.name}: {_value(field)}".rstrip(), _comment(field), behind)


def _all_readings(of: str) -> bool:
    return all(field.kind == "reading" for field in fields_of(of))


def _is_optional(field: Asked) -> bool:
    """Whether leaving it out says something else than leaving all of it blank."""
    return (bool(field.blank) and field.inside != "ReadingSet") or any(
        f.needed for f in _values(field.inside)
    )


def _values(of: str) -> list[Asked]:
    return [field for field in fields_of(of) if field.kind in VALUES and not field.default and of != "Site"]


def _value(field: Asked) -> str:
    """What stands there in the blank: a sample, the default, or nothing."""
    if field.sample:
        return field.sample
    if field.choices == (1,):
        return "1"
    if field.kind == "words" and field.needed:
        return '""'
    empty = {"list": "[]", "several": "[]", "words_by": "{}", "figures_by": "{}", "groups_by": "{}"}
    return empty.get(field.kind) or _written(field.default)


def _written(value: Any) -> str:
    if value is None or isinstance(value, list):
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    return f"{value:g}" if isinstance(value, float) else '""' if value == "" else str(value)


def _comment(field: Asked) -> str:
    known = field.choices or tuple(value for value, _ in choices_in(field, {}))
    listed = ", ".join(map(_written, known)) if len(known) <= FEW else ""
    many = "" if listed or not known else f"One of {len(known)}, listed by the schema"
    said = f"{field.label}. {field.help}" if field.kind == "yes" else field.help or field.label
    yes = "True or false" if field.kind == "yes" else ""
    blank = f"Left out: {field.blank}" if field.blank else ""
    unit = field.unit if field.unit and not field.name.endswith(("_mm", "_m", "_km", "_m2", "_mm2")) else ""
    several = "A list: [..]" if field.kind in ("figures", "several") else ""
    return " ".join(
        f"{part.rstrip('.')}."
        for part in (said, unit, listed, many, several, yes, blank)
        if part and part != "1"
    )


def _line(text: str, comment: str, behind: str) -> Iterator[str]:
    """A line with its comment beside it, and what does not fit below."""
    start = max(COMMENT_AT, len(behind + text) + 2)
    first, *rest = textwrap.wrap(comment, max(40, WIDE - start - 2)) or [""]
    yield f"{behind}{text}".ljust(start) + f"# {first}" if first else f"{behind}{text}"
    for more in rest:
        yield f"{behind}".ljust(start) + f"# {more}"
