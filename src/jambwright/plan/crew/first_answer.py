"""A plan at once: job after job, task after task, each as early as it goes. It is the answer when time runs out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from jambwright.plan.crew.project import Project, Task, in_order

Starts = dict[str, int]
Use = tuple[int, int, int]
"""Busy from one minute to another, with so many."""


class _Stuck(Exception):  # never leaves this module
    """A task found no place."""


def first_answer(project: Project) -> Starts | None:
    """Start of every task, or ``None`` when this simple way finds no place for one.

    A group that must be done in one day is placed as a whole, on the first day that takes it.
    """
    diary = _Diary(project)
    starts: Starts = {}
    for job in jobs(project):
        for tasks in _together(job):
            if not _place(project, tasks, starts, diary, range(len(project.days))):
                return None
    return starts


def fill_day(project: Project, day: int, work: Sequence[Sequence[Task]], starts: Mapping[str, int]) -> Starts:
    """What goes into one day of this work, job after job; ``starts`` is what was placed on the days before.

    No room is covered before the day on which its wall is opened.
    """
    diary, placed = _Diary(project), dict(starts)
    for job in work:
        done: list[Task] = []
        for tasks in _together([task for task in job if task.id not in placed]):
            own = {task.id for task in tasks}
            if all(a.id in placed or a.id in own for task in tasks for a in task.after) and _place(
                project, tasks, placed, diary, range(day, day + 1)
            ):
                done += tasks
        if covers_only(job, done):
            for task in done:
                diary.strike(task, placed.pop(task.id))
    return {name: start for name, start in placed.items() if name not in starts}


def covers_only(job: Sequence[Task], done: Sequence[Task]) -> bool:
    """Whether only what comes before the first one-day group of a job is done."""
    before = opening_moves(job)
    return bool(before) and {task.id for task in done} <= {task.id for task in before}


def opening_moves(job: Sequence[Task]) -> list[Task]:
    """Tasks of a job, in order, before its first one-day group; none where it has no group."""
    first = next((n for n, task in enumerate(job) if task.same_day), 0)
    return list(job[:first])


def jobs(project: Project) -> list[list[Task]]:
    """Tasks that hang together, each job in order; what is held to a time first, else as they were given."""
    leader = {task.id: task.id for task in project.tasks}

    def find(name: str) -> str:
        while leader[name] != name:
            leader[name] = name = leader[leader[name]]
        return name

    first_of: dict[str, str] = {}
    for task in project.tasks:
        others = [before.id for before in task.after]
        if task.same_day:
            others.append(first_of.setdefault(task.same_day, task.id))
        for other in others:
            leader[find(task.id)] = find(other)
    found: dict[str, list[Task]] = defaultdict(list)
    for task in project.tasks:
        found[find(task.id)].append(task)
    return [in_order(job) for job in sorted(found.values(), key=_held_until)]


def _held_until(job: Sequence[Task]) -> float:
    return min((task.window[1] for task in job if task.window), default=float("inf"))


def _together(job: Sequence[Task]) -> Iterator[list[Task]]:
    """Single tasks and whole one-day groups, every one after those it waits for."""
    groups: dict[str, list[Task]] = defaultdict(list)
    for task in job:
        groups[task.same_day or f"\0{task.id}"].append(task)
    done: set[str] = set()
    while groups:
        name = next(
            (
                name
                for name, tasks in groups.items()
                if all(a.id in done or any(a.id == t.id for t in tasks) for t in tasks for a in t.after)
            ),
            next(iter(groups)),  # groups that wait for each other: whoever asks is told that it is stuck
        )
        done |= {task.id for task in groups[name]}
        yield groups.pop(name)


class _Diary:
    """What is used when, kept by day so that a look is quick."""

    def __init__(self, project: Project) -> None:
        self._days: dict[tuple[str, int], list[Use]] = defaultdict(list)
        self._project = project
        self._none_for: dict[tuple[int, tuple[tuple[str, int], ...]], int] = {}
        """Minutes for which a whole day had no place, by day and needs; a day only fills up."""
        self._left = [
            {name: have * (b - a) for name, have in project.resources.items()} for a, b in project.days
        ]

    def used(self, resource: str, day: int) -> Sequence[Use]:
        """Uses of one resource on one day."""
        return self._days.get((resource, day), ())

    def may_take(self, tasks: Sequence[Task], day: int) -> bool:
        """Whether so much of each resource is left on a day at all."""
        return all(
            sum(task.minutes * task.needs.get(name, 0) for task in tasks) <= left
            for name, left in self._left[day].items()
        )

    def full_for(self, task: Task, day: int) -> bool:
        """Whether a task as short that needs the same has found no place on this day before."""
        least = self._none_for.get((day, tuple(task.needs.items())))
        return least is not None and task.minutes >= least

    def no_place(self, task: Task, day: int) -> None:
        """Remember that the whole of a day has no place for a task."""
        key = (day, tuple(task.needs.items()))
        self._none_for[key] = min(task.minutes, self._none_for.get(key, task.minutes))

    def put(self, task: Task, start: int) -> None:
        """Write a task in."""
        day = self._project.day_of(start)
        for name, amount in task.needs.items():
            self._days[name, day].append((start, start + task.minutes, amount))
            self._left[day][name] -= task.minutes * amount

    def strike(self, task: Task, start: int) -> None:
        """Take a task out again."""
        day = self._project.day_of(start)
        for name, amount in task.needs.items():
            self._days[name, day].remove((start, start + task.minutes, amount))
            self._left[day][name] += task.minutes * amount
        self._none_for = {key: least for key, least in self._none_for.items() if key[0] != day}


def _place(project: Project, tasks: Sequence[Task], starts: Starts, diary: _Diary, days: range) -> bool:
    """Place one task, or all of a group on one day; whether there was a place."""
    if tasks[0].same_day is None:
        try:
            starts[tasks[0].id] = _earliest(project, tasks[0], starts, diary, days)
        except (_Stuck, KeyError):
            return False
        diary.put(tasks[0], starts[tasks[0].id])
        return True
    for day in days:
        if not diary.may_take(tasks, day):
            continue
        placed: list[Task] = []
        try:
            for task in tasks:
                starts[task.id] = _earliest(project, task, starts, diary, range(day, day + 1))
                diary.put(task, starts[task.id])
                placed.append(task)
        except (_Stuck, KeyError):
            for task in placed:
                diary.strike(task, starts.pop(task.id))
            continue
        return True
    return False


def _earliest(project: Project, task: Task, starts: Mapping[str, int], diary: _Diary, days: range) -> int:
    ready = max((starts[a.id] + project.task(a.id).minutes + a.wait_minutes for a in task.after), default=0)
    free = project.free_by_day(task)
    for day in range(max(days.start, project.day_of(ready)), days.stop):
        if day not in free or not diary.may_take([task], day) or diary.full_for(task, day):
            continue
        for low, high in free[day]:
            start = max(low, ready)
            while start + task.minutes <= high:
                clash = _clash(project, task, start, diary, day)
                if clash is None:
                    return start
                start = clash
        if free[day] == (project.days[day],) and ready <= project.days[day][0]:
            diary.no_place(task, day)
    raise _Stuck


def _clash(project: Project, task: Task, start: int, diary: _Diary, day: int) -> int | None:
    """``None`` when the task can start here, else the next time worth trying."""
    end = start + task.minutes
    for name, amount in task.needs.items():
        spans: list[Use] = [s for s in diary.used(name, day) if s[0] < end and s[1] > start]
        for moment in sorted({start, *(max(start, s[0]) for s in spans)}):
            busy = [s for s in spans if s[0] <= moment < s[1]]
            if sum(s[2] for s in busy) + amount > project.resources[name]:
                return min(s[1] for s in busy)
    return None
