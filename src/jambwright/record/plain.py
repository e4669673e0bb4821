"""Plain values: what a record is made of, and how a stage's own values are made plain."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict

from jambwright.basis.working import Step, Working

T = TypeVar("T")


class Plain(BaseModel):
    """Base of every part of a record: typed, closed, never changed."""

    model_config = ConfigDict(extra="forbid", frozen=True, use_attribute_docstrings=True)


class Figure(Plain):
    """A figure a person acts on, with the steps that lead to it; the last step gives the value."""

    value: float
    unit: str
    steps: Working = Working()

    @classmethod
    def of(cls, value: float, unit: str, working: Working | None = None) -> Figure:
        """With its working made plain."""
        return cls(value=float(value), unit=unit, steps=plain(working or Working()))


def plain(value: T) -> T:
    """The same value with plain numbers for those of arrays, however deep they lie.

    >>> import numpy as np
    >>> plain({"a": (np.float64(1.5), np.array([1, 2]))})
    {'a': (1.5, [1, 2])}
    """
    made: T = _plain(value)
    return made


def _plain(value: Any) -> Any:
    if isinstance(value, str | int | float | bool) and type(value).__module__ == "builtins":
        return value
    if hasattr(value, "tolist"):
        return value.tolist()
    if isinstance(value, Step):
        return replace(value, value=_listed(value.value), inputs=_listed(dict(value.inputs)))
    if is_dataclass(value) and not isinstance(value, type):
        kept = {f.name: getattr(value, f.name) for f in fields(value) if f.init}
        made = {name: _plain(each) for name, each in kept.items()}
        return replace(value, **made) if any(made[name] is not kept[name] for name in kept) else value
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, tuple):
        return tuple(_plain(each) for each in value)
    if isinstance(value, list):
        return [_plain(each) for each in value]
    return value


def _listed(value: Any) -> Any:
    """Free values, as JSON gives them back."""
    value = _plain(value)
    if isinstance(value, Mapping):
        return {str(key): _listed(each) for key, each in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        return [_listed(each) for each in value]
    if value is None or isinstance(value, str | int | float | bool):
        return value
    return str(value)
