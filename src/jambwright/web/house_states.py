"""How far each house has come, from what is kept of it: readings, marks, gist of its plan, frames as fitted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from jambwright.readings import PLACES, reading_name
from jambwright.readings.done import is_done
from jambwright.readings.survey_file import NEEDED
from jambwright.store import HouseLine, PlanLine, Store, newest_plans, read_houses
from jambwright.web.gist import rests_on
from jambwright.web.texts import say

Plain = dict[str, Any]
State = Literal["to_read", "to_settle", "to_order", "ordered", "to_fit", "fitted", "handed_over"]
STATES: tuple[State, ...] = ("to_read", "to_settle", "to_order", "ordered", "to_fit", "fitted", "handed_over")
"""From the first reading to the signed frame."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Where a house stands, and what is to be done next."""

    state: State
    why: str
    """What keeps it there, in a sentence."""
    dates: tuple[tuple[str, str], ...]
    """Days known of it, as ISO and in words, in order."""


def stand_of(tree: Mapping[str, Any], fitted: Mapping[str, Any], plan: PlanLine | None) -> Stand:
    """The state of a house: that of its opening that has come least far."""
    state, why = _state(tree, fitted, plan)
    return Stand(state=state, why=why, dates=tuple(sorted(_dates(tree, fitted, plan))))


def _state(tree: Mapping[str, Any], fitted: Mapping[str, Any], plan: PlanLine | None) -> tuple[State, str]:
    openings: Sequence[Mapping[str, Any]] = tree.get("openings") or ()
    if not openings:
        return "to_read", say("stand.no_opening")
    done = {o["id"]: o.get("done") or () for o in openings}
    unread = [o["id"] for o in openings if not is_done(done[o["id"]], "fitted") and _unread(o)]
    if unread:
        return "to_read", say("stand.unread", n=len(unread), of=len(openings), marks=_some(unread))
    unfitted = [
        mark for mark, marks in done.items() if not (is_done(marks, "fitted") or _signed(fitted, mark))
    ]
    if not unfitted:
        return _after_fitting(done, fitted)
    unordered = [mark for mark in unfitted if not is_done(done[mark], "ordered")]
    gist = (plan.gist or {}) if plan else {}
    not_now = _not_known(tree, plan)
    if unordered:
        shut = gist.get("shut", {}).get("ordering", [])
        return _before_ordering(unordered, [mark for mark in shut if mark in ("", *unordered)], not_now)
    stopped = [mark for mark in gist.get("shut", {}).get("work", []) if mark in ("", *unfitted)]
    if not_now or stopped:
        return "ordered", not_now or say("stand.work_stopped", what=_marks(stopped))
    if not all(mark in gist.get("open_on", {}) for mark in unfitted):
        return "ordered", say("stand.no_days")
    return "to_fit", say("stand.to_fit", n=len(unfitted), of=len(done))


def _before_ordering(unordered: list[str], shut: list[str], not_now: str) -> tuple[State, str]:
    if not_now or shut:
        return "to_settle", not_now or say("stand.stopped", what=_marks(shut))
    return "to_order", say("stand.to_order", marks=_some(unordered))


def _after_fitting(done: Mapping[str, Sequence[str]], fitted: Mapping[str, Any]) -> tuple[State, str]:
    """Handed over is a house whose every opening is finished, with a frame read and signed."""
    open_ = [mark for mark, marks in done.items() if not is_done(marks, "finished")]
    if open_:
        return "fitted", say("stand.not_finished", marks=_some(open_))
    unsigned = [mark for mark in done if not _signed(fitted, mark)]
    if unsigned:
        return "fitted", say("stand.unsigned", marks=_some(unsigned))
    return "handed_over", say("stand.handed_over")


def _not_known(tree: Mapping[str, Any], plan: PlanLine | None) -> str:
    """Why no plan tells what stops the house as it is now; nothing where one does."""
    if plan is None:
        return say("stand.not_planned")
    rests = (plan.gist or {}).get("rests")
    if rests is None:
        return say("stand.old_plan")
    if rests["readings"] != rests_on(tree, None, None, None)["readings"]:
        return say("stand.outdated")
    return ""


def _unread(opening: Mapping[str, Any]) -> list[str]:
    """Readings an opening can't be planned without, by name."""
    outside = opening.get("outside") or {}
    return [
        reading_name(kind, at)
        for kind in NEEDED
        for at in PLACES[kind]
        if (outside.get(kind) or {}).get(at) is None
    ]


def _signed(fitted: Mapping[str, Any], mark: str) -> bool:
    kept = fitted.get(mark) or {}
    return bool(kept.get("on") and kept.get("by"))


def _dates(
    tree: Mapping[str, Any], fitted: Mapping[str, Any], plan: PlanLine | None
) -> Iterator[tuple[str, str]]:
    """Every day that is known: of the readings file, of the crew's plan, and of frames as fitted."""
    for name in ("notice_date", "start_date", "date_of_work"):
        if on := tree.get(name):
            yield str(on), say(f"stand.date.{name}")
    for mark, days in ((plan.gist or {}).get("days") or {} if plan else {}).items():
        yield from ((on, say("stand.date.work", mark=mark)) for on in days)
    for mark, kept in fitted.items():
        if kept.get("on"):
            yield str(kept["on"]), say("stand.date.fitted", mark=mark)


def next_date(stand: Stand, today: date) -> tuple[str, str] | None:
    """The first day from today on, with all that is on it; ``None`` where none is known."""
    coming = [(on, words) for on, words in stand.dates if on >= today.isoformat()]
    if not coming:
        return None
    first = coming[0][0]
    return first, ", ".join(words for on, words in coming if on == first)


def _marks(marks: Sequence[str]) -> str:
    return _some([mark or say("stale.house") for mark in marks]) if marks else say("stale.house")


def _some(marks: Sequence[str]) -> str:
    """Up to six marks, then how many more."""
    more = len(marks) - 6
    told = ", ".join(marks[:6])
    return say("stand.more", marks=told, n=more) if more > 0 else told


class Stands:
    """Where houses stand, each worked out again only once its readings, frames or plan have changed."""

    def __init__(self) -> None:
        self._kept: dict[str, tuple[tuple[int, str | None], Stand]] = {}

    def of(self, store: Store, lines: Sequence[HouseLine]) -> dict[str, Stand]:
        """Where each of these houses stands, by house."""
        keys = {line.id: (line.version, line.plan) for line in lines}
        had = {house: self._kept[house][0] for house in self._kept.keys() & keys.keys()}
        to_read = [house for house, key in keys.items() if had.get(house) != key]
        if to_read:
            newest = newest_plans(store)
            for house in read_houses(store, to_read):
                plan = newest.get(house.id)
                found = stand_of(house.tree, house.fitted, plan)
                self._kept[house.id] = ((house.version, plan.id if plan else None), found)
        return {house: self._kept[house][1] for house in keys if house in self._kept}
