"""The sentences of the look at readings, one place for all who say them: here, and on a phone without signal."""

from __future__ import annotations

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "alike": "all off alike: read from the tape's case or hook, or over a batten",
    "turned": "called the wrong way",
    "two_wrong": "two readings wrong",
    "suspect": "{reading} {read} mm is likely {likely} mm ({cause}; {chance}). Measure it again.",
    "raked": "head looks raked, its {end} end {size} mm high",
    "arched": "head looks arched, rise {size} mm",
    "bulged": "{edge} looks bulged or stepped {way} by {size} mm at its middle",
    "jamb": "{edge} jamb",
    "stepped": "jamb looks stepped {way} by {size} mm at its {edge}",
    "shape": "The {cause}. Measure the {reading} to see.",
    "known_shape": "The {cause}: {refer}",
    "step": "The {reading} is {off} mm {narrower} than smooth jambs would leave: one looks stepped. Lay a "
    "straight-edge along both to see which, and whether it can be cut back or packed.",
    "several": "{changed} ({chance}). Measure one of them again.",
    "change": "{reading} {likely} mm, not {read}",
    "set_turned": "the {many} {which} look called the wrong way",
    "set_alike": "the {many} {which} look {off} mm {way} alike: was the tape read from its case or hook?",
    "lengths": "lengths",
    "at_odds": "The {some} and {last} do not agree.",
    "cannot_tell": "The readings can't tell which: {causes}. The {reading} would.",
    "still": "Even so the other readings do not agree: measure the whole opening again.",
    "not_square": "How far the opening is out of square is not measured: read both diagonals, or level sill and head "
    "and plumb both jambs.",
    "not_level": "No level or plumb was read: how the opening stands is assumed, with a wide margin.",
    "resting": "Nothing checks the {readings}, and the outline rests on it.",
    "measure": "Measure the {reading}.",
}

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def said(key: str, **values: str) -> str:
    """One sentence, or part of one, with its values."""
    return SAID[key].format(**values)


def whole(value: float) -> str:
    """To the whole number, halves to the even one.

    >>> whole(-0.3), whole(1204.5)
    ('0', '1204')
    """
    return str(round(value))


def as_read(value_mm: float) -> str:
    """A reading as it was written.

    >>> as_read(1210.0), as_read(-0.0), as_read(1051.5)
    ('1210', '0', '1051.5')
    """
    return f"{value_mm + 0.0:g}"


def share(chance: float) -> str:
    """A chance in hundredths.

    >>> share(0.931)
    '93%'
    """
    return f"{chance:.0%}"
