"""The border: models that refuse what they don't know, and their errors in words a fitter can act on."""

from __future__ import annotations

import difflib
import functools
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Annotated, Any, TypeVar, get_args

from pydantic import AliasChoices, BaseModel, ConfigDict, Field, ValidationError, model_validator
from pydantic.fields import FieldInfo

from jambwright.basis.envelope import Place, beyond, endless, why_not
from jambwright.basis.problems import BadInput, Problem, raise_if_any

M = TypeVar("M", bound=BaseModel)
Positive = Annotated[float, Field(gt=0)]
NotNegative = Annotated[float, Field(ge=0)]


class Strict(BaseModel):
    """A model that refuses fields it does not know and figures that are not finite."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, use_attribute_docstrings=True)

    @model_validator(mode="before")
    @classmethod
    def _true_is_no_figure(cls, given: Any) -> Any:
        """`true` would pass for 1."""
        if not isinstance(given, Mapping):
            return given
        wrong = [name for name, value in given.items() if _says_true(value) and not _may_be_true(cls, name)]
        return {**given, **{name: _as_words(given[name]) for name in wrong}} if wrong else given


def _says_true(value: Any) -> bool:
    inside = value.values() if isinstance(value, Mapping) else value if isinstance(value, list) else (value,)
    return any(isinstance(each, bool) for each in inside)


def _as_words(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {name: _as_words(each) for name, each in value.items()}
    if isinstance(value, list):
        return [_as_words(each) for each in value]
    return str(value).lower() if isinstance(value, bool) else value


def _may_be_true(model: type[BaseModel], name: str) -> bool:
    fields = model.model_fields.items()
    annotations: list[Any] = [field.annotation for own, field in fields if name in names_of(own, field)]
    return all(_holds(annotation) for annotation in annotations)


def names_of(own: str, field: FieldInfo) -> tuple[str, ...]:
    """All names a field may be given by, its own first."""
    alias = field.validation_alias
    more = [str(choice) for choice in alias.choices] if isinstance(alias, AliasChoices) else []
    return tuple(dict.fromkeys((own, *more)))


@functools.cache
def _holds(annotation: Any) -> bool:
    """Whether a field of that kind may hold true or false, or leaves it to a model of its own."""
    own = isinstance(annotation, type) and issubclass(annotation, BaseModel)
    return own or annotation in (bool, Any) or any(_holds(inner) for inner in get_args(annotation))


def accept(model: type[M], tree: Any) -> M:
    """Validate a tree of plain values; every fault is reported at once as ``BadInput``."""
    if not isinstance(tree, Mapping):
        raise BadInput.one("input", "input: a mapping of field names to values is wanted.")
    raise_if_any(_told(endless(tree)))
    try:
        accepted = model.model_validate(tree)
    except ValidationError as error:
        raise BadInput(list(refused(error, tree, model).values())) from None
    raise_if_any(_told(beyond(tree)))
    return accepted


def _told(found: Iterable[tuple[Place, str]]) -> Iterator[Problem]:
    for place, say in found:
        path = path_of(place) or "input"
        yield Problem(path, say, of=path)


def refused(error: ValidationError, tree: Any, model: type[BaseModel]) -> dict[Place, Problem]:
    """What a model refused of ``tree``, by its place in it, in plain words and with near names suggested."""
    return in_words(error.errors(include_url=False), tree, model)


def in_words(errors: Iterable[Any], tree: Any, model: type[BaseModel] = Strict) -> dict[Place, Problem]:
    """Errors of a model as ``refused`` gives them; without the model no near names are suggested.

    Where a value could be one of several things, only what was nearest to fitting is told.
    """
    found: dict[Place, Problem] = {}
    vague: set[Place] = set()
    for each in errors:
        place = _place(each, tree)
        if place in found and place not in vague:
            continue
        path = path_of(place) or "input"
        found[place] = Problem(path, _sentence(each, place, model), of=path)
        (vague.add if each["type"].endswith("_type") else vague.discard)(place)
    return {
        place: problem
        for place, problem in found.items()
        if not (place in vague and any(other[: len(place)] == place != other for other in found))
    }


def path_of(place: Place) -> str:
    """A place as messages and forms name it: `openings.2.room`."""
    return ".".join(cut(str(part)) for part in place)


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
    if kind in _COMPARED:
        return _out_of_range(given, _COMPARED[kind], next(iter(context.values())), str(place[-1]))
    if kind in ("literal_error", "enum"):
        near = difflib.get_close_matches(str(given), str(context["expected"]).replace("'", "").split(", "), 1)
        hint = f" Did you mean `{near[0]}`?" if near else ""
        return f"{shown(given)} is not one of {context['expected']}.{hint}"
    if kind in _FIGURES:
        whole = "whole " if kind.startswith("int") else ""
        return f"{shown(given)} is not a {whole}number.{_figure_meant(given)}"
    if kind in _SHAPES:
        return f"{_SHAPES[kind]} wanted here, not {shown(given)}."
    if kind in ("too_long", "too_short", "string_too_long"):
        return _counted(given, context)
    if kind == "string_pattern_mismatch":
        return f"{shown(given)} can't be; write {_FORMS.get(context['pattern'], 'it in the usual form')}."
    if kind == "value_error":
        return without_long_words(str(context["error"]).replace(str(given), cut(str(given))))
    if kind == "missing":
        return "is missing; give it a value."
    return f"{shown(given)} {_PLAIN.get(kind, 'can not be used here')}. Correct or remove it."


LONGEST_SHOWN = 60
"""Letters of a value that a message repeats."""
QUOTES = "'\""


def cut(text: str) -> str:
    """The beginning of a text that is too long to be repeated in a message.

    >>> cut("kitchen"), len(cut("x" * 5000))
    ('kitchen', 60)
    """
    return text if len(text) <= LONGEST_SHOWN else f"{text[: LONGEST_SHOWN - 1]}…"


def shown(value: Any) -> str:
    """A value as a message repeats it.

    >>> shown("12OO"), shown([1] * 5000), shown({"mm": 1}), shown(None)
    ("'12OO'", 'a list of 5,000', 'fields with values', 'nothing')
    """
    if value is None or isinstance(value, bool):
        return {None: "nothing", True: "true", False: "false"}[value]
    if isinstance(value, Mapping):
        return "fields with values"
    if isinstance(value, list | tuple):
        return f"a list of {len(value):,}"
    return cut(repr(value) if isinstance(value, str) else str(value))


def without_long_words(text: str) -> str:
    """The text with every word cut that no reader wants whole."""
    return _LONG_WORD.sub(lambda word: cut(word[0]), text)


def formed(pattern: str, words: str) -> Any:
    """The form of a text, with the words that ask for it."""
    _FORMS[pattern] = words
    return Field(pattern=pattern)


_FORMS = {r"\S": "something; it can't be left blank"}
_LONG_WORD = re.compile(rf"\S{{{LONGEST_SHOWN + 1},}}")
_WITH_COMMA = re.compile(r"^[-+]?\d+,\d+$")
_WITH_HALF = re.compile(r"^([-+]?\d+) ([1-9])/([2-9]|1[06])$")
_WITH_GAPS = re.compile(r"^[-+]?\d{1,3}(?:[ '_]\d{3})+$")


def _figure_meant(given: Any) -> str:
    """What may have been meant by a text that is no figure."""
    text = given.strip() if isinstance(given, str) else ""
    if _WITH_COMMA.match(text):
        return f" Write a decimal point, not a comma: {cut(text.replace(',', '.'))}."
    if half := _WITH_HALF.match(text):
        whole, part, parts = map(int, half.groups())
        return f" Write it with a decimal point: {whole + part / parts:g}." if part < parts else ""
    if _WITH_GAPS.match(text):
        return f" Write it in one: {cut(re.sub('[^-+0-9]', '', text))}."
    return ""


def _out_of_range(given: Any, must_be: str, limit: Any, field: str) -> str:
    figure = isinstance(limit, float | int)
    why = why_not(field, limit) if figure else ""
    most = f"{limit:g}" if figure else str(limit)
    because = f" ({why})" if why else ""
    return f"{shown(given).strip(QUOTES)} can't be; it must be {must_be} {most}{because}. Check the figure."


def _counted(given: Any, context: Mapping[str, Any]) -> str:
    if isinstance(given, str):
        return f"{len(given):,} letters are too many; {context['max_length']} at most. Shorten it."
    if "max_length" in context:
        return f"{len(given):,} are too many; {context['max_length']} at most. Check the list."
    least = context["min_length"]
    if least > 1:
        return f"{len(given):,} are too few; give at least {least}."
    return "an empty list says nothing; give at least 1, or leave it out."


_COMPARED = {
    "greater_than": "more than",
    "greater_than_equal": "at least",
    "less_than": "less than",
    "less_than_equal": "at most",
}
_FIGURES = (
    "float_parsing", "float_type", "int_parsing", "int_type", "int_from_float", "decimal_parsing", "decimal_type",
)  # fmt: skip
_SHAPES = {
    "model_type": "fields with values are",
    "model_attributes_type": "fields with values are",
    "dict_type": "fields with values are",
    "list_type": "a list is",
    "tuple_type": "a list is",
    "string_type": "a text in quotes is",
}
_DAY, _MOMENT = "is no day; write it as 2026-05-01", "is no day and time; write it as 2026-05-01T09:30"
_PLAIN = {
    "finite_number": "is not a real figure",
    "decimal_max_digits": "has too many digits",
    "decimal_max_places": "has too many places after the point",
    "int_parsing_size": "has too many digits",
    "string_too_short": "says nothing",
    "bool_parsing": "is neither true nor false",
    "bool_type": "is neither true nor false",
    "timezone_aware": "says no time zone",
    **dict.fromkeys(("date_type", "date_parsing", "date_from_datetime_parsing"), _DAY),
    **dict.fromkeys(("date_from_datetime_inexact",), _DAY),
    **dict.fromkeys(
        ("datetime_type", "datetime_parsing", "datetime_from_date_parsing", "datetime_object_invalid"),
        _MOMENT,
    ),
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
