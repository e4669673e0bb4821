"""A crew's work as tasks: how long, who is needed, what comes first, when it may be done.

All times are whole minutes from the project's first midnight (or from its start when no calendar is given).
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

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


@dataclass(frozen=True, kw_only=True)
class Project:
    """Tasks, what there is of each resource, and the calendar; without one, time runs on without a break."""

    tasks: tuple[Task, ...]
    resources: Mapping[str, int]
    calendar: Calendar | None = None

    @cached_property
    def _by_id(self) -> Mapping[str, Task]:
        return {task.id: task for task in self.tasks}

    @cached_property
    def days(self) -> tuple[Span, ...]:
        """Working days in order; one long one without a calendar."""
        return tuple(sorted(self.calendar.days)) if self.calendar else ((0, self.horizon),)

    def task(self, name: str) -> Task:
        """The task of that id."""
        return self._by_id[name]

    def day_of(self, minute: int) -> int:
        """Number of the working day that has begun last at a minute."""
        return max(0, bisect_right(self.days, (minute, self.horizon)) - 1)

    def barred(self, task: Task) -> tuple[Span, ...]:
        """Times when a task may not go on, rain included where it must be dry."""
        rain = self.calendar.rain if self.calendar and task.dry else ()
        return (*task.avoid, *rain)

    def free(self, task: Task) -> tuple[Span, ...]:
        """Stretches of time in which the whole task can be placed, in order; empty when there is none."""
        return tuple(stretch for some in self.free_by_day(task).values() for stretch in some)

    def free_by_day(self, task: Task) -> Mapping[int, tuple[Span, ...]]:
        """Those stretches by the number of their day, in order, days without any left out."""
        if task.id not in self._free:
            alike = (task.minutes, task.window, task.dry, task.avoid)
            if alike not in self._free_alike:
                self._free_alike[alike] = dict(self._stretches(task))
            self._free[task.id] = self._free_alike[alike]
        return self._free[task.id]

    @cached_property
    def _free(self) -> dict[str, dict[int, tuple[Span, ...]]]:
        return {}

    @cached_property
    def _free_alike(self) -> dict[tuple[object, ...], dict[int, tuple[Span, ...]]]:
        return {}

    def _stretches(self, task: Task) -> Iterator[tuple[int, tuple[Span, ...]]]:
        barred: dict[int, list[Span]] = defaultdict(list)
        for start, end in sorted(self.barred(task)):
            for day in range(self.day_of(start), self.day_of(end) + 1):
                barred[day].append((start, end))
        low, high = task.window or (0, self.horizon)
        for day, (a, b) in enumerate(self.days):
            if a <= high and b >= low:
                parts = _without((max(a, low), min(b, high)), barred[day])
                long_enough = tuple(s for s in parts if s[1] - s[0] >= task.minutes)
                if long_enough:
                    yield day, long_enough

    @cached_property
    def horizon(self) -> int:
        """A time by which everything can be done."""
        if self.calendar:
            return max(end for _, end in self.calendar.days)
        latest = max((t.window[0] for t in self.tasks if t.window), default=0)
        return latest + sum(t.minutes + max((a.wait_minutes for a in t.after), default=0) for t in self.tasks)


def checked(project: Project) -> Project:
    """The project, when its tasks make sense together; ``BadInput`` names all that don't, and the remedy."""
    raise_if_any(list(_names(project)))
    raise_if_any(list(_circles(project)))
    return project


def groups_alone(project: Project) -> Iterator[tuple[str, Project]]:
    """Each one-day group by itself, with the links between its tasks."""
    groups: dict[str, list[Task]] = defaultdict(list)
    for task in project.tasks:
        if task.same_day:
            groups[task.same_day].append(task)
    for name, tasks in groups.items():
        ids = {task.id for task in tasks}
        within = tuple(replace(t, after=tuple(a for a in t.after if a.id in ids)) for t in tasks)
        yield name, replace(project, tasks=within)


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


def short_of(project: Project) -> Iterator[Problem]:
    """Tasks that want more of a resource than there is."""
    for task in project.tasks:
        for name, wanted in task.needs.items():
            have = project.resources.get(name)
            field_name = f"tasks.{task.id}.needs"
            if have is None:
                known = ", ".join(project.resources) or "none"
                say = f"{task.id}: needs `{name}`, which is no resource; there are {known}."
                yield Problem(field_name, say)
            elif wanted > have:
                say = f"{task.id}: needs {wanted} of {name} and there are {have}; bring more, or split the task."
                yield Problem(field_name, say)


def _circles(project: Project) -> Iterator[Problem]:
    if len(in_order(project.tasks)) < len(project.tasks):
        placed = {task.id for task in in_order(project.tasks)}
        rest = ", ".join(task.id for task in project.tasks if task.id not in placed)
        yield Problem("tasks.after", f"{rest}: these wait for each other in a circle; take one link out.")


def too_long(project: Project) -> Iterator[Problem]:
    """Tasks that no single day takes."""
    for task in project.tasks:
        if not project.free(task):
            yield Problem(
                f"tasks.{task.id}",
                f"{task.id}: its {task.minutes} minutes fit in no day that is free for it; "
                "split it, lengthen a day, or widen its window.",
            )


def _without(stretch: Span, barred: Sequence[Span]) -> Iterator[Span]:
    """What is left of a stretch outside barred times, which come in order."""
    at, last = stretch
    for start, end in barred:
        if start >= last:
            break
        if at < start:
            yield at, start
        at = max(at, min(end, last))
    if at < last or stretch[0] == last:
        yield at, last


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
