"""The crew's days of a house as the desk shows and changes them: who comes when, and what is held to a day."""

from __future__ import annotations

from collections import defaultdict
from typing import Annotated, Any

from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.job import Crew
from jambwright.readings.survey import WorkDay
from jambwright.record import DAY, Days, Placed
from jambwright.web.plan_view import reason_view

SHOWN_AT_LEAST = 5


class CrewChosen(Strict):
    """Who comes and when, and the openings held to a day."""

    first_day: WorkDay
    fitters: Annotated[int, Field(ge=1, le=8)] = 2
    towers: Annotated[int, Field(ge=0, le=4)] = 1
    outside_c: Annotated[float, Field(ge=-20, le=40)] = 8.0
    held: dict[str, WorkDay] = {}
    """Day on which an opening's wall is open, by its mark."""

    def crew(self) -> Crew:
        """As the plan takes it."""
        return Crew(
            first_day=self.first_day, fitters=self.fitters, towers=self.towers, outside_c=self.outside_c,
            held=self.held,
        )  # fmt: skip


def days_view(days: Days, chosen: CrewChosen) -> dict[str, Any]:
    """The crew's days of a plan: one row an opening, with what is done on which day."""
    working = [day.isoformat() for day in days.working_days]
    rows = _rows(days, chosen)
    last = max([*working[:SHOWN_AT_LEAST], *(day for row in rows for day in row["days"])], default="")
    return {
        "days": working,
        "shown": [day for day in working if day <= last],
        "rows": rows,
        "before": [reason_view(reason) for reason in days.before],
        "left_out": [problem.say for problem in days.left_out],
        "visits": days.plan.visits,
        "work_days": days.plan.days,
        "proven": days.plan.proven_optimal,
        "open_hours": round(days.plan.open_minutes / 60, 1),
    }


def _rows(days: Days, chosen: CrewChosen) -> list[dict[str, Any]]:
    rooms = {stay.opening_id: stay.room for stay in days.stays}
    by_mark: dict[str, dict[str, Any]] = defaultdict(dict)
    for stay in days.stays:
        by_mark[stay.opening_id][stay.on.isoformat()] = [_step(placed) for placed in stay.steps]
    return [
        {
            "id": mark,
            "room": room,
            "held": mark in chosen.held,
            "open_on": days.open_on[mark].isoformat() if mark in days.open_on else "",
            "days": by_mark[mark],
        }
        for mark, room in rooms.items()
    ]


def _step(placed: Placed) -> dict[str, Any]:
    start, end = (f"{minute % DAY // 60:02}:{minute % 60:02}" for minute in (placed.start, placed.end))
    return {"step": placed.step, "start": start, "end": end, "who": ", ".join(placed.who)}
