"""What a plan costs the crew and the household, counted off its starts."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from jambwright.plan.crew.project import Project

ROOM_DAY_MINUTES = 60
"""A day of disturbance in a room weighs like this many minutes of open wall. House default."""
TOWER_DAY_MINUTES = 45
"""Moving a tower or scaffold to another face weighs like this many minutes. House default."""


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Effort:
    """The better plan is the smaller one, field by field."""

    visits: int
    """Runs of working days in a row with work on them; 0 without a calendar."""
    days: int
    disturbance: int
    """Minutes of open wall, with what a day in a room and a place of the tower weigh."""
    makespan: int
    open_minutes: int
    """Minutes from first to last task of each group that is done in one day, added up."""
    room_days: int


def effort(project: Project, starts: Mapping[str, int]) -> Effort:
    """The effort of a plan."""
    opened: dict[str, int] = {}
    closed: dict[str, int] = {}
    there: dict[str, set[tuple[str, int]]] = defaultdict(set)
    used: set[int] = set()
    for task in project.tasks:
        start, end, day = starts[task.id], starts[task.id] + task.minutes, project.day_of(starts[task.id])
        used.add(day)
        if task.same_day:
            opened[task.same_day] = min(opened.get(task.same_day, start), start)
            closed[task.same_day] = max(closed.get(task.same_day, end), end)
        for kind, name in (("room", task.room), ("place", task.place)):
            if name and project.calendar:
                there[kind].add((name, day))
    minutes = sum(closed[group] - opened[group] for group in opened)
    if not project.calendar:
        used = set()
    return Effort(
        visits=sum(day - 1 not in used for day in used),
        days=len(used),
        disturbance=minutes + ROOM_DAY_MINUTES * len(there["room"]) + TOWER_DAY_MINUTES * len(there["place"]),
        makespan=max((starts[task.id] + task.minutes for task in project.tasks), default=0),
        open_minutes=minutes,
        room_days=len(there["room"]),
    )
