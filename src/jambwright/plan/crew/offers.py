"""Openings that fit in no day: by how much, and what was tried that would make them fit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from jambwright.basis.problems import Problem
from jambwright.plan.crew.assignment import DayPlans
from jambwright.plan.crew.blocks import Job
from jambwright.plan.crew.jobs import jobs_of
from jambwright.plan.crew.work import Crew
from jambwright.plan.cures import STEP_MINUTES
from jambwright.plan.hours import PAIR
from jambwright.plan.house import HousePlan
from jambwright.plan.solving import Grant

LONGEST_MORE = 180
"""No day is lengthened by more, minutes. House default."""
LOOK_AHEAD = 10
"""Working days looked at for weather and quiet hours where the opening is held to none."""


def left_out_of(house: HousePlan, crew: Crew, jobs: Sequence[Job], grant: Grant) -> dict[str, Problem]:
    """Why an opening fits in no day and what would help, each tried; by mark, those that fit left out."""
    out: dict[str, Problem] = {}
    plans = DayPlans(crew, grant)
    for job in jobs:
        if job.mark not in out and not _fits(job, crew, plans):
            name = next(o.opening.name for o in house.openings if o.opening.id == job.mark)
            say = " ".join([f"{name}: fits in no day.", *_why(job, crew, house, grant)])
            out[job.mark] = Problem(f"tasks.{job.mark}", say, opening=job.mark)
    return out


def _fits(job: Job, crew: Crew, plans: DayPlans) -> bool:
    return any(
        plans.possible(job, (day, team)) for day in _days(job, crew) for team in range(len(crew.teams))
    )


def _days(job: Job, crew: Crew) -> list[int]:
    if job.held:
        offset = (job.held - crew.first_day).days
        return [offset] if offset >= 0 and job.held.weekday() < 5 else []
    return crew.working_days(LOOK_AHEAD)


def _why(job: Job, crew: Crew, house: HousePlan, grant: Grant) -> Iterator[str]:
    if job.tower and not crew.towers:
        yield "It needs a tower and there is none; bring one."
        return
    if job.opening and crew.fitters < PAIR:
        yield f"It takes two fitters and there is {crew.fitters or 'none'}; bring a second."
        return
    if job.held and job.held < crew.first_day:
        yield f"It is held to {job.held:%d.%m.%Y}, before the first day; hold it to a later one."
        return
    if job.held and job.held.weekday() > 4:
        yield f"It is held to {job.held:%d.%m.%Y}, which is no working day; hold it to another."
        return
    hours = crew.hours(0)
    long = job.minutes + (job.cure if job.opening and job.closing else 0)
    free = f"{_clock(hours.works_from)} to {_clock(hours.works_to)}"
    yield f"It takes {long} minutes, {job.cure} of them for the foam."
    yield f"A day is worked from {free}, less {hours.lunch} for lunch."
    if job.quiet:
        yield f"The room is not free from {_clock(job.quiet[0])} to {_clock(job.quiet[1])}."
    if job.held:
        yield f"It is held to {job.held:%d.%m.%Y}."
    helps, does_not = _tried(job, crew, house, grant)
    if helps:
        yield f"Tried and fits: {'; '.join(helps)}."
    if does_not:
        yield f"Tried and does not help: {'; '.join(does_not)}."
    if not helps:
        yield "Agree other hours for the room, or plan it by hand over several days with the hole boarded."


def _clock(minute: int) -> str:
    return f"{minute // 60}:{minute % 60:02d}"


def _tried(job: Job, crew: Crew, house: HousePlan, grant: Grant) -> tuple[list[str], list[str]]:
    """What makes the opening fit, and what does not."""
    helps, does_not = list[str](), list[str]()
    alone = replace(house, openings=tuple(o for o in house.openings if o.opening.id == job.mark))

    def fits(changed: Crew) -> bool:
        plans = DayPlans(changed, grant)
        return all(_fits(each, changed, plans) for each in jobs_of(alone, changed))

    more = next((m for m in range(STEP_MINUTES, LONGEST_MORE + 1, STEP_MINUTES)
                 if fits(replace(crew, longer_minutes=crew.longer_minutes + m))), None)  # fmt: skip
    longer = (
        f"a day {more} minutes longer, so much is missing"
        if more
        else f"a day up to {LONGEST_MORE} minutes longer"
    )
    (helps if more else does_not).append(longer)
    if job.opening and job.closing:
        covered = fits(replace(crew, covered=crew.covered | {job.mark}))
        (helps if covered else does_not).append("a weather cover on its joint overnight, closed the next day")
    third = fits(replace(crew, fitters=crew.fitters + 1))
    (helps if third else does_not).append("one more fitter")
    return helps, does_not
