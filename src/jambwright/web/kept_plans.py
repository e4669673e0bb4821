"""Plans read back from the store for the screens, the last few kept at hand: a plan never changes."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass
from typing import Any

from jambwright.basis.problems import BadInput
from jambwright.record import PlanRecord, record_of_tree
from jambwright.store import PlanLine, Store, house_plans, plan_result
from jambwright.web.plan_view import plan_view

AT_HAND = 8
"""A plan of a house with eleven openings takes some 20 MB once it is read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPlan:
    """A plan as it was decided, and as the screens show it."""

    record: PlanRecord
    view: dict[str, Any]


class KeptPlans:
    """The plans looked at last, by their number in the store."""

    def __init__(self, most: int = AT_HAND) -> None:
        self._most = most
        self._read: OrderedDict[str, KeptPlan | None] = OrderedDict()
        self._turn = threading.Lock()

    def find(self, store: Store, line: PlanLine) -> KeptPlan | None:
        """A plan; ``None`` where it was kept by a program of another version."""
        with self._turn:
            if line.id in self._read:
                self._read.move_to_end(line.id)
                return self._read[line.id]
        found = _read(store, line)
        with self._turn:
            self._read[line.id] = found
            while len(self._read) > self._most:
                self._read.popitem(last=False)
        return found

    def latest(self, store: Store, house: str) -> tuple[PlanLine | None, PlanLine | None, KeptPlan | None]:
        """The plan made last, and the latest that can be read with its line."""
        lines = house_plans(store, house)
        for line in lines:
            if kept := self.find(store, line):
                return lines[0], line, kept
        return next(iter(lines), None), None, None


def _read(store: Store, line: PlanLine) -> KeptPlan | None:
    try:
        record = record_of_tree(plan_result(store, line.house, line.id))
    except BadInput:
        return None
    return KeptPlan(record=record, view=plan_view(record))
