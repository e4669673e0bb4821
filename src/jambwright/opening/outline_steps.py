"""The steps from readings to the adjusted outline, for the report."""

from __future__ import annotations

from collections.abc import Iterable

from jambwright.basis.clause import Clause
from jambwright.basis.working import Working
from jambwright.opening.outline import Adjusted, Outline

LEAST_SQUARES = Clause("Weighted least squares with Baarda's reliability measures", "", "from memory, high")


def note_outline(work: Working, outline: Outline) -> None:
    """Each reading as adjusted, the corners, and how well the readings agree."""
    note_readings(work, outline.readings)
    for name, point in outline.corners_mm.items():
        work.note(name.replace("_", " "), "corner of the adjusted outline", point, "mm", LEAST_SQUARES)
    work.note(
        "s0²", "weighted square sum / degrees of freedom", outline.variance_factor, "", LEAST_SQUARES,
        degrees_of_freedom=outline.degrees_of_freedom, p_value=outline.p_value,
    )  # fmt: skip


def note_readings(work: Working, readings: Iterable[Adjusted]) -> None:
    """Each of these readings as adjusted."""
    for r in readings:
        work.note(
            f"{r.kind} {r.at}", "adjusted = read + residual", r.adjusted_mm, "mm", LEAST_SQUARES,
            read_mm=r.mm, residual_mm=r.residual_mm, sigma_mm=r.sigma_mm, redundancy=r.redundancy, w=r.w,
            **({"of_it_corrected_mm": r.corrected_mm} if r.corrected_mm else {}),
        )  # fmt: skip
