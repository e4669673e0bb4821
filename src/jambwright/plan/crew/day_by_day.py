"""A plan for much work: each day is filled as well as can be from the work at hand, then the next.

The days after are not looked at, so nothing is called best; ``bounds`` tells how far from it the plan may be.
"""

from __future__ import annotations

import math
import random
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from jambwright.plan.crew.bounds import busiest
from jambwright.plan.crew.first_answer import Starts, fill_day, jobs, opening_moves
from jambwright.plan.crew.measure import ROOM_DAY_MINUTES, TOWER_DAY_MINUTES
from jambwright.plan.crew.model import grain_of
from jambwright.plan.crew.project import Project, Task
from jambwright.plan.solving import SEED, Grant, solve_constraints

DAYS_AT_HAND = 1.5
"""Work to choose from, in days of the crew. Twice as much gave as many days and more disturbed rooms (measured)."""
IDLE_MINUTE = 10
"""A minute that somebody stands idle weighs like this many minutes of open wall: days come before disturbance."""
ORDERS = 10
"""Orders of the work that are tried before the search: more gained little (measured on 200 openings)."""
LAST_CHANCE = 1_000_000
"""What can't be done on a later day goes before everything else."""
LEAST_UNITS = 0.02
"""A search shorter than this finds nothing."""


def plan_day_by_day(project: Project, grant: Grant) -> Starts | None:
    """Start of every task, or ``None`` where the calendar ends before the work does."""
    filler = busiest(project)
    if filler is None:
        return None
    work, starts = jobs(project), Starts()
    grain = grain_of(project)
    for day, (low, high) in enumerate(project.days):
        left = [job for job in work if any(task.id not in starts for task in job)]
        if not left:
            return starts
        capacity = project.resources[filler] * (high - low)
        to_come = sum(_amount(task, filler) for job in left for task in job if task.id not in starts)
        pool = list(_at_hand(project, day, left, starts, filler, capacity))
        quickly = _quickly(project, day, pool, starts, filler)
        own = grant.share(1 / math.ceil(to_come / capacity + 1))
        found = None
        if own.units > LEAST_UNITS:
            found = _Day(project, day, pool, starts, filler, grain).fill(quickly, own)
        starts |= found or quickly
    return starts if len(starts) == len(project.tasks) else None


def _quickly(project: Project, day: int, pool: Sequence[list[Task]], starts: Starts, filler: str) -> Starts:
    """The best of a few orders of the work, each put in task after task."""
    chance = random.Random(SEED + day)
    orders = [list(pool), *(chance.sample(pool, len(pool)) for _ in range(ORDERS - 1))]

    def worth(placed: Starts) -> int:
        tasks = [project.task(name) for name in placed]
        last = {t.same_day for t in tasks if t.same_day and max(project.free_by_day(t)) == day}
        return (
            IDLE_MINUTE * sum(_amount(task, filler) for task in tasks)
            - ROOM_DAY_MINUTES * len({task.room for task in tasks})
            + LAST_CHANCE * len(last)
        )

    return max((fill_day(project, day, order, starts) for order in orders), key=worth)


def _amount(task: Task, resource: str) -> int:
    return task.minutes * task.needs.get(resource, 0)


def _at_hand(
    project: Project, day: int, left: Sequence[list[Task]], starts: Starts, filler: str, capacity: int
) -> Iterator[list[Task]]:
    """Work begun, then what can begin on this day, until there is enough of it to choose from."""
    amount = 0
    for job in sorted(left, key=lambda job: all(task.id not in starts for task in job)):
        begun = any(task.id in starts for task in job)
        if begun or (amount < DAYS_AT_HAND * capacity and _may_begin(project, day, job)):
            amount += sum(_amount(task, filler) for task in job if task.id not in starts)
            yield job


def _may_begin(project: Project, day: int, job: Sequence[Task]) -> bool:
    """A job held to another day is not begun before it: its room would be covered for nothing."""
    return all(day in project.free_by_day(task) for task in job if task.window) and any(
        day in project.free_by_day(task) for task in job
    )


