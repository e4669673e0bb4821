"""The short safety words that belong to one opening. Each defers to local codes and licensed practice."""

from __future__ import annotations

from dataclasses import dataclass

from jambwright.basis.clause import Clause
from jambwright.basis.tables import table
from jambwright.readings.survey import Opening, Survey

ASBESTOS_BEFORE = 2000
"""Buildings finished or refitted before this year may hold asbestos (UK ban 1999)."""
LEAD_BEFORE = 1992
"""Paint before this year may hold lead; before 1965 very likely."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution and where it comes from."""

    key: str
    short: str
    """One line, for a sheet."""
    text: str
    source: Clause


def cautions(survey: Survey, opening: Opening) -> tuple[Caution, ...]:
    """The cautions that apply to one opening. An unknown building year counts as old, and children as there."""
    built = survey.house.built_year or 0
    upstairs = storey_of(survey, opening) > 0
    applies = {
        "glass": True,
        "lifting": True,
        "height": upstairs,
        "open_hole": upstairs,
        "lintel": opening.lintel.kind in ("none", "unknown"),
        "lintel_drill": opening.lintel.kind not in ("none", "unknown") and not opening.lintel.may_drill,
        "asbestos": built < ASBESTOS_BEFORE,
        "lead": built < LEAD_BEFORE and opening.now.material in ("timber", "steel", None),
        "dust": True,
        "electrics": True,
        "flue": opening.flue is not None,
        "combustion": opening.now.combustion_vent,
        "children": survey.house.children is not False,
    }
    rows = table("cautions")
    return tuple(
        Caution(key=row["key"], short=row["short"], text=row["text"], source=rows.source(row))
        for row in rows
        if applies[row["key"]]
    )


def storey_of(survey: Survey, opening: Opening) -> int:
    """Storey of the opening's room; ground floor when the room is not listed."""
    room = survey.room(opening.room)
    return room.storey if room else 0
