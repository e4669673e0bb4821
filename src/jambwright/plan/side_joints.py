"""The joint of one side as it is built up: its gap, what it is sealed on, how deep it is foamed, and its trims."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from jambwright.basis import BadInput, table
from jambwright.opening import Side
from jambwright.plan.joints import FoamJoint, SealantJoint, rod_mm, takes_trim


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """A trim over the joint of one side."""

    item: str
    size: str
    run_mm: float
    """Its length with both mitres."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SideJoint:
    """One side's joint between frame and wall."""

    side: Side
    gaps_mm: tuple[float, float, float]
    """True gaps at its ends and its middle, from the bottom or the left."""
    seal: SealantJoint
    rod_mm: float | None
    """Backing rod; None on tape, against a nib, and where no rod is large enough."""
    foam: FoamJoint | None
    """None for a door's threshold, which is bedded."""
    trims: tuple[Trim, ...]


def side_joints(
    gaps_mm: Mapping[Side, Mapping[str, float]],
    sealant: Sequence[SealantJoint],
    foam: Sequence[FoamJoint],
    *,
    frame_mm: tuple[float, float],
) -> tuple[SideJoint, ...]:
    """The joints in the order of the sides; ``frame_mm`` is the frame's width and height.

    ``sealant`` has a joint a side, ``foam`` one a side less the bottom where that is bedded.
    """
    foamed = dict(zip(gaps_mm, foam, strict=False))
    return tuple(
        SideJoint(
            side=side,
            gaps_mm=_three(gaps),
            seal=seal,
            rod_mm=_rod_mm(seal),
            foam=foamed.get(side),
            trims=tuple(_trims(side, seal, frame_mm[side in ("left", "right")])),
        )
        for (side, gaps), seal in zip(gaps_mm.items(), sealant, strict=True)
    )


def _three(gaps: Mapping[str, float]) -> tuple[float, float, float]:
    first, middle, last = gaps.values()
    return (first, middle, last)


def _rod_mm(seal: SealantJoint) -> float | None:
    if seal.backing != "rod":
        return None
    try:
        return rod_mm(gap_mm=seal.width_mm)
    except BadInput:
        return None


def _trims(side: Side, seal: SealantJoint, length_mm: float) -> Iterator[Trim]:
    """Mitred at both ends; outside only where the joint is too wide for sealant alone."""
    for row in table("trims"):
        if row["side"] == side and (row["when"] == "always" or takes_trim(seal.width_mm)):
            yield Trim(item=row["item"], size=row["size"], run_mm=length_mm + 2 * row["mitre_mm"])
