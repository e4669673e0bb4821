"""The crew's days of a house as the desk shows and changes them: who comes when, and what is held to a day."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from datetime import date, timedelta
from typing import Annotated, Any

from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.plan.crew import CrewPlan, Placed, Project, Task, plan_crew
from jambwright.plan.crew.work import DAY, Crew, project_of
from jambwright.plan.house import HousePlan
from jambwright.web.texts import say

SECONDS = 8.0


class CrewChosen(Strict):
    """Who comes and when, and the openings held to a day."""

    first_day: date
    fitters: Annotated[int, Field(ge=1, le=8)] = 2
    towers: Annotated[int, Field(ge=0, le=4)] = 1
    outside_c: Annotated[float, Field(ge=-20, le=40)] = 8.0
    held: dict[str, date] = {}
    """Day on which an opening's wall is open, by its mark."""


def crew_days(plan: HousePlan, chosen: CrewChosen) -> dict[str, Any]:
    """The plan of the crew as plain values. Raises ``BadInput`` for what fits in no day."""
    crew = Crew(
        first_day=chosen.first_day, fitters=chosen.fitters, towers=chosen.towers, outside_c=chosen.outside_c
    )
    project = project_of(plan, crew)
    raise_if_any(_wrong_days(project, chosen))
    found = plan_crew(_held(project, chosen), seconds=SECONDS)
    days = [day.isoformat() for day in _working_days(project, chosen)]
    rows = _rows(plan, project, found, chosen)
    return {
        "chosen": chosen.model_dump(mode="json"),
        "days": days,
        "shown": [day for day in days if day <= max([*days[:5], *(d for row in rows for d in row["days"])])],
        "rows": rows,
        "visits": found.visits,
        "work_days": found.days,
        "proven": found.proven_optimal,
        "open_hours": round(found.open_minutes / 60, 1),
    }


def _working_days(project: Project, chosen: CrewChosen) -> list[date]:
    days = project.calendar.days if project.calendar else ()
    return [chosen.first_day + timedelta(days=start // DAY) for start, _ in days]


def _wrong_days(project: Project, chosen: CrewChosen) -> list[Problem]:
    working = set(_working_days(project, chosen))
    return [
        Problem(f"held.{mark}", say("days.not_working", mark=mark, day=day.isoformat()))
        for mark, day in chosen.held.items()
        if day not in working
    ]


def _held(project: Project, chosen: CrewChosen) -> Project:
    """The tasks that open the wall of a held opening are given that day alone."""
    return replace(project, tasks=tuple(_on_its_day(task, chosen) for task in project.tasks))


def _on_its_day(task: Task, chosen: CrewChosen) -> Task:
    day = chosen.held.get(task.same_day or "")
    if day is None:
        return task
    start = (day - chosen.first_day).days * DAY
    return replace(task, window=(start, start + DAY))


def _rows(plan: HousePlan, project: Project, found: CrewPlan, chosen: CrewChosen) -> list[dict[str, Any]]:
    """One row an opening, with what is done on which day."""
    by_mark: dict[str, dict[str, list[dict[str, Any]]]] = defaultdict(lambda: defaultdict(list))
    opens: dict[str, str] = {}
    for placed in sorted(found.tasks, key=lambda one: one.start):
        mark, _, step = placed.id.partition(" ")
        day = (chosen.first_day + timedelta(days=placed.start // DAY)).isoformat()
        by_mark[mark][day].append({"step": step, **_clock(placed)})
        if project.task(placed.id).same_day:
            opens.setdefault(mark, day)
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


def _clock(placed: Placed) -> dict[str, Any]:
    start, end = (f"{minute % DAY // 60:02}:{minute % 60:02}" for minute in (placed.start, placed.end))
    return {"start": start, "end": end, "who": ", ".join(placed.who)}


def usual_crew(plan_date: date | None) -> CrewChosen:
    """What is taken until someone chooses. Raises ``BadInput`` while the day of the work is not known."""
    if plan_date is None:
        raise BadInput.one("date_of_work", say("days.no_date"))
    return CrewChosen(first_day=plan_date)
