"""What is kept beside a plan: what it rests on, its gates and its days, to be looked up without opening it."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from jambwright.record import PlanRecord
from jambwright.store import PlanLine

Plain = dict[str, Any]
HOUSE = ""
"""In place of a mark: what is of the whole house."""


def gist_of(record: PlanRecord) -> Plain:
    """Gates and days of a plan."""
    days = record.days
    on: dict[str, list[str]] = defaultdict(list)
    for stay in days.stays if days else ():
        on[stay.opening_id].append(stay.on.isoformat())
    return {
        "shut": {name: [*_shut(record, name)] for name in ("ordering", "work")},
        "days": {mark: sorted(each) for mark, each in on.items()} if days else None,
        "open_on": {mark: day.isoformat() for mark, day in days.open_on.items()} if days else {},
    }


def _shut(record: PlanRecord, name: str) -> Iterator[str]:
    if getattr(record.gates, name).state == "shut":
        yield HOUSE
    yield from (
        each.id
        for each in record.every_opening
        if any(not r.house for r in getattr(each.gates, name).reasons)
    )


def rests_on(tree: Mapping[str, Any], prices: Any, crew: Any, tools: Any) -> Plain:
    """Marks of everything a plan is made from: the readings by opening, the firm's prices, the crew, its tools."""
    head = {name: value for name, value in tree.items() if name != "openings"}
    openings = {opening["id"]: _mark(opening) for opening in tree.get("openings") or ()}
    return {
        "readings": {HOUSE: _mark([head, list(openings)])} | openings,
        "prices": _mark(prices),
        "days": _mark(crew),
        "tools": _mark(tools),
    }


def _mark(tree: Any) -> str:
    """A short fingerprint of plain values."""
    return sha256(json.dumps(tree, sort_keys=True, default=str).encode()).hexdigest()[:12]


@dataclass(frozen=True, slots=True, kw_only=True)
class Since:
    """What a plan rests on that has changed since it was made."""

    known: bool = True
    """False for a plan of an earlier version: what it rests on was not kept."""
    readings: tuple[str, ...] = ()
    """Marks of openings changed, added or gone; ``HOUSE`` for what is of the whole house."""
    prices: bool = False
    days: bool = False
    tools: bool = False
    program: bool = False

    @property
    def any(self) -> bool:
        """Whether anything has changed, or that is not known."""
        return not self.known or bool(self.readings or self.prices or self.days or self.tools or self.program)


def readings_changed(changed: Since, plan: PlanLine, version: int) -> bool:
    """Whether readings are others than those of a plan; told by the house's version where that is all that is known."""
    return bool(changed.readings) if changed.known else plan.version != version


def since(plan: PlanLine, now: Plain) -> Since:
    """What has changed since a plan was made. ``now`` is what a plan made now would rest on."""
    program = not plan.of_this_program
    rests = (plan.gist or {}).get("rests")
    if rests is None:
        return Since(known=False, program=program)
    was, is_now = rests["readings"], now["readings"]
    changed = [mark for mark in {**is_now, **was} if was.get(mark) != is_now.get(mark)]
    return Since(
        readings=tuple(changed),
        program=program,
        **{name: rests[name] != now[name] for name in ("prices", "days", "tools")},
    )
