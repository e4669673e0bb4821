"""The border: models that refuse what they don't know, and their errors in words a fitter can act on."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from jambwright.basis.problems import BadInput, Problem

M = TypeVar("M", bound=BaseModel)
Place = tuple[str | int, ...]
"""The names and numbers that lead to one value of a tree."""

Positive = Annotated[float, Field(gt=0)]
NotNegative = Annotated[float, Field(ge=0)]


class Strict(BaseModel):
    """A model that refuses fields it does not know and figures that are not finite."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, use_attribute_docstrings=True)


def accept(model: type[M], tree: Any) -> M:
    """Validate a tree of plain values; every fault is reported at once as ``BadInput``."""
    if not isinstance(tree, Mapping):
        raise BadInput.one("input", "input: a mapping of field names to values is wanted.")
    try:
        return model.model_validate(tree)
    except ValidationError as error:
        raise BadInput(list(refused(error, tree, model).values())) from None


def refused(error: ValidationError, tree: Any, model: type[BaseModel]) -> dict[Place, Problem]:
    """What a model refused of ``tree``, by its place in it, in plain words and with near names suggested.

    Where a value could be one of several things, only what was nearest to fitting is told.
    """
    found: dict[Place, Problem] = {}
    vague: set[Place] = set()
    for each in error.errors(include_url=False):
        place = _place(each, tree)
        if place in found and place not in vague:
            continue
        path = ".".join(str(part) for part in place) or "input"
        found[place] = Problem(path, _sentence(each, place, model), of=path)
        (vague.add if each["type"].endswith("_type") else vague.discard)(place)
    return {
        place: problem
        for place, problem in found.items()
        if not (place in vague and any(other[: len(place)] == place != other for other in found))
    }


def _place(error: Any, tree: Any) -> Place:
    # between the names that were typed, pydantic puts those of the branches and validators it tried;
    # a reader of the file never wrote these, so the way is followed through what they wrote
    place: list[str | int] = []
    *way, last = error["loc"] or ("",)
    for part in (*way, last):
        below = _below(tree, part)
        if below is not _NOTHING:
            place.append(part)
            tree = below
    if error["type"] == "missing":
        place.append(last)
    return tuple(place)


def _below(tree: Any, part: str | int) -> Any:
    if isinstance(tree, Mapping):
        return tree.get(part, _NOTHING)
    inside = isinstance(tree, list | tuple) and isinstance(part, int) and part < len(tree)
    return tree[part] if inside else _NOTHING


_NOTHING = object()


def _sentence(error: Any, place: Place, model: type[BaseModel]) -> str:
    kind, given, context = error["type"], error["input"], error.get("ctx", {})
    if kind == "extra_forbidden":
        hint = _suggestion(str(place[-1]), place[:-1], model)
        return f"there is no such field here{hint} Correct or remove it."
    if kind == "missing":
        return "is missing; give it a value."
    if kind in ("greater_than", "greater_than_equal", "less_than", "less_than_equal"):
        word = {"greater_than": "more than", "greater_than_equal": "at least",
                "less_than": "less than", "less_than_equal": "at most"}[kind]  # fmt: skip
        limit = next(iter(context.values()))
        shown = f"{limit:g}" if isinstance(limit, float | int) else str(limit)
        return f"{given} can't be; it must be {word} {shown}. Check the figure."
    if kind in ("literal_error", "enum"):
        near = difflib.get_close_matches(str(given), str(context["expected"]).replace("'", "").split(", "), 1)
        hint = f" Did you mean `{near[0]}`?" if near else ""
        return f"{given!r} is not one of {context['expected']}.{hint}"
    if kind in ("float_parsing", "float_type", "int_parsing", "int_type", "int_from_float"):
        return f"{given!r} is not a {'whole ' if kind.startswith('int') else ''}number."
    if kind in _SHAPES:
        return f"{_SHAPES[kind]} wanted here, not {given!r}."
    if kind == "finite_number":
        return f"{given} is not a real figure."
    if kind == "too_short":
        return "an empty list says nothing; give at least 1, or leave it out."
    if kind == "value_error":
        return str(context["error"])
    return f"{error['msg']} (was {given!r})."


_SHAPES = {
    "model_type": "fields with values are",
    "dict_type": "fields with values are",
    "list_type": "a list is",
    "tuple_type": "a list is",
    "string_type": "a text in quotes is",
}


def _suggestion(name: str, place: Place, model: type[BaseModel]) -> str:
    near = difflib.get_close_matches(name, _fields_at(model, place), 1, cutoff=0.6)
    return f"; did you mean `{near[0]}`?" if near else "."


def _fields_at(model: Any, place: Place) -> list[str]:
    models = _models_in(model)
    for part in place:
        if isinstance(part, int):
            continue
        models = [
            inner
            for m in models
            if part in m.model_fields
            for inner in _models_in(m.model_fields[part].annotation)
        ]
    return [name for m in models for name in m.model_fields]


def _models_in(annotation: Any) -> list[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [m for inner in getattr(annotation, "__args__", ()) for m in _models_in(inner)]
