"""Every trouble a person can be told of.

Three kinds, kept apart:

* ``BadInput`` (a ``ValueError``): cannot be; nothing is planned and nothing is written. It carries
  all its problems at once, never only the first.
* a ``Problem`` of kind ``caution``: unlikely or risky; the work goes on and the paper says so.
* a verdict (``checks.verdict``): possible, but breaks or strains a rule.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

Kind = Literal["bad", "caution"]


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong: the field it sits in, a sentence a fitter can act on, and how grave it is."""

    field: str
    bare: str
    """The sentence alone; ``say`` is what is printed."""
    kind: Kind = "bad"
    opening: str | None = None
    """Mark of the opening it belongs to, where it belongs to one."""
    of: str = ""
    """What the sentence speaks of, for whoever reads it by itself: an opening's name, a field."""

    @property
    def say(self) -> str:
        """The sentence with what it speaks of in front."""
        return f"{self.of}: {self.bare}" if self.of else self.bare

    def told_of(self, of: str, *, opening: str, field: str | None = None) -> Problem:
        """The same said of an opening, its name in front of all else."""
        named = f"{of}: {self.of}" if self.of else of
        return replace(self, opening=opening, of=named, field=self.field if field is None else field)

    def as_json(self) -> dict[str, str]:
        """The shape shared by terminal and HTTP."""
        return {"field": self.field, "say": self.say, "kind": self.kind}


class BadInput(ValueError):
    """The input cannot be used. ``problems`` holds every reason found, in the order of the input."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(p.say for p in self.problems))

    @classmethod
    def one(cls, field: str, say: str) -> BadInput:
        """The common case of a single problem."""
        return cls([Problem(field, say)])


def raise_if_any(problems: Iterable[Problem]) -> None:
    """Raise ``BadInput`` when any of the problems is bad; cautions pass."""
    listed = tuple(problems)
    if any(p.kind == "bad" for p in listed):
        raise BadInput(listed)
