"""From the plan of a house to the crew's tasks: durations, rests, rooms, who must not be disturbed when."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from jambwright.basis.tables import Row, table
from jambwright.plan.crew.project import After, Calendar, Project, Span, Task
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.plan.price import hours_for
from jambwright.readings.survey import Room

DAY = 24 * 60
STEP_MINUTES = 5
COLD_BELOW_C = 10.0
"""Foam and sealant set about half as fast below this. From memory, medium."""
STARTS, ENDS = 8 * 60, 16 * 60
"""A winter day's light. House default."""
TOWER, FITTER = "tower", "fitter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """Who comes, when, and what the weather does."""

    first_day: date
    fitters: int = 2
    towers: int = 1
    days: int = 15
    """Working days that may be used, Monday to Friday."""
    outside_c: float = 8.0
    rain: tuple[Span, ...] = ()
    """Wet hours, in minutes from the first day's midnight."""
    held: Mapping[str, date] = field(default_factory=dict)
    """Day that is settled for opening the wall, by opening."""


def project_of(house: HousePlan, crew: Crew) -> Project:
    """Every task of every opening that may be fitted, with its calendar."""
    rooms = {room.name: room for room in house.survey.house.rooms}
    tasks = [
        task
        for plan in house.openings
        if "fitted" not in plan.opening.done
        for task in _tasks(plan, rooms.get(plan.opening.room), crew)
    ]
    return Project(
        tasks=tuple(tasks),
        resources={FITTER: crew.fitters, TOWER: crew.towers},
        calendar=calendar_of(crew),
    )


def calendar_of(crew: Crew) -> Calendar:
    """Working days from the first on, weekends left out."""
    days: list[Span] = []
    offset = 0
    while len(days) < crew.days:
        if (crew.first_day + timedelta(days=offset)).weekday() < 5:
            days.append((offset * DAY + STARTS, offset * DAY + ENDS))
        offset += 1
    return Calendar(days=tuple(days), rain=crew.rain)


def _tasks(plan: OpeningPlan, room: Room | None, crew: Crew) -> Iterator[Task]:
    storey = room.storey if room else 0
    wall = plan.opening.wall
    minutes = 60 * hours_for(plan.frame, storey=storey, face=wall.face if wall else "brick", pace="typical")
    whole_day = plan.frame.chosen.kind == "door"
    for row in table("crew_tasks"):
        in_one_day = whole_day or row["open_wall"] == "yes"
        outside = storey > 0 and row["dry"] == "yes"
        yield Task(
            id=f"{plan.opening.id} {row['step']}",
            minutes=_rounded(minutes * row["share"] / row["people"]),
            needs={FITTER: int(row["people"])} | ({TOWER: 1} if outside else {}),
            after=_after(plan.opening.id, row, crew),
            avoid=tuple(_avoided(room, crew)),
            dry=row["dry"] == "yes",
            same_day=plan.opening.id if in_one_day else None,
            window=_settled(plan.opening.id, crew) if in_one_day else None,
            room=plan.opening.room,
            place=plan.opening.elevation if outside else None,
        )


def _settled(mark: str, crew: Crew) -> Span | None:
    """The day an opening is held to, none when it may be any."""
    if mark not in crew.held:
        return None
    start = (crew.held[mark] - crew.first_day).days * DAY
    return (start, start + DAY)


def _after(mark: str, row: Row, crew: Crew) -> tuple[After, ...]:
    if not row["after"]:
        return ()
    rest = table("crew_rests").find(rest=row["rest"])
    factor = rest["cold_factor"] if crew.outside_c < COLD_BELOW_C else 1
    return (After(f"{mark} {row['after']}", int(rest["minutes"] * factor)),)


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


def _avoided(room: Room | None, crew: Crew) -> Iterator[Span]:
    quiet = quiet_hours(room.disturb) if room else None
    if quiet:
        for day in range(2 * crew.days):
            yield (day * DAY + quiet[0], day * DAY + quiet[1])


def rain_from_hours(listed: Mapping[str, float], crew_first: date, least_mm: float = 0.2) -> tuple[Span, ...]:
    """Wet hours of an hourly forecast: ISO hour to millimetres of rain."""
    spans = []
    for stamp, mm in listed.items():
        if mm >= least_mm:
            day, _, clock = stamp.partition("T")
            start = (date.fromisoformat(day) - crew_first).days * DAY + int(clock[:2]) * 60
            spans.append((start, start + 60))
    return tuple(sorted(spans))
