"""Whether the joint that a frame leaves takes its movement by heat (``frame.movement``)."""

from __future__ import annotations

from jambwright.basis import Working, table
from jambwright.basis.clause import weakest
from jambwright.checks.verdict import Rest, Verdict, Word, settled
from jambwright.frame.movement import MovementGap


def rests_of_gap(wanted: MovementGap) -> tuple[Rest, ...]:
    """What a joint for movement rests on: the published gap, how the material grows, how hot it gets."""
    grows, years, gaps = (table(f"movement_{name}") for name in ("materials", "temperatures", "gaps"))
    gap = gaps.source(gaps.find(material=wanted.material, colour=wanted.colour))
    hows = (
        grows.source(grows.find(material=wanted.material)).how,
        years.source(years.find(colour=wanted.colour)).how,
    )
    return (
        Rest(what="the gaps of practice", how=gap.how, ask="ask the frame's maker for the gap it wants"),
        Rest(
            what="usual movement of its material",
            how=weakest(*hows),
            ask="ask the frame's maker how much it grows",
        ),
    )


def gap_verdict(*, got_mm: float, wanted: MovementGap, working: Working | None = None) -> Verdict:
    """Is the gap that the frame leaves on one side enough, and not too wide to seal."""
    word: Word = "advise"
    if got_mm < wanted.movement_out_mm:
        word = "fails"
        why = f"closes in the sun: the frame grows {wanted.movement_out_mm:.1f} mm; order it smaller."
    elif got_mm < wanted.gap_per_side_mm:
        why = f"is under the {wanted.gap_per_side_mm:.1f} mm of the {wanted.governs}."
    elif got_mm > wanted.gap_most_mm:
        why = f"is over the {wanted.gap_most_mm:.0f} mm a joint should be: line the reveal or order bigger."
    else:
        word, why = "meets", f"takes the movement of {wanted.movement_out_mm:.1f} mm."
    return settled(
        rule="movement.gap", word=word, why=f"A gap of {got_mm:.1f} mm {why}", found=got_mm,
        limit=wanted.gap_most_mm if got_mm > wanted.gap_most_mm else wanted.gap_per_side_mm, unit="mm",
        source=table("movement_gaps").pedigree.source, rests_on=rests_of_gap(wanted), working=working or Working(),
    )  # fmt: skip
