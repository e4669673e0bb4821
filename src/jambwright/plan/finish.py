"""When the work will be done, and with what chance: hours that spread, days that are wet, a calendar.

Hours of a task follow a beta distribution between its low and high with the mean and spread of three-point
estimating; their sum over a crew's day gives how many dry days are needed, by seeded draws. Weather is a chain of
dry and wet days, and every path of it is counted exactly.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from jambwright.basis.clause import clause
from jambwright.basis.problems import BadInput
from jambwright.basis.working import Working
from jambwright.plan.solving import SEED
from jambwright.plan.three_point import four_in_five_h, three_point_mean_h, three_point_sd_h

Floats = NDArray[np.float64]
Weather = Literal["dry", "wet"]
CHAIN = "Chain of wet and dry days (Gabriel and Neumann 1962)"
MOST_DRAWS = 200_000
DRAWN_IN_ALL = 10_000_000
"""Draws over all units: fewer a unit where there are many."""
LEAST_DRAWS = 10_000
LONGEST_DAYS = 3 * 366
"""A finish farther off is no plan."""
A_HAIR = 1e-9


@clause(CHAIN, "share of wet days in the long run", unit="", formula="a / (1 − w + a)")
def wet_share(*, after_dry: float, after_wet: float) -> float:
    """Share of wet days; ``after_dry`` and ``after_wet`` are the chances of a wet day then.

    >>> wet_share(after_dry=0.25, after_wet=0.6)
    0.3846
    """
    return after_dry / (1 - after_wet + after_dry)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """One kind of work: hours of the whole crew for one unit of it."""

    name: str
    low: float
    usual: float
    high: float
    count: int = 1
    in_one_day: bool = False
    """Begun only on a day that sees its end: an opening that may not stand open overnight."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkDays:
    """The days that are worked."""

    start: datetime.date
    hours_per_day: float
    weekdays: frozenset[int]
    """Monday is 0."""
    off: frozenset[datetime.date]
    """Bank holidays and days off."""

    def dates(self, count: int) -> list[datetime.date]:
        """So many days of the calendar from the start."""
        return [self.start + datetime.timedelta(days=n) for n in range(count)]

    def worked(self, dates: Sequence[datetime.date]) -> NDArray[np.bool_]:
        """Which of the dates are worked."""
        return np.array([d.weekday() in self.weekdays and d not in self.off for d in dates])


