"""The work at an opening in two blocks: open, from covering the room to foam; close, once the foam may be cut.

All of one opening is done on one day, unless its joint is kept under a weather cover overnight, or it takes more than
a day and may stand boarded.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import Literal

from jambwright.basis.tables import Row
from jambwright.plan.crew.project import Span
from jambwright.plan.crew.work import Crew, Hours
from jambwright.plan.cures import STEP_MINUTES
from jambwright.plan.hours import PAIR

Lane = Literal["both", "outside", "inside"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One task within a block."""

    step: str
    start: int
    """Minutes from the start of the block."""
    minutes: int
    lane: Lane
    """Who of the pair does it: the two together, the one outside, or the one inside."""
    dry: bool

    @property
    def end(self) -> int:
        """Minutes from the start of the block."""
        return self.start + self.minutes


@dataclass(frozen=True, kw_only=True)
class Block:
    """Work at one opening that goes on without a break but lunch."""

    steps: tuple[Step, ...]

    @cached_property
    def minutes(self) -> int:
        """From first to last task."""
        return max(step.end for step in self.steps)

    def with_lunch(self, at: int, lunch: int) -> Block:
        """The same with a break at a minute between its tasks."""
        return Block(
            steps=tuple(replace(s, start=s.start + lunch) if s.start >= at else s for s in self.steps)
        )

    def breaks(self) -> list[int]:
        """Minutes between tasks where lunch can be, the latest first: the frame is in and glazed the sooner."""
        return sorted({step.start for step in self.steps if step.start}, reverse=True)

    def first(self, step: str) -> int:
        """Start of a task, from the start of the block; 0 where it is not in it."""
        return next((s.start for s in self.steps if s.step == step), 0)

    def last(self, step: str) -> int:
        """End of a task, from the start of the block; 0 where it is not in it."""
        return next((s.end for s in self.steps if s.step == step), 0)

    def may_start(self, at: int, hours: Hours, quiet: Span | None) -> bool:
        """Whether it can begin at a minute of a day: within the hours, not in quiet ones, nothing dry in the rain."""
        if at < hours.works_from or at + self.minutes > hours.works_to:
            return False
        if quiet and _meet((at, at + self.minutes), quiet):
            return False
        return not any(
            _meet((at + s.start, at + s.end), wet) for s in self.steps if s.dry for wet in hours.wet
        )

    def starts(self, hours: Hours, quiet: Span | None) -> list[int]:
        """Every minute, in steps, at which it can begin on a day."""
        whole = range(hours.works_from, hours.works_to - self.minutes + 1, STEP_MINUTES)
        return [at for at in whole if self.may_start(at, hours, quiet)]

    def starts_over_lunch(self, hours: Hours, quiet: Span | None) -> dict[int, int]:
        """The same with lunch in the midst of it: where lunch is, from the start of the block, by the start."""
        found: dict[int, int] = {}
        for at in range(hours.works_from, hours.works_to - self.minutes - hours.lunch + 1, STEP_MINUTES):
            for gap in self.breaks():
                if hours.lunch_from <= at + gap <= hours.lunch_to and self.with_lunch(
                    gap, hours.lunch
                ).may_start(at, hours, quiet):
                    found[at] = gap
                    break
        return found


@dataclass(frozen=True, kw_only=True)
class Job:
    """What is left to do at one opening on one day."""

    mark: str
    room: str
    tower: str | None
    """Face on which a tower must stand for it."""
    opening: Block | None
    """``None`` where the frame is in already, or where the joint was covered the day before."""
    closing: Block | None
    """By a pair; ``None`` where a weather cover is put on for the night."""
    closing_alone: Block | None
    """The same by one."""
    cure: int
    """Minutes from the end of the opening block until the foam may be cut."""
    quiet: Span | None
    """Minutes of the day when the household must not be disturbed."""
    held: date | None = None
    stayed_on: date | None = None
    """Day of the plan before."""
    part: int = 0
    """Of an opening that is not done in one day: each part comes on the working day after the one before."""

    @property
    def key(self) -> str:
        """What it is called among the jobs."""
        return f"{self.mark} part {self.part + 1}" if self.part else self.mark

    @property
    def unsealed(self) -> bool:
        """The frame is in and its joint stands open to the weather: it is sealed as soon as may be."""
        last = self.closing.last("seal_outside") if self.closing else 0
        return self.opening is None and last > 0 and not self.part

    @cached_property
    def minutes(self) -> int:
        """Of a pair."""
        return sum(block.minutes for block in (self.opening, self.closing) if block)

    @property
    def blocks(self) -> int:
        """How many times it is entered."""
        return (self.opening is not None) + (self.closing is not None)

    @property
    def least_open_minutes(self) -> int:
        """From taking out to the seal outside, with nothing in between but the cure."""
        if not (self.opening and self.closing):
            return 0
        return (
            self.opening.minutes
            - self.opening.first("take_out")
            + self.cure
            + self.closing.last("seal_outside")
        )


def least_person_minutes(job: Job, crew: Crew) -> int:
    """What a job takes of the fitters at least; one who closes alone waits for nobody."""
    opened = PAIR * job.opening.minutes if job.opening else 0
    if not (job.closing and job.closing_alone):
        return opened
    by_pair = PAIR * job.closing.minutes
    pairs_only = all(len(team) == PAIR for team in crew.teams)
    return opened + (by_pair if pairs_only else min(by_pair, job.closing_alone.minutes))


def in_turn(tasks: Sequence[tuple[Row, float]], *, alone: bool = False) -> Block:
    """One task after the other, by the pair together or by one alone."""
    steps, at = [], 0
    for row, minutes in tasks:
        steps.append(_step(row, at, minutes * (PAIR if alone else 1), "both"))
        at = steps[-1].end
    return Block(steps=tuple(steps))


def by_lanes(tasks: Sequence[tuple[Row, float]]) -> Block:
    """One of the pair outside and one inside at the same time; what is for both waits for both.

    The seal outside is on before the seal inside, as on the fit sheet; showing comes last of all.
    """
    free: dict[str, int] = {"outside": 0, "inside": 0}
    steps: list[Step] = []
    ends: Mapping[str, int] = {}
    for row, minutes in tasks:
        lane: Lane = row["lane"]
        if lane == "both":
            step = _step(row, max(free.values()), minutes, lane)
            free = dict.fromkeys(free, step.end)
        else:
            after = ends.get("seal_outside", 0) if row["step"] == "seal_inside" else 0
            step = _step(row, max(free[lane], after), minutes * PAIR, lane)
            free[lane] = step.end
        steps.append(step)
        ends = {**ends, step.step: step.end}
    return Block(steps=tuple(steps))


def _step(row: Row, start: int, minutes: float, lane: Lane) -> Step:
    whole = max(STEP_MINUTES, round(minutes / STEP_MINUTES) * STEP_MINUTES)
    return Step(step=row["step"], start=start, minutes=whole, lane=lane, dry=row["dry"] == "yes")


def _meet(one: Span, other: Span) -> bool:
    return one[0] < other[1] and other[0] < one[1]
