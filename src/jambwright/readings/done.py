"""How far the work at an opening has come."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

Done = Literal["ordered", "cut", "fitted", "sealed", "finished"]
"""`ordered`: frame and glass; `cut`: sill and trims; `fitted`: glazed and foamed, the wall is closed; `sealed`
outside; `finished`: nothing is left to do."""
STAGES: tuple[Done, ...] = ("ordered", "fitted", "sealed", "finished")
"""Each stands on those before it; what is cut may be so at any time."""


def awaits_delivery(marks: Sequence[str]) -> bool:
    """Whether its unit is on order or has come, and is not fitted yet.

    >>> awaits_delivery(["ordered", "cut"]), awaits_delivery(["fitted"]), awaits_delivery([])
    (True, False, False)
    """
    return is_done(marks, "ordered") and not is_done(marks, "fitted")


def is_done(marks: Sequence[str], stage: Done) -> bool:
    """Whether a stage is settled by what is marked: itself, or a later one that can't be without it.

    >>> is_done(["fitted"], "ordered"), is_done(["cut"], "ordered")
    (True, False)
    """
    reached = max((STAGES.index(mark) for mark in STAGES if mark in marks), default=-1)
    return stage in marks or (stage in STAGES and STAGES.index(stage) <= reached)
