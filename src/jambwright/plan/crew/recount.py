"""An independent look at a finished plan: every hard limit, counted again in plain Python."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from jambwright.plan.crew.project import Project


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One task in the plan and who does it."""

    id: str
    start: int
    end: int
    who: tuple[str, ...]
    opening: str = ""
    """Mark of the opening it is done at, in the work of a house; empty for what belongs to the day as a whole."""
    step: str = ""
    """One of the steps of the tables ``crew_tasks`` and ``crew_day``, in the work of a house."""


def broken(project: Project, plan: Sequence[Placed]) -> list[str]:
    """Every hard limit that a plan breaks, in words; empty when it is sound."""
    at = {placed.id: placed for placed in plan}
    missing = [task.id for task in project.tasks if task.id not in at]
    if missing or len(plan) != len(project.tasks):
        return [f"tasks missing or twice: {', '.join(missing) or 'twice'}"]
    return [
        *_each(project, at),
        *_groups(project, at),
        *_capacities(project, at),
        *_people(plan),
    ]


def _each(project: Project, at: Mapping[str, Placed]) -> Iterator[str]:
    for task in project.tasks:
        placed = at[task.id]
        if placed.end - placed.start != task.minutes:
            yield f"{task.id}: takes {placed.end - placed.start} instead of {task.minutes} minutes"
        for before in task.after:
            if placed.start < at[before.id].end + before.wait_minutes:
                yield f"{task.id}: starts before {before.id} has ended and rested"
        if task.window and not (task.window[0] <= placed.start and placed.end <= task.window[1]):
            yield f"{task.id}: outside its window"
        for start, end in project.barred(task):
            if placed.start < end and placed.end > start and task.minutes:
                yield f"{task.id}: goes on when it may not"
        if project.calendar and not any(
            a <= placed.start and placed.end <= b for a, b in project.calendar.days
        ):
            yield f"{task.id}: outside working hours"
        wanted = sum(task.needs.values())
        if len(set(placed.who)) != wanted:
            yield f"{task.id}: {len(set(placed.who))} instead of {wanted} named"


def _groups(project: Project, at: Mapping[str, Placed]) -> Iterator[str]:
    if not project.calendar:
        return
    days: dict[str, set[int]] = defaultdict(set)
    for task in project.tasks:
        if task.same_day:
            start = at[task.id].start
            days[task.same_day].add(
                next((n for n, (a, b) in enumerate(project.calendar.days) if a <= start <= b), -1)
            )
    for group, found in days.items():
        if len(found) > 1:
            yield f"{group}: left open overnight"


def _capacities(project: Project, at: Mapping[str, Placed]) -> Iterator[str]:
    for name, have in project.resources.items():
        changes: list[tuple[int, int]] = []
        for task in project.tasks:
            if task.minutes and task.needs.get(name):
                changes += [(at[task.id].start, task.needs[name]), (at[task.id].end, -task.needs[name])]
        busy = 0
        for minute, change in sorted(changes):
            busy += change
            if busy > have:
                yield f"{name}: {busy} used at minute {minute} where there are {have}"
                break


def _people(plan: Sequence[Placed]) -> Iterator[str]:
    work: dict[str, list[Placed]] = defaultdict(list)
    for placed in plan:
        for who in placed.who:
            work[who].append(placed)
    for who, tasks in work.items():
        tasks.sort(key=lambda placed: (placed.start, placed.end))
        for one, other in pairwise(tasks):
            if other.start < one.end and other.end > other.start:
                yield f"{who}: in two places, {one.id} and {other.id}"
