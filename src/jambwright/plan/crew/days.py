"""The crew's days at a house: the plan with dates and rooms, and what could not be planned."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from jambwright.basis.problems import BadInput, Problem
from jambwright.plan.crew.assignment import (
    DayPlans,
    Shared,
    Sharing,
    Slot,
    by_slot,
    first_sharing,
)
from jambwright.plan.crew.blocks import Job
from jambwright.plan.crew.day_plan import DayPlan
from jambwright.plan.crew.jobs import jobs_of
from jambwright.plan.crew.recount import Placed
from jambwright.plan.crew.solve import CrewPlan, Term
from jambwright.plan.crew.terms import exchanged, least_of, values_of
from jambwright.plan.crew.work import DAY, Crew
from jambwright.plan.hours import PAIR, Spread, spread_of
from jambwright.plan.house import HousePlan
from jambwright.plan.materials import Calls, When
from jambwright.plan.solving import Grant

NOISY = ("take_out", "prepare", "fit")
OPEN = ("take_out", "prepare", "fit", "glaze")
"""Steps during which the hole is open or barely closed: it is cold."""
UNITS, UNITS_A_JOB, MOST_UNITS = 2.0, 0.2, 15.0
"""Search that a plan is granted unless told otherwise: more for more openings."""
MOST_SHARED = 4000
"""Jobs times days times teams above which the days are filled one after the other and no better is looked for."""
OPTIONAL = ("moved", "unsealed_nights", "tower_days")
"""Terms that are told only where they say something of this house."""
SPARE_DAYS = 7
MOST_DAYS = 400
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

    @property
    def slots(self) -> tuple[tuple[int, int], ...]:
        """Stretches in which somebody is there, in order, minutes of the day."""
        found: list[tuple[int, int]] = []
        for step in sorted(self.steps, key=lambda step: step.start):
            start, end = step.start % DAY, (step.end - 1) % DAY + 1
            if found and start <= found[-1][1]:
                found[-1] = (found[-1][0], max(end, found[-1][1]))
            else:
                found.append((start, end))
        return tuple(found)

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
    offsets: tuple[int, ...]
    """Working days that were looked at, counted from the first day."""
    plan: CrewPlan
    stays: tuple[Stay, ...]
    left_out: tuple[Problem, ...]
    """Openings that fit in no day, each with the remedy; everything else is planned."""
    hours: Spread
    """Of a pair, at the openings whose wall is still to be opened."""
    stayed: tuple[str, ...] = ()
    """Openings that were kept on the days of the plan before."""

    def calls(self) -> Calls:
        """When the crew does what, by opening and step."""
        visit, last, found = 0, -2, dict[tuple[str, str], When]()
        place = {offset: number for number, offset in enumerate(self.offsets)}
        for placed in sorted(self.plan.tasks, key=lambda placed: placed.start):
            day = place[placed.start // DAY]
            if day > last + 1:
                visit += 1
            last = day
            if placed.opening:
                on = self.crew.on(placed.start // DAY)
                found.setdefault((placed.opening, placed.step), When(on, visit))
        return found


def plan_days(
    house: HousePlan, crew: Crew, *, grant: Grant | None = None, shut: Sequence[Problem] = ()
) -> CrewDays:
    """Plan the days; an opening with work that fits in no day is left out and told.

    ``shut`` names openings whose wall may not be opened yet, each with why: they are left out too.

    The ``grant`` follows the work when left out. Raises ``BadInput`` when nothing is left to do, or no plan was found.
    """
    from jambwright.plan.crew.offers import left_out_of

    barred = {problem.opening for problem in shut}
    part = replace(house, openings=tuple(o for o in house.openings if o.opening.id not in barred))
    every = jobs_of(part, crew)
    grant = grant or Grant(units=min(MOST_UNITS, UNITS + UNITS_A_JOB * len(every)))
    told = [p for p in shut if _still_to_do(house, p.opening)]
    out = left_out_of(part, crew, every, grant)
    told += out.values()
    jobs = [job for job in every if job.mark not in out]
    if not every and not told:
        raise BadInput.one("openings", "There is nothing left to fit: every opening is marked finished.")
    return _planned(house, crew, jobs, grant, told)


def _planned(
    house: HousePlan, crew: Crew, jobs: Sequence[Job], grant: Grant, told: Sequence[Problem]
) -> CrewDays:
    plans = DayPlans(crew, grant)
    days, shared, crowded = _days_enough(jobs, crew, plans)
    told = [*told, *(_crowded_out(house, job) for job in crowded)]
    out = {job.mark for job in crowded}
    jobs = [job for job in jobs if job.mark not in out]
    bounds: Mapping[str, int] = {}
    if jobs:
        # no day later than the first answer's last one, and those that are held or stay
        near = [day for day in days if day <= max(slot[0] for slot in shared.values())]
        if len(jobs) * len(near) * len(crew.teams) <= MOST_SHARED:
            shared, bounds = _improved(jobs, near, crew, plans, shared, grant)
        shared = exchanged(jobs, days, crew, plans, shared)
    chosen = {slot: day for slot, some in by_slot(jobs, shared).items() if (day := plans.of(some, slot))}
    plan = _told(jobs, crew, days, chosen, bounds, grant)
    stayed = [j.mark for j in jobs if j.stayed_on and crew.on(shared[j.key][0]) == j.stayed_on]
    return CrewDays(
        crew=crew,
        offsets=tuple(days),
        plan=plan,
        stays=tuple(_stays(house, crew, plan)),
        left_out=tuple(told),
        hours=spread_of(house, {job.mark for job in jobs if job.opening}),
        stayed=tuple(dict.fromkeys(stayed)),
    )


def _crowded_out(house: HousePlan, job: Job) -> Problem:
    name = next(each.opening.name for each in house.openings if each.opening.id == job.mark)
    say = (
        f"{name}: held to {job.held:%d.%m.%Y}, and that day has no room for it beside what else is held to it; "
        "hold it to another day."
        if job.held
        else f"{name}: no days in a row have room for all its parts; hold fewer openings to a day."
    )
    return Problem(f"tasks.{job.mark}", say, opening=job.mark)


def _days_enough(jobs: Sequence[Job], crew: Crew, plans: DayPlans) -> tuple[list[int], Shared, list[Job]]:
    """Working days that hold all the work, a first sharing out, and what is held to a day that is full."""
    people = sum(len(team) for team in crew.teams)
    work = sum(PAIR * job.minutes for job in jobs) / (people * crew.hours(0).minutes)
    settled = [on for job in jobs for on in (job.held, job.stayed_on) if on]
    latest = max(((on - crew.first_day).days for on in settled), default=0)
    count = math.ceil(work) + SPARE_DAYS + latest
    while True:
        days = crew.working_days(count)
        shared, left = first_sharing(jobs, days, crew, plans)
        crowded = [job for job in left if job.held or count > MOST_DAYS + latest]
        others = {job.mark for job in left} - {job.mark for job in crowded}
        if not others:
            return days, shared, crowded
        count *= 2


def _improved(
    jobs: Sequence[Job], days: Sequence[int], crew: Crew, plans: DayPlans, shared: Shared, grant: Grant
) -> tuple[Shared, dict[str, int]]:
    """A better sharing out, term after term, and by term what no plan can beat that is as good in those before."""
    sharing, bounds = Sharing(jobs, days, crew, plans), dict[str, int]()
    for name, term in sharing.terms():
        found, bound = sharing.least(name, term, shared, grant)
        if bound is not None:
            bounds[name] = bound
        if found is None:
            break
        shared = found
    return shared, bounds


def _told(
    jobs: Sequence[Job],
    crew: Crew,
    days: Sequence[int],
    chosen: Mapping[Slot, DayPlan],
    bounds: Mapping[str, int],
    grant: Grant,
) -> CrewPlan:
    tasks = [placed for (day, _), plan in chosen.items() for placed in plan.placed(day)]
    tasks.sort(key=lambda placed: (placed.start, placed.who, placed.id))
    values = values_of(crew, days, chosen)
    least = least_of(jobs, crew, values["days"])
    least |= {name: max(bound, least.get(name, 0)) for name, bound in bounds.items()}
    terms = tuple(
        Term(name=name, value=value, bound=min(value, max(0, least.get(name, 0))))
        for name, value in values.items()
        if name not in OPTIONAL or value or name in least
    )
    bound_of = {term.name: term.bound for term in terms}
    return CrewPlan(
        tasks=tuple(tasks),
        makespan=values["end"],
        lower_bound=bound_of["end"],
        proven_optimal=all(term.value == term.bound for term in terms),
        visits=values["visits"],
        days=values["days"],
        least_days=bound_of["days"],
        open_minutes=values["open_minutes"],
        room_days=values["room_days"],
        stopped_by_clock=grant.stopped_by_clock,
        terms=terms,
    )


def _still_to_do(house: HousePlan, mark: str | None) -> bool:
    """Whether a wall is still to be opened there; one that is not planned has all its work before it."""
    found = next((each.opening for each in house.openings if each.opening.id == mark), None)
    return found is None or not found.is_done("fitted")


def _stays(house: HousePlan, crew: Crew, plan: CrewPlan) -> Iterator[Stay]:
    openings = {each.opening.id: each.opening for each in house.openings}
    at: dict[tuple[int, str], list[Placed]] = defaultdict(list)
    for placed in plan.tasks:
        if placed.opening:
            at[placed.start // DAY, placed.opening].append(placed)
    for (day, mark), steps in sorted(at.items(), key=lambda pair: min(s.start for s in pair[1])):
        yield Stay(
            on=crew.on(day),
            opening_id=mark,
            name=openings[mark].name,
            room=openings[mark].room,
            steps=tuple(sorted(steps, key=lambda step: step.start)),
        )
