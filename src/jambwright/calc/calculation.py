"""What a calculation by name is: its input model, what it answers and what it runs."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ConfigDict

from jambwright.basis.border import Strict
from jambwright.basis.problems import Kind, Problem
from jambwright.basis.working import Working

In = TypeVar("In", bound=Strict)
M = TypeVar("M", bound="Answer")


class Answer(BaseModel):
    """Base of every answer. A field that does not apply to the question is left unset and not sent."""

    model_config = ConfigDict(extra="forbid", use_attribute_docstrings=True)


def filled(model: type[M], value: Any, **more: Any) -> M:
    """An answer filled from a value that has fields of the same names."""
    names = [name for name in model.model_fields if name not in more]
    return model(**{name: getattr(value, name) for name in names}, **more)


class ProblemLine(Answer):
    """Something a person must know beside the answer: the shape shared by terminal and HTTP."""

    field: str
    say: str
    kind: Kind

    @classmethod
    def of(cls, problem: Problem) -> ProblemLine:
        """The same problem as an answer sends it."""
        return cls(field=problem.field, say=problem.say, kind=problem.kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class Calculation(Generic[In]):
    """One calculation as terminal and HTTP offer it."""

    name: str
    summary: str
    asks: type[In]
    answers: type[Answer]
    run: Callable[[In, Working], Answer]
    """Gives the answer and notes the steps to it."""
    example: Mapping[str, Any]
    """An input that works, for the help, the schema page and the tests."""
