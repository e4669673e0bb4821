"""What two people carry at one opening: the unit whole, or frame and panes apart when it is too heavy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from jambwright.checks.access import Load
from jambwright.checks.lifting import Lift, lift
from jambwright.frame.frame import Frame, Piece, spoken_piece

TEAM = 2
"""A window crew. Practice reference E, from memory, medium."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Carry:
    """One thing carried, and what the handling filter says of it."""

    called: str
    lift: Lift
    light: str | None = None
    """Mark of the light it belongs to; ``None`` for more than one light, or none."""
    state: str = ""
    """Glazed or unglazed, where that must be said."""

    @property
    def name(self) -> str:
        """All of it in words."""
        return spoken_piece(self.called, self.light, self.state)

    @property
    def people(self) -> int | None:
        """Two at least: the filter assumes a good grip, which no frame or pane gives. ``None``: a lifting aid."""
        return None if self.lift.people_needed is None else max(TEAM, self.lift.people_needed)


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
    """The most that goes in at once with two people inside the filter; else everything taken apart.

    Sashes and panes that slide, and leaves that fold, are lifted out of the frame with their glass.
    """
    slabs = _slabs(frame)
    apart = [p for p in frame.pieces if p.light not in {slab.light for slab in slabs} or not p.light]
    glass = [p for p in apart if p.kind in ("glass", "panel")]
    sashes = [p for p in apart if p.kind == "sash"]
    outer = [p for p in apart if p.kind == "frame"]
    whole = [p for p in frame.pieces if p.kind != "sill"]
    glazed = [(_together("whole unit", "glazed", whole),), _slid_out(frame)]
    named = "frame with sashes" if sashes or not slabs else "frame"
    ways = [
        *filter(None, glazed),
        (_together(named, "unglazed", [*outer, *sashes]), *slabs, *map(_alone, glass)),
        (*map(_alone, [*outer, *sashes, *glass]), *slabs),
    ]
    # a slab is as heavy either way
    way = next(
        (way for way in ways if all(each.lift.word == "meets" or each in slabs for each in way)), ways[-1]
    )
    return Lifts(carried=tuple(sorted(way, key=lambda each: -each.lift.mass_kg)), unglazed=way not in glazed)


def _slabs(frame: Frame) -> list[Carry]:
    """Leaves made in one piece, each with the light that is cut into it."""
    found = []
    for light in frame.layout.lights:
        if light.made == "slab":
            pieces = [p for p in frame.pieces if p.light == light.mark]
            found.append(replace(_together(pieces[0].called, "in one piece", pieces), light=light.mark))
    return found


def _slid_out(frame: Frame) -> tuple[Carry, ...]:
    """The frame without what slides, folds or is a slab, and each of these with its glass; empty where nothing is."""
    out = {light.mark for light in frame.layout.lights if light.hung_last}
    slabs = _slabs(frame)
    if not out and not slabs:
        return ()
    out |= {slab.light for slab in slabs if slab.light}
    rest = [p for p in frame.pieces if p.kind != "sill" and p.light not in out]
    sliding = [
        replace(
            _together(sash.called, "glazed", [p for p in frame.pieces if p.light == sash.light]),
            light=sash.light,
        )
        for sash in frame.pieces
        if sash.kind == "sash" and sash.light in out and sash.light not in {slab.light for slab in slabs}
    ]
    made = {light.made for light in frame.layout.lights}
    state = "slab off" if slabs else "folding leaves out" if "bi_fold" in made else "sliding sashes out"
    return (_together("frame", state, rest), *sliding, *slabs)


def _alone(piece: Piece) -> Carry:
    weighed = lift(mass_kg=piece.mass_kg, people=TEAM)
    return Carry(called=piece.called, light=piece.light, state=piece.state, lift=weighed)


def _together(called: str, state: str, pieces: Sequence[Piece]) -> Carry:
    weighed = lift(mass_kg=sum(piece.mass_kg for piece in pieces), people=TEAM)
    return Carry(called=called, state=state, lift=weighed)


def loads_of(frame: Frame, lifts: Lifts) -> tuple[Load, ...]:
    """What is carried as access notes take it: a frame without glass is no sail."""
    glass = {light.mark: light.glass.area_m2 for light in frame.layout.lights}
    panes = {piece.light for piece in frame.pieces if piece.kind == "glass"}

    def load(each: Carry) -> Load:
        infill = each.light is not None and not each.state
        glazed = each.light is not None and each.state != "unglazed"
        whole = 0.0 if lifts.unglazed or each.light else frame.outer.area_m2
        return Load(
            name=each.name,
            lift=each.lift,
            bare_glass=infill and each.light in panes,
            sail_m2=glass[each.light] if glazed and each.light else whole,
        )

    return tuple(map(load, lifts.carried))
