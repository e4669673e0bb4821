"""One team's day as it is planned: what is opened and closed when, with lunch, and who does which task."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from jambwright.plan.crew.blocks import Block, Job
from jambwright.plan.crew.recount import Placed
from jambwright.plan.crew.work import DAY, Hours
from jambwright.plan.hours import PAIR


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One block as it is placed on the day."""

    job: Job
    kind: str
    """open or close."""
    start: int
    block: Block
    """With lunch in the midst of it where it is broken by that."""
    by_pair: bool

    @property
    def end(self) -> int:
        """Minute of the day."""
        return self.start + self.block.minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPlan:
    """A team's day."""

    team: tuple[str, ...]
    hours: Hours
    visits: tuple[Visit, ...]
    """In the order of their starts."""
    lunches: tuple[tuple[int, tuple[str, ...]], ...]
    """Start, and who has it."""

    @property
    def end(self) -> int:
        """Minute of the day when the last opening is left."""
        return max(visit.end for visit in self.visits)

    @property
    def changes(self) -> int:
        """Changes of place, added up over the fitters."""
        found = 0
        pair, alone = halves(self.team)
        for by_pair, people in ((True, pair), (False, alone)):
            marks = [visit.job.mark for visit in self.visits if visit.by_pair == by_pair]
            found += len(people) * sum(one != other for one, other in pairwise(marks))
        return found

    @property
    def open_minutes(self) -> int:
        """From taking out to the seal outside, added up over the openings."""
        out = {v.job.mark: v.start + v.block.first("take_out") for v in self.visits if v.kind == "open"}
        sealed = {
            v.job.mark: v.start + v.block.last("seal_outside") for v in self.visits if v.kind == "close"
        }
        return sum(sealed[mark] - start for mark, start in out.items() if mark in sealed)

    def placed(self, offset: int) -> Iterator[Placed]:
        """Every task with who does it, that of the day as a whole included; minutes from the first midnight."""
        midnight = offset * DAY
        pair, alone = halves(self.team)
        last = self.end

        def placed(what: str, start: int, end: int, who: tuple[str, ...], mark: str = "") -> Placed:
            name = mark or f"{midnight // DAY + 1} {self.team[0]}"
            return Placed(
                id=f"{name} {what}",
                opening=mark,
                step=what,
                start=midnight + start,
                end=midnight + end,
                who=who,
            )

        yield placed("set_up", self.hours.begins, self.hours.works_from, self.team)
        for start, who in self.lunches:
            lunch = placed("lunch", start, start + self.hours.lunch, who)
            yield replace(lunch, id=f"{lunch.id} {who[0]}")
        for visit in self.visits:
            lanes = (
                {"both": pair, "outside": pair[:1], "inside": pair[1:]} if visit.by_pair else {"both": alone}
            )
            several = visit.job.part or len({s.step for s in visit.block.steps}) < len(visit.block.steps)
            for step in visit.block.steps:
                start, end = visit.start + step.start, visit.start + step.end
                task = placed(step.step, start, end, lanes[step.lane], visit.job.mark)
                yield replace(task, id=f"{task.id} {task.start}") if several else task
        yield placed("clear_up", last, last + self.hours.clear_up, self.team)


def halves(team: tuple[str, ...]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The pair of a team, and who closes by himself."""
    return (team[:PAIR], team[PAIR:]) if len(team) >= PAIR else ((), team)


def too_much(jobs: Sequence[Job], hours: Hours, team: int) -> bool:
    """Whether a team has not the hours for it, whatever the order."""
    if team <= PAIR:
        return sum(job.minutes for job in jobs) > hours.minutes
    return sum(job.opening.minutes for job in jobs if job.opening) > hours.minutes
