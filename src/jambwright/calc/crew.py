"""Calculations by name: the crew's days."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.basis.clause import Clause
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.plan.crew import After, Calendar, CrewPlan, Project, Task, plan_crew
from jambwright.plan.crew.bounds import static_bound
from jambwright.plan.solving import Clock, Grant

Minutes = Annotated[int, Field(ge=0, le=1_000_000)]
"""Up to two years, night and day."""
MOST_TASKS = 400
MOST_SPANS = 400
NET = 3
"""The clock ends a search after so many times the seconds it was granted."""
Count = Annotated[int, Field(ge=0, le=1000)]
SpanGiven = tuple[Minutes, Minutes]
SCHEDULING = Clause(
    "Resource-constrained project scheduling", "constraint model on CP-SAT", "from memory, high"
)


class AfterGiven(Strict):
    """A task that must have ended first."""

    id: str
    wait_minutes: Minutes = 0
    """Rest between the two: foam cures, sealant skins."""


class TaskGiven(Strict):
    """One task, done without a break."""

    id: str
    minutes: Minutes
    needs: Annotated[dict[str, Count], Field(max_length=20)] = {}
    after: Annotated[list[AfterGiven], Field(max_length=MOST_TASKS)] = []
    window: SpanGiven | None = None
    """Not before and not after, in minutes."""
    avoid: Annotated[list[SpanGiven], Field(max_length=MOST_SPANS)] = []
    dry: bool = False
    same_day: str | None = None
    """Tasks of one group are done on one day; wants a calendar."""
    room: str | None = None
    place: str | None = None


class CalendarGiven(Strict):
    """Working days and hours of rain, in minutes from the first midnight."""

    days: Annotated[list[SpanGiven], Field(min_length=1, max_length=MOST_SPANS)]
    rain: Annotated[list[SpanGiven], Field(max_length=MOST_SPANS)] = []


class CrewAsked(Strict):
    """A crew's work."""

    tasks: Annotated[list[TaskGiven], Field(max_length=MOST_TASKS)]
    resources: Annotated[dict[str, Count], Field(max_length=20)]
    calendar: CalendarGiven | None = None
    seconds: Annotated[float, Field(gt=0, le=600)] = 10.0
    """Search that is granted, in what an ordinary machine does in a second; the same on every machine."""

    def project(self) -> Project:
        """As the plan takes it."""
        tasks = tuple(
            Task(
                id=t.id, minutes=t.minutes, needs=t.needs, window=t.window, avoid=tuple(t.avoid), dry=t.dry,
                after=tuple(After(a.id, a.wait_minutes) for a in t.after), same_day=t.same_day, room=t.room,
                place=t.place,
            )
            for t in self.tasks
        )  # fmt: skip
        calendar = None
        if self.calendar:
            calendar = Calendar(days=tuple(sorted(self.calendar.days)), rain=tuple(self.calendar.rain))
        return Project(tasks=tasks, resources=self.resources, calendar=calendar)


class PlacedLine(Answer):
    """One task in the plan."""

    id: str
    start: int
    end: int
    who: list[str]


class CrewAnswer(Answer):
    """The plan and how good it is."""

    tasks: list[PlacedLine]
    makespan: int
    lower_bound: int
    proven_optimal: bool
    visits: int
    days: int
    least_days: int
    """No plan takes fewer."""
    open_minutes: int
    room_days: int
    stopped_by_clock: bool
    """The machine was too slow for the search that was granted: another time another plan may come out."""


def _planned(asked: CrewAsked) -> tuple[Project, CrewPlan]:
    project = asked.project()
    return project, plan_crew(project, Grant(units=asked.seconds, clock=Clock(NET * asked.seconds)))


def _told(project: Project, plan: CrewPlan) -> CrewAnswer:
    order = {task.id: n for n, task in enumerate(project.tasks)}
    return CrewAnswer(
        tasks=[
            PlacedLine(id=p.id, start=p.start, end=p.end, who=list(p.who))
            for p in sorted(plan.tasks, key=lambda p: order[p.id])
        ],
        makespan=plan.makespan,
        lower_bound=plan.lower_bound,
        proven_optimal=plan.proven_optimal,
        visits=plan.visits,
        days=plan.days,
        least_days=plan.least_days,
        open_minutes=plan.open_minutes,
        room_days=plan.room_days,
        stopped_by_clock=plan.stopped_by_clock,
    )


def _note(work: Working, project: Project, plan: CrewPlan) -> None:
    for name, have in project.resources.items():
        busy = sum(t.minutes * t.needs.get(name, 0) for t in project.tasks)
        work.note(f"work of {name}", "Σ minutes × number", busy, "min", SCHEDULING, there_are=have)
    work.note("bound", "longest chain, or work shared out", static_bound(project), "min", SCHEDULING)
    work.note("makespan", "last end", plan.makespan, "min", SCHEDULING, proven_optimal=plan.proven_optimal)


def _run(asked: CrewAsked, work: Working) -> CrewAnswer:
    planned = _planned(asked)
    _note(work, *planned)
    return _told(*planned)


CALCULATIONS: tuple[Calculation[Any], ...] = (
    Calculation(
        name="crew-plan",
        summary="Who does what when: fewest visits, then days, then disturbance.",
        asks=CrewAsked,
        answers=CrewAnswer,
        run=_run,
        example={
            "tasks": [
                {"id": "take out", "minutes": 60, "needs": {"fitter": 2}},
                {"id": "fit", "minutes": 90, "needs": {"fitter": 2}, "after": [{"id": "take out"}]},
                {"id": "foam", "minutes": 15, "needs": {"fitter": 1}, "after": [{"id": "fit"}]},
                {
                    "id": "trim",
                    "minutes": 20,
                    "needs": {"fitter": 1},
                    "after": [{"id": "foam", "wait_minutes": 25}],
                },
            ],
            "resources": {"fitter": 2},
        },
    ),
)
