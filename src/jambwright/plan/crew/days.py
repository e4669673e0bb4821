"""The crew's days at a house: the plan with dates and rooms, and what could not be planned."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from jambwright.basis.problems import BadInput, Problem
from jambwright.plan.crew.project import Project
from jambwright.plan.crew.recount import Placed
from jambwright.plan.crew.solve import CrewPlan, plan_crew, too_long_for_a_day
from jambwright.plan.crew.work import DAY, Crew, project_of
from jambwright.plan.house import HousePlan

NOISY = ("take_out", "prepare", "fit")
OPEN = ("take_out", "prepare", "fit", "glaze")
"""Steps during which the hole is open or barely closed: it is cold."""


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
        some = [step for step in self.steps if step.id.split(" ", 1)[1] in kinds]
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


def plan_days(house: HousePlan, crew: Crew, *, seconds: float = 10.0) -> CrewDays:
    """Plan the days; an opening whose open-wall work fits in no day is left out and told."""
    project = project_of(house, crew)
    left_out = too_long_for_a_day(project)
    groups = {problem.field.removeprefix("tasks.") for problem in left_out}
    kept = tuple(task for task in project.tasks if task.id.split(" ", 1)[0] not in groups)
    project = replace(project, tasks=kept)
    if not kept:
        raise BadInput(left_out or [Problem("openings", "There is nothing left to fit.")])
    plan = plan_crew(project, seconds=seconds)
    return CrewDays(
        crew=crew,
        project=project,
        plan=plan,
        stays=tuple(_stays(house, crew, plan)),
        left_out=tuple(left_out),
    )


def _stays(house: HousePlan, crew: Crew, plan: CrewPlan) -> Iterator[Stay]:
    openings = {each.opening.id: each.opening for each in house.openings}
    at: dict[tuple[int, str], list[Placed]] = defaultdict(list)
    for placed in plan.tasks:
        at[placed.start // DAY, placed.id.split(" ", 1)[0]].append(placed)
    for (day, mark), steps in sorted(at.items(), key=lambda pair: min(s.start for s in pair[1])):
        yield Stay(
            on=crew.first_day + timedelta(days=day),
            opening_id=mark,
            name=openings[mark].name,
            room=openings[mark].room,
            steps=tuple(sorted(steps, key=lambda step: step.start)),
        )
