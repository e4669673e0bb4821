"""The crew's days at a house: the plan with dates and rooms, and what could not be planned."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from jambwright.basis.problems import BadInput, Problem
from jambwright.basis.tables import table
from jambwright.plan.crew.first_answer import Starts, first_answer
from jambwright.plan.crew.project import Project, Task
from jambwright.plan.crew.recount import Placed
from jambwright.plan.crew.solve import CrewPlan, fits_in_no_day, plan_crew
from jambwright.plan.crew.work import DAY, Crew, days_enough, project_of
from jambwright.plan.house import HousePlan
from jambwright.plan.materials import Calls, When
from jambwright.plan.solving import Grant

NOISY = ("take_out", "prepare", "fit")
OPEN = ("take_out", "prepare", "fit", "glaze")
"""Steps during which the hole is open or barely closed: it is cold."""
LEAST_UNITS, UNITS_A_TASK, MOST_UNITS = 2.5, 0.0075, 20.0
"""Search that a plan is granted unless told otherwise: more for more work, about a minute in any case."""
STAY_SHARE = 0.3
"""Of the search left, for each try to leave the rest where it was."""
MOST_DAYS = 2000
"""Days after which no more are tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """All the work at one opening on one day."""

    on: date
    opening_id: str
    name: str
    room: str
    steps: tuple[Placed, ...]

    @property
    def start(self) -> int:
        """First minute of the day's work there."""
        return min(step.start for step in self.steps) % DAY

    @property
    def end(self) -> int:
        """Last minute."""
        return max(step.end - 1 for step in self.steps) % DAY + 1

    def during(self, kinds: tuple[str, ...]) -> tuple[int, int] | None:
        """From the first to the last minute of some kinds of step."""
        some = [step for step in self.steps if step.step in kinds]
        if not some:
            return None
        return min(s.start for s in some) % DAY, max(s.end - 1 for s in some) % DAY + 1


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewDays:
    """The plan of the crew's days."""

    crew: Crew
    project: Project
    plan: CrewPlan
    stays: tuple[Stay, ...]
    left_out: tuple[Problem, ...]
    """Openings that fit in no day, each with the remedy; everything else is planned."""
    stayed: tuple[str, ...] = ()
    """Openings that were kept on the days of the plan before."""

    def calls(self) -> Calls:
        """When the crew does what, by opening and step."""
        visit, last, found = 0, None, {}
        for placed in sorted(self.plan.tasks, key=lambda placed: placed.start):
            day = self.project.day_of(placed.start)
            if last is None or day > last + 1:
                visit += 1
            last = day
            found[placed.opening, placed.step] = When(
                self.crew.first_day + timedelta(days=placed.start // DAY), visit
            )
        return found


def plan_days(
    house: HousePlan, crew: Crew, *, grant: Grant | None = None, shut: Sequence[Problem] = ()
) -> CrewDays:
    """Plan the days; an opening with work that fits in no day is left out and told.

    ``shut`` names openings whose wall may not be opened yet, each with why: they are left out too.

    The ``grant`` follows the work when left out. Raises ``BadInput`` when nothing is left to do, or no plan was found.
    """
    barred = {problem.opening for problem in shut}
    open_ = tuple(each for each in house.openings if each.opening.id not in barred)
    part = replace(house, openings=open_)
    project, first, left_out = _plannable(part, replace(crew, stays={}))
    told = [*(p for p in shut if _still_to_do(house, p.opening)), *left_out]
    if not project.tasks and not told:
        raise BadInput.one("openings", "There is nothing left to fit: every opening is marked finished.")
    granted = grant or Grant(units=_units_for(project))
    for kept in ways_to_stay(crew):
        asked = replace(crew, stays=kept)
        found = _stayed(part, asked, {p.opening for p in left_out}, granted.share(STAY_SHARE))
        if found:
            project, plan = found
            break
    else:
        asked, plan = replace(crew, stays={}), plan_crew(project, granted, first=first)
    return CrewDays(
        crew=asked,
        project=project,
        plan=replace(plan, stopped_by_clock=granted.stopped_by_clock),
        stays=tuple(_stays(house, crew, plan)),
        left_out=tuple(told),
        stayed=tuple(dict.fromkeys(task.opening for task in project.tasks if _stays_put(task, asked))),
    )


def _stays_put(task: Task, crew: Crew) -> bool:
    return (task.opening, task.step) in crew.stays


def ways_to_stay(crew: Crew) -> Iterator[Mapping[tuple[str, str], date]]:
    """What may stay where it was, the most first: every step; the walls' days; those on no day that another is put to.

    The last of them leaves room on the day that became crowded. What was planned before the first day can't stay.
    """
    stays = {of: on for of, on in crew.stays.items() if on >= crew.first_day}
    open_wall = {row["step"] for row in table("crew_tasks") if row["open_wall"] == "yes"}
    walls = {of: on for of, on in stays.items() if of[1] in open_wall}
    crowded = set(crew.held.values())
    giving_way = {of[0] for of, on in walls.items() if on in crowded and of[0] not in crew.held}
    apart = {of: on for of, on in walls.items() if of[0] not in giving_way}
    tried: list[Mapping[tuple[str, str], date]] = []
    for kept in (stays, walls, apart):
        if kept and kept not in tried:
            tried.append(kept)
            yield kept


def _stayed(
    house: HousePlan, crew: Crew, left_out: Container[str | None], grant: Grant
) -> tuple[Project, CrewPlan] | None:
    """A plan in which what stays keeps its day; ``None`` where none was found."""
    project = project_of(house, crew, crew.days or days_enough(house, crew))
    project = replace(project, tasks=tuple(t for t in project.tasks if t.opening not in left_out))
    if any(fits_in_no_day(project)):
        return None
    try:
        return project, plan_crew(project, grant)
    except BadInput:
        return None


def _still_to_do(house: HousePlan, mark: str | None) -> bool:
    """Whether a wall is still to be opened there; one that is not planned has all its work before it."""
    found = next((each.opening for each in house.openings if each.opening.id == mark), None)
    return found is None or not found.is_done("fitted")


def _units_for(project: Project) -> float:
    return min(MOST_UNITS, LEAST_UNITS + UNITS_A_TASK * len(project.tasks))


def _plannable(house: HousePlan, crew: Crew) -> tuple[Project, Starts | None, list[Problem]]:
    """The work that fits, in days enough unless they were given; a first answer; what is left out and why."""
    days = crew.days or days_enough(house, crew)
    while True:
        project, left_out = project_of(house, crew, days), dict[str, Problem]()
        while problems := list(fits_in_no_day(project)):
            for problem in problems:
                assert problem.opening is not None
                left_out.setdefault(problem.opening, problem)
            project = replace(project, tasks=tuple(t for t in project.tasks if t.opening not in left_out))
        first = first_answer(project)
        if first is not None or crew.days or days >= MOST_DAYS:
            return project, first, list(left_out.values())
        days *= 2


def _stays(house: HousePlan, crew: Crew, plan: CrewPlan) -> Iterator[Stay]:
    openings = {each.opening.id: each.opening for each in house.openings}
    at: dict[tuple[int, str], list[Placed]] = defaultdict(list)
    for placed in plan.tasks:
        at[placed.start // DAY, placed.opening].append(placed)
    for (day, mark), steps in sorted(at.items(), key=lambda pair: min(s.start for s in pair[1])):
        yield Stay(
            on=crew.first_day + timedelta(days=day),
            opening_id=mark,
            name=openings[mark].name,
            room=openings[mark].room,
            steps=tuple(sorted(steps, key=lambda step: step.start)),
        )
