"""Where in the readings file a finding is mended: the paths of the fields that settle it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from jambwright.basis.tables import table
from jambwright.checks.verdict import Verdict
from jambwright.readings import places
from jambwright.readings.survey import Opening, Survey

OWN_WALL, USUAL_WALL = "opening.wall.", "defaults.wall."
"""The one of them that an opening stands in mends its finding."""


def with_places(survey: Survey, verdict: Verdict, opening: Opening | None = None) -> Verdict:
    """The finding with the paths of what mends it; as it was where it names them, or nothing in the file does."""
    if verdict.places:
        return verdict
    found = tuple(dict.fromkeys(_paths(survey, opening, _dotted(verdict))))
    return replace(verdict, places=found) if found else verdict


def _dotted(verdict: Verdict) -> Iterator[str]:
    """Fields by the inputs it lacks, else by its rule."""
    for name in verdict.missing:
        yield from table("rule_inputs").find(input=name)["place"].split()
    if verdict.missing:
        return
    for row in table("mended_at"):
        if verdict.rule == row["rule"] or verdict.rule.startswith(f"{row['rule']}."):
            yield from row["place"].split() if verdict.word in row["words"].split() else ()
            return


def _paths(survey: Survey, opening: Opening | None, dotted: Iterable[str]) -> Iterator[str]:
    for each in dotted:
        root, *way = each.split(".")
        if opening is not None and each.startswith(OWN_WALL if opening.wall is None else USUAL_WALL):
            continue
        if root not in ("room", "opening"):
            yield places.text((root, *way))
        elif opening is not None and root == "room":
            room = survey.room(opening.room)
            yield places.text(("house", "rooms", *((room.name, *way) if room else ())))
        elif opening is not None:
            yield places.text(("openings", opening.id, *way))
