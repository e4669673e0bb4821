"""`finish-date`: by when the work is done, with its chance."""

from __future__ import annotations

import datetime
from typing import Annotated, Literal

from pydantic import AliasChoices, Field, model_validator

from jambwright.basis.border import Strict
from jambwright.basis.envelope import Day, Name
from jambwright.basis.problems import BadInput
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.plan.finish import Hours, WetDays, WorkDays, finish, told

Time = Annotated[float, Field(ge=0, le=1000)]
Chance = Annotated[float, Field(ge=0, le=1)]
Weekday = Literal["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]
WEEK: tuple[Weekday, ...] = (
    "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"
)  # fmt: skip
MOST_UNITS = 2000


class ThreeHours(Strict):
    """Hours of the crew by three points."""

    low: Time
    """When all goes well."""
    usual: Time
    high: Time
    """When it goes badly."""

    @model_validator(mode="after")
    def _in_order(self) -> ThreeHours:
        if not self.low <= self.usual <= self.high:
            raise ValueError(
                f"low {self.low:g}, usual {self.usual:g}, high {self.high:g} are out of order; low is the least."
            )
        return self


class TaskHours(ThreeHours):
    """One task, or several alike."""

    name: Name = ""
    count: Annotated[int, Field(ge=1, le=MOST_UNITS)] = 1
    in_one_day: bool = False
    """Begun only on a day that sees its end: an opening that may not stand open overnight."""


class WetDayGiven(Strict):
    """Chance of a day too wet for the work."""

    after_dry: Chance
    after_wet: Chance
    day_before: Literal["dry", "wet"] | None = None
    """Weather of the day before the start; the share of the long run when left out."""


class CalendarGiven(Strict):
    """The days that are worked."""

    start: Day
    hours_per_day: Annotated[float, Field(gt=0, le=24)] = 5.5
    """Hours at the openings: of 8 on site, without breaks, setting up and clearing. House default."""
    working_days: Annotated[list[Weekday], Field(min_length=1, max_length=7)] = list(WEEK[:5])
    holidays: Annotated[list[Day], Field(max_length=1000)] = []
    """Bank holidays and days off."""


class FinishDateInput(Strict):
    """Work, weather and calendar."""

    tasks: Annotated[list[TaskHours], Field(min_length=1, max_length=500)] | None = None
    """Hours of the crew for each; or give `house_hours`."""
    house_hours: ThreeHours | None = Field(
        None, validation_alias=AliasChoices("house_hours", "house", "hours")
    )
    """Of the whole house."""
    wet_day: WetDayGiven | None = None
    """Rain stops no work when left out."""
    calendar: CalendarGiven
    shared_spread: Annotated[float, Field(ge=0, le=1)] = 0.0
    """Coefficient of variation of what makes all tasks slow or quick together: the house, the crew."""

    def work(self) -> list[Hours]:
        """The hours as the plan takes them."""
        if self.house_hours is not None:
            return [Hours(name="the house", **self.house_hours.model_dump())]
        given = [(n, task.model_dump()) for n, task in enumerate(self.tasks or (), 1)]
        return [Hours(**{**values, "name": values["name"] or f"task {n}"}) for n, values in given]


class DayLine(Answer):
    """One day that is worked."""

    date: datetime.date
    chance: float
    """Of being done by its end."""


class HoursLine(Answer):
    """The hours in all."""

    mean: float
    sd: float
    p80: float
    """Enough four times in five."""


class FinishDateAnswer(Answer):
    """The chance of being done, day by day."""

    days: list[DayLine]
    likely: datetime.date | None
    """Done by then at least every other time."""
    one_in_five: datetime.date | None
    """Later than this one time in five."""
    one_in_ten: datetime.date | None
    """Later than this one time in ten."""
    hours: HoursLine
    days_needed_mean: float
    """Dry working days, on average."""
    say: list[str]


def _run(given: FinishDateInput, work: Working) -> FinishDateAnswer:
    if (given.tasks is None) == (given.house_hours is None):
        raise BadInput.one("tasks", "tasks: give tasks or house_hours, one of the two.")
    tasks = given.work()
    if (units := sum(task.count for task in tasks)) > MOST_UNITS:
        raise BadInput.one(
            "tasks", f"tasks: {units:,} are too many for one house; {MOST_UNITS:,} at most. Check the counts."
        )
    wet = WetDays(**given.wet_day.model_dump()) if given.wet_day else None
    calendar = given.calendar
    found = finish(
        tasks,
        WorkDays(
            start=calendar.start,
            hours_per_day=calendar.hours_per_day,
            weekdays=frozenset(WEEK.index(day) for day in calendar.working_days),
            off=frozenset(calendar.holidays),
        ),
        wet,
        shared_spread=given.shared_spread,
        work=work,
    )
    return FinishDateAnswer(
        days=[
            DayLine(date=date, chance=float(chance))
            for date, chance in zip(found.dates, found.chances, strict=True)
        ],
        likely=found.by(0.5),
        one_in_five=found.by(0.8),
        one_in_ten=found.by(0.9),
        hours=HoursLine(mean=found.mean_h, sd=found.sd_h, p80=found.enough_h),
        days_needed_mean=found.mean_days,
        say=list(told(found, wet, given.shared_spread)),
    )


CALCULATIONS = (
    Calculation(
        name="finish-date",
        summary="By when the work is done, with its chance: hours that spread, wet days, a calendar.",
        asks=FinishDateInput,
        answers=FinishDateAnswer,
        run=_run,
        example={
            "tasks": [
                {"name": "casement", "low": 1.5, "usual": 2.5, "high": 4.5, "count": 4, "in_one_day": True},
                {"name": "front door", "low": 2, "usual": 4, "high": 8, "in_one_day": True},
            ],
            "wet_day": {"after_dry": 0.25, "after_wet": 0.6},
            "calendar": {"start": "2027-03-22", "holidays": ["2027-03-26", "2027-03-29"]},
        },
    ),
)
