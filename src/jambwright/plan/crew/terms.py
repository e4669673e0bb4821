"""What a plan of the days is good at, counted off its days; and exchanges of openings between days that better it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from jambwright.plan.crew.assignment import DayPlans, Shared, Slot, by_slot
from jambwright.plan.crew.blocks import Job, least_person_minutes
from jambwright.plan.crew.day_plan import DayPlan
from jambwright.plan.crew.work import DAY, Crew

MOST_TRIED = 150
"""Exchanges that are tried: the gain of more was small (measured on houses of 4 to 20 openings)."""


def values_of(crew: Crew, days: Sequence[int], chosen: Mapping[Slot, DayPlan]) -> dict[str, int]:
    """The terms of planned days, in the order in which they count."""
    place = {day: number for number, day in enumerate(days)}
    done = [(job, day) for (day, _), plan in chosen.items() for job in _jobs_of(plan)]
    used = {place[day] for day, _ in chosen}
    return {
        "moved": sum(job.stayed_on is not None and crew.on(day) != job.stayed_on for job, day in done),
        "unsealed_nights": sum(place[day] for job, day in done if job.unsealed),
        "days": len(used),
        "visits": sum(number - 1 not in used for number in used),
        "changes": sum(plan.changes for plan in chosen.values()),
        "room_days": len({(job.room, day) for job, day in done}),
        "tower_days": len({(job.tower, day) for job, day in done if job.tower}),
        "open_minutes": sum(plan.open_minutes for plan in chosen.values()),
        "end": max(
            (day * DAY + plan.end + plan.hours.clear_up for (day, _), plan in chosen.items()), default=0
        ),
    }


def least_of(jobs: Sequence[Job], crew: Crew, days: int) -> dict[str, int]:
    """Bounds that need no search: nobody ever waits, and each room and face is worked at on one day."""
    if not jobs:
        return {}
    hours, people = crew.hours(0), sum(len(team) for team in crew.teams)
    work = sum(least_person_minutes(job, crew) for job in jobs)
    last = max(0, work - (days - 1) * people * hours.minutes) // people
    return {
        "days": -(-work // (people * hours.minutes)),
        "visits": 1,
        "room_days": len({job.room for job in jobs}),
        "tower_days": len({job.tower for job in jobs if job.tower}),
        "open_minutes": sum(job.least_open_minutes for job in jobs),
        "end": crew.working_days(days)[-1] * DAY + hours.works_from + last + hours.clear_up,
    }


def exchanged(
    jobs: Sequence[Job], days: Sequence[int], crew: Crew, plans: DayPlans, shared: Shared
) -> Shared:
    """The same with openings or whole days exchanged where the days as planned, not only as shared out, gain by it."""
    if len(crew.teams) > 1 or any(job.part for job in jobs) or not jobs:
        return shared  # what teams share, and halves that belong together, are left as they are
    best, worth, tried = shared, _worth(jobs, days, crew, plans, shared), 0
    better = True
    while better and tried < MOST_TRIED:
        better = False
        for other in _neighbours(jobs, best):
            tried += 1
            found = _worth(jobs, days, crew, plans, other)
            if found and worth and found < worth:
                best, worth, better = other, found, True
                break
            if tried >= MOST_TRIED:
                break
    return best


def _worth(
    jobs: Sequence[Job], days: Sequence[int], crew: Crew, plans: DayPlans, shared: Shared
) -> tuple[int, ...] | None:
    """The terms as a whole, smaller is better; ``None`` where a day can't be planned."""
    chosen: dict[Slot, DayPlan] = {}
    for slot, some in by_slot(jobs, shared).items():
        if any(job.held and crew.on(slot[0]) != job.held for job in some):
            return None
        plan = plans.of(some, slot)
        if plan is None:
            return None
        chosen[slot] = plan
    return tuple(values_of(crew, days, chosen).values())


def _neighbours(jobs: Sequence[Job], shared: Shared) -> Iterator[Shared]:
    """Two openings that change days, an opening that goes to another day, two days that change places."""
    slots = sorted(set(shared.values()))
    for number, one in enumerate(slots):
        for other in slots[number + 1 :]:
            swap = {one: other, other: one}
            yield {key: swap.get(slot, slot) for key, slot in shared.items()}
    for number, job in enumerate(jobs):
        for other_job in jobs[number + 1 :]:
            if shared[job.key] != shared[other_job.key]:
                yield {**shared, job.key: shared[other_job.key], other_job.key: shared[job.key]}
        for slot in slots:
            if slot != shared[job.key]:
                yield {**shared, job.key: slot}


def _jobs_of(plan: DayPlan) -> list[Job]:
    return list({visit.job.key: visit.job for visit in plan.visits}.values())
