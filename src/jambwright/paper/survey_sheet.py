"""Blank survey sheets: an opening a sheet of two sides, in the order in which it is measured and asked on site."""

from __future__ import annotations

from typing import Any

from jambwright.paper.fit_words import floor
from jambwright.paper.help_pictures import PRINTED_MM, help_picture
from jambwright.paper.lettering import advance_mm
from jambwright.paper.pdf import typeset, typeset_blank
from jambwright.readings.asked import Asked, choices_in, field_at, fields_of, on_site, pictures
from jambwright.readings.reading import EVERY_PLACE, QUARTERS
from jambwright.record import OpeningRecord, PlanRecord, Unread

Part = dict[str, Any]

TEMPLATE = "survey_sheets.typ"
OUTSIDE, ASKED, INSIDE = "outside", "asked", "inside"
"""The sides of a sheet; the third is for a rebated reveal."""
BOX_MM = 9.6
"""Height of a box to write in: a gloved hand with a pencil. Common practice, no published source."""
HALF_MM = 91.0
"""Width of half a page."""
WORD_MM = 3.9
"""Body height of a word to cross: 11 point."""
ROUND_WORD_MM = 6.0
"""Its box beyond the word, and the gap to the next."""


def survey_sheets(record: PlanRecord) -> bytes:
    """A sheet for every opening of a house, those known by their room alone too, as PDF."""
    spare = [_spare()] if record.unread else []
    return typeset(TEMPLATE, record, _data([*map(_sheet, record.every_opening), *spare]))


def blank_sheets(count: int) -> bytes:
    """So many sheets for a house of which nothing is known yet, as PDF."""
    sheets = [_unnamed(f"Sheet {n} of {count}", OUTSIDE, ASKED) for n in range(1, count + 1)]
    return typeset_blank(TEMPLATE, _data([*sheets, _spare()]))


def _data(sheets: list[Part]) -> Part:
    faces = {field.name: field.help for field in fields_of("Opening")}
    return {
        "sheets": sheets,
        "box": BOX_MM,
        "picture": PRINTED_MM,
        "outside": {"help": faces["outside"], "kinds": [_kind(field) for field in fields_of("ReadingSet")]},
        "inside": {
            "help": faces["inside"],
            # how a width is taken is told of brick alone
            "kinds": [
                _kind(field) | ({} if field.picture else {"help": ""}) for field in fields_of("ReadingSet")
            ],
        },
        "nibs": [field.label for field in fields_of("Nibs")],
        "nib_picture": _picture("nib"),
        "asked": _side_by_side([_question(field) for field in _asked()]),
    }


def _sheet(opening: OpeningRecord | Unread) -> Part:
    if isinstance(opening, Unread):
        known = {"where": "", "state": "Not read yet.", "sides": [OUTSIDE, ASKED]}
    else:
        rebated = opening.readings.inside is not None or opening.lapped is not None
        known = {
            "where": f"{opening.elevation}, {floor(opening.storey)}",
            "state": "Read before: measure again without looking at the first readings.",
            "sides": [OUTSIDE, ASKED, *([INSIDE] if rebated else [])],
        }
    return {"mark": opening.id, "name": opening.name, "room": opening.room, **known}


def _unnamed(name: str, *sides: str) -> Part:
    return {"mark": "", "name": name, "room": "", "where": "", "state": "", "sides": sides}


def _spare() -> Part:
    """Which reveals are rebated is not known yet."""
    return _unnamed("One more for each rebated reveal: copy it", INSIDE)


def _kind(field: Asked) -> Part:
    """One kind of reading with the places where it is taken, those of every opening first."""
    often = {at for kind, at in QUARTERS if kind == field.name}
    own = {place.name: place for place in fields_of(field.inside)}
    return {
        "label": field.label,
        "help": field.help,
        "picture": _picture(field.picture),
        "places": [
            {"label": own[at].label, "help": own[at].help, "often": at not in often}
            for kind, places in EVERY_PLACE.items()
            if kind == field.name
            for at in places
        ],
    }


def _asked() -> list[Asked]:
    """What is asked first on site, and after the lintel what is suspected by eye."""
    listed: list[Asked] = []
    for path in on_site():
        field = field_at(("openings", "", *path))
        assert field is not None
        listed.append(field)
        if path[0] == "lintel":
            listed += [seen for seen in fields_of("Seen") if seen.kind == "yes"]
    return listed


def _question(field: Asked) -> Part:
    words = ["Yes", "No"] if field.kind == "yes" else [text for _, text in choices_in(field, {})]
    across = sum(advance_mm(word, WORD_MM) + ROUND_WORD_MM for word in words)
    return {
        "ask": field.ask,
        "help": field.help,
        "unit": field.unit,
        "words": words,
        "picture": _picture(field.picture),
        "sketch": field.kind == "layout",
        "wide": across > HALF_MM,
    }


def _side_by_side(questions: list[Part]) -> list[Part]:
    """Two narrow ones make a row: a wide one that would part them comes after the second."""
    rows: list[Part] = []
    waiting: list[Part] = []
    half = False
    for each in questions:
        if each["wide"] and half:
            waiting.append(each)
            continue
        rows.append(each)
        half = half != (not each["wide"])
        if not half:
            rows += waiting
            waiting = []
    return [*rows, *waiting]


def _picture(name: str) -> Part | None:
    return {"svg": help_picture(name), "alt": pictures()[name]} if name else None
