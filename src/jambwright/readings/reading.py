"""One reading: where the tape, level or square was held, what it said, with which tool, who, when, how.

Signs and axes (viewed from outside, x right, y up): ``level`` is the right end minus the left end,
``plumb`` the top minus the bottom in x, ``bow`` how far the mid-point stands off the straight line
between the corners, + into the opening.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from statistics import fmean
from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator

from jambwright.basis.border import Strict
from jambwright.basis.envelope import Name, counted

Kind = Literal["width", "height", "diagonal", "level", "plumb", "bow"]
How = Literal["measured", "told", "scaled"]

PLACES: dict[Kind, tuple[str, ...]] = {
    "width": ("bottom", "middle", "top"),
    "height": ("left", "centre", "right"),
    "diagonal": ("rising", "falling"),
    "level": ("sill", "head"),
    "plumb": ("left", "right"),
    "bow": ("left", "right", "sill", "head"),
}
"""Where each kind of reading is taken in every opening."""

QUARTERS: tuple[tuple[Kind, str], ...] = (("width", "lower_quarter"), ("width", "upper_quarter"))
"""Widths a quarter of the height from sill and head: taken too where a jamb may be stepped."""

EVERY_PLACE: dict[Kind, tuple[str, ...]] = {
    kind: (*places, *(at for own, at in QUARTERS if own == kind)) for kind, places in PLACES.items()
}
"""Where each kind can be taken at all."""

LENGTHS: tuple[Kind, ...] = ("width", "height", "diagonal")
"""Kinds read with a tape or laser along the opening; the others are offsets from a level or straight-edge."""

assert tuple(PLACES) == get_args(Kind)


Repeats = float | Annotated[list[float], counted("repeats", 1)]
"""One figure, or what was read at one place again and again."""


class Taken(Strict):
    """What was read at one place: one figure or repeats, with how it was got."""

    mm: Repeats
    """Millimetres; a list where the place was read more than once."""
    tool: Name | None = None
    """Name of the tool, as listed under `tools`; the house's default tape when left out."""
    who: Name | None = None
    when: datetime | None = None
    how: How = "measured"
    """`told` and `scaled` (off a photo) are kept, but do not set an order size."""


def _taken(value: Any) -> Any:
    if isinstance(value, bool):
        # yes and on are true in YAML, and true would pass for 1 mm
        raise ValueError(f"{value} is no reading; write the figure in millimetres.")
    return {"mm": value} if isinstance(value, int | float | list | str) else value


Read = Annotated[Taken, BeforeValidator(_taken, json_schema_input_type=Repeats | Taken)]


class Widths(Strict):
    """Jamb to jamb, level with the sill, half way and the head; at the quarters where a jamb may be stepped."""

    bottom: Read | None = None
    middle: Read | None = None
    top: Read | None = None
    lower_quarter: Read | None = None
    upper_quarter: Read | None = None


class Heights(Strict):
    """Sill to head, at the left jamb, half way and the right jamb."""

    left: Read | None = None
    centre: Read | None = None
    right: Read | None = None


class Diagonals(Strict):
    """Corner to corner: rising from bottom left to top right, falling from top left to bottom right."""

    rising: Read | None = None
    falling: Read | None = None


class Levels(Strict):
    """Right end minus left end: + is right end high."""

    sill: Read | None = None
    head: Read | None = None


class Plumbs(Strict):
    """Top minus bottom in x: + is top leaning right."""

    left: Read | None = None
    right: Read | None = None


class Bows(Strict):
    """Mid-point off the straight line between the corners: + is into the opening."""

    left: Read | None = None
    right: Read | None = None
    sill: Read | None = None
    head: Read | None = None


class ReadingSet(Strict):
    """All readings of one face of an opening."""

    width: Widths = Widths()
    height: Heights = Heights()
    diagonal: Diagonals = Diagonals()
    level: Levels = Levels()
    plumb: Plumbs = Plumbs()
    bow: Bows = Bows()

    def readings(self) -> Iterator[Reading]:
        """Every reading that was taken, in the order of ``EVERY_PLACE``."""
        for kind, places in EVERY_PLACE.items():
            group = getattr(self, kind)
            for at in places:
                taken: Taken | None = getattr(group, at)
                if taken is not None:
                    values = taken.mm if isinstance(taken.mm, list) else [taken.mm]
                    yield Reading(
                        kind=kind,
                        at=at,
                        values_mm=tuple(values),
                        tool=taken.tool,
                        who=taken.who,
                        how=taken.how,
                    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One place of one opening with everything that was read there."""

    kind: Kind
    at: str
    values_mm: tuple[float, ...]
    tool: str | None = None
    who: str | None = None
    how: How = "measured"
    corrected_mm: float = 0.0
    """What was put on the figures for the tool's error; what was read is that much less."""

    @property
    def mm(self) -> float:
        """The mean of the repeats."""
        return fmean(self.values_mm)

    @property
    def name(self) -> str:
        """As a fitter says it: ``middle width``, ``plumb of the left jamb``."""
        return reading_name(self.kind, self.at)


def reading_name(kind: str, at: str) -> str:
    """The trade's words for one place.

    >>> reading_name("width", "middle"), reading_name("plumb", "left")
    ('middle width', 'plumb of the left jamb')
    """
    if kind in LENGTHS:
        return f"{at.replace('_', ' ')} {kind}"
    edge = f"{at} jamb" if at in ("left", "right") else at
    return f"{kind} of the {edge}"


class ReadingLine(Strict):
    """One reading as the calculations by name take it."""

    kind: Kind
    at: Name
    mm: Repeats
