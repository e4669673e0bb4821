"""Runs longer than a bar: where they may be jointed, and which way of jointing wastes least.

A joint takes an expansion gap out of the run. Where joints may fall is given (under a mullion, at a
coupler); without places they may fall anywhere. A run is jointed as seldom as its bars allow.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from jambwright.basis import BadInput, table
from jambwright.basis.units import show_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One straight run that may be jointed."""

    length_mm: float
    label: str = ""
    joints_at_mm: tuple[float, ...] = ()
    """Middles of the places where a joint may fall, from the run's left end; anywhere when empty."""
    gap_mm: float | None = None
    """Expansion gap of a joint; the trade's figure when left out."""

    @property
    def joint_gap_mm(self) -> float:
        """The expansion gap of each joint."""
        if self.gap_mm is not None:
            return self.gap_mm
        return float(table("cutting_practice").find(name="joint_gap")["value"])


def ways(run: Run, longest_mm: float) -> list[tuple[float, ...]]:
    """Ways to make a run up of pieces no longer than ``longest_mm``, with as few joints as can be.

    Raises ``BadInput`` when no permitted place allows it.

    >>> ways(Run(length_mm=7000, label="bay sill", gap_mm=8), 5000)
    [(5000.0, 1992.0), (3496.0, 3496.0)]
    >>> ways(Run(length_mm=7000, joints_at_mm=(1000, 3000, 6500), gap_mm=10), 5000)
    [(2995.0, 3995.0)]
    """
    if run.length_mm <= longest_mm:
        return [(run.length_mm,)]
    if run.joints_at_mm:
        return _at_places(run, longest_mm)
    gap = run.joint_gap_mm
    pieces = math.ceil((run.length_mm + gap) / (longest_mm + gap) - 1e-9)
    net = run.length_mm - (pieces - 1) * gap
    full_first = (*[longest_mm] * (pieces - 1), net - (pieces - 1) * longest_mm)
    return [tuple(float(mm) for mm in full_first), (net / pieces,) * pieces]


def _at_places(run: Run, longest_mm: float) -> list[tuple[float, ...]]:
    half = run.joint_gap_mm / 2
    places = sorted(at for at in run.joints_at_mm if half < at < run.length_mm - half)
    for joints in range(1, len(places) + 1):
        found = [
            lengths
            for chosen in itertools.combinations(places, joints)
            if max(lengths := _between(run.length_mm, chosen, half)) <= longest_mm
        ]
        if found:
            return found
    raise BadInput.one(
        "joints_at_mm",
        f"{run.label or 'Run'} of {show_mm(run.length_mm)} mm: no permitted joint leaves pieces of at most "
        f"{show_mm(longest_mm)} mm. Permit a joint nearer the middle, or order a longer bar.",
    )


def _between(length_mm: float, joints: Sequence[float], half_mm: float) -> tuple[float, ...]:
    ends = [0.0, *itertools.chain.from_iterable((at - half_mm, at + half_mm) for at in joints), length_mm]
    return tuple(b - a for a, b in itertools.pairwise(ends))[::2]
