"""The whole project as one constraint model: fewest visits, then days, then disturbance, or the shortest time."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from jambwright.plan.crew.first_answer import Starts
from jambwright.plan.crew.measure import ROOM_DAY_MINUTES, TOWER_DAY_MINUTES
from jambwright.plan.crew.project import Project
from jambwright.plan.solving import Grant, solve_constraints


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What came of a search."""

    starts: Starts | None
    bound: int
    """Without a calendar, no plan ends before; else 0."""
    finished: bool
    """Nothing was left to search: the plan is the best there is, or there is none."""


def best_plan(project: Project, hint: Starts | None, grant: Grant) -> Found:
    """Search all plans of a project at once."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    grain = grain_of(project)
    variables = _variables(model, project, grain)
    starts = {name: grain * variable for name, variable in variables.items()}
    ends = {task.id: starts[task.id] + task.minutes for task in project.tasks}
    _hard_limits(model, project, starts, ends)
    # without a calendar only a plan that ends no later than the first answer is of use
    latest = max((hint[t.id] + t.minutes for t in project.tasks), default=0) if hint else project.horizon
    makespan = model.new_int_var(0, project.horizon if project.calendar else latest, "makespan")
    model.add_max_equality(makespan, list(ends.values()))
    if project.calendar:
        model.minimize(_effort(model, project, starts, ends))
    else:
        model.minimize(makespan)
    for name, start in (hint or {}).items():
        model.add_hint(variables[name], start // grain)
    outcome = solve_constraints(
        model, list(starts.values()), grant=grant, from_both_ends=not project.calendar
    )
    bound = math.ceil(outcome.bound - 1e-6) if outcome.found and not project.calendar else 0
    return Found(
        starts=dict(zip(starts, outcome.values, strict=True)) if outcome.found else None,
        bound=bound,
        finished=outcome.status in ("optimal", "infeasible"),
    )


def grain_of(project: Project) -> int:
    """The step in which all durations, rests and hours can be told; clocks read better for it."""
    calendar = project.calendar
    spans = [*(calendar.days + calendar.rain if calendar else ())]
    for task in project.tasks:
        spans += [*task.avoid, *([task.window] if task.window else [])]
    minutes = {minute for span in spans for minute in span}
    for task in project.tasks:
        minutes |= {task.minutes, *(a.wait_minutes for a in task.after)}
    return math.gcd(*minutes) or 1


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


def _effort(model: Any, project: Project, starts: Mapping[str, Any], ends: Mapping[str, Any]) -> Any:
    """Visits before days before disturbance before an early end, as one weighted sum."""
    days = range(len(project.days))
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
    shared: dict[str, list[Any]] = {}
    on: dict[str, list[Any]] = {}
    for task in project.tasks:
        group = task.same_day or f"\0{task.id}"
        if group not in shared:
            shared[group] = [model.new_bool_var(f"{task.id} on {n}") for n in range(len(project.days))]
            model.add_exactly_one(shared[group])
        on[task.id] = shared[group]
        for flag, (low, high) in zip(on[task.id], project.days, strict=True):
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
