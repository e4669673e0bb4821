"""What two people carry at one opening: the unit whole, or frame and panes apart when it is too heavy."""

from __future__ import annotations

from dataclasses import dataclass

from jambwright.checks.lifting import Lift, lift
from jambwright.frame.frame import Frame

TEAM = 2
"""A window crew. Practice reference E, from memory, medium."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Carry:
    """One thing carried, and what the handling filter says of it."""

    name: str
    lift: Lift


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifts:
    """What is carried, heaviest first, and whether the frame must go in without its glass."""

    carried: tuple[Carry, ...]
    unglazed: bool

    @property
    def heaviest(self) -> Carry:
        """The heaviest thing carried."""
        return self.carried[0]


def plan_lifts(frame: Frame) -> Lifts:
    """Whole when two people stay within the filter, else the frame with its sashes, and every pane alone."""
    whole = lift(mass_kg=frame.whole_kg, people=TEAM)
    if whole.word == "meets":
        return Lifts(carried=(Carry(name="whole unit, glazed", lift=whole),), unglazed=False)
    bare = sum(piece.mass_kg for piece in frame.pieces if piece.kind in ("frame", "sash"))
    carried = [Carry(name="frame with sashes, unglazed", lift=lift(mass_kg=bare, people=TEAM))]
    carried += [
        Carry(name=piece.name, lift=lift(mass_kg=piece.mass_kg, people=TEAM))
        for piece in frame.pieces
        if piece.kind in ("glass", "panel")
    ]
    carried.sort(key=lambda each: -each.lift.mass_kg)
    return Lifts(carried=tuple(carried), unglazed=True)
