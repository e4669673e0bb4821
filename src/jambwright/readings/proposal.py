"""Changes of a readings file: proposed with what they mend, put in when accepted, and taken back.

What a person asked for is never lost: each accepted change is kept with what stood in its place.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from jambwright.basis.problems import BadInput
from jambwright.readings import places
from jambwright.readings.done import is_done
from jambwright.readings.survey import Opening
from jambwright.readings.wanted import Wanted

Tree = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A new value for one field of the readings file; ``None`` takes away what stands there."""

    place: str
    value: Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """Changes of what is wanted in one opening, the rules they mend, and the whole in a sentence."""

    mends: tuple[str, ...]
    changes: tuple[Change, ...]
    say: str
    remains: tuple[str, ...] = ()
    """Rules that the opening still breaks with it."""


def apply_proposal(
    tree: Mapping[str, Any], mark: str, proposal: Proposal, *, on: date, by: str | None
) -> Tree:
    """The tree with the proposal put in and listed under ``accepted``. The old tree stays as it was.

    Raises ``BadInput`` where there is no such opening or it is ordered already.
    """
    require_free(tree, mark)
    changed, done = dict(tree), []
    for change in proposal.changes:
        path, value = _from_what_is_there(changed, _within(mark, change.place), change.value)
        was = places.get(changed, path)
        changed = places.put(changed, path, value)
        kept = {"was": was, "value": value}
        done.append({"place": places.text(path)} | {name: v for name, v in kept.items() if v is not None})
    accepted = {
        "on": on.isoformat(),
        **({"by": by} if by else {}),
        "mends": [*proposal.mends],
        "changes": done,
    }
    listed = places.get(changed, ("openings", mark, "accepted")) or []
    return places.put(changed, ("openings", mark, "accepted"), [*listed, accepted])


def undo_accepted(tree: Mapping[str, Any], mark: str, number: int) -> Tree:
    """The tree with an accepted proposal taken back; ``number`` counts them from 1.

    Raises ``BadInput`` where there is none of that number, the opening is ordered already, or a field was
    changed again since.
    """
    opening = require_free(tree, mark)
    listed = opening.get("accepted") or []
    if not 1 <= number <= len(listed):
        told = f"{len(listed)} accepted" if listed else "none was accepted"
        raise BadInput.one("accepted", f"{_name(opening)}: there is no accepted proposal {number}; {told}.")
    changed = dict(tree)
    for change in reversed(listed[number - 1]["changes"]):
        if not _stands(changed, change):
            raise BadInput.one(
                "accepted",
                f"{_name(opening)}: {change['place']} was changed again since. Undo the later proposal first, "
                "or write what you want there by hand.",
            )
        changed = _taken_back(changed, change)
    left = [*listed[: number - 1], *listed[number:]]
    return places.put(changed, ("openings", mark, "accepted"), left or None)


def asked_of(opening: Mapping[str, Any]) -> Any:
    """The ``wanted`` of an opening's tree as it was asked: accepted changes taken back, the newest first.

    A field that someone changed by hand after that counts as asked.
    """
    tree: Tree = {"openings": [dict(opening)]}
    for accepted in reversed(opening.get("accepted") or []):
        for change in reversed(accepted["changes"]):
            if _stands(tree, change):
                tree = _taken_back(tree, change)
    return places.get(tree, ("openings", opening["id"], "wanted"))


def asked(opening: Opening) -> Wanted:
    """What was asked for in an opening, before any proposal was accepted."""
    tree = opening.model_dump(include={"id", "wanted", "accepted"}, exclude_unset=True)
    return Wanted.model_validate(asked_of(tree) or {})


def numbered(offered: Mapping[str, Sequence[Proposal]], mark: str, number: int) -> Proposal:
    """The proposal of that number, counted from 1. Raises ``BadInput`` where there is none."""
    listed = offered.get(mark, ())
    if not 1 <= number <= len(listed):
        told = f"there are {len(listed)}" if listed else "nothing is proposed for it"
        raise BadInput.one("number", f"{mark}: there is no proposal {number}; {told}.")
    return listed[number - 1]


def require_free(tree: Mapping[str, Any], mark: str) -> Mapping[str, Any]:
    """The opening's tree. Raises ``BadInput`` where there is none of that mark or it is ordered already."""
    opening = places.get(tree, ("openings", mark))
    if opening is None:
        known = ", ".join(str(each.get("id")) for each in tree.get("openings") or [])
        raise BadInput.one("opening", f"There is no opening {mark}; there are {known or 'none'}.")
    if is_done(opening.get("done") or [], "ordered"):
        say = (
            f"{_name(opening)} is ordered already, so what is wanted there stays as it is. Change the order with "
            "the maker first and take the mark Ordered away."
        )
        raise BadInput.one("done", say)
    found: Mapping[str, Any] = opening
    return found


def _name(opening: Mapping[str, Any]) -> str:
    return f"{opening['id']} {opening.get('room', '')}".strip()


def _within(mark: str, place: str) -> places.Path:
    """The path of a change, which must be one of what is wanted in that opening."""
    path = places.parse(place)
    if path[:3] != ("openings", mark, "wanted"):
        raise BadInput.one("place", f"{place} is not among what is wanted in {mark}.")
    return path


def _from_what_is_there(tree: Tree, path: places.Path, value: Any) -> tuple[places.Path, Any]:
    """The change as one of the first field on the way that is missing, so that undo leaves nothing behind."""
    for depth in range(3, len(path)):
        if value is not None and places.get(tree, path[:depth]) is None:
            for key in reversed(path[depth:]):
                value = {key: value}
            return path[:depth], value
    return path, value


def _stands(tree: Tree, change: Mapping[str, Any]) -> bool:
    """Whether the field is as the accepted change left it."""
    return bool(places.get(tree, places.parse(change["place"])) == change.get("value"))


def _taken_back(tree: Tree, change: Mapping[str, Any]) -> Tree:
    return places.put(tree, places.parse(change["place"]), change.get("was"))
