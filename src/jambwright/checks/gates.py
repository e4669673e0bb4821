"""The gates: what a finding stops, the order or the work, and what opens the way again.

Two gates an opening, one for the house. What shuts a gate is decided here alone, by the table ``gates``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal, get_args

from jambwright.basis.tables import Row, table
from jambwright.checks.verdict import Stop, Verdict, gravity
from jambwright.readings.cleared import Cleared

State = Literal["open", "shut"]
Opener = Literal["reading", "change", "person"]
"""What opens a gate: a reading or an answer, an accepted change of what was asked, a named person or paper."""
HELD_BY = ("person",)
REST = "*"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One finding that shuts a gate, and what opens it."""

    rule: str
    word: str
    say: str
    by: tuple[Opener, ...]
    opens: str
    """What to do, in a sentence."""
    name: str
    """What is written under ``cleared`` once a person or paper has settled it; empty where that can't."""
    house: bool = False
    """A finding on the house, which stops every opening."""
    places: tuple[str, ...] = ()
    """Paths of the fields that mend it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """One gate: open, or shut for the reasons given."""

    reasons: tuple[Reason, ...] = ()
    state: State = "open"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gates:
    """What stands in the way before ordering and before the work."""

    ordering: Gate = Gate()
    work: Gate = Gate()

    @property
    def shut(self) -> tuple[Stop, ...]:
        """Names of the gates that are shut."""
        return tuple(name for name in get_args(Stop) if getattr(self, name).state == "shut")


def stopped(verdict: Verdict, cleared: Sequence[Cleared], work_on: date | None = None) -> Verdict:
    """The verdict with the gates it shuts, what opens them, and who has cleared it already.

    What is dated after ``work_on``, the first day of the work, has cleared nothing yet.
    """
    row = _row(verdict)
    if row is None:
        return verdict
    by: tuple[Opener, ...] = tuple(row["by"].split())
    opens = row["opens"]
    if "person" in by and (done := _clearing(verdict, row, cleared)):
        if work_on is None or done.on <= work_on:
            return replace(verdict, cleared=f"{done.by}, {done.on.isoformat()}")
        opens += f" What is to settle it ({done.by}) is dated {done.on}, after the work starts."
    return replace(verdict, stops=tuple(row["gates"].split()), opens=opens)


def gates_of(verdicts: Iterable[Verdict], house: Iterable[Verdict] = ()) -> Gates:
    """The gates of an opening by its own verdicts and those of its house, gravest first, each said once."""
    reasons: dict[Stop, list[Reason]] = {name: [] for name in get_args(Stop)}
    for verdicts_of, of_house in ((verdicts, False), (house, True)):
        for verdict in sorted(verdicts_of, key=gravity, reverse=True):
            for name in verdict.stops:
                reasons[name].append(_reason(verdict, of_house))
    return Gates(**{name: _gate(found) for name, found in reasons.items()})


def _gate(reasons: Sequence[Reason]) -> Gate:
    once = tuple(dict.fromkeys(reasons))
    return Gate(reasons=once, state="shut" if once else "open")


def _reason(verdict: Verdict, house: bool) -> Reason:
    row = _row(verdict)
    assert row is not None
    return Reason(
        rule=verdict.rule,
        word=verdict.word,
        say=verdict.sentence,
        by=tuple(row["by"].split()),
        opens=verdict.opens,
        name=row["name"],
        house=house,
        places=verdict.places,
    )


def _row(verdict: Verdict) -> Row | None:
    """The first row for the verdict's rule, or a group it belongs to, if its word is one that stops."""
    for row in table("gates"):
        if _belongs(verdict.rule, row["rule"]):
            return row if verdict.word in row["words"].split() else None
    return None


def _belongs(rule: str, group: str) -> bool:
    """
    >>> _belongs("glass.strength", "glass"), _belongs("glassy", "glass")
    (True, False)
    """
    return group == REST or _of_group(rule, group)


def _of_group(rule: str, group: str) -> bool:
    return rule == group or rule.startswith(f"{group}.")


def _clearing(verdict: Verdict, row: Row, cleared: Sequence[Cleared]) -> Cleared | None:
    """The earliest entry that settles it: by the gate's short name, the rule, or the rule's group."""
    fitting = (c for c in cleared if c.what == row["name"] or _of_group(verdict.rule, c.what))
    return min(fitting, key=lambda c: c.on, default=None)
