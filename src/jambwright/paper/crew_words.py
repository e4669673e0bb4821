"""Words for what a crew does: its tasks, and the two blocks in which an opening is worked at."""

from __future__ import annotations

from jambwright.basis.tables import table


def step_words() -> dict[str, str]:
    """Words of every task, those of the day as a whole included."""
    return {row["step"]: row["words"] for row in table("crew_tasks")} | {
        row["what"]: row["words"] for row in table("crew_day")
    }


def block_of(step: str) -> str:
    """open or close for a task at an opening; of the day as a whole its own words."""
    block = {row["step"]: row["block"] for row in table("crew_tasks")}.get(step)
    return block or step_words()[step]
