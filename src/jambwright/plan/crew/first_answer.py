"""A plan at once: tasks one by one, each as early as it goes. It is the answer when time runs out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from jambwright.plan.crew.project import Project, Task, in_order

Starts = dict[str, int]


class _Stuck(Exception):  # never leaves this module
    """A task found no place."""


def first_answer(project: Project) -> Starts | None:
    """Start of every task, or ``None`` when this simple way finds no place for one.

    A group that must be done in one day is placed as a whole, on the first day that takes it.
    """
    groups: dict[str, list[Task]] = defaultdict(list)
    order = in_order(project.tasks)
    for task in order:
        groups[task.same_day or f"\0{task.id}"].append(task)
    starts: Starts = {}
    used: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
    left = dict(groups)
    while left:
        ready = next(
            (
                name
                for name, tasks in left.items()
                if all(a.id in starts or any(a.id == t.id for t in tasks) for t in tasks for a in t.after)
            ),
            None,
        )
        if ready is None:
            return None
        if not _place_group(project, left.pop(ready), starts, used):
            return None
    return starts


def _place_group(
    project: Project, tasks: list[Task], starts: Starts, used: dict[str, list[tuple[int, int, int]]]
) -> bool:
    days = project.calendar.days if project.calendar and tasks[0].same_day else ((0, project.horizon),)
    for day in days:
        trial = {name: list(spans) for name, spans in used.items()}
        placed: Starts = {}
        try:
            for task in tasks:
                at = _earliest(project, task, {**starts, **placed}, trial, day)
                placed[task.id] = at
                for name, amount in task.needs.items():
                    trial.setdefault(name, []).append((at, at + task.minutes, amount))
        except _Stuck:
            continue
        starts.update(placed)
        used.clear()
        used.update(trial)
        return True
    return False


def _earliest(
    project: Project,
    task: Task,
    starts: Mapping[str, int],
    used: Mapping[str, list[tuple[int, int, int]]],
    day: tuple[int, int],
) -> int:
    ready = max((starts[a.id] + project.task(a.id).minutes + a.wait_minutes for a in task.after), default=0)
    for low, high in project.free(task):
        start = max(low, ready, day[0])
        last = min(high, day[1]) - task.minutes
        while start <= last:
            clash = _clash(project, task, start, used)
            if clash is None:
                return start
            start = clash
    raise _Stuck


def _clash(
    project: Project, task: Task, start: int, used: Mapping[str, list[tuple[int, int, int]]]
) -> int | None:
    """``None`` when the task can start here, else the next time worth trying."""
    end = start + task.minutes
    for name, amount in task.needs.items():
        spans = [s for s in used.get(name, ()) if s[0] < end and s[1] > start]
        for moment in sorted({start, *(max(start, s[0]) for s in spans)}):
            busy = [s for s in spans if s[0] <= moment < s[1]]
            if sum(s[2] for s in busy) + amount > project.resources[name]:
                return min(s[1] for s in busy)
    return None
