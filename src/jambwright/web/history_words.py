"""The history in sentences: who did what to which field, with the value before; nothing as it is kept inside."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from jambwright.readings.places import parse
from jambwright.store import Kept
from jambwright.web.history_place import Place, place_of
from jambwright.web.history_values import value_words
from jambwright.web.texts import say

Plain = dict[str, Any]
SHAPELESS = ("path", "id")
"""Fields of problems that speak of how a change was sent, not of what a person typed."""
FIELD_IN_FRONT = re.compile(r"\b[a-z]\w*(\.\w+)*: (?=[^ ])")
"""A field of the file before what is said of it, which the sentence has named already."""


def history_view(changes: Iterable[Kept], tree: Mapping[str, Any]) -> list[Plain]:
    """Each change as a sentence, in the order given. ``tree`` is the survey as it stands now."""
    return [
        {
            "id": change.id,
            "on": change.received[:10],
            "at": change.received[11:16],
            "say": sentence(change, tree),
            "outcome": change.outcome,
            "may_undo": change.outcome == "taken",
        }
        for change in changes
    ]


def sentence(change: Kept, tree: Mapping[str, Any]) -> str:
    """What a person did, and what became of it where that was not simply taken."""
    return " ".join(filter(None, (_done(change, tree), _became(change))))


def _done(change: Kept, tree: Mapping[str, Any]) -> str:
    path = _path(change)
    place = place_of(path, tree) if path else None
    if place is None:
        return say("history.elsewhere", who=change.who)
    before, after = (value_words(place, value) for value in (change.before, change.after))
    told = {"who": change.who, "what": _what(place), "before": before, "after": after}
    return say(f"history.{_verb(change, place)}{_way(change)}", **told)


def _path(change: Kept) -> tuple[str, ...] | None:
    try:
        return parse(change.path)
    except ValueError:
        return None


def _verb(change: Kept, place: Place) -> str:
    if change.undoes is not None:
        return "back"
    return "read" if place.reading else "item" if place.item else "set"


def _way(change: Kept) -> str:
    """Whether something stands there now, and whether it did before."""
    if change.after is None:
        return "_gone" if change.before is not None else "_none"
    return "_new" if change.before is None else ""


def _what(place: Place) -> str:
    """The field in words, and whose it is."""
    label = say("history.field_name", label=" › ".join(place.labels)) if place.labels else ""
    if place.reading:
        label = say("history.reading", reading=place.reading)
    if not place.whose:
        return label
    whose = say(f"history.of.{place.of}", name=place.whose)
    return say("history.of_whom", what=label, whose=whose) if label else whose


def _became(change: Kept) -> str:
    if change.outcome == "taken":
        return ""
    if change.outcome != "refused":
        return say(f"history.became.{change.outcome}")
    told = [p for p in change.problems if p.get("field") not in SHAPELESS and not p["say"].startswith("/")]
    why = [FIELD_IN_FRONT.sub("", problem["say"]) for problem in told]
    return say("history.became.refused", why=" ".join(why) or say("history.no_place"))
