"""From the plan of a house to the crew's tasks: durations, rests, rooms, who must not be disturbed when."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.basis.tables import Row, table
from jambwright.checks.cautions import storey_of
from jambwright.plan.crew.bounds import work_of
from jambwright.plan.crew.project import After, Calendar, Project, Span, Task
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.plan.price import hours_for
from jambwright.readings.survey import Survey

DAY = 24 * 60
STEP_MINUTES = 5
COLD_BELOW_C = 10.0
"""Foam and sealant set about half as fast below this. From memory, medium."""
HOUR, HOUR_LONG = "write hour and millimetres, such as 2026-12-07T09: 1.5", 13
STARTS, ENDS = 8 * 60, 16 * 60
"""A winter day's light. House default."""
TOWER, FITTER = "tower", "fitter"
SLACK, SPARE_DAYS = 1.5, 5
"""Over the days of a crew that is never idle: for rests, rain and rooms that are not free. House default."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """Who comes, when, and what the weather does."""

    first_day: date
    fitters: int = 2
    towers: int = 1
    days: int | None = None
    """Working days that may be used, Monday to Friday; as many as the work wants when left out."""
    outside_c: float = 8.0
    rain: tuple[Span, ...] = ()
    """Wet hours, in minutes from the first day's midnight."""
    held: Mapping[str, date] = field(default_factory=dict)
    """Day that is settled for opening the wall, by opening."""
    stays: Mapping[tuple[str, str], date] = field(default_factory=dict)
    """Day of the plan before, by opening and step, for what is to stay where it was as far as that goes."""


def project_of(house: HousePlan, crew: Crew, days: int) -> Project:
    """Every task that is not behind the crew, opening after opening: those off the tower by face, then by room."""
    survey = house.survey
    avoided = {room.name: tuple(_avoided(room.disturb, days)) for room in survey.house.rooms}
    return Project(
        tasks=tuple(
            task
            for plan in sorted(house.openings, key=lambda plan: _way_round(survey, plan))
            for task in _tasks(survey, plan, crew, avoided.get(plan.opening.room, ()))
        ),
        resources={FITTER: crew.fitters, TOWER: crew.towers},
        calendar=calendar_of(crew, days),
    )


def calendar_of(crew: Crew, days: int) -> Calendar:
    """So many working days from the first on, weekends left out."""
    spans: list[Span] = []
    offset = 0
    while len(spans) < days:
        if (crew.first_day + timedelta(days=offset)).weekday() < 5:
            spans.append((offset * DAY + STARTS, offset * DAY + ENDS))
        offset += 1
    return Calendar(days=tuple(spans), rain=crew.rain)


def days_enough(house: HousePlan, crew: Crew) -> int:
    """Working days that most likely hold all the work: half again what a crew never idle takes, and those held."""
    told = [*crew.held.values(), *crew.stays.values()]
    held = max(((on - crew.first_day).days for on in told), default=0)
    work = work_of(project_of(house, crew, days=1), FITTER)
    return int(SLACK * work / (crew.fitters * (ENDS - STARTS))) + SPARE_DAYS + held


def _way_round(survey: Survey, plan: OpeningPlan) -> tuple[bool, str, str]:
    upstairs = storey_of(survey, plan.opening) > 0
    return upstairs, plan.opening.elevation if upstairs else "", plan.opening.room


def _tasks(survey: Survey, plan: OpeningPlan, crew: Crew, avoid: tuple[Span, ...]) -> Iterator[Task]:
    opening = plan.opening
    storey, face = storey_of(survey, opening), survey.wall_of(opening).face
    applies = {
        "always": True,
        "glass_in": bool(plan.fitting.glass_in),
        "shored": any(step.step == "shore" for step in plan.fitting.steps),
    }
    rows = [row for row in table("crew_tasks") if applies[row["when"]]]
    minutes = 60 * hours_for(
        plan.frame, storey=storey, face=face, pace="typical", over_usual=survey.defaults.pace
    )
    minutes /= sum(row["share"] for row in rows if row["when"] != "shored")
    left = {row["step"]: row for row in rows if not opening.is_done(row["done"])}
    whole_day = plan.frame.chosen.kind == "door"
    for row in left.values():
        in_one_day = whole_day or row["open_wall"] == "yes"
        outside = storey > 0 and row["dry"] == "yes"
        yield Task(
            id=_task_id(opening.id, row["step"]),
            opening=opening.id,
            step=row["step"],
            minutes=_rounded(minutes * row["share"] / row["people"]),
            needs={FITTER: int(row["people"])} | ({TOWER: 1} if outside else {}),
            after=_after(opening.id, row, left, crew),
            avoid=avoid,
            dry=row["dry"] == "yes",
            same_day=opening.id if in_one_day else None,
            window=_settled(opening.id, row["step"], crew, in_one_day),
            room=opening.room,
            place=opening.elevation if outside else None,
        )


def _task_id(mark: str, step: str) -> str:
    """What the plan calls a task where it must be told to people: nothing is read back from it."""
    return f"{mark} {step}"


def _settled(mark: str, step: str, crew: Crew, in_one_day: bool) -> Span | None:
    """The day a step is held to, or stays on; none when it may be any."""
    held = crew.held.get(mark) if in_one_day else None
    on = held or crew.stays.get((mark, step))
    if on is None:
        return None
    start = (on - crew.first_day).days * DAY
    return (start, start + DAY)


def _after(mark: str, row: Row, left: Mapping[str, Row], crew: Crew) -> tuple[After, ...]:
    """The task before that is still to do; one that falls away hands on the one before it. What is done has rested."""
    before = row["after"]
    while before and before not in left:
        before = table("crew_tasks").find(step=before)["after"]
    if not before:
        return ()
    rest = table("crew_rests").find(rest=row["rest"])
    factor = rest["cold_factor"] if crew.outside_c < COLD_BELOW_C else 1
    return (After(_task_id(mark, before), int(rest["minutes"] * factor)),)


def _rounded(minutes: float) -> int:
    return max(STEP_MINUTES, round(minutes / STEP_MINUTES) * STEP_MINUTES)


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


def _avoided(disturb: str, days: int) -> Iterator[Span]:
    quiet = quiet_hours(disturb)
    if quiet:
        for day in range(2 * days + 2):  # more than the weekends add
            yield (day * DAY + quiet[0], day * DAY + quiet[1])


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
