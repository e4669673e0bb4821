"""The steps from the adjusted outline to the size to order, for the report."""

from __future__ import annotations

from jambwright.basis.clause import Clause
from jambwright.basis.working import Working
from jambwright.frame.faces import EDGES, LEAST_LAP_MM, Lapped
from jambwright.frame.order_size import CHANCE, OrderSize

JOINT = CHANCE
BEHIND = Clause(
    "Common practice",
    "frame behind the nibs of a rebated reveal, in from inside",
    "common practice, no published source",
)


def note_size(work: Working, size: OrderSize, laps: Lapped | None = None) -> None:
    """Width, height and the chance that the frame goes in with them; behind nibs, what it laps."""
    work.steps += [*size.across, *size.up]
    work.note("P", "chance that every gap is kept", size.probability_fits, "", CHANCE, wanted=size.confidence)
    if laps:
        work.note(
            "W - W_o", "wider than a true frame in the hole seen from outside", laps.wider_mm, "mm", BEHIND
        )
        work.note("H - H_o", "higher, with its sill", laps.higher_mm, "mm", BEHIND)
        for side, lap in laps.laps_mm.items():
            work.note(
                f"lap {EDGES[side]}", "nib over the frame at its ends and middle; the frame stands behind it",
                list(lap), "mm", BEHIND, least_mm=LEAST_LAP_MM,
            )  # fmt: skip
