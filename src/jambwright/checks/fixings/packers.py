"""The weight of the frame through its packers to the sill, and what hangs on the screws without them.

The bottom of the frame is a continuous beam upside down: the weight of each part comes down at its jambs and
mullions, each packer carries its share.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jambwright.basis import BadInput, Clause, Problem, Working, clause
from jambwright.checks.figures import Figures
from jambwright.checks.fixings.beam import continuous_beam
from jambwright.checks.fixings.pane_loads import point_loads
from jambwright.checks.verdict import Rest, Verdict, Word, settled

PACKING = Clause("Profile makers' installation guides and common practice", "packers", "read")
CORNER_MM = 100.0
"""A packer stands within this of each corner and mullion. Practice: 50 to 100 mm, from memory, high."""


@clause("Standard gravity", unit="N", formula="G = m g", how="calculated")
def weight_n(*, mass_kg: Figures) -> Figures:
    """Weight of a mass."""
    return mass_kg * 9.81


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedWeight:
    """Weight on each packer, in the order of their positions, and the packers that are missing."""

    packers_n: tuple[float, ...]
    problems: tuple[Problem, ...]


def weight_on_packers(
    *, width_mm: float, at_mm: Sequence[float], masses_kg: Sequence[float], packers_mm: Sequence[float],
    work: Working | None = None,
) -> PackedWeight:  # fmt: skip
    """Share of each packer under the sill. ``at_mm`` is where each mass of ``masses_kg`` comes down.

    Raises ``BadInput`` for fewer than two packers. A corner or mullion with no packer within 100 mm is told.

    >>> weight_on_packers(
    ...     width_mm=1200, at_mm=[0, 1200], masses_kg=[10, 10], packers_mm=[60, 1140]
    ... ).packers_n
    (98.1, 98.1)
    """
    if len(packers_mm) < 2:
        raise BadInput.one(
            "packers_mm", "packers_mm: a frame needs a packer near each bottom corner; give at least two."
        )
    work = work or Working()
    weights = [
        work.step(f"G at {x:.0f} mm", weight_n, mass_kg=mass)
        for x, mass in zip(at_mm, masses_kg, strict=True)
    ]
    load = point_loads(at_mm, np.asarray(weights, float))
    shares = continuous_beam(supports_mm=sorted(packers_mm), load=load).reactions_n
    for x, share in zip(sorted(packers_mm), shares.tolist(), strict=True):
        work.note(f"R at {x:.0f} mm", "continuous beam on the packers", share, "N", PACKING)
    return PackedWeight(
        packers_n=tuple(shares.tolist()), problems=tuple(_missing(width_mm, at_mm, packers_mm))
    )


def _missing(width_mm: float, at_mm: Sequence[float], packers_mm: Sequence[float]) -> list[Problem]:
    wanted = sorted({0.0, width_mm, *at_mm})
    return [
        Problem(
            "packers_mm",
            f"No packer within {CORNER_MM:.0f} mm of {x:.0f} mm from the left, where weight comes down: "
            "add one, "
            "full depth of the frame, clear of drain slots.",
            "caution",
        )
        for x in wanted
        if min(abs(x - p) for p in packers_mm) > CORNER_MM
    ]


def weight_verdict(
    *,
    width_mm: float,
    at_mm: Sequence[float],
    masses_kg: Sequence[float],
    packers_mm: Sequence[float],
    jamb_fixings: int,
) -> Verdict:
    """Does the weight go through packers to the sill; without them it hangs on the screws of the jambs."""
    total = float(weight_n(mass_kg=sum(masses_kg)))
    if len(packers_mm) < 2:
        each = total / max(jamb_fixings, 1)
        return _verdict(
            "fails", f"Nothing carries the weight under the sill: {each:.0f} N would hang on each jamb "
                     "screw and bend "
            "it. Pack both bottom corners and under every mullion.", each,
        )  # fmt: skip
    working = Working()
    packed = weight_on_packers(
        width_mm=width_mm, at_mm=at_mm, masses_kg=masses_kg, packers_mm=packers_mm, work=working
    )
    most = max(packed.packers_n)
    if packed.problems:
        return _verdict("advise", " ".join(problem.say for problem in packed.problems), most, working)
    say = f"The weight of {total:.0f} N stands on packers, {most:.0f} N on the busiest."
    return _verdict("meets", say, most, working)


def _verdict(word: Word, why: str, found_n: float, working: Working | None = None) -> Verdict:
    # the places of the packers decide it; whatever the masses, they stand on them
    places = Rest(what="practice", how=PACKING.how)
    return settled(
        rule="fixings.weight", word=word, why=why, found=found_n, unit="N", source=PACKING,
        rests_on=(places,), working=working or Working(),
    )  # fmt: skip
