"""The length of screw to take: through the frame, across the gap, into the wall; the next stock length up."""

from __future__ import annotations

from typing import Any

import numpy as np

from jambwright.basis import Problem, clause, table
from jambwright.basis.problems import raise_if_any
from jambwright.checks.figures import Figures, Floats


@clause("Geometry", unit="mm", formula="l ≥ frame + gap + embedment", how="calculated")
def length_needed_mm(*, frame_mm: Figures, gap_mm: Figures, embedment_mm: Figures) -> Figures:
    """Least length from the screw's seat in the frame to its end in the wall."""
    return frame_mm + gap_mm + embedment_mm


def stock_lengths_mm(fixing: str) -> Floats:
    """Lengths the stock has of one kind of fixing, shortest first; ``BadInput`` names the kinds known."""
    table("screw_lengths").find(fixing=fixing)
    return np.sort([row["length_mm"] for row in table("screw_lengths") if row["fixing"] == fixing])


def screw_length_mm(*, fixing: str, frame_mm: Any, gap_mm: Any, embedment_mm: Any) -> Figures:
    """Shortest stock length that reaches, floats or arrays of one shape.

    Raises ``BadInput`` for a negative size, and where no stock length reaches.

    >>> screw_length_mm(fixing="screw_7_5", frame_mm=45.0, gap_mm=7.0, embedment_mm=50.0)
    112.0
    """
    given = {"frame_mm": frame_mm, "gap_mm": gap_mm, "embedment_mm": embedment_mm}
    raise_if_any(
        Problem(name, f"{name}: {np.min(value):g} can't be less than nothing; measure it again.")
        for name, value in given.items()
        if np.any(np.asarray(value) < 0)
    )
    needed = np.asarray(length_needed_mm(**{name: np.asarray(v, float) for name, v in given.items()}))
    stock = stock_lengths_mm(fixing)
    words = table("fixing_kinds").find(fixing=fixing)["words"]
    raise_if_any(
        [
            Problem(
                "gap_mm",
                f"a {words} of {needed.max():.0f} mm would be needed and the longest is "
                f"{stock[-1]:.0f} "
                "mm; use lugs, close the gap with a fixed timber liner, or add a longer screw to the stock.",
            )
        ]
        if np.any(needed > stock[-1] + 1e-9)
        else []
    )
    picked = stock[np.searchsorted(stock, needed - 1e-9)]
    return picked if needed.ndim else float(picked)
