"""The search for a team's day: in which order the openings are opened and closed, and when lunch is.

A pair has at most one open hole, for a block is not broken off. While foam sets the pair opens the next opening,
closes the one before, or has lunch. It waits for a cure only, and at the opening it has just done only where
nothing else is left to do that day.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from jambwright.plan.crew.blocks import Block, Job
from jambwright.plan.crew.day_plan import DayPlan, Visit, halves, too_much
from jambwright.plan.crew.work import DAY, Hours
from jambwright.plan.cures import STEP_MINUTES
from jambwright.plan.hours import PAIR
from jambwright.plan.solving import Clock, Grant, solve_constraints

GAP_MINUTES = 5
"""Lunch fills a cure where no more than this is waited besides."""
DAY_UNITS, DAY_NET_SECONDS = 0.5, 20.0
"""Search for one day: nearly all are settled in a hundredth of it."""
OPEN_WEIGHT, PLACE_WEIGHT, WAIT_WEIGHT = 1_000, 10_000_000, 1_000_000_000
"""Waiting before places before open time before an early end: each outweighs a whole day of what comes after it."""


def plan_day(jobs: Sequence[Job], hours: Hours, team: tuple[str, ...], grant: Grant) -> DayPlan | None:
    """The best order of a day; ``None`` where there is none, or none was found in the search granted."""
    if too_much(jobs, hours, len(team)) or (len(team) < PAIR and any(job.opening for job in jobs)):
        return None
    return _Day(jobs, hours, team).solved(grant)


class _Day:
    """The day as a constraint model, in steps of five minutes."""

    def __init__(self, jobs: Sequence[Job], hours: Hours, team: tuple[str, ...]) -> None:
        from ortools.sat.python import cp_model

        self._jobs, self._hours, self._team = jobs, hours, team
        self._model = cp_model.CpModel()
        self._possible = True
        self._start: dict[tuple[str, str], Any] = {}
        self._end: dict[tuple[str, str], Any] = {}
        self._over_lunch: dict[str, tuple[Any, Mapping[int, int]]] = {}
        self._alone: dict[str, Any] = {}
        self._next: dict[str, Any] = {}
        """Whether the pair closes an opening as soon as it has opened it, with lunch or a wait between."""
        self._pair: list[Any] = []
        """Blocks of the pair; one that is closed at once is whole."""
        self._busy: list[Any] = []
        """The same blocks each by itself, for lunch."""
        self._finisher: list[Any] = []
        self._waits: list[Any] = []
        for job in jobs:
            self._offer(job)
        if self._possible:
            self._lunches()
            self._keep_apart()
            self._begin_without_delay()
            self._count_waits()
            self._model.minimize(self._cost())

    def solved(self, grant: Grant) -> DayPlan | None:
        """The plan of the day."""
        if not self._possible:
            return None
        values: list[Any] = [
            *self._start.values(), *self._alone.values(), *(flag for flag, _ in self._over_lunch.values()),
            self._lunch, self._lunch_alone,
        ]  # fmt: skip
        # a day is always searched whole: what is not found for want of search would be told as not fitting
        clock = Clock(max(grant.clock.left, DAY_NET_SECONDS))
        own = Grant(units=DAY_UNITS, clock=clock, part_of=grant)
        outcome = solve_constraints(self._model, values, grant=own, many_small=True)
        if not outcome.found:
            return None
        at = iter(outcome.values)
        start = {key: STEP_MINUTES * next(at) for key in self._start}
        alone = {mark: bool(next(at)) for mark in self._alone}
        over = {mark: bool(next(at)) for mark in self._over_lunch}
        lunch, lunch_alone = STEP_MINUTES * next(at), STEP_MINUTES * next(at)
        visits = []
        for job in self._jobs:
            for kind, block in (("open", job.opening), ("close", job.closing)):
                if block is None:
                    continue
                by_pair = not (kind == "close" and alone.get(job.key, False))
                begins = start[kind, job.key]
                if kind == "open" and over.get(job.key):
                    gap = self._over_lunch[job.key][1][begins]
                    lunch = begins + gap
                    block = block.with_lunch(gap, self._hours.lunch)  # noqa: PLW2901  # the same block, with its break
                if not by_pair:
                    assert job.closing_alone is not None
                    block = job.closing_alone  # noqa: PLW2901  # the same work by one
                visits.append(Visit(job=job, kind=kind, start=begins, block=block, by_pair=by_pair))
        visits.sort(key=lambda visit: (visit.start, visit.by_pair))
        lunches = [(at, who) for at, who in zip((lunch, lunch_alone), halves(self._team), strict=True) if who]
        return DayPlan(
            team=self._team,
            hours=self._hours,
            visits=tuple(visits),
            lunches=tuple(each for each in lunches if each[0] < max(v.end for v in visits)),
        )

    def _offer(self, job: Job) -> None:
        hours, quiet = self._hours, job.quiet
        opens = closes = None
        if job.opening:
            plain = job.opening.starts(hours, quiet)
            over = job.opening.starts_over_lunch(hours, quiet)
            begins = self._among("open", job, {*plain, *over})
            if begins is None:
                return
            broken = self._model.new_bool_var(f"{job.key} over lunch")
            self._over_lunch[job.key] = (broken, over)
            self._only(begins, plain, broken.negated())
            self._only(begins, list(over), broken)
            size = job.opening.minutes // STEP_MINUTES + hours.lunch // STEP_MINUTES * broken
            opens = (begins, size, self._ends("open", job, begins + size))
        if job.closing:
            closes = self._offer_closing(job, job.closing)
            if closes is None:
                return
        if opens and closes:
            self._model.add(closes[0] >= opens[2] + job.cure // STEP_MINUTES)
        self._take_up(job, opens, closes)

    def _offer_closing(self, job: Job, block: Block) -> tuple[Any, Any, Any] | None:
        hours, quiet = self._hours, job.quiet
        plain, alone = block.starts(hours, quiet), []
        if len(self._team) > PAIR or len(self._team) == 1:
            assert job.closing_alone is not None
            alone = job.closing_alone.starts(hours, quiet)
        if len(self._team) == 1:
            plain = []
        begins = self._among("close", job, {*plain, *alone})
        if begins is None:
            return None
        by_one = self._model.new_bool_var(f"{job.key} alone")
        self._alone[job.key] = by_one
        self._only(begins, plain, by_one.negated())
        self._only(begins, alone, by_one)
        more = job.closing_alone.minutes - block.minutes if job.closing_alone else 0
        size = block.minutes // STEP_MINUTES + more // STEP_MINUTES * by_one
        return begins, size, self._ends("close", job, begins + size)

    def _ends(self, kind: str, job: Job, when: Any) -> Any:
        end = self._model.new_int_var(0, DAY // STEP_MINUTES, f"{kind} {job.key} ends")
        self._model.add(end == when)
        self._end[kind, job.key] = end
        return end

    def _among(self, kind: str, job: Job, starts: set[int]) -> Any:
        from ortools.sat.python import cp_model

        if not starts:
            self._possible = False
            return None
        domain = cp_model.Domain.from_values([at // STEP_MINUTES for at in sorted(starts)])
        self._start[kind, job.key] = self._model.new_int_var_from_domain(domain, f"{kind} {job.key}")
        return self._start[kind, job.key]

    def _only(self, begins: Any, starts: Sequence[int], when: Any) -> None:
        """The start is among these where a flag holds; it can't hold where there are none."""
        from ortools.sat.python import cp_model

        domain = cp_model.Domain.from_values([at // STEP_MINUTES for at in starts])
        if starts:
            self._model.add_linear_expression_in_domain(begins, domain).only_enforce_if(when)
        else:
            self._model.add(begins < 0).only_enforce_if(when)

    def _take_up(
        self, job: Job, opens: tuple[Any, Any, Any] | None, closes: tuple[Any, Any, Any] | None
    ) -> None:
        """Who is taken up when: the pair by what it does, the one beside it by what he closes."""
        model, key = self._model, job.key
        at_once = model.new_bool_var(f"{key} at once")
        self._next[key] = at_once
        by_one = self._alone.get(key, self._model.new_constant(0))
        if opens and closes:
            model.add_implication(at_once, by_one.negated())
            length = model.new_int_var(0, DAY // STEP_MINUTES, f"{key} whole")
            self._pair.append(
                model.new_optional_interval_var(opens[0], length, closes[2], at_once, f"{key} whole")
            )
        else:
            model.add(at_once == 0)
        if opens:
            self._pair.append(model.new_optional_interval_var(*opens, at_once.negated(), f"{key} opened"))
            self._busy.append(model.new_interval_var(*opens, f"{key} open"))
        if closes:
            by_pair = model.new_bool_var(f"{key} by the pair")
            model.add(by_pair == 1 - by_one)
            later = model.new_bool_var(f"{key} later by the pair")
            model.add(later == by_pair - at_once)
            self._pair.append(model.new_optional_interval_var(*closes, later, f"{key} closed"))
            self._busy.append(model.new_optional_interval_var(*closes, by_pair, f"{key} close"))
            self._finisher.append(model.new_optional_interval_var(*closes, by_one, f"{key} alone"))

    def _lunches(self) -> None:
        """Lunch is by itself, or in the midst of one block; the one beside the pair has his own."""
        model, hours = self._model, self._hours
        low, high, long = (m // STEP_MINUTES for m in (hours.lunch_from, hours.lunch_to, hours.lunch))
        self._lunch = model.new_int_var(low, high, "lunch")
        self._lunch_alone = model.new_int_var(low, high, "lunch alone")
        free = model.new_bool_var("lunch by itself")
        model.add(free + sum(flag for flag, _ in self._over_lunch.values()) == 1)
        self._busy.append(model.new_optional_fixed_size_interval_var(self._lunch, long, free, "lunch"))
        self._finisher.append(model.new_fixed_size_interval_var(self._lunch_alone, long, "lunch alone"))
        self._free_lunch = free

    def _keep_apart(self) -> None:
        model = self._model
        for taken in (self._pair, self._busy, self._finisher):
            model.add_no_overlap(taken)
        for job in self._jobs:
            if not (job.opening and job.closing):
                continue
            key = job.key
            ended, closed = self._end["open", key], self._start["close", key]
            at_lunch, at_last = model.new_bool_var(f"{key} lunch between"), model.new_bool_var(f"{key} last")
            model.add(at_lunch + at_last == self._next[key])
            model.add_implication(at_lunch, self._free_lunch)
            longest = max(job.cure, self._hours.lunch) + GAP_MINUTES
            model.add(self._lunch >= ended).only_enforce_if(at_lunch)
            model.add(self._lunch + self._hours.lunch // STEP_MINUTES <= closed).only_enforce_if(at_lunch)
            model.add(closed - ended <= longest // STEP_MINUTES).only_enforce_if(at_lunch)
            for other in self._jobs:
                if other is not job:
                    for kind in ("open", "close"):
                        if (kind, other.key) in self._end:
                            flags = [at_last]
                            if kind == "close":
                                flags.append(self._alone[other.key].negated())
                            model.add(self._end[kind, other.key] <= self._start["open", key]).only_enforce_if(
                                flags
                            )

    def _begin_without_delay(self) -> None:
        """An opening is begun when the day begins, when something else ends, or as soon as it may be."""
        for job in self._jobs:
            if job.opening is None:
                continue
            begins = self._start["open", job.key]
            allowed = sorted({*job.opening.starts(self._hours, job.quiet), *self._over_lunch[job.key][1]})
            first = {at for at in allowed if at - STEP_MINUTES not in allowed} | {self._hours.works_from}
            reasons = [self._model.new_bool_var(f"{job.key} at first")]
            self._only(begins, sorted(first), reasons[0])
            others = [end for (_, key), end in self._end.items() if key != job.key]
            for end in (*others, self._lunch + self._hours.lunch // STEP_MINUTES):
                reasons.append(self._model.new_bool_var(f"{job.key} after {len(reasons)}"))
                self._model.add(begins == end).only_enforce_if(reasons[-1])
            self._model.add_bool_or(reasons)

    def _count_waits(self) -> None:
        """Cures waited for with nothing done between, though it is neither lunch nor the last of the day."""
        model = self._model
        for job in self._jobs:
            if not (job.opening and job.closing):
                continue
            ended, closed = self._end["open", job.key], self._start["close", job.key]
            used = [self._next[job.key], self._alone[job.key]]
            for (kind, key), end in self._end.items():
                if key != job.key:
                    between = model.new_bool_var(f"{kind} {key} between {job.key}")
                    model.add(self._start[kind, key] >= ended).only_enforce_if(between)
                    model.add(end <= closed).only_enforce_if(between)
                    if kind == "close":
                        model.add_implication(between, self._alone[key].negated())
                    used.append(between)
            waits = model.new_bool_var(f"{job.key} waited for")
            model.add_bool_or([*used, waits])
            self._waits.append(waits)

    def _cost(self) -> Any:
        """Cures waited for, then places, then open time, then the end, then everything early."""
        model = self._model
        helpers = max(0, len(self._team) - PAIR)
        alone = sum(self._alone.values())
        cost = WAIT_WEIGHT * sum(self._waits)
        cost += PLACE_WEIGHT * (-PAIR * sum(self._next.values()) - (PAIR - helpers) * alone)
        for job in self._jobs:
            if job.opening and job.closing and job.closing_alone:
                pair, one = (b.last("seal_outside") // STEP_MINUTES for b in (job.closing, job.closing_alone))
                sealed = self._start["close", job.key] + pair + (one - pair) * self._alone[job.key]
                cost += OPEN_WEIGHT * (sealed - self._start["open", job.key])
        last = model.new_int_var(0, DAY // STEP_MINUTES, "last")
        for end in self._end.values():
            model.add(last >= end)
        return cost + 100 * last + sum(self._start.values())
