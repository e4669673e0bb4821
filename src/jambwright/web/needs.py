"""What needs somebody in a house: what stops order and work, each with where that is cleared, and what is not read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from jambwright.basis.border import accept
from jambwright.basis.problems import BadInput
from jambwright.readings.survey import Opening
from jambwright.readings.survey_file import unread
from jambwright.store import House
from jambwright.web.asks import place_links
from jambwright.web.texts import say

Plain = dict[str, Any]


def gate_needs(house: House, view: Plain | None, gates: Iterable[str]) -> dict[str, list[Plain]]:
    """Whom each gate is shut for, with links to every field or page that clears it, a field once in all."""
    told: set[str] = set()
    needs: dict[str, list[Plain]] = {}
    for name in gates:
        needs[name] = []
        for each in view["stops"][name] if view else ():
            links = list(_clearing(house, each))
            needs[name].append(each | {"links": [link for link in links if link["href"] not in told]})
            told |= {link["href"] for link in links if "#f/" in link["href"]}
    return needs


def _clearing(house: House, stopped: Plain) -> Iterator[Plain]:
    """Fields first, then readings to take, then changes of the order; the opening itself last."""
    mark, at = stopped["id"], f"/houses/{house.id}"
    there = mark in house.marks
    if there and stopped["missing"]:
        yield {"href": f"/site/{house.id}/{mark}", "words": say("needs.measure", mark=mark)}
    else:
        paths = dict.fromkeys(place["path"] for reason in stopped["reasons"] for place in reason["places"])
        for link in place_links(house, paths):
            yield {"href": link["href"], "words": f"{say('form.settle')}: {link['words']}"}
    if there and stopped["instead"]:
        yield {"href": f"{at}/openings/{mark}#instead", "words": say("needs.instead")}
    if there:
        yield {"href": f"{at}/openings/{mark}", "words": say("stops.look", mark=mark)}
    elif not mark:
        yield {"href": f"{at}/findings", "words": say("part.findings")}


def to_read(house: House) -> list[Plain]:
    """Openings that lack readings they can't be planned without, or that can't be read at all."""
    found = []
    for tree in house.tree["openings"]:
        try:
            missing = unread(accept(Opening, tree))
        except BadInput as bad:
            missing = [problem.say for problem in bad.problems[:1]]
        if missing:
            found.append({"id": tree["id"], "room": tree["room"], "missing": missing})
    return found