@dataclass(frozen=True, slots=True, kw_only=True)
class WetDays:
    """Chance of a wet day after a dry and after a wet one; no work is done on it."""

    after_dry: float
    after_wet: float
    day_before: Weather | None = None
    """Weather of the day before the start; unknown takes the share of the long run."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """When the work is done."""

    dates: tuple[datetime.date, ...]
    """Days that are worked, from the first that may be the last."""
    chances: Floats
    """Of being done by the end of each."""
    mean_h: float
    sd_h: float
    enough_h: float
    """Hours that are enough four times in five."""
    days_needed: Floats
    """Chance of needing 0, 1, 2 ... dry days."""
    overnight: tuple[tuple[str, float], ...] = field(default=())
    """Work that may not stand open overnight, and the chance that a day is too short for it."""

    @property
    def mean_days(self) -> float:
        """Dry days that are needed, on average."""
        return float(self.days_needed @ np.arange(len(self.days_needed)))

    def by(self, chance: float) -> datetime.date | None:
        """The first day by whose end the work is done with that chance; none within three years."""
        found = np.flatnonzero(self.chances >= chance - A_HAIR)
        return self.dates[found[0]] if len(found) else None


def finish(
    tasks: Sequence[Hours],
    days: WorkDays,
    wet: WetDays | None,
    *,
    shared_spread: float = 0.0,
    work: Working | None = None,
) -> Finish:
    """Chance of being done by each working day.

    ``shared_spread`` is the coefficient of variation of a factor that all tasks share: the house, the crew.
    ``BadInput`` when no day is ever dry, or the work is longer than three years.
    """
    work = work or Working()
    mean, sd = _sum(tasks, shared_spread, work)
    enough = work.step("P80", four_in_five_h, mean=mean, sd=sd)
    if mean / days.hours_per_day > LONGEST_DAYS / 2:
        raise BadInput.one(
            "tasks", f"tasks: {mean:g} h at {days.hours_per_day:g} h a day is years of work; check the hours."
        )
    needed, overnight = days_needed(tasks, days.hours_per_day, shared_spread=shared_spread)
    dates = days.dates(LONGEST_DAYS)
    worked = days.worked(dates)
    if not worked.any():
        raise BadInput.one("calendar", "calendar: no day is worked; give working days that are not all off.")
    if wet is not None:
        _dries(wet)
        work.step("wet share", wet_share, after_dry=wet.after_dry, after_wet=wet.after_wet)
    chances = done_by(needed, worked, wet)
    kept = worked & (chances > 5e-4)
    last = np.flatnonzero(chances >= 1 - 5e-4)
    kept[last[0] + 1 if len(last) else len(kept) :] = False
    found = Finish(
        dates=tuple(date for date, keep in zip(dates, kept, strict=True) if keep),
        chances=chances[kept],
        mean_h=mean,
        sd_h=sd,
        enough_h=enough,
        days_needed=needed,
        overnight=overnight,
    )
    work.note(
        "days", "mean of the dry days needed", found.mean_days, "d",
        three_point_mean_h.source, hours_per_day=days.hours_per_day,
    )  # fmt: skip
    return found


def _sum(tasks: Sequence[Hours], shared_spread: float, work: Working) -> tuple[float, float]:
    mean = variance = 0.0
    for task in tasks:
        mean += task.count * work.step(
            f"mean {task.name}", three_point_mean_h, low=task.low, usual=task.usual, high=task.high
        )
        variance += (
            task.count * work.step(f"sd {task.name}", three_point_sd_h, low=task.low, high=task.high) ** 2
        )
    # a factor F of mean 1 beside the sum X: var(F X) = E F² E X² - (E X)²
    spread = (1 + shared_spread**2) * (variance + mean**2) - mean**2
    return mean, math.sqrt(max(spread, 0.0))


def _dries(wet: WetDays) -> None:
    if wet.after_wet >= 1:
        raise BadInput.one(
            "wet_day", "wet_day: after a wet day it never dries; the work would never end. Check the chances."
        )


def days_needed(
    tasks: Sequence[Hours], hours_per_day: float, *, shared_spread: float = 0.0, seed: int = SEED
) -> tuple[Floats, tuple[tuple[str, float], ...]]:
    """Chance of needing 0, 1, 2 ... days of so many hours, and of each kind of work that a day is too short for."""
    rng = np.random.default_rng(seed)
    units = sum(task.count for task in tasks)
    draws = int(min(MOST_DRAWS, max(LEAST_DRAWS, DRAWN_IN_ALL // max(units, 1))))
    factor = np.ones(draws)
    if shared_spread > 0:
        sigma = math.sqrt(math.log1p(shared_spread**2))
        factor = rng.lognormal(-(sigma**2) / 2, sigma, draws)
    spent = np.zeros(draws)
    overnight = []
    for task in tasks:
        long = 0.0
        for _ in range(task.count):
            hours = _drawn(task, draws, rng) * factor
            if task.in_one_day:
                left = -spent % hours_per_day
                spent += np.where(hours > left + A_HAIR, left, 0.0)
                long += float(np.mean(hours > hours_per_day + A_HAIR)) / task.count
            spent += hours
        if long > 0:
            overnight.append((task.name, long))
    days = np.ceil(spent / hours_per_day - 1e-9).astype(int)
    return np.bincount(days) / draws, tuple(overnight)


def _drawn(task: Hours, draws: int, rng: np.random.Generator) -> Floats:
    """Hours of one unit: beta between low and high, with the mean and spread of the three points."""
    span = task.high - task.low
    if span <= 0:
        return np.full(draws, task.low)
    mean = (three_point_mean_h(low=task.low, usual=task.usual, high=task.high) - task.low) / span
    both = mean * (1 - mean) * 36 - 1
    return task.low + span * rng.beta(mean * both, (1 - mean) * both, draws)


def done_by(needed: Floats, worked: NDArray[np.bool_], wet: WetDays | None) -> Floats:
    """Chance of being done by the end of each day of the calendar, (n,); exact.

    ``needed`` is the chance of needing 0, 1, 2 ... dry days, ``worked`` tells the days that are worked. The weather
    goes on over days that are not.
    """
    enough = np.cumsum(needed)
    a, w = (wet.after_dry, wet.after_wet) if wet else (0.0, 0.0)
    # rows: the last day dry, wet; columns: so many dry days worked, the last one for all more
    state = np.zeros((2, len(needed)))
    share = _wet_before(wet) if wet else 0.0
    state[:, 0] = 1 - share, share
    chances = []
    for open_day in worked:
        dry = (1 - a) * state[0] + (1 - w) * state[1]
        rainy = a * state[0] + w * state[1]
        if open_day and len(dry) > 1:
            dry = np.concatenate([[0.0], dry[:-2], [dry[-2] + dry[-1]]])
        state = np.stack([dry, rainy])
        chances.append(float(state.sum(0) @ enough))
    return np.array(chances)


def _wet_before(wet: WetDays) -> float:
    """Chance that the day before the start was wet."""
    if wet.day_before:
        return float(wet.day_before == "wet")
    if wet.after_dry == 0 and wet.after_wet == 1:
        return 1.0  # it stays as it is, and nobody said how
    return wet_share(after_dry=wet.after_dry, after_wet=wet.after_wet)


def told(found: Finish, wet: WetDays | None, shared_spread: float) -> Iterator[str]:
    """What the dates rest on, in plain words."""
    likely, late = found.by(0.5), found.by(0.9)
    if likely is None or late is None:
        yield "Within three years the end can't be told with that chance: too few dry working days."
    if wet is None:
        yield "Wet days are not counted: give wet_day for work that stops in rain."
    if not shared_spread:
        yield (
            "Tasks are taken to run long or short each by itself; a bad house makes all slow, so the late dates are a "
            "low guess."
        )
    for name, chance in found.overnight:
        yield (
            f"{name}: {chance:.0%} of the time a day is too short for it, and it would stand open overnight. Give it a "
            "longer day, or plan a cover."
        )
