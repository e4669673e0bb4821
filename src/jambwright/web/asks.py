"""What a plan lacks, as links: every field that would settle a finding, each once, with what waits for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from jambwright.readings import places
from jambwright.readings.asked import place_words
from jambwright.record import PlanRecord
from jambwright.store import House
from jambwright.web.form_view import field_href

Plain = dict[str, Any]
NOT_KNOWN: tuple[Any, ...] = (None, "unknown", {}, [])
"""What stands in a field that says nothing yet."""


def place_links(house: House, paths: Iterable[str]) -> list[Plain]:
    """Links to fields; those of an opening that is gone lead nowhere and are left out."""
    return [_link(house, path) for path in paths if _is_there(house, places.parse(path))]


def _link(house: House, path: str) -> Plain:
    words = place_words(places.parse(path), house.tree)
    return {"path": path, "href": field_href(house.id, path), "words": words}


def asks_of(house: House, record: PlanRecord | None, under: str = "") -> list[Plain]:
    """Fields that unknown findings of the plan want and that still say nothing, those that stop something first."""
    if record is None:
        return []
    wanted: dict[str, dict[str, bool]] = {}
    for asked, stops, paths in _unknown(record):
        for path in paths:
            found = wanted.setdefault(path, {})
            found[asked] = found.get(asked, False) or stops
    blank = (p for p in wanted if f"{p}/".startswith(under) and _says_nothing(house.tree, p))
    links = place_links(house, blank)
    told = [link | {"asks": list(f := wanted[link["path"]]), "stops": any(f.values())} for link in links]
    return sorted(told, key=lambda link: not link["stops"])


def _unknown(record: PlanRecord) -> Iterator[tuple[str, bool, tuple[str, ...]]]:
    """What each unknown finding asks, whether it stops anything, and where it is mended."""
    found = (*record.rules, *(verdict for each in record.openings for verdict in each.verdicts))
    yield from (
        (v.asks or v.rule, bool(v.stops), v.places) for v in found if v.word == "unknown" and not v.cleared
    )
    for each in record.unread:
        yield from ((r.say, True, r.places) for r in each.gates.ordering.reasons if not r.house)


def _is_there(house: House, path: places.Path) -> bool:
    return path[0] != "openings" or (len(path) > 1 and path[1] in house.marks)


def _says_nothing(tree: Mapping[str, Any], path: str) -> bool:
    keys = places.parse(path)
    found = places.get(tree, keys)
    return found in NOT_KNOWN or keys[2:] == ("outside",)
