"""The specification of a unit beside the unit: what can't be made as said, and what says nothing of it."""

from __future__ import annotations

from collections.abc import Iterator

from jambwright.basis.clause import Clause
from jambwright.basis.units import show_mm
from jambwright.checks.figures import HAIR
from jambwright.checks.verdict import Verdict
from jambwright.frame.frame import Frame
from jambwright.readings.specified import FIELDS, Specified

LETTER_PLATE = Clause("EN 13724", "height of the aperture above the floor", "from memory, medium")
LOWEST_PLATE_MM, HIGHEST_PLATE_MM = 700.0, 1700.0
PLATE_HALF_MM = 20.0
"""Half the height of a letter plate's aperture. EN 13724, from memory, medium."""
BARS = Clause("Common practice", "glazing bars between the panes", "from memory, medium")
CAVITY_FOR_BARS_MM = 16.0
"""For bars of 8 to 9 mm; 12 is the least."""
ORDER = Clause("House rule", "the specification of an order", "common practice, no published source")


def specification_verdicts(frame: Frame, own: Specified | None) -> tuple[Verdict, ...]:
    """What is asked for and can't be, or speaks of what the unit has not; ``own`` is said of this unit alone."""
    return (*_letter_plate(frame), *_bars(frame), *_of_nothing(frame, own))


def _letter_plate(frame: Frame) -> Iterator[Verdict]:
    height = frame.chosen.specified.letter_plate_mm
    if height is None or "door" not in frame.has:
        return
    rule = "specification.letter_plate"
    said = f"letter plate {show_mm(height)} mm above the bottom edge of the frame"
    leaves = [light for light in frame.layout.lights if light.sash]
    rails = [(light.daylight.y_mm, light.daylight.top_mm) for light in leaves]
    if not any(low + PLATE_HALF_MM <= height <= top - PLATE_HALF_MM for low, top in rails):
        why = f"The {said} is no place in a leaf above its lowest rail; give another height."
        yield Verdict(rule=rule, word="fails", why=why, source=ORDER)
    elif not LOWEST_PLATE_MM - HAIR <= height <= HIGHEST_PLATE_MM + HAIR:
        limit = LOWEST_PLATE_MM if height < LOWEST_PLATE_MM else HIGHEST_PLATE_MM
        why = (
            f"The {said}; {LOWEST_PLATE_MM:g} to {HIGHEST_PLATE_MM:g} mm above the floor it is delivered from is "
            "usual, and not within 400 mm of a lock that a hand could reach."
        )
        yield Verdict(
            rule=rule, word="advise", why=why, found=height, limit=limit, unit="mm", source=LETTER_PLATE
        )


def _bars(frame: Frame) -> Iterator[Verdict]:
    if frame.chosen.specified.bars not in ("cross_in_cavity", "grid_in_cavity"):
        return
    widest = {
        mark: max((cavity.gap_mm for cavity in unit.cavities), default=0.0)
        for mark, unit in frame.glazing.items()
        if unit
    }
    narrow = [mark for mark, mm in widest.items() if mm < CAVITY_FOR_BARS_MM - HAIR]
    if narrow:
        least = min(widest[mark] for mark in narrow)
        why = (
            f"Bars between the panes of light {', '.join(narrow)}: the space is {show_mm(least)} mm wide, "
            f"{CAVITY_FOR_BARS_MM:g} mm is wanted so that they do not touch the glass. Ask the maker of the glass, or "
            "order bars on the glass."
        )
        yield Verdict(rule="specification.bars", word="advise", why=why, found=least, limit=CAVITY_FOR_BARS_MM,
                      unit="mm", source=BARS)  # fmt: skip


def _of_nothing(frame: Frame, own: Specified | None) -> Iterator[Verdict]:
    """Said of this unit alone, and it has no such thing: the order would drop it in silence."""
    said = own.model_dump(exclude_none=True) if own else {}
    for needs, words in _LACKS.items():
        names = [name for name in said if FIELDS[name] == needs and needs not in frame.has]
        if names and not (needs == "bars" and "glass" not in frame.has):
            listed = ", ".join(name.replace("_", " ") for name in names)
            why = f"Said of {listed}, but {words}: the order does not carry it."
            yield Verdict(rule="specification.of_nothing", word="advise", why=why, source=ORDER)


_LACKS = {
    "glass": "no light has glass",
    "obscure": "no light has obscure glass",
    "bars": "no glazing bars are asked for",
    "openers": "no light opens",
    "door": "this is no door",
    "sill": "no sill belongs to the frame",
}
