"""Who comes, on which days and hours, and what the weather and the household leave of them."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from functools import cached_property

from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.plan.crew.project import Span
from jambwright.plan.cures import COOL_C
from jambwright.plan.hours import PAIR, day_minutes

DAY = 24 * 60
HOUR, HOUR_LONG = "write hour and millimetres, such as 2026-12-07T09: 1.5", 13
STARTS, ENDS = day_minutes("begins"), day_minutes("ends")
"""On site, minutes from midnight."""


@dataclass(frozen=True, kw_only=True)
class Crew:
    """Who comes, when, and what the weather does."""

    first_day: date
    fitters: int = 2
    towers: int = 1
    outside_c: float = COOL_C
    rain: tuple[Span, ...] = ()
    """Wet hours, in minutes from the first day's midnight."""
    held: Mapping[str, date] = field(default_factory=dict)
    """Day that is settled for opening the wall, by opening."""
    stays: Mapping[tuple[str, str], date] = field(default_factory=dict)
    """Day of the plan before, by opening and step, for what is to stay where it was as far as that goes."""
    longer_minutes: int = 0
    """Every day ends so much later than usual."""
    covered: frozenset[str] = frozenset()
    """Openings whose joint is kept under a weather cover overnight and closed the next working day."""

    @property
    def teams(self) -> tuple[tuple[str, ...], ...]:
        """Fitters by name in pairs; one who is left over joins the first pair and closes behind it."""
        names = [f"fitter {n}" for n in range(1, self.fitters + 1)]
        pairs = [tuple(names[n : n + PAIR]) for n in range(0, len(names) - 1, PAIR)]
        if not pairs:
            return (tuple(names),)
        odd = tuple(names[PAIR * len(pairs) :])
        return (pairs[0] + odd, *pairs[1:])

    def working_days(self, count: int) -> list[int]:
        """So many working days from the first on, in days from it; weekends left out."""
        found, offset = list[int](), 0
        while len(found) < count:
            if self.on(offset).weekday() < 5:
                found.append(offset)
            offset += 1
        return found

    def on(self, offset: int) -> date:
        """The date so many days after the first."""
        return self.first_day + timedelta(days=offset)

    @cached_property
    def _wet(self) -> Mapping[int, tuple[Span, ...]]:
        found: dict[int, list[Span]] = {}
        for start, end in self.rain:
            for day in range(start // DAY, -(-end // DAY)):
                span = (max(start - day * DAY, 0), min(end - day * DAY, DAY))
                found.setdefault(day, []).append(span)
        return {day: tuple(spans) for day, spans in found.items()}

    def hours(self, offset: int) -> Hours:
        """The hours of one day."""
        clear = day_minutes("clear_up")
        return Hours(
            begins=STARTS,
            works_from=STARTS + day_minutes("set_up"),
            works_to=ENDS + self.longer_minutes - clear,
            lunch=day_minutes("lunch"),
            lunch_from=day_minutes("lunch_from"),
            lunch_to=day_minutes("lunch_to"),
            clear_up=clear,
            wet=self._wet.get(offset, ()),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """One day on site, all in minutes from midnight or how many minutes."""

    begins: int
    works_from: int
    """When the first opening may be begun: the crew has set up."""
    works_to: int
    """When the last one must be left: clearing up comes after."""
    lunch: int
    lunch_from: int
    lunch_to: int
    """When lunch begins at the latest."""
    clear_up: int
    wet: tuple[Span, ...] = ()

    @property
    def minutes(self) -> int:
        """What one fitter has for the openings."""
        return self.works_to - self.works_from - self.lunch


_TIME = r"(\d{1,2})[:.](\d{2})"


def quiet_hours(words: str) -> Span | None:
    """Minutes of a day named in plain words; ``None`` when no time is named.

    >>> quiet_hours("night worker asleep until 14:00"), quiet_hours("school run 8:15 to 9:00")
    ((0, 840), (495, 540))
    """
    times = [int(h) * 60 + int(m) for h, m in re.findall(_TIME, words)]
    if len(times) >= 2:
        return (times[0], times[1])
    if not times:
        return None
    return (0, times[0]) if re.search(r"\b(until|till|before)\b", words) else (times[0], DAY)


def rain_from_hours(listed: Mapping[str, float], crew_first: date, least_mm: float = 0.2) -> tuple[Span, ...]:
    """Wet hours of an hourly forecast: ISO hour to millimetres of rain. Raises ``BadInput``."""
    if not isinstance(listed, Mapping):
        raise BadInput.one("rain", f"The forecast lists no hours; {HOUR}")
    spans, problems = [], []
    for stamp, mm in listed.items():
        try:
            hour = datetime.strptime(str(stamp)[:HOUR_LONG], "%Y-%m-%dT%H")
            if isinstance(mm, bool) or not 0 <= mm < math.inf:
                raise ValueError
        except (TypeError, ValueError):
            say = f"{str(stamp)[:40]}: {str(mm)[:40]} is no hour with its rain; {HOUR}"
            problems.append(Problem("rain", say))
            continue
        if mm >= least_mm:
            start = (hour.date() - crew_first).days * DAY + hour.hour * 60
            spans.append((start, start + 60))
    raise_if_any(problems)
    return tuple(sorted(spans))
