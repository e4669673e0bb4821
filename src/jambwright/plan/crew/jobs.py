"""What is left to do at the openings of a house, as jobs of two blocks; what takes more than a day, in parts."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from jambwright.basis.tables import Row, table
from jambwright.checks.cautions import storey_of
from jambwright.plan.crew.blocks import Block, Job, Step, by_lanes, in_turn
from jambwright.plan.crew.project import Span
from jambwright.plan.crew.work import DAY, Crew, Hours, quiet_hours
from jambwright.plan.cures import cure_minutes
from jambwright.plan.hours import may_be_boarded, pair_hours, standing
from jambwright.plan.house import HousePlan, OpeningPlan

COVER, COVER_MINUTES = "cover_joint", 15
"""Putting a weather cover on a joint that is not sealed yet, or boards on a hole. House default."""
LONGEST_PIECE = 60
"""A task of an opening that takes several days is done in pieces no longer than this. House default."""


def jobs_of(house: HousePlan, crew: Crew) -> list[Job]:
    """All work that is not behind the crew: that off the tower by face, then by room."""
    plans = sorted(house.openings, key=lambda plan: _way_round(house, plan))
    return [job for plan in plans for job in _jobs(house, plan, crew)]


def _way_round(house: HousePlan, plan: OpeningPlan) -> tuple[bool, str, str]:
    upstairs = storey_of(house.survey, plan.opening) > 0
    return upstairs, plan.opening.elevation if upstairs else "", plan.opening.room


def _jobs(house: HousePlan, plan: OpeningPlan, crew: Crew) -> Iterator[Job]:
    survey, opening = house.survey, plan.opening
    tasks = _minutes_by_step(house, plan)
    left = {
        name: [
            (row, minutes)
            for row, minutes in tasks
            if row["block"] == name and not opening.is_done(row["done"])
        ]
        for name in ("open", "close")
    }
    opened = in_turn(left["open"]) if left["open"] else None
    closed = by_lanes(left["close"]) if left["close"] else None
    if opened is None and closed is None:
        return
    room = survey.room(opening.room)
    stays = [on for (mark, _), on in crew.stays.items() if mark == opening.id and on >= crew.first_day]
    job = Job(
        mark=opening.id,
        room=opening.room,
        tower=opening.elevation if storey_of(survey, opening) > 0 else None,
        opening=opened,
        closing=closed,
        closing_alone=in_turn(left["close"], alone=True) if left["close"] else None,
        cure=cure_minutes("foam_cut", crew.outside_c),
        quiet=quiet_hours(room.disturb) if room else None,
        held=crew.held.get(opening.id),
        stayed_on=min(stays, default=None) if opening.id not in crew.held else None,
    )
    hours = crew.hours(0)
    boarded = may_be_boarded(plan.frame) and job.minutes > hours.minutes
    if opened and closed and (boarded or opening.id in crew.covered):
        longest = _longest_stretch(hours, job.quiet) if boarded else DAY
        yield from _over_nights(job, left, longest)
    else:
        yield job


def _over_nights(job: Job, left: Mapping[str, list[tuple[Row, float]]], longest: int) -> Iterator[Job]:
    """The parts of an opening that is boarded or covered overnight, one a day, none longer than a stretch of a day."""
    opens, closes = list[Block](), list[Block]()
    for tasks in _filled(_pieces(left["open"], longest), longest - COVER_MINUTES, in_turn):
        block = in_turn(tasks)
        cover = Step(step=COVER, start=block.minutes, minutes=COVER_MINUTES, lane="both", dry=False)
        opens.append(Block(steps=(*block.steps, cover)))
    alone = list[Block]()
    for tasks in _filled(left["close"], longest, by_lanes):
        closes.append(by_lanes(tasks))
        alone.append(in_turn(tasks, alone=True))
    for part, block in enumerate(opens):
        first = replace(job, opening=block, closing=None, closing_alone=None, part=part)
        yield replace(first, held=None, stayed_on=None) if part else first
    for part, (block, by_one) in enumerate(zip(closes, alone, strict=True), len(opens)):
        yield replace(
            job, opening=None, closing=block, closing_alone=by_one, part=part, held=None, stayed_on=None
        )


def _pieces(tasks: Sequence[tuple[Row, float]], longest: int) -> list[tuple[Row, float]]:
    """The same tasks, those that fill a good part of a day in pieces between which there can be lunch or a night."""
    most = min(LONGEST_PIECE, longest)
    return [
        (row, minutes / count)
        for row, minutes in tasks
        for count in [max(1, math.ceil(minutes / most)) if longest < DAY else 1]
        for _ in range(count)
    ]


def _filled(
    tasks: Sequence[tuple[Row, float]], most: int, laid: Callable[[Sequence[tuple[Row, float]]], Block]
) -> list[list[tuple[Row, float]]]:
    """The tasks in order, as many at a time as fit in so many minutes; at least one."""
    found: list[list[tuple[Row, float]]] = [[]]
    for task in tasks:
        if found[-1] and laid([*found[-1], task]).minutes > most:
            found.append([])
        found[-1].append(task)
    return found


def _longest_stretch(hours: Hours, quiet: Span | None) -> int:
    """Minutes of a day that can be worked at a stretch beside quiet hours and lunch."""
    spans = [(hours.works_from, hours.works_to)]
    if quiet:
        spans = [
            (hours.works_from, min(quiet[0], hours.works_to)),
            (max(quiet[1], hours.works_from), hours.works_to),
        ]
    return max(
        end - start - (0 if start >= hours.lunch_from + hours.lunch or end <= hours.lunch_to else hours.lunch)
        for start, end in spans
    )


def _minutes_by_step(house: HousePlan, plan: OpeningPlan) -> list[tuple[Row, float]]:
    """Minutes of a pair by task: the hours of the estimate shared out over the tasks there are."""
    survey = house.survey
    minutes = 60 * pair_hours(plan.frame, standing(survey, plan), over_usual=survey.defaults.pace)
    applies = {
        "always": True,
        "glass_in": bool(plan.fitting.glass_in),
        "shored": any(step.step == "shore" for step in plan.fitting.steps),
        "covered": False,  # it is put on as a task of its own
    }
    rows = [row for row in table("crew_tasks") if applies[row["when"]]]
    shares = sum(row["share"] for row in rows if row["when"] != "shored")
    return [(row, minutes * row["share"] / shares) for row in rows]
