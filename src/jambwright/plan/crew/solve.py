"""The crew's plan: fewest visits, then days, then disturbance; without a calendar, the shortest time.

Constraint model on CP-SAT with the first answer as a hint. Every plan is counted again before it is shown.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.plan.crew.first_answer import Starts, first_answer
from jambwright.plan.crew.project import Project, Task, checked, group_alone, in_order
from jambwright.plan.crew.recount import Placed, broken
from jambwright.plan.solving import Clock, solve_constraints

ROOM_DAY_MINUTES = 60
"""A day of disturbance in a room weighs like this many minutes of open wall. House default."""
TOWER_DAY_MINUTES = 45
"""Moving a tower or scaffold to another face weighs like this many minutes. House default."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewPlan:
    """The plan and how good it is."""

    tasks: tuple[Placed, ...]
    makespan: int
    """Minute at which the last task ends."""
    lower_bound: int
    """No plan can end before this (without a calendar: proven by the solver)."""
    proven_optimal: bool
    visits: int
    """Runs of working days in a row with work on them; 0 without a calendar."""
    days: int
    open_minutes: int
    """Minutes from first to last task of each group that is done in one day, added up."""
    room_days: int


def plan_crew(project: Project, *, seconds: float = 10.0) -> CrewPlan:
    """Plan a project. Raises ``BadInput`` naming every task that can't be placed, or that no plan was found."""
    checked(project)
    raise_if_any(too_long_for_a_day(project))
    if not project.tasks:
        return _told(project, {}, 0, proven=True)
    hint = first_answer(project)
    starts, bound, proven = _search(project, hint, seconds)
    if starts is None:
        raise BadInput.one(
            "tasks",
            f"No plan was found in {seconds:g} s: {'there is none' if proven else 'there may be none'}. "
            "Give more days or people, or widen the windows.",
        )
    plan = _told(project, starts, bound, proven=proven)
    faults = broken(project, plan.tasks)
    if faults:
        raise AssertionError(f"the plan breaks its own limits: {faults}")
    return plan


def too_long_for_a_day(project: Project) -> list[Problem]:
    """Groups that no single day takes, each with the remedy."""
    groups = dict.fromkeys(task.same_day for task in project.tasks if task.same_day)
    return [
        Problem(
            f"tasks.{group}",
            f"{group}: what must be done in one day fits in no day that is free for it; "
            "lengthen a day, bring more people, or agree other hours for the room.",
        )
        for group in groups
        if first_answer(group_alone(project, group)) is None
    ]


def _search(project: Project, hint: Starts | None, seconds: float) -> tuple[Starts | None, int, bool]:
    """Days up to the end of the first answer are searched first, all of them only in the time that leaves.

    A house is not begun a week late because the search ran out of time among the later days; nothing is called
    optimal until all days were searched.
    """
    clock = Clock(seconds)
    near = _no_later_than(project, hint) if hint else project
    if near == project:
        found, bound, proven = _solve(project, hint, seconds)
        return found or hint, bound, proven
    best, bound, searched = _solve(near, hint, seconds)
    if searched:
        found, bound, proven = _solve(project, best, clock.left)
        if proven:
            return found, bound, True
    return best or hint, bound, False


def _no_later_than(project: Project, starts: Starts) -> Project:
    """The project with no working days after the last one of a plan."""
    calendar = project.calendar
    if not calendar:
        return project
    last = max(starts.values())
    return replace(
        project, calendar=replace(calendar, days=tuple(span for span in calendar.days if span[0] <= last))
    )


