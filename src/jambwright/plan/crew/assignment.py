"""Which opening is done on which day by which team, best first by terms in a fixed order, each with its bound.

The days are shared out by what fits by hours alone; each team's day is then planned, and what turns out not to fit
together is forbidden. A bound of the shared-out days is a bound of the plan, for it knows fewer limits.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from jambwright.plan.crew.blocks import Job, least_person_minutes
from jambwright.plan.crew.day_model import plan_day
from jambwright.plan.crew.day_plan import DayPlan, too_much
from jambwright.plan.crew.work import Crew
from jambwright.plan.hours import PAIR
from jambwright.plan.solving import Grant, solve_constraints

Slot = tuple[int, int]
"""Day, counted from the first, and number of the team."""
Shared = Mapping[str, Slot]
"""Slot of every job."""
MOST_OF_A_TERM = 10_000_000
MOST_CUTS = 60
"""Times that a sharing out is mended before the best plan so far is kept."""
LEVEL_SHARE, CUT_SHARE, LEAST_UNITS = 0.4, 0.3, 0.02
"""Of the search left, for each term; of that, for each time it is mended; and what is too little to go on with."""


class DayPlans:
    """The days planned so far: the same openings on a day with the same hours are planned once."""

    def __init__(self, crew: Crew, grant: Grant) -> None:
        self._crew, self._grant = crew, grant
        self._known: dict[tuple[Any, ...], DayPlan | None] = {}

    def of(self, jobs: Sequence[Job], slot: Slot) -> DayPlan | None:
        """The best plan of these openings on a day by a team; ``None`` where there is none."""
        hours, team = self._crew.hours(slot[0]), self._crew.teams[slot[1]]
        key = (frozenset(job.key for job in jobs), hours, team)
        if key not in self._known:
            self._known[key] = plan_day(sorted(jobs, key=lambda job: job.key), hours, team, self._grant)
        return self._known[key]

    def too_many(self, jobs: Sequence[Job], slot: Slot) -> list[Job]:
        """The fewest of openings that don't fit together which still don't, as far as leaving out one by one tells."""
        left = list(jobs)
        for job in jobs:
            fewer = [each for each in left if each is not job]
            if fewer and self.of(fewer, slot) is None:
                left = fewer
        return left

    def possible(self, job: Job, slot: Slot) -> bool:
        """Whether a job can be done on a day by itself, where its day is not settled otherwise."""
        day = self._crew.on(slot[0])
        if job.held and day != job.held:
            return False
        if job.tower and not self._crew.towers:
            return False
        return self.of([job], slot) is not None


def by_slot(jobs: Iterable[Job], shared: Shared) -> dict[Slot, list[Job]]:
    """The jobs of each day and team, in order."""
    found: dict[Slot, list[Job]] = defaultdict(list)
    for job in jobs:
        found[shared[job.key]].append(job)
    return dict(sorted(found.items()))


def first_sharing(
    jobs: Sequence[Job], days: Sequence[int], crew: Crew, plans: DayPlans
) -> tuple[Shared, list[Job]]:
    """Day after day filled with the next openings that fit, what is held to a day first; and what found no day."""
    shared: dict[str, Slot] = {}
    begun: dict[tuple[str, int], int] = {}
    left = sorted(jobs, key=lambda job: (job.held is None, not job.part, not job.unsealed))
    for number, day in enumerate(days):
        up = 0
        for team in range(len(crew.teams)):
            slot, here = (day, team), list[Job]()
            for job in list(left):
                if job.part and begun.get((job.mark, job.part - 1), number) != number - 1:
                    continue
                tower = job.tower is not None and not any(each.tower for each in here)
                if tower and up >= crew.towers:
                    continue
                last = job.opening is not None and job.closing is None and number + 1 == len(days)
                if last or too_much([*here, job], crew.hours(day), len(crew.teams[team])):
                    continue
                if plans.possible(job, slot) and plans.of([*here, job], slot):
                    here.append(job)
                    left.remove(job)
                    up += tower
                    shared[job.key] = slot
                    begun[job.mark, job.part] = number
        if not left:
            break
    return shared, left


class Sharing:
    """The days shared out, as a constraint model that is narrowed term by term."""

    def __init__(self, jobs: Sequence[Job], days: Sequence[int], crew: Crew, plans: DayPlans) -> None:
        from ortools.sat.python import cp_model

        self._jobs, self._days, self._crew, self._plans = jobs, days, crew, plans
        self._model = cp_model.CpModel()
        slots = [(day, team) for day in days for team in range(len(crew.teams))]
        self._on: dict[tuple[str, Slot], Any] = {}
        for job in jobs:
            here = [slot for slot in slots if plans.possible(job, slot)]
            for slot in here:
                self._on[job.key, slot] = self._model.new_bool_var(f"{job.key} on {slot}")
            self._model.add_exactly_one([self._on[job.key, slot] for slot in here])
        self._slots = [slot for slot in slots if any((job.key, slot) in self._on for job in jobs)]
        self._here = {
            slot: [(job, self._on[job.key, slot]) for job in jobs if (job.key, slot) in self._on]
            for slot in self._slots
        }
        self._used = {day: self._any([slot for slot in self._slots if slot[0] == day]) for day in days}
        self._keep_hours()
        self._keep_covers()
        self._share_towers()
        self._tell_days_apart()

    def terms(self) -> Iterator[tuple[str, Any]]:
        """What is made small, in this order."""
        kept = [
            self._on.get((job.key, slot), 0)
            for job in self._jobs
            if job.stayed_on
            for slot in self._slots
            if self._crew.on(slot[0]) == job.stayed_on
        ]
        stays = sum(job.stayed_on is not None for job in self._jobs)
        if stays:
            yield "moved", stays - sum(kept)
        unsealed = [job.key for job in self._jobs if job.unsealed]
        if unsealed:
            place = {day: number for number, day in enumerate(self._days)}
            yield (
                "unsealed_nights",
                sum(place[s[0]] * on for (key, s), on in self._on.items() if key in unsealed),
            )
        yield "days", sum(self._used.values())
        yield "visits", sum(self._begun())
        yield "changes", sum(self._changes())
        yield "room_days", sum(self._places("room"))
        if any(job.tower for job in self._jobs):
            yield "tower_days", sum(self._places("tower"))

    def least(self, name: str, term: Any, shared: Shared, grant: Grant) -> tuple[Shared | None, int | None]:
        """A sharing out with as little of a term as was found, every day of it planned; and the bound.

        The model is narrowed to it for the terms that follow; ``None`` where nothing was found.
        """
        model = self._model
        amount = model.new_int_var(0, MOST_OF_A_TERM, name)
        model.add(amount == term)
        model.minimize(amount)
        bound: int | None = None
        own = grant.share(LEVEL_SHARE)
        for _ in range(MOST_CUTS):
            model.clear_hints()  # type: ignore[no-untyped-call]  # the library leaves it untyped
            for (key, slot), flag in self._on.items():
                model.add_hint(flag, shared[key] == slot)
            flags = [*self._on.values(), amount]
            outcome = solve_constraints(model, flags, grant=own.share(CUT_SHARE), many_small=True)
            if math.isfinite(outcome.bound):
                known = math.ceil(outcome.bound - 1e-6)
                bound = known if bound is None else max(bound, known)
            if not outcome.found:
                break
            *on_slot, least = outcome.values
            found = {key: slot for (key, slot), on in zip(self._on, on_slot, strict=True) if on}
            if self._planned(found):
                model.add(amount <= least)
                return found, bound
            if own.units <= LEAST_UNITS:
                break
        return None, bound

    def _planned(self, shared: Shared) -> bool:
        """Whether every day of it can be planned; what does not fit together is forbidden on every such day."""
        sound = True
        for slot, jobs in by_slot(self._jobs, shared).items():
            if self._plans.of(jobs, slot) is None:
                sound = False
                self._forbid(self._plans.too_many(jobs, slot), slot)
        return sound

    def _forbid(self, jobs: Sequence[Job], slot: Slot) -> None:
        hours, team = self._crew.hours(slot[0]), self._crew.teams[slot[1]]
        for other in self._slots:
            if self._crew.hours(other[0]) == hours and len(self._crew.teams[other[1]]) == len(team):
                flags = [self._on[job.key, other] for job in jobs if (job.key, other) in self._on]
                self._model.add(sum(flags) <= len(jobs) - 1)

    def _any(self, slots: Sequence[Slot]) -> Any:
        flag = self._model.new_bool_var(f"used {slots}")
        flags = [on for slot in slots for _, on in self._here[slot]]
        self._model.add_max_equality(flag, flags or [0])
        return flag

    def _keep_hours(self) -> None:
        for slot, here in self._here.items():
            hours, team = self._crew.hours(slot[0]), self._crew.teams[slot[1]]
            if len(team) > PAIR:
                self._model.add(
                    sum(job.opening.minutes * on for job, on in here if job.opening) <= hours.minutes
                )
                load = sum(least_person_minutes(job, self._crew) * on for job, on in here)
                self._model.add(load <= len(team) * hours.minutes)
            else:
                self._model.add(sum(job.minutes * on for job, on in here) <= hours.minutes)
        # no day takes more than all its fitters: known at once, the days need not be tried
        most = max(
            sum(len(team) for team in self._crew.teams) * self._crew.hours(day).minutes for day in self._days
        )
        work = sum(least_person_minutes(job, self._crew) for job in self._jobs)
        self._model.add(sum(self._used.values()) >= -(-work // most))

    def _keep_covers(self) -> None:
        place = {day: number for number, day in enumerate(self._days)}
        for job in self._jobs:
            if job.part:
                before = next(j for j in self._jobs if (j.mark, j.part) == (job.mark, job.part - 1))
                one, next_one = (
                    sum(place[slot[0]] * on for (key, slot), on in self._on.items() if key == name)
                    for name in (before.key, job.key)
                )
                self._model.add(next_one == one + 1)

    def _share_towers(self) -> None:
        if len(self._crew.teams) <= self._crew.towers:
            return
        for day in self._days:
            up = []
            for slot in self._slots:
                flags = [on for job, on in self._here[slot] if job.tower and slot[0] == day]
                if flags:
                    up.append(self._model.new_bool_var(f"up {slot}"))
                    self._model.add_max_equality(up[-1], flags)
            self._model.add(sum(up) <= self._crew.towers)

    def _tell_days_apart(self) -> None:
        """Of days that are all alike, the first is that of the first job, and so on: they are not tried in turn."""
        alike = {
            (self._crew.hours(day), *(self._crew.on(day) == job.stayed_on for job in self._jobs), *here)
            for day, here in (
                (day, [(job.key, (day, 0)) in self._on for job in self._jobs]) for day in self._days
            )
        }
        if len(self._crew.teams) > 1 or len(alike) > 1 or any(job.part for job in self._jobs):
            return
        for number, job in enumerate(self._jobs):
            for day in self._days[number + 1 :]:
                self._model.add(self._on[job.key, (day, 0)] == 0)

    def _begun(self) -> Iterator[Any]:
        """Whether a run of working days in a row begins on a day."""
        before: Any = 0
        for day in self._days:
            flag = self._model.new_bool_var(f"visit {day}")
            self._model.add(flag >= self._used[day] - before)
            before = self._used[day]
            yield flag

    def _changes(self) -> Iterator[Any]:
        """Changes of place at least: at most one opening is closed at once over lunch, and the last of the day."""
        for slot, here in self._here.items():
            whole = [on for job, on in here if job.opening and job.closing]
            begun = self._any([slot])
            if len(self._crew.teams[slot[1]]) > PAIR:
                yield PAIR * (sum(on for job, on in here if job.opening) - begun)
                continue
            first, second = (self._model.new_bool_var(f"{slot} at once {n}") for n in (1, 2))
            self._model.add(first + second <= sum(whole))
            blocks = sum(job.blocks * on for job, on in here)
            fewest = self._model.new_int_var(0, 2 * len(here), f"changes {slot}")
            self._model.add(fewest >= blocks - begun - first - second)
            yield PAIR * fewest

    def _places(self, attribute: str) -> Iterator[Any]:
        """A room somebody works in, or a face the tower stands at, on a day."""
        flags: dict[tuple[str, int], list[Any]] = defaultdict(list)
        for slot, here in self._here.items():
            for job, on in here:
                if name := getattr(job, attribute):
                    flags[name, slot[0]].append(on)
        for (name, day), some in flags.items():
            there = self._model.new_bool_var(f"{attribute} {name} {day}")
            for flag in some:
                self._model.add_implication(flag, there)
            yield there
