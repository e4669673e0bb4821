"""What hands forget at a step of the order of work, each with a box of its own to tick."""

from __future__ import annotations

from collections.abc import Set

from jambwright.basis.tables import table


def reminders(step: str, conditions: Set[str]) -> tuple[str, ...]:
    """Those of one step under the conditions of an opening, in the order of the table."""
    return tuple(
        row["reminder"]
        for row in table("step_reminders")
        if row["step"] == step and (row["when"] == "always" or row["when"] in conditions)
    )