def _solve(project: Project, hint: Starts | None, seconds: float) -> tuple[Starts | None, int, bool]:
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    grain = _grain(project)
    variables = _variables(model, project, grain)
    starts = {name: grain * variable for name, variable in variables.items()}
    ends = {task.id: starts[task.id] + task.minutes for task in project.tasks}
    _hard_limits(model, project, starts, ends)
    # without a calendar only a plan that ends no later than the first answer is of use
    latest = max(hint[t.id] + t.minutes for t in project.tasks) if hint else project.horizon
    makespan = model.new_int_var(0, project.horizon if project.calendar else latest, "makespan")
    model.add_max_equality(makespan, list(ends.values()))
    if project.calendar:
        model.minimize(_effort(model, project, starts, ends))
    else:
        model.minimize(makespan)
    if hint:
        for name, start in hint.items():
            model.add_hint(variables[name], start // grain)
    outcome = solve_constraints(
        model, list(starts.values()), seconds=seconds, from_both_ends=not project.calendar
    )
    bound = static_bound(project)
    if not outcome.found:
        return None, bound, outcome.status == "infeasible"
    if not project.calendar:
        bound = max(bound, math.ceil(outcome.bound - 1e-6))
    return dict(zip(starts, outcome.values, strict=True)), bound, outcome.status == "optimal"


def _variables(model: Any, project: Project, grain: int) -> dict[str, Any]:
    """Start of each task, in steps of the grain, within its free stretches."""
    from ortools.sat.python import cp_model

    return {
        task.id: model.new_int_var_from_domain(
            cp_model.Domain.from_intervals(
                [[-(-low // grain), (high - task.minutes) // grain] for low, high in project.free(task)]
            ),
            task.id,
        )
        for task in project.tasks
    }


def _hard_limits(model: Any, project: Project, starts: Mapping[str, Any], ends: Mapping[str, Any]) -> None:
    """Precedence with rests, and what there is of each resource."""
    uses: dict[str, list[tuple[Any, int]]] = defaultdict(list)
    for task in project.tasks:
        interval = model.new_fixed_size_interval_var(starts[task.id], task.minutes, task.id)
        for name, amount in task.needs.items():
            if amount and task.minutes:
                uses[name].append((interval, amount))
        for before in task.after:
            model.add(starts[task.id] >= ends[before.id] + before.wait_minutes)
    for name, used in uses.items():
        model.add_cumulative([i for i, _ in used], [a for _, a in used], project.resources[name])


def _grain(project: Project) -> int:
    """The step in which all durations, rests and hours can be told; clocks read better for it."""
    calendar = project.calendar
    spans = [*(calendar.days + calendar.rain if calendar else ())]
    numbers = [minute for span in spans for minute in span]
    for task in project.tasks:
        numbers += [task.minutes, *(a.wait_minutes for a in task.after)]
        numbers += [
            minute for span in (*task.avoid, *([task.window] if task.window else [])) for minute in span
        ]
    return math.gcd(*numbers) or 1


def _effort(model: Any, project: Project, starts: Mapping[str, Any], ends: Mapping[str, Any]) -> Any:
    """Visits before days before disturbance before an early end, as one weighted sum."""
    assert project.calendar
    days = range(len(project.calendar.days))
    on = _on_days(model, project, starts)
    used = [model.new_bool_var(f"day {n}") for n in days]
    for n in days:
        model.add_max_equality(used[n], [flags[n] for flags in on.values()])
    begun = [model.new_bool_var(f"visit {n}") for n in days]
    for n in days:
        model.add(begun[n] >= used[n] - (used[n - 1] if n else 0))
    disturbance = [*_open_spans(model, project, starts, ends)]
    for attribute, weight in (("room", ROOM_DAY_MINUTES), ("place", TOWER_DAY_MINUTES)):
        groups: dict[str, list[str]] = defaultdict(list)
        for task in project.tasks:
            if getattr(task, attribute):
                groups[getattr(task, attribute)].append(task.id)
        for name, ids in groups.items():
            for n in days:
                there = model.new_bool_var(f"{attribute} {name} {n}")
                for task_id in ids:
                    model.add_implication(on[task_id][n], there)
                disturbance.append(weight * there)
    most = sum(t.minutes for t in project.tasks) + (ROOM_DAY_MINUTES + TOWER_DAY_MINUTES) * len(days) * len(
        project.tasks
    )
    day_weight = 10 * most
    return (
        day_weight * 100 * sum(begun)
        + day_weight * sum(used)
        + 10 * sum(disturbance)
        + sum(n * used[n] for n in days)
    )


def _on_days(model: Any, project: Project, starts: Mapping[str, Any]) -> dict[str, list[Any]]:
    """For each task, which day it is done on; groups share one."""
    assert project.calendar
    shared: dict[str, list[Any]] = {}
    on: dict[str, list[Any]] = {}
    for task in project.tasks:
        group = task.same_day or f"\0{task.id}"
        if group not in shared:
            shared[group] = [
                model.new_bool_var(f"{task.id} on {n}") for n in range(len(project.calendar.days))
            ]
            model.add_exactly_one(shared[group])
        on[task.id] = shared[group]
        for flag, (low, high) in zip(on[task.id], project.calendar.days, strict=True):
            model.add(starts[task.id] >= low).only_enforce_if(flag)
            model.add(starts[task.id] <= high - task.minutes).only_enforce_if(flag)
    return on


def _open_spans(
    model: Any, project: Project, starts: Mapping[str, Any], ends: Mapping[str, Any]
) -> list[Any]:
    spans = []
    groups: dict[str, list[str]] = defaultdict(list)
    for task in project.tasks:
        if task.same_day:
            groups[task.same_day].append(task.id)
    for name, ids in groups.items():
        first = model.new_int_var(0, project.horizon, f"first {name}")
        last = model.new_int_var(0, project.horizon, f"last {name}")
        model.add_min_equality(first, [starts[i] for i in ids])
        model.add_max_equality(last, [ends[i] for i in ids])
        spans.append(last - first)
    return spans


def static_bound(project: Project) -> int:
    """Longest chain of tasks and rests, or the work of the busiest resource shared out: none can end sooner."""
    ends: dict[str, int] = {}
    for task in in_order(project.tasks):
        ready = max((ends[a.id] + a.wait_minutes for a in task.after), default=0)
        ends[task.id] = _earliest_end(project, task, ready)
    return max([*ends.values(), *(_work_shared_out(project, name) for name in project.resources)], default=0)


def _work_shared_out(project: Project, resource: str) -> int:
    """The minute by which all of one resource, never idle, could have done its work."""
    have = project.resources[resource]
    left = sum(task.minutes * task.needs.get(resource, 0) for task in project.tasks)
    for low, high in project.calendar.days if project.calendar else ((0, project.horizon),):
        if left <= have * (high - low):
            return low + math.ceil(left / have) if left else 0
        left -= have * (high - low)
    return project.horizon


def _earliest_end(project: Project, task: Task, ready: int) -> int:
    ends = (
        max(low, ready) + task.minutes for low, high in project.free(task) if high >= ready + task.minutes
    )
    return min(ends, default=ready + task.minutes)


def _told(project: Project, starts: Starts, bound: int, *, proven: bool) -> CrewPlan:
    placed = _with_people(project, starts)
    days = project.calendar.days if project.calendar else ()
    on = {p.id: next((n for n, (a, b) in enumerate(days) if a <= p.start and p.end <= b), 0) for p in placed}
    used = sorted(set(on.values())) if days else []
    groups: dict[str, list[Placed]] = defaultdict(list)
    rooms: set[tuple[str, int]] = set()
    for p in placed:
        task = project.task(p.id)
        if task.same_day:
            groups[task.same_day].append(p)
        if task.room and days:
            rooms.add((task.room, on[p.id]))
    makespan = max((p.end for p in placed), default=0)
    return CrewPlan(
        tasks=placed,
        makespan=makespan,
        lower_bound=min(bound, makespan),
        proven_optimal=proven,
        visits=sum(n - 1 not in used for n in used),
        days=len(used),
        open_minutes=sum(max(p.end for p in g) - min(p.start for p in g) for g in groups.values()),
        room_days=len(rooms),
    )


def _with_people(project: Project, starts: Starts) -> tuple[Placed, ...]:
    """Name who does what: whoever of each kind has been free longest."""
    free: dict[str, list[tuple[int, str]]] = {
        name: [(0, f"{name} {n}" if have > 1 else name) for n in range(1, have + 1)]
        for name, have in project.resources.items()
    }
    placed = []
    by_start = sorted(project.tasks, key=lambda t: (starts[t.id], t.minutes > 0, t.id))
    for task in by_start:
        start, end = starts[task.id], starts[task.id] + task.minutes
        who: list[str] = []
        for name, amount in task.needs.items():
            ready = sorted(slot for slot in free[name] if slot[0] <= start)[:amount]
            for slot in ready:
                free[name].remove(slot)
                free[name].append((max(end, slot[0]), slot[1]))
            who += [slot[1] for slot in ready]
        placed.append(Placed(id=task.id, start=start, end=end, who=tuple(who)))
    return tuple(placed)
