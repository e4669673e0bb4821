"""Fixings added where the wind asks for more than the rules of position; the kind that needs fewest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Protocol

from jambwright.basis import BadInput, Problem
from jambwright.checks.declared import doubt
from jambwright.checks.fixings import (
    DeclaredResistance,
    Edges,
    Face,
    FixingInWall,
    Side,
    allowed_reaction_n,
    declared_verdict,
    factor,
    fixing_verdict,
    fixings_for,
    frame_reactions,
    no_figure_verdict,
    screw_length_mm,
)
from jambwright.checks.rests import by_maker
from jambwright.checks.verdict import Verdict
from jambwright.plan.fixing_layout import FixingLayout
from jambwright.readings.declared import Declared


class Lay(Protocol):
    """Lays out one frame with at least so many fixings on the sides named: a partial ``fixing_layout``."""

    def __call__(self, *, at_least: Mapping[Side, int]) -> FixingLayout:
        """The layout."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldFrame:
    """A layout with the wind on each of its fixings, and what could not be met."""

    layout: FixingLayout
    reactions_n: Mapping[Side, tuple[float, ...]]
    problems: tuple[Problem, ...] = ()

    @property
    def largest_n(self) -> float:
        """The most any fixing carries, in or out."""
        return max(abs(r) for side in self.reactions_n.values() for r in side)


@dataclass(frozen=True, slots=True, kw_only=True)
class FixingPlan:
    """The fixings of one opening: where, which kind, how long on each side, and whether they hold."""

    held: HeldFrame
    fixing: FixingInWall | None
    """``None`` where no kind has a figure in the wall."""
    lengths_mm: Mapping[Side, float]
    verdict: Verdict
    problems: tuple[Problem, ...]


def held_frame(layout: FixingLayout, edges: Edges) -> HeldFrame:
    """The wind on each fixing of a layout."""
    at = {side.side: side.positions_mm for side in layout}
    reactions = frame_reactions(edges=edges, positions_mm=at)
    return HeldFrame(
        layout=layout, reactions_n={side: tuple(r.tolist()) for side, r in reactions.items()},
        problems=layout.problems,
    )  # fmt: skip


def strengthened(
    held: HeldFrame, lay: Lay, *, edges: Edges, resistance_n: float, closest_mm: float
) -> HeldFrame:
    """Add fixings, one at a time where it helps most, until none carries more than ``resistance_n``.

    ``held`` is the frame as the rules of position alone have it. Where no more fit at ``closest_mm`` the best
    frame found is returned with a problem that says so.
    """
    at_least: dict[Side, int] = {}
    best = held
    while held.largest_n > resistance_n * (1 + 1e-9):
        tried: list[tuple[HeldFrame, dict[Side, int]]] = []
        for side in _sides_to_help(held):
            wanted = at_least | {side: len(held.reactions_n[side]) + 1}
            layout = lay(at_least=wanted)
            if not _crowded(layout, side, wanted[side], closest_mm):
                tried.append((held_frame(layout, edges), wanted))
        if not tried:
            return _short_of(best, resistance_n)
        held, at_least = min(tried, key=lambda pair: pair[0].largest_n)
        best = min(best, held, key=lambda h: h.largest_n)
    return held


