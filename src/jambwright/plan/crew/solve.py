"""The crew's plan: fewest visits, then days, then disturbance; without a calendar, the shortest time.

A first answer at once, then each day filled by search, then, where it is not too much, all days searched
together. Every plan is counted again before it is shown.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.plan.crew.bounds import least_days, static_bound
from jambwright.plan.crew.day_by_day import plan_day_by_day
from jambwright.plan.crew.first_answer import Starts, first_answer
from jambwright.plan.crew.measure import effort
from jambwright.plan.crew.model import best_plan
from jambwright.plan.crew.project import Project, checked, groups_alone, short_of, too_long
from jambwright.plan.crew.recount import Placed, broken
from jambwright.plan.solving import Grant

WHOLE_UP_TO = 4000
"""Tasks times days above which all days are not searched together: nothing was found there."""
DAYS_SHARE = 0.4
"""Of the search, for filling day by day where all days are searched together after it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One thing a plan of a house is made good at."""

    name: str
    value: int
    bound: int
    """No plan that is as good in the terms before does better."""


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
    least_days: int
    """No plan takes fewer days."""
    open_minutes: int
    """Minutes from first to last task of each group that is done in one day, added up."""
    room_days: int
    stopped_by_clock: bool = False
    """The machine was too slow for the search that was granted: another time other days may come out."""
    terms: tuple[Term, ...] = ()
    """Of a house, in the order in which they count; none without, and in a plan of an earlier version."""


def plan_crew(project: Project, grant: Grant, *, first: Starts | None = None) -> CrewPlan:
    """Plan a project, from a first answer where there is one already. The same project and grant give the same plan.

    Raises ``BadInput`` naming every task that can't be placed, or that no plan was found.
    """
    granted = grant.units
    checked(project)
    if first is None:
        raise_if_any(list(fits_in_no_day(project)))
    if not project.tasks:
        return _told(project, {}, 0, proven=True, grant=grant)
    starts, bound, proven = _search(project, first or first_answer(project), grant)
    if starts is None:
        raise BadInput.one(
            "tasks",
            f"No plan was found in {granted:g} units of search: {'there is none' if proven else 'there may be none'}. "
            "Give more days or people, or widen the windows.",
        )
    plan = _told(project, starts, bound, proven=proven, grant=grant)
    faults = broken(project, plan.tasks)
    if faults:
        raise AssertionError(f"the plan breaks its own limits: {faults}")
    return plan


def fits_in_no_day(project: Project) -> Iterator[Problem]:
    """Tasks, and groups done in one day, that no single day takes, each with the remedy."""
    short = list(short_of(project))
    yield from short
    if short:
        return  # what can't be done by anyone says nothing about days
    for group, alone in groups_alone(project):
        if first_answer(alone) is None:
            yield Problem(
                f"tasks.{group}",
                f"{group}: what must be done in one day fits in no day that is free for it; "
                "lengthen a day, bring more people, or agree other hours for the room.",
            )
    yield from too_long(project)


def _search(project: Project, best: Starts | None, grant: Grant) -> tuple[Starts | None, int, bool]:
    """The best plan found, the bound on its end, and whether nothing was left to search.

    Days up to the end of the best plan so far are searched first, all of them only with the work that leaves:
    a house is not begun a week late because the search ran out among the later days.
    """
    if project.calendar:
        small = len(project.tasks) * len(_no_later_than(project, best).days) <= WHOLE_UP_TO
        best = _better(project, best, plan_day_by_day(project, grant.share(DAYS_SHARE if small else 1.0)))
        if not small:
            return best, 0, False
    near = _no_later_than(project, best)
    found = best_plan(near, best, grant)
    best = _better(project, found.starts, best)
    if found.finished and near != project:
        found = best_plan(project, best, grant)
        best = found.starts if found.finished else best
    return best, found.bound, found.finished


def _better(project: Project, one: Starts | None, other: Starts | None) -> Starts | None:
    """The plan of less effort; the first where they are alike."""
    if one is None or other is None:
        return one or other
    return min(one, other, key=lambda starts: effort(project, starts))


def _no_later_than(project: Project, starts: Starts | None) -> Project:
    """The project with no working days after the last one of a plan."""
    calendar = project.calendar
    if not calendar or starts is None:
        return project
    last = max(starts.values())
    return replace(
        project, calendar=replace(calendar, days=tuple(span for span in calendar.days if span[0] <= last))
    )


def _told(project: Project, starts: Starts, bound: int, *, proven: bool, grant: Grant) -> CrewPlan:
    cost = effort(project, starts)
    return CrewPlan(
        tasks=_with_people(project, starts),
        makespan=cost.makespan,
        lower_bound=min(max(bound, static_bound(project)), cost.makespan),
        proven_optimal=proven,
        visits=cost.visits,
        days=cost.days,
        least_days=least_days(project),
        open_minutes=cost.open_minutes,
        room_days=cost.room_days,
        stopped_by_clock=grant.stopped_by_clock,
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
