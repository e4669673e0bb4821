"""The border: models that refuse what they don't know, and their errors in words a fitter can act on."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from jambwright.basis.problems import BadInput, Problem

M = TypeVar("M", bound=BaseModel)

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
        raise BadInput(from_validation(error, model)) from None


def from_validation(error: ValidationError, model: type[BaseModel]) -> list[Problem]:
    """Turn a model's validation errors into problems in plain words, with near names suggested."""
    return [_problem(e, model) for e in error.errors(include_url=False)]


def _problem(error: Any, model: type[BaseModel]) -> Problem:
    *way, last = error["loc"] or ("",)
    # what an unknown field is called is the writer's own, whatever it looks like
    own = error["type"] == "extra_forbidden"
    place = [part for part in way if not _is_branch(part)] + ([last] if own or not _is_branch(last) else [])
    path = ".".join(str(part) for part in place) or "input"
    return Problem(path, f"{path}: {_sentence(error, place, model)}")


def _is_branch(part: Any) -> bool:
    # pydantic names the branch of a union it tried ("list[float]", "function-before[...]"); a reader
    # of the file never typed that
    return isinstance(part, str) and (any(mark in part for mark in "[(") or part in _BRANCHES)


_BRANCHES = {"float", "int", "str", "bool", "Taken", "Light", "Across", "Down", "Pane", "Gap"}


def _sentence(error: Any, place: Sequence[Any], model: type[BaseModel]) -> str:
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
        return f"{given} can't be; it must be {word} {limit:g}. Check the figure."
    if kind in ("literal_error", "enum"):
        near = difflib.get_close_matches(str(given), str(context["expected"]).replace("'", "").split(", "), 1)
        hint = f" Did you mean `{near[0]}`?" if near else ""
        return f"{given!r} is not one of {context['expected']}.{hint}"
    if kind in ("float_parsing", "float_type", "int_parsing", "int_type", "int_from_float"):
        return f"{given!r} is not a {'whole ' if kind.startswith('int') else ''}number."
    if kind == "finite_number":
        return f"{given} is not a real figure."
    if kind == "too_short":
        return "an empty list says nothing; give at least 1, or leave it out."
    if kind == "value_error":
        return str(context["error"])
    return f"{error['msg']} (was {given!r})."


def _suggestion(name: str, place: Sequence[Any], model: type[BaseModel]) -> str:
    near = difflib.get_close_matches(name, _fields_at(model, place), 1, cutoff=0.6)
    return f"; did you mean `{near[0]}`?" if near else "."


def _fields_at(model: Any, place: Sequence[Any]) -> list[str]:
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