def plan_fixings(
    lay: Lay,
    *,
    edges: Edges,
    substrate: str,
    gaps_mm: Mapping[Side, float],
    frame_mm: float,
    edge_mm: float | None = None,
    edge_face: Face = "outer",
    closest_mm: float = 100.0,
    declared: Declared | None = None,
    kind: str | None = None,
    lugs: bool = False,
) -> FixingPlan:
    """Kind, number, places and lengths of the fixings of one frame in one wall.

    ``gaps_mm`` is the widest gap on each side, ``frame_mm`` from the screw's seat to the back of the frame,
    ``edge_mm`` from the screw to ``edge_face``, the nearest face of what it bites into. The kind that holds
    with the fewest fixings is taken; where none holds, the one that falls short least; a declared resistance then
    rules. ``kind`` is the only one there is to take. ``lugs``, which ``lay`` places, have no figure but a declared one.
    Raises ``BadInput`` for an unknown substrate.
    """
    widest = max(gaps_mm.values())
    kinds = [each for each in fixings_for(substrate) if kind in (None, each.fixing) and not lugs]
    held = held_frame(lay(at_least={}), edges)
    vouched = _vouched(declared)
    if not kinds:
        if vouched:
            held = strengthened(
                held, lay, edges=edges, closest_mm=closest_mm, resistance_n=vouched.allowed_n()
            )
            verdict = declared_verdict(declared=vouched, largest_n=held.largest_n)
        else:
            what = "lugs" if lugs else kind
            verdict = no_figure_verdict(substrate=substrate, largest_n=held.largest_n, kind=what)
        return FixingPlan(held=held, fixing=None, lengths_mm={}, verdict=verdict, problems=held.problems)

    def with_kind(each: FixingInWall, resistance_n: float) -> HeldFrame:
        closest = max(closest_mm, each.spacing_mm)
        return strengthened(by_place, lay, edges=edges, closest_mm=closest, resistance_n=resistance_n)

    by_place = held
    tried = [(each, with_kind(each, float(allowed_reaction_n(held=each, gap_mm=widest)))) for each in kinds]
    taken, held = min(tried, key=lambda pair: _merit(pair[0], pair[1], widest))
    if vouched:
        held = with_kind(taken, vouched.allowed_n())
    lengths, problems = _lengths(held.layout, taken, gaps_mm, frame_mm)
    verdict = fixing_verdict(
        held=taken,
        largest_n=held.largest_n,
        gap_mm=widest,
        edge_mm=edge_mm,
        edge_face=edge_face,
        declared=vouched,
    )
    return FixingPlan(
        held=held,
        fixing=taken,
        lengths_mm=lengths,
        verdict=verdict,
        problems=(*held.problems, *problems, *_doubts(declared, taken, widest)),
    )


def _doubts(declared: Declared | None, kind: FixingInWall, gap_mm: float) -> Iterator[Problem]:
    if declared and declared.fixing_resistance_n:
        modelled = float(allowed_reaction_n(held=kind, gap_mm=gap_mm)) * factor("wind")
        yield from doubt(
            "fixing_resistance_n", declared=declared.fixing_resistance_n, modelled=modelled, by=declared.by
        )


def _vouched(declared: Declared | None) -> DeclaredResistance | None:
    if declared is None or declared.fixing_resistance_n is None:
        return None
    return DeclaredResistance(design_n=declared.fixing_resistance_n, by=declared.by, rest=by_maker(declared))


def _merit(kind: FixingInWall, held: HeldFrame, gap_mm: float) -> tuple[float, int]:
    """How far past its resistance, then how many; the table's order settles the rest."""
    used = held.largest_n / float(allowed_reaction_n(held=kind, gap_mm=gap_mm))
    return max(used, 1.0), held.layout.count


def _lengths(
    layout: FixingLayout, kind: FixingInWall, gaps_mm: Mapping[Side, float], frame_mm: float
) -> tuple[dict[Side, float], tuple[Problem, ...]]:
    lengths: dict[Side, float] = {}
    problems: list[Problem] = []
    for side in layout:
        if side.held_by != "screw":
            continue
        try:
            lengths[side.side] = screw_length_mm(
                fixing=kind.fixing,
                frame_mm=frame_mm,
                gap_mm=gaps_mm[side.side],
                embedment_mm=kind.embedment_mm,
            )
        except BadInput as none_reaches:
            problems += [replace(p, field=f"{side.side}_mm", kind="caution") for p in none_reaches.problems]
    return lengths, tuple(problems)


def _sides_to_help(held: HeldFrame) -> tuple[Side, ...]:
    """The side with the busiest fixing; also head and sill where they load the jambs for want of fixings."""
    busiest = max(
        held.reactions_n, key=lambda side: max((abs(r) for r in held.reactions_n[side]), default=0.0)
    )
    if busiest in ("head", "sill"):
        return (busiest,)
    ends: tuple[Side, ...] = ("head", "sill")
    return (busiest, *(side for side in ends if len(held.reactions_n[side]) < 2))


def _crowded(layout: FixingLayout, side: Side, wanted: int, closest_mm: float) -> bool:
    at = getattr(layout, side).positions_mm
    nearest = min((b - a for a, b in pairwise(at)), default=float("inf"))
    return len(at) < wanted or nearest < closest_mm


def _short_of(best: HeldFrame, resistance_n: float) -> HeldFrame:
    say = (
        f"One fixing carries {best.largest_n:.0f} N where {resistance_n:.0f} N is what it can hold, and no "
        "more fit. Use a stronger fixing, fix to the other leaf, or ask a structural engineer."
    )
    return replace(best, problems=(*best.problems, Problem("fixing_resistance_n", say, "caution")))
