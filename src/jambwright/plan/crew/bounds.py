"""What no plan of a crew's work can beat: its end, and the days it takes."""

from __future__ import annotations

import math

from jambwright.plan.crew.project import Project, Task, in_order


def static_bound(project: Project) -> int:
    """Longest chain of tasks and rests, or the work of the busiest resource shared out: none can end sooner."""
    ends: dict[str, int] = {}
    for task in in_order(project.tasks):
        ready = max((ends[a.id] + a.wait_minutes for a in task.after), default=0)
        ends[task.id] = _earliest_end(project, task, ready)
    return max([*ends.values(), *(_work_shared_out(project, name) for name in project.resources)], default=0)


def least_days(project: Project) -> int:
    """Days that any plan works on at least: the longest ones, with every resource never idle. 0 without a calendar."""
    if not project.calendar or not project.tasks:
        return 0
    lengths = sorted((high - low for low, high in project.days), reverse=True)
    return max(1, *(_days_of_work(project, name, lengths) for name in project.resources))


def busiest(project: Project) -> str | None:
    """The resource whose work takes longest, shared out over all there is of it."""
    return max(
        (name for name, have in project.resources.items() if have),
        key=lambda name: work_of(project, name) / project.resources[name],
        default=None,
    )


def work_of(project: Project, resource: str) -> int:
    """Minutes of work of one resource, times how many of it."""
    return sum(task.minutes * task.needs.get(resource, 0) for task in project.tasks)


def _days_of_work(project: Project, resource: str, lengths: list[int]) -> int:
    left, days = work_of(project, resource), 0
    while left > 0 and days < len(lengths):
        left -= lengths[days] * project.resources[resource]
        days += 1
    return days


def _work_shared_out(project: Project, resource: str) -> int:
    """The minute by which all of one resource, never idle, could have done its work."""
    have = project.resources[resource]
    left = work_of(project, resource)
    for low, high in project.days:
        if left <= have * (high - low):
            return low + math.ceil(left / have) if left else 0
        left -= have * (high - low)
    return project.horizon


def _earliest_end(project: Project, task: Task, ready: int) -> int:
    ends = (
        max(low, ready) + task.minutes for low, high in project.free(task) if high >= ready + task.minutes
    )
    return min(ends, default=ready + task.minutes)
