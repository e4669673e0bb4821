"""The steps from the adjusted outline to the size to order, for the report."""

from __future__ import annotations

from jambwright.basis.clause import Clause
from jambwright.basis.working import Working
from jambwright.frame.order_size import OrderSize

JOINT = Clause("Joint normal probability of all gaps", "", "calculated")
LARGEST = Clause("Largest rectangle by linear programming", "", "calculated")


def size_working(size: OrderSize) -> Working:
    """Width, height and the chance that the frame goes in with them."""
    work = Working()
    work.note("P", "chance that every gap is kept", size.probability_fits, "", JOINT, wanted=size.confidence)
    work.note("W", "largest width with that chance, rounded down", size.width_mm, "mm", LARGEST)
    work.note(
        "H", "largest height with that chance less the sill, rounded down", size.height_mm, "mm", LARGEST,
        sill_height_mm=size.sill_height_mm,
    )  # fmt: skip
    return work
