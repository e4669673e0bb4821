"""What a maker must know of a unit beside sizes, lights and glass: finishes, locks, bars, how it comes.

None of it is made up: what is left out is taken from the firm's usual, else the order says that it is not said.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.basis.envelope import Name, Said, within

Spacer = Literal["normal", "improved"]
Bars = Literal["none", "on_glass", "cross_in_cavity", "grid_in_cavity", "dividing"]
Panes = Annotated[int, Field(ge=1, le=12)]
Needs = Literal["unit", "glass", "obscure", "bars", "openers", "door", "sill"]


class Specified(Strict):
    """The specification of one unit, or what is usual for every unit of a house."""

    colour_outside: Name | None = None
    """Foil or paint by its maker's name and number."""
    colour_inside: Name | None = None
    drainage: Literal["face", "hidden"] | None = None
    """Where the water leaves the frame: holes in its face, or under it."""
    glazed: Literal["works", "site"] | None = None
    beads: Literal["inside", "outside"] | None = None
    """The side the glass is put in from."""
    fixings_supplied: bool | None = None
    trims: Said | None = None
    """Trims, cloaks and boards that come with it."""
    security_tested: bool | None = None
    """Asked for as tested to PAS 24."""
    spacer: Spacer | None = None
    """Between the panes: aluminium, or one that conducts less."""
    bars: Bars | None = None
    bars_across: Panes | None = None
    """Panes side by side that the bars make of one light."""
    bars_down: Panes | None = None
    """Panes one under another."""
    pattern: Name | None = None
    """Of obscure glass, by its maker's name."""
    pattern_grade: Annotated[int, Field(ge=1, le=5)] | None = None
    """1 hides least, 5 most, by the glass maker's own scale."""
    handle_finish: Name | None = None
    handle_key: bool | None = None
    """Handles lock with a key."""
    lock: Name | None = None
    cylinder: Name | None = None
    """Class and length of the lock cylinder."""
    keyed_alike: Name | None = None
    """Doors of one name get one key."""
    letter_plate_mm: Annotated[float, within("letter_plate_mm")] | None = None
    """Middle of the letter plate above the bottom edge of the frame."""
    spy_hole: bool | None = None
    door_chain: bool | None = None
    floor_build_up_mm: Annotated[float, within("floor_build_up_mm")] | None = None
    """From the structural floor to the finished one, which the threshold stands in."""
    sill_loose: bool | None = None
    """The sill comes loose, not on the frame."""
    sill_end_caps: bool | None = None


FIELDS: dict[str, Needs] = {
    "colour_outside": "unit",
    "colour_inside": "unit",
    "drainage": "unit",
    "glazed": "unit",
    "beads": "unit",
    "fixings_supplied": "unit",
    "trims": "unit",
    "security_tested": "unit",
    "spacer": "glass",
    "bars": "glass",
    "bars_across": "bars",
    "bars_down": "bars",
    "pattern": "obscure",
    "pattern_grade": "obscure",
    "handle_finish": "openers",
    "handle_key": "openers",
    "lock": "door",
    "cylinder": "door",
    "keyed_alike": "door",
    "letter_plate_mm": "door",
    "spy_hole": "door",
    "door_chain": "door",
    "floor_build_up_mm": "door",
    "sill_loose": "sill",
    "sill_end_caps": "sill",
}
"""What a unit must have for a field to say anything of it."""


SPECIFIED = ("wanted", "specified")
"""Where it stands in an opening."""


def asked_of(opening: Mapping[str, Any], name: str) -> bool:
    """Whether a field is worth asking of an opening as the readings file has it: the lock of a door, not of a window.

    What is written there already is shown in any case.

    >>> asked_of({"wanted": {"kind": "door"}}, "lock"), asked_of({}, "lock"), asked_of({}, "spacer")
    (True, False, True)
    """
    wanted = opening.get("wanted") or {}
    written = name in (wanted.get("specified") or {})
    return written or FIELDS[name] != "door" or wanted.get("kind") == "door"


NONE_IF_NOT_SAID = ("bars", "letter_plate_mm", "keyed_alike", "trims")
"""Left out, there is none of it."""


def specified(own: Specified | None, usual: Specified | None) -> Specified:
    """A unit's specification: its own, and the usual where it says nothing.

    >>> specified(Specified(lock="hooks"), Specified(lock="latch", spacer="normal")).model_dump(exclude_none=True)
    {'spacer': 'normal', 'lock': 'hooks'}
    """
    said = [each.model_dump(exclude_none=True) for each in (usual, own) if each]
    return Specified.model_validate({name: value for each in said for name, value in each.items()})


def fields_for(has: frozenset[Needs]) -> Iterator[str]:
    """Fields that say something of a unit which has these."""
    return (name for name, needs in FIELDS.items() if needs in has)
