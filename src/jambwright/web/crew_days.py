"""The crew's days of a house as the desk shows and changes them: who comes when, and what is held to a day."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, timedelta
from typing import Annotated, Any

from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.plan.crew import Placed
from jambwright.plan.crew.days import CrewDays
from jambwright.plan.crew.work import DAY, Crew
from jambwright.plan.house import HousePlan

SHOWN_AT_LEAST = 5


class CrewChosen(Strict):
    """Who comes and when, and the openings held to a day."""

    first_day: date
    fitters: Annotated[int, Field(ge=1, le=8)] = 2
    towers: Annotated[int, Field(ge=0, le=4)] = 1
    outside_c: Annotated[float, Field(ge=-20, le=40)] = 8.0
    held: dict[str, date] = {}
    """Day on which an opening's wall is open, by its mark."""

    def crew(self) -> Crew:
        """As the plan takes it."""
        return Crew(
            first_day=self.first_day, fitters=self.fitters, towers=self.towers, outside_c=self.outside_c,
            held=self.held,
        )  # fmt: skip


def days_view(plan: HousePlan, days: CrewDays, chosen: CrewChosen) -> dict[str, Any]:
    """The crew's days as plain values: one row an opening, with what is done on which day."""
    working = [day.isoformat() for day in _working_days(days)]
    rows = _rows(plan, days, chosen)
    last = max([*working[:SHOWN_AT_LEAST], *(day for row in rows for day in row["days"])])
    return {
        "chosen": chosen.model_dump(mode="json"),
        "days": working,
        "shown": [day for day in working if day <= last],
        "rows": rows,
        "left_out": [problem.say for problem in days.left_out],
        "visits": days.plan.visits,
        "work_days": days.plan.days,
        "proven": days.plan.proven_optimal,
        "open_hours": round(days.plan.open_minutes / 60, 1),
    }


def _working_days(days: CrewDays) -> list[date]:
    spans = days.project.calendar.days if days.project.calendar else ()
    return [days.crew.first_day + timedelta(days=start // DAY) for start, _ in spans]


def _rows(plan: HousePlan, days: CrewDays, chosen: CrewChosen) -> list[dict[str, Any]]:
    by_mark: dict[str, dict[str, Any]] = defaultdict(dict)
    opens: dict[str, str] = {}
    for stay in days.stays:
        day = stay.on.isoformat()
        by_mark[stay.opening_id][day] = [_step(placed) for placed in stay.steps]
        if any(days.project.task(placed.id).same_day for placed in stay.steps):
            opens.setdefault(stay.opening_id, day)
    return [
        {
            "id": each.opening.id,
            "room": each.opening.room,
            "held": each.opening.id in chosen.held,
            "open_on": opens.get(each.opening.id, ""),
            "days": by_mark[each.opening.id],
        }
        for each in plan.openings
        if each.opening.id in by_mark
    ]


def _step(placed: Placed) -> dict[str, Any]:
    start, end = (f"{minute % DAY // 60:02}:{minute % 60:02}" for minute in (placed.start, placed.end))
    return {"step": placed.step, "start": start, "end": end, "who": ", ".join(placed.who)}
