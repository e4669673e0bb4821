"""How a light opens: one table for hinges, drawing, blocks, clear opening, words and the rules."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table

Opens = Literal[
    "fixed",
    "side_hung_left",
    "side_hung_right",
    "top_hung",
    "bottom_hung",
    "tilt_turn_left",
    "tilt_turn_right",
    "pair_left",
    "pair_right",
]
"""How a light opens; left and right say where the hinges are, of a pair those of its master leaf, seen from
outside."""

Hinge = Literal[
    "fixed", "side_hung", "side_hung_left", "side_hung_right", "door", "top_hung", "bottom_hung", "tilt_turn",
    "tilt_turn_left", "tilt_turn_right", "vertical_slider", "horizontal_slider", "reversible", "pivot",
]  # fmt: skip
"""How a light opens in the words of the rules, where the side may not be known."""

At = Literal["left", "right", "top", "bottom"]
Clear = Literal["fixed", "side", "turn", "top", "slide_up", "slide_across", "sheet"]
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
    """What the leaves of a pair are, the master first; none where it is one light."""

    @property
    def follows(self) -> bool:
        """Whether it is a slave leaf, which opens only after its master."""
        return self.kind.startswith("slave")

    @property
    def opens(self) -> bool:
        """Whether anything moves."""
        return self.clear != "fixed"

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
