"""A crew's work as tasks: how long, who is needed, what comes first, when it may be done.

All times are whole minutes from the project's first midnight (or from its start when no calendar is given).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from jambwright.basis.problems import Problem, raise_if_any

Span = tuple[int, int]
"""From one minute up to another."""


@dataclass(frozen=True, slots=True)
class After:
    """Starts only when another task has ended and rested."""

    id: str
    wait_minutes: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One piece of work that is done without a break."""

    id: str
    minutes: int
    needs: Mapping[str, int] = field(default_factory=dict)
    after: tuple[After, ...] = ()
    window: Span | None = None
    """Not before and not after."""
    avoid: tuple[Span, ...] = ()
    """Times when it may not go on: someone sleeps, the school run."""
    dry: bool = False
    """Needs dry weather."""
    same_day: str | None = None
    """Tasks of one group are all done on one day: an opening is never left open overnight."""
    room: str | None = None
    place: str | None = None
    """Where a tower or scaffold must stand for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """Working days, and hours of rain."""

    days: tuple[Span, ...]
    rain: tuple[Span, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Project:
    """Tasks, what there is of each resource, and the calendar; without one, time runs on without a break."""

    tasks: tuple[Task, ...]
    resources: Mapping[str, int]
    calendar: Calendar | None = None

    def task(self, name: str) -> Task:
        """The task of that id."""
        return next(task for task in self.tasks if task.id == name)

    def barred(self, task: Task) -> tuple[Span, ...]:
        """Times when a task may not go on, rain included where it must be dry."""
        rain = self.calendar.rain if self.calendar and task.dry else ()
        return (*task.avoid, *rain)

    def free(self, task: Task) -> tuple[Span, ...]:
        """Stretches of time in which the whole task can be placed, in order; empty when there is none."""
        days = self.calendar.days if self.calendar else ((0, self.horizon),)
        low, high = task.window or (0, self.horizon)
        stretches = [(max(a, low), min(b, high)) for a, b in days]
        for start, end in self.barred(task):
            stretches = [part for stretch in stretches for part in _without(stretch, start, end)]
        return tuple(sorted(s for s in stretches if s[1] - s[0] >= task.minutes))

    @property
    def horizon(self) -> int:
        """A time by which everything can be done."""
        if self.calendar:
            return max(end for _, end in self.calendar.days)
        latest = max((t.window[0] for t in self.tasks if t.window), default=0)
        return latest + sum(t.minutes + max((a.wait_minutes for a in t.after), default=0) for t in self.tasks)


def checked(project: Project) -> Project:
    """The project, when every task can be placed; ``BadInput`` names all that can't, and the remedy."""
    raise_if_any([*_names(project), *_needs(project)])
    raise_if_any([*_circles(project), *_room(project)])
    return project


def group_alone(project: Project, group: str) -> Project:
    """Only the tasks of one day's group, with the links between them."""
    tasks = [task for task in project.tasks if task.same_day == group]
    ids = {task.id for task in tasks}
    within = tuple(replace(t, after=tuple(a for a in t.after if a.id in ids)) for t in tasks)
    return replace(project, tasks=within)


def _names(project: Project) -> Iterator[Problem]:
    ids = [task.id for task in project.tasks]
    for name in sorted({name for name in ids if ids.count(name) > 1}):
        yield Problem("tasks", f"{name}: two tasks have this id; give each its own.")
    for task in project.tasks:
        for before in task.after:
            if before.id not in ids:
                yield Problem(
                    f"tasks.{task.id}.after", f"{task.id}: comes after `{before.id}`, which is no task."
                )


def _needs(project: Project) -> Iterator[Problem]:
    for task in project.tasks:
        for name, wanted in task.needs.items():
            have = project.resources.get(name)
            field_name = f"tasks.{task.id}.needs"
            if have is None:
                known = ", ".join(project.resources) or "none"
                yield Problem(
                    field_name, f"{task.id}: needs `{name}`, which is no resource; there are {known}."
                )
            elif wanted > have:
                say = f"{task.id}: needs {wanted} of {name} and there are {have}; bring more, or split the task."
                yield Problem(field_name, say)


def _circles(project: Project) -> Iterator[Problem]:
    if len(in_order(project.tasks)) < len(project.tasks):
        placed = {task.id for task in in_order(project.tasks)}
        rest = ", ".join(task.id for task in project.tasks if task.id not in placed)
        yield Problem("tasks.after", f"{rest}: these wait for each other in a circle; take one link out.")


def _room(project: Project) -> Iterator[Problem]:
    for task in project.tasks:
        if not project.free(task):
            yield Problem(
                f"tasks.{task.id}",
                f"{task.id}: its {task.minutes} minutes fit in no day that is free for it; "
                "split it, lengthen a day, or widen its window.",
            )


def _without(stretch: Span, start: int, end: int) -> Iterator[Span]:
    """What is left of a stretch outside a barred time."""
    if end <= stretch[0] or start >= stretch[1]:
        yield stretch
        return
    if start > stretch[0]:
        yield stretch[0], start
    if end < stretch[1]:
        yield end, stretch[1]


def in_order(tasks: Sequence[Task]) -> list[Task]:
    """Tasks with every one after those it waits for, else in the order given; those in a circle are left out."""
    done: set[str] = set()
    order: list[Task] = []
    left = list(tasks)
    while left:
        ready = [task for task in left if all(a.id in done for a in task.after)]
        if not ready:
            break
        order += ready
        done |= {task.id for task in ready}
        left = [task for task in left if task.id not in done]
    return order
