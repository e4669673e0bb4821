"""Fixings added where the wind asks for more than the rules of position."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass

from jambwright.basis import Problem
from jambwright.checks.fixings import Edges, Side, frame_reactions
from jambwright.plan.fixing_layout import FixingLayout, Rules


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldFrame:
    """A layout with the wind on each of its fixings, and what could not be met."""

    layout: FixingLayout
    reactions_n: dict[Side, tuple[float, ...]]
    problems: tuple[Problem, ...] = ()

    @property
    def largest_n(self) -> float:
        """The most any fixing carries, in or out."""
        return max(abs(r) for side in self.reactions_n.values() for r in side)


def held_frame(layout: FixingLayout, edges: Edges) -> HeldFrame:
    """The wind on each fixing of a layout."""
    at = {side.side: side.positions_mm for side in layout}
    reactions = frame_reactions(edges=edges, positions_mm=at)
    return HeldFrame(
        layout=layout, reactions_n={side: tuple(r.tolist()) for side, r in reactions.items()},
        problems=layout.problems,
    )  # fmt: skip


def strengthened(
    lay: Callable[[dict[Side, int]], FixingLayout], *, edges: Edges, resistance_n: float, rules: Rules
) -> HeldFrame:
    """Add fixings, one at a time on the side that carries most, until all are within ``resistance_n``.

    ``lay`` lays out the frame with at least so many fixings on the sides named. Where no more fit
    (nearer than ``rules.closest_mm``) the best frame found is returned with a problem that says so.
    """
    at_least: dict[Side, int] = {}
    best = held = held_frame(lay(at_least), edges)
    while held.largest_n > resistance_n * (1 + 1e-9):
        side = _busiest(held)
        at_least[side] = len(getattr(held.layout, side).positions_mm) + 1
        held = held_frame(lay(dict(at_least)), edges)
        if _crowded(held.layout, side, at_least[side], rules):
            return _short_of(best, resistance_n)
        best = min(best, held, key=lambda h: h.largest_n)
    return held


def _busiest(held: HeldFrame) -> Side:
    loads = {side.side: held.reactions_n[side.side] for side in held.layout}
    return max(loads, key=lambda side: max((abs(r) for r in loads[side]), default=0.0))


def _crowded(layout: FixingLayout, side: Side, wanted: int, rules: Rules) -> bool:
    at = getattr(layout, side).positions_mm
    nearest = min((b - a for a, b in itertools.pairwise(at)), default=float("inf"))
    return len(at) < wanted or nearest < rules.closest_mm


def _short_of(best: HeldFrame, resistance_n: float) -> HeldFrame:
    say = (
        f"One fixing carries {best.largest_n:.0f} N where {resistance_n:.0f} N is what it can hold, and no "
        "more fit. Use a stronger fixing, fix to the other leaf, or ask a structural engineer."
    )
    return HeldFrame(
        layout=best.layout, reactions_n=best.reactions_n,
        problems=(*best.problems, Problem("fixing_resistance_n", say, "caution")),
    )  # fmt: skip
