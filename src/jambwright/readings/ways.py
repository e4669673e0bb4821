"""How a light opens: one table for hinges, drawing, blocks, clear opening, words and the rules."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field
from pydantic_core import PydanticCustomError

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table

Hinge = Literal[
    "fixed", "side_hung", "side_hung_left", "side_hung_right", "door", "top_hung", "bottom_hung", "tilt_turn",
    "tilt_turn_left", "tilt_turn_right", "vertical_slider", "horizontal_slider", "reversible", "pivot", "bi_fold",
]  # fmt: skip
"""How a light opens in the words of the rules, where the side may not be known."""

At = Literal["left", "right", "top", "bottom"]
Clear = Literal["fixed", "side", "turn", "top", "slide_up", "slide_across", "fold", "sheet"]
OPPOSITE: Mapping[At, At] = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way of opening, and all that follows from it."""

    kind: str
    ordered: bool
    """May be asked for in a readings file."""
    family: str
    """In plain words, without the side."""
    words: str
    short: str
    hinges: tuple[At, ...]
    """Sides it turns about, seen from outside, the one it hangs on first; none where no side is said."""
    clear: Clear
    """Formula of the clear opening."""
    needs_angle: bool
    """The stay's angle must be known for it."""
    swings_on: Literal["", "width", "height"]
    """The dimension of the sash that swings out."""
    escape: Literal["yes", "doubtful", "sheet", "none"]
    """Whether it counts as a way out: normally not accepted, or only by the maker's sheet."""
    rules: Hinge
    """The word for it in the rules."""
    leaf: str
    """What it is as a door leaf; empty where it stays what it is."""
    blocks: str
    """Its rows in the table of glazing blocks; empty where none are known."""
    usual: str
    """Its row in the table of usual obstructions; empty where there is none."""
    leaves: tuple[str, ...]
    """What its leaves are: of a pair the master first, of sashes from above, of panes from the left; none where it
    is one."""
    made: str
    """The kind of light it is, by which its sash and glass are placed."""
    slides: Literal["", "up", "down", "left", "right"]
    """Where it slides, seen from outside."""
    joins: str
    """What its leaves meet with, which carries the wind there."""
    sign: str
    """How it is drawn; empty for what stands, and for a light that is drawn leaf by leaf."""
    sheet: str
    """What it is in the words of a system sheet; empty where it hangs as several leaves, each with its own."""

    @property
    def opens(self) -> bool:
        """Whether anything moves."""
        return self.clear != "fixed"

    @property
    def is_leaf_of_doors(self) -> bool:
        """Whether it is a door leaf in a door frame, unless it is said to be a sash."""
        return self.clear in ("side", "slide_across", "fold")

    @property
    def walked_through(self) -> bool:
        """Whether it is a way in where it stands in a door frame, though it does not hang as a door does."""
        return self.clear in ("slide_across", "fold")

    @property
    def only_in_doors(self) -> bool:
        """Whether it hangs in a door frame only, over a threshold."""
        return self.made in ("slab", "stable_door")

    @property
    def turns_inside(self) -> bool:
        """Whether its outer face turns to the room, whichever way it swings."""
        return self.clear == "turn" or self.rules == "reversible"

    @property
    def hangs(self) -> At | None:
        """The side it hangs on."""
        return self.hinges[0] if self.hinges else None

    @property
    def keep(self) -> At | None:
        """The side it locks at: across from the hinges."""
        return OPPOSITE[self.hinges[0]] if self.hinges else None


def way_of(kind: str) -> Way:
    """The way of that name. Raises ``BadInput`` when there is none.

    >>> way_of("tilt_turn_left").hinges, way_of("tilt_turn_left").keep
    (('left', 'bottom'), 'right')
    """
    found = ways().get(kind)
    if found is None:
        raise BadInput.one("opens", f"opens: `{kind}` is no way of opening; known are {', '.join(ways())}.")
    return found


def hung(clear: Clear, at: At) -> str:
    """The way that may be ordered, opens so and hangs there.

    >>> hung("turn", "left"), hung("top", "bottom")
    ('tilt_turn_left', 'bottom_hung')
    """
    return next(w.kind for w in ways().values() if w.ordered and (w.clear, w.hangs) == (clear, at))


@functools.cache
def ways() -> Mapping[str, Way]:
    """Every way by its name, in the order of the table."""
    return {row["kind"]: _way(row) for row in table("ways_of_opening")}


def _way(row: Mapping[str, Any]) -> Way:
    said = {name: row[name] == "yes" for name in ("ordered", "needs_angle")}
    return Way(
        **{**row, **said, "hinges": tuple(row["hinges"].split()), "leaves": tuple(row["leaves"].split())}
    )


def ordered_kinds() -> tuple[str, ...]:
    """Names of the ways that may be asked for in a readings file, in the order of the table."""
    return tuple(way.kind for way in ways().values() if way.ordered)


def _may_be_ordered(kind: str) -> str:
    if kind not in ordered_kinds():
        expected = ", ".join(f"'{each}'" for each in ordered_kinds())
        raise PydanticCustomError("literal_error", "Input should be {expected}", {"expected": expected})
    return kind


def _schema_of_kinds(schema: dict[str, Any]) -> None:
    schema["enum"] = list(ordered_kinds())


Opens = Annotated[str, AfterValidator(_may_be_ordered), Field(json_schema_extra=_schema_of_kinds)]
"""How a light opens, a way of the table that may be ordered; left and right say where the hinges are, of a pair those
of its master leaf, seen from outside."""
