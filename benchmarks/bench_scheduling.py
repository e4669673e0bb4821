"""Crew plans to the known shortest time on published projects, 10 s each on two cores, beside two plain ways.

The plain alternatives are a serial schedule by latest finish (each task, the most urgent first, as early as
it goes), and the textbook model on CP-SAT with its defaults, given the same 10 s. About 3 minutes; the
figures go to ``results/scheduling.json`` and ``results/scheduling.md``. Where the projects are from stands
in ``tests/published_sets.py``.
"""

import statistics
import time

from ortools.sat.python import cp_model
from result_pages import cells, load, table, write

from jambwright.calc.crew import CrewAsked
from jambwright.plan.crew import plan_crew
from jambwright.plan.crew.recount import broken
from jambwright.plan.solving import Clock, Grant
from published_sets import PROJECTS, crew_asked

SECONDS = 10.0
WORKERS = 2


def serial(project):
    """Makespan of the serial schedule by latest finish."""
    followers = {
        t.id: [u for u in project.tasks if any(a.id == t.id for a in u.after)] for t in project.tasks
    }
    tail = {}

    def after(task):
        if task.id not in tail:
            tail[task.id] = task.minutes + max((after(u) for u in followers[task.id]), default=0)
        return tail[task.id]

    ends, used = {}, {name: [0] * project.horizon for name in project.resources}
    waiting = sorted(project.tasks, key=after, reverse=True)
    while waiting:
        task = next(t for t in waiting if all(a.id in ends for a in t.after))
        waiting.remove(task)
        start = max((ends[a.id] + a.wait_minutes for a in task.after), default=0)
        while any(
            used[name][at] + amount > project.resources[name]
            for name, amount in task.needs.items()
            for at in range(start, start + task.minutes)
        ):
            start += 1
        for name, amount in task.needs.items():
            for at in range(start, start + task.minutes):
                used[name][at] += amount
        ends[task.id] = start + task.minutes
    return max(ends.values())


def textbook(project):
    """Makespan, bound and status of the plain model: intervals, precedences, one cumulative a resource."""
    model = cp_model.CpModel()
    starts = {t.id: model.new_int_var(0, project.horizon, t.id) for t in project.tasks}
    makespan = model.new_int_var(0, project.horizon, "makespan")
    spans = {t.id: model.new_fixed_size_interval_var(starts[t.id], t.minutes, t.id) for t in project.tasks}
    for task in project.tasks:
        model.add(makespan >= starts[task.id] + task.minutes)
        for before in task.after:
            model.add(starts[task.id] >= starts[before.id] + project.task(before.id).minutes)
    for name, have in project.resources.items():
        using = [t for t in project.tasks if t.needs.get(name)]
        model.add_cumulative([spans[t.id] for t in using], [t.needs[name] for t in using], have)
    model.minimize(makespan)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = SECONDS
    solver.parameters.num_workers = WORKERS
    status = solver.solve(model)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return int(solver.objective_value) if found else None, status == cp_model.OPTIMAL, solver.wall_time


def one(name, given):
    """One project by three ways."""
    project = CrewAsked.model_validate(crew_asked(given, SECONDS)).project()
    started = time.perf_counter()
    plan = plan_crew(project, Grant(units=SECONDS, clock=Clock(SECONDS)))
    seconds = time.perf_counter() - started
    known = given["optimal_makespan"]
    assert broken(project, plan.tasks) == []
    assert plan.lower_bound <= known <= plan.makespan
    assert plan.makespan == plan.lower_bound or not plan.proven_optimal
    model_makespan, model_proven, model_seconds = textbook(project)
    return {
        "name": name,
        "tasks": len(project.tasks),
        "known": known,
        "makespan": plan.makespan,
        "bound": plan.lower_bound,
        "proven": plan.proven_optimal,
        "seconds": round(seconds, 2),
        "serial": serial(project),
        "model_makespan": model_makespan,
        "model_proven": model_proven,
        "model_seconds": round(model_seconds, 2),
    }


def test_published_projects(benchmark):
    found = benchmark.pedantic(lambda: [one(*each) for each in PROJECTS.items()], rounds=1)
    figures = {
        "projects": len(found),
        "proven": sum(f["proven"] for f in found),
        "at_the_known_optimum": sum(f["makespan"] == f["known"] for f in found),
        "model_proven": sum(f["model_proven"] for f in found),
        "median_seconds": statistics.median(f["seconds"] for f in found),
        "serial_ratio": round(sum(f["serial"] for f in found) / sum(f["makespan"] for f in found), 3),
        "model_seconds_ratio": round(
            sum(f["model_seconds"] for f in found) / sum(f["seconds"] for f in found), 2
        ),
    }
    benchmark.extra_info.update(figures)
    write("scheduling", "published", figures | {"each": found}, as_text)


def as_text(parts):
    """All figures as a page."""
    p = parts["published"]
    return "\n".join(
        [
            f"# Published projects, {SECONDS:g} s each on two threads",
            "",
            f"{p['at_the_known_optimum']} of {p['projects']} planned to the known shortest time, {p['proven']} of "
            f"them proven, half within {p['median_seconds']:.2f} s. A serial schedule by latest finish takes "
            f"{p['serial_ratio']:.3f} times as long. The textbook model on CP-SAT with its defaults, given the "
            f"same time, proves {p['model_proven']} and takes {p['model_seconds_ratio']:g} times the time.",
            "",
            *load(p),
            "",
            *table(
                "project, tasks, known, makespan, bound, proven, s, serial, CP-SAT makespan, proven, s",
                [
                    cells(
                        f,
                        "name tasks known makespan bound proven seconds serial model_makespan model_proven "
                        "model_seconds",
                    )
                    for f in p["each"]
                ],
            ),
        ]
    )
