"""The crew's days of a house as the desk shows and changes them: who comes when, and what is held to a day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Annotated, Any

from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.basis.envelope import Day
from jambwright.job import Crew
from jambwright.paper.crew_words import block_of
from jambwright.record import DAY, Days, Placed
from jambwright.store import PlanLine
from jambwright.web.plan_view import reason_view

SHOWN_AT_LEAST = 5
SHOWN_TERMS = ("changes", "room_days")
"""What is told of a plan beside its days, with what no plan can beat."""


class CrewChosen(Strict):
    """Who comes and when, and the openings held to a day."""

    first_day: Day
    fitters: Annotated[int, Field(ge=1, le=8)] = 2
    towers: Annotated[int, Field(ge=0, le=4)] = 1
    outside_c: Annotated[float, Field(ge=-20, le=40)] = 8.0
    held: dict[str, Day] = {}
    """Day on which an opening's wall is open, by its mark."""
    longer_minutes: Annotated[int, Field(ge=0, le=180)] = 0
    """Every day ends so much later than usual."""
    covered: Annotated[list[str], Field(max_length=200)] = []
    """Openings kept under a weather cover overnight and closed the next working day, by their marks."""
    stay: dict[str, dict[str, Day]] = {}
    """Days of the plan before that are left as they were, by mark and step, as far as that goes."""

    def crew(self) -> Crew:
        """As the plan takes it."""
        return Crew(
            first_day=self.first_day, fitters=self.fitters, towers=self.towers, outside_c=self.outside_c,
            held=self.held, longer_minutes=self.longer_minutes, covered=frozenset(self.covered),
            stays={(mark, step): on for mark, steps in self.stay.items() for step, on in steps.items()},
        )  # fmt: skip


class DaysAsked(CrewChosen):
    """Who comes and when, and which opening was moved just now."""

    moves: str | None = None
    """Mark of the one opening that goes to another day, or is let go from its day: the others stay."""

    def with_the_rest_kept(self, before: Days | None) -> CrewChosen:
        """What is chosen, the days of all other openings as they were in the plan before."""
        stay: dict[str, dict[str, Day]] = defaultdict(dict)
        for each in before.stays if before and self.moves else ():
            if each.opening_id != self.moves:
                stay[each.opening_id] |= {placed.step: each.on for placed in each.steps}
        kept = {name: getattr(self, name) for name in CrewChosen.model_fields}
        return CrewChosen(**kept | {"stay": dict(stay)})


def days_view(days: Days, chosen: CrewChosen) -> dict[str, Any]:
    """The crew's days of a plan: one row an opening, with what is done on which day."""
    working = [day.isoformat() for day in days.working_days]
    rows = _rows(days, chosen)
    last = max([*working[:SHOWN_AT_LEAST], *(day for row in rows for day in row["days"])], default="")
    return {
        "days": working,
        "shown": [day for day in working if day <= last],
        "rows": rows,
        "before": [reason_view(reason) for reason in days.before],
        "left_out": [problem.say for problem in days.left_out],
        "may_cover": _may_cover(days, chosen),
        "visits": days.plan.visits,
        "work_days": days.plan.days,
        "proven": days.plan.proven_optimal,
        "fewest": days.plan.days == days.plan.least_days,
        "stopped": days.plan.stopped_by_clock,
        "stayed": list(days.stayed),
        "open_hours": round(days.plan.open_minutes / 60, 1),
        "terms": [term for term in days.plan.terms if term.name in SHOWN_TERMS],
    }


def _may_cover(days: Days, chosen: CrewChosen) -> list[str]:
    """Openings that fit in no day, or are under a cover already."""
    left = [p.opening for p in days.left_out if p.opening and p.field.startswith("tasks.")]
    return list(dict.fromkeys([*left, *chosen.covered]))


def _rows(days: Days, chosen: CrewChosen) -> list[dict[str, Any]]:
    rooms = {stay.opening_id: stay.room for stay in days.stays}
    by_mark: dict[str, dict[str, Any]] = defaultdict(dict)
    for stay in days.stays:
        by_mark[stay.opening_id][stay.on.isoformat()] = {
            "blocks": [_block(start, end, stay.steps) for start, end in stay.slots],
            "steps": [_step(placed) for placed in stay.steps],
        }
    return [
        {
            "id": mark,
            "room": room,
            "held": mark in chosen.held,
            "open_on": days.open_on[mark].isoformat() if mark in days.open_on else "",
            "days": by_mark[mark],
        }
        for mark, room in rooms.items()
    ]


def _block(start: int, end: int, steps: Sequence[Placed]) -> dict[str, str]:
    """A stretch of work at an opening: when, and whether its wall is opened or closed."""
    first = next(placed for placed in steps if placed.start % DAY == start)
    return {"block": block_of(first.step), "start": _clock(start), "end": _clock(end)}


def _step(placed: Placed) -> dict[str, Any]:
    return {
        "step": placed.step,
        "start": _clock(placed.start % DAY),
        "end": _clock((placed.end - 1) % DAY + 1),
        "who": ", ".join(placed.who),
    }


def _clock(minute: int) -> str:
    return f"{minute // 60:02}:{minute % 60:02}"


def moved_view(plans: Sequence[PlanLine], chosen: CrewChosen) -> dict[str, Any] | None:
    """Whose days differ from those of the plan before; ``None`` where there is nothing to compare."""
    now, before = [*((line.gist or {}).get("days") for line in plans[:2]), None, None][:2]
    if not now or not before:
        return None
    both = sorted({*now, *before})
    moved = [
        {
            "id": mark,
            "before": before.get(mark, []),
            "after": now.get(mark, []),
            "gave_way": mark in chosen.stay and bool(before.get(mark)),
        }
        for mark in both
        if now.get(mark) != before.get(mark)
    ]
    return {"moved": moved, "stayed": len(both) - len(moved)}