class _Day:
    """One day as a constraint model: every task of the work at hand may be done or left."""

    def __init__(
        self,
        project: Project,
        day: int,
        pool: Sequence[Sequence[Task]],
        placed: Mapping[str, int],
        filler: str,
        grain: int,
    ) -> None:
        from ortools.sat.python import cp_model

        self._project, self._placed, self._day, self._grain = project, placed, day, grain
        self._model = cp_model.CpModel()
        self._never = self._model.new_constant(0)
        self._steps: dict[str, Any] = {}
        self._done: dict[str, Any] = {}
        """Whether a task is done on this day."""
        self._cost: list[Any] = []
        open_jobs = [[task for task in job if task.id not in placed] for job in pool]
        for job in open_jobs:
            for task in job:
                self._offer(task)
        here = [task for job in open_jobs for task in job if task.id in self._done]
        self._keep_order(here)
        self._share_resources(here)
        self._keep_groups_whole([task for job in open_jobs for task in job])
        self._count_places(here)
        for whole, job in zip(pool, open_jobs, strict=True):
            self._cover_on_the_day(job)
            self._count_unfinished(job, begun=len(job) < len(whole))
        gain = sum(IDLE_MINUTE * _amount(task, filler) * self._done[task.id] for task in here)
        self._model.minimize(sum(self._cost) - gain)

    def fill(self, hint: Mapping[str, int], grant: Grant) -> Starts | None:
        """The starts of what is done on this day."""
        for name, done in self._done.items():
            self._model.add_hint(done, name in hint)
            if name in hint:
                self._model.add_hint(self._steps[name], hint[name] // self._grain)
        flags = list(self._done.values())
        outcome = solve_constraints(
            self._model, [*flags, *self._steps.values()], grant=grant, many_small=True
        )
        if not outcome.found:
            return None
        done, steps = outcome.values[: len(flags)], outcome.values[len(flags) :]
        return {
            name: self._grain * step for name, on, step in zip(self._steps, done, steps, strict=True) if on
        }

    def _offer(self, task: Task) -> None:
        from ortools.sat.python import cp_model

        ready = max(
            (
                self._placed[a.id] + self._project.task(a.id).minutes + a.wait_minutes
                for a in task.after
                if a.id in self._placed
            ),
            default=0,
        )
        steps = [
            [-(-max(low, ready) // self._grain), (high - task.minutes) // self._grain]
            for low, high in self._project.free_by_day(task).get(self._day, ())
        ]
        steps = [[low, high] for low, high in steps if low <= high]
        if steps:
            domain = cp_model.Domain.from_intervals(steps)
            self._steps[task.id] = self._model.new_int_var_from_domain(domain, task.id)
            self._done[task.id] = self._model.new_bool_var(f"{task.id} done")

    def _start(self, task: Task) -> Any:
        return self._grain * self._steps[task.id]

    def _keep_order(self, here: Sequence[Task]) -> None:
        for task in here:
            for before in task.after:
                if before.id in self._placed:
                    continue
                if before.id not in self._done:
                    self._model.add(self._done[task.id] == 0)
                    continue
                self._model.add_implication(self._done[task.id], self._done[before.id])
                end = self._start(self._project.task(before.id)) + self._project.task(before.id).minutes
                self._model.add(self._start(task) >= end + before.wait_minutes).only_enforce_if(
                    self._done[task.id]
                )

    def _share_resources(self, here: Sequence[Task]) -> None:
        uses: dict[str, list[tuple[Any, int]]] = defaultdict(list)
        for task in here:
            interval = self._model.new_optional_fixed_size_interval_var(
                self._start(task), task.minutes, self._done[task.id], task.id
            )
            for name, amount in task.needs.items():
                uses[name].append((interval, amount))
        for name, used in uses.items():
            self._model.add_cumulative(
                [i for i, _ in used], [a for _, a in used], self._project.resources[name]
            )

    def _keep_groups_whole(self, tasks: Sequence[Task]) -> None:
        """All of a one-day group or none of it; the minutes it takes from first to last; and its last chance."""
        low, high = self._project.days[self._day]
        groups: dict[str, list[Task]] = defaultdict(list)
        for task in tasks:
            if task.same_day:
                groups[task.same_day].append(task)
        for name, group in groups.items():
            here = [task for task in group if task.id in self._done]
            if len(here) < len(group):
                for task in here:
                    self._model.add(self._done[task.id] == 0)
                continue
            done = self._done[group[0].id]
            first = self._model.new_int_var(low, high, f"first {name}")
            last = self._model.new_int_var(low, high, f"last {name}")
            for task in group:
                self._model.add(self._done[task.id] == done)
                self._model.add(first <= self._start(task)).only_enforce_if(done)
                self._model.add(last >= self._start(task) + task.minutes).only_enforce_if(done)
            span = self._model.new_int_var(0, high - low, f"span {name}")
            self._model.add(span >= last - first).only_enforce_if(done)
            self._cost.append(span)
            if min(max(self._project.free_by_day(task)) for task in group) <= self._day:
                self._cost.append(-LAST_CHANCE * done)

    def _cover_on_the_day(self, job: Sequence[Task]) -> None:
        """What comes before a one-day group is done on its day: no room stands covered for nothing."""
        before = opening_moves(job)
        for task in before:
            if task.id in self._done:
                self._model.add_implication(
                    self._done[task.id], self._done.get(job[len(before)].id, self._never)
                )

    def _count_places(self, here: Sequence[Task]) -> None:
        """Rooms that somebody works in, and places where the tower must stand."""
        for attribute, weight in (("room", ROOM_DAY_MINUTES), ("place", TOWER_DAY_MINUTES)):
            there: dict[str, Any] = {}
            for task in here:
                name = getattr(task, attribute)
                if name:
                    flag = there.setdefault(name, self._model.new_bool_var(f"{attribute} {name}"))
                    self._model.add_implication(self._done[task.id], flag)
            self._cost += [weight * flag for flag in there.values()]

    def _count_unfinished(self, job: Sequence[Task], *, begun: bool) -> None:
        """A job that is begun and not finished takes its room for one more day at least."""
        unfinished = self._model.new_bool_var(f"{job[-1].id} waits")
        finished = self._done.get(job[-1].id, 0)
        if begun:
            self._model.add(unfinished >= 1 - finished)
        else:
            for task in job:
                if task.id in self._done:
                    self._model.add(unfinished >= self._done[task.id] - finished)
        self._cost.append(ROOM_DAY_MINUTES * unfinished)
