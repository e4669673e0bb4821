"""When the widths at the quarter points of the jambs are worth taking: plain arithmetic, before any geometry."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from jambwright.readings.reading import QUARTERS, reading_name

HINTS_MM = 4.0
"""A jamb's middle so far off its ends hints at a step: one of 8 mm stands 4 off the line from end to end."""

WHY = "The middle of a jamb stands {hints} mm or more off its ends, and a step would look so too: read the {readings}."

Place = tuple[str, str]


def quarters_asked(mm: Mapping[Place, float]) -> tuple[Place, ...]:
    """The quarter widths that are still to be read, from measured readings by place: none while no middle hints."""
    bows = [mm.get(("bow", side), 0.0) for side in ("left", "right")]
    bottom, middle, top = (mm.get(("width", at)) for at in ("bottom", "middle", "top"))
    if bottom is not None and middle is not None and top is not None:
        bows.append((bottom + top) / 2 - middle)
    if max(map(abs, bows)) < HINTS_MM:
        return ()
    return tuple(place for place in QUARTERS if place not in mm)


def why_asked(places: Sequence[Place]) -> str:
    """Why these quarter widths are worth taking, in plain words; nothing where none is.

    >>> why_asked([("width", "lower_quarter")])
    'The middle of a jamb stands 4 mm or more off its ends, and a step would look so too: read the lower quarter width.'
    """
    names = " and the ".join(reading_name(*place) for place in places)
    return WHY.format(hints=f"{HINTS_MM:g}", readings=names) if places else ""
