"""The order of work at one opening: which steps apply and how long each must rest."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass
from typing import Literal

from jambwright.basis.clause import Clause
from jambwright.basis.tables import table
from jambwright.plan.cures import COOL_C, cure_minutes
from jambwright.plan.reminders import reminders

Condition = Literal["no_lintel", "upstairs", "sill", "behind_nibs", "heavy", "fixed_glass", "glazed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkStep:
    """One step and the least wait after it."""

    step: str
    short: str
    """In a few words, for a sheet."""
    text: str
    wait_minutes: float
    """At the temperature of the data sheet."""
    source: Clause
    remember: tuple[str, ...] = ()
    """What hands forget at it; a plan kept before there were any has none."""
    cool_minutes: float = 0.0
    """At the outside temperature that is taken where none is given."""


def order_of_work(conditions: Set[Condition]) -> tuple[WorkStep, ...]:
    """The steps that apply, in order."""
    steps, cures = table("order_of_work"), table("cures")
    sheet = {row["cure"]: float(row["minutes"]) for row in cures}
    return tuple(
        WorkStep(
            step=row["step"],
            short=row["short"],
            text=row["text"],
            wait_minutes=sheet.get(row["cure"], 0.0),
            source=steps.source(row),
            remember=reminders(row["step"], conditions),
            cool_minutes=float(cure_minutes(row["cure"], COOL_C)),
        )
        for row in steps
        if row["when"] == "always" or row["when"] in conditions
    )
