"""The verdict on the fixings of one frame: the busiest against what it can hold, and its edge distance."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from jambwright.basis import Clause, Working
from jambwright.checks.fixings.beam import THREE_MOMENTS
from jambwright.checks.fixings.resistance import (
    PULL_TEST,
    FixingInWall,
    allowed_reaction_n,
    resistance_working,
)
from jambwright.checks.verdict import Verdict, Word

Face = Literal["outer", "cavity", "inner cavity", "room"]
"""A face of the wall that a screw may stand too near; the cavity has that of the outer leaf and of the inner."""
FACES: Mapping[Face, str] = {
    "outer": "the outer face of the wall",
    "cavity": "the cavity face of the outer leaf",
    "inner cavity": "the cavity face of the inner leaf",
    "room": "the room face of the wall",
}

PULL_TESTS = Clause("BS 8539:2012+A1:2021", "tests on site", "from memory, medium")


def fixing_verdict(
    *,
    held: FixingInWall,
    largest_n: float,
    gap_mm: float,
    edge_mm: float | None = None,
    edge_face: Face = "outer",
) -> Verdict:
    """Can the busiest fixing take the wind; figures of low confidence never give more than ``advise``.

    ``largest_n`` is the largest characteristic reaction, ``edge_mm`` from the screw to ``edge_face``, the
    nearest face of what it bites into.
    """
    allowed = float(allowed_reaction_n(held=held, gap_mm=gap_mm))
    word, why = _strength(largest_n, allowed, held)
    near = _edge(edge_mm, edge_face, held)
    if near:
        why, word = f"{why} {near[1]}", max(word, near[0], key=("meets", "advise", "fails").index)
    if word == "advise":
        why = f"{why} {PULL_TEST.capitalize()}."
    return Verdict(
        rule="fixings.strength", word=word, why=why, found=largest_n, limit=allowed, unit="N",
        source=held.source, working=_working(largest_n, resistance_working(held=held, gap_mm=gap_mm)),
    )  # fmt: skip


def no_figure_verdict(*, substrate: str, largest_n: float, kind: str | None = None) -> Verdict:
    """The verdict where no kind of fixing, or not the one to be used, has a figure in the wall."""
    what = kind.replace("_", " ") if kind else "fixings"
    return Verdict(
        rule="fixings.strength", word="unknown", found=largest_n, unit="N", source=PULL_TESTS,
        working=_working(largest_n, Working()),
        why=f"No figure is known for {what} in {substrate}: have pull tests made to BS 8539; each fixing "
            "must "
        f"hold a wind of {largest_n:.0f} N.",
    )  # fmt: skip


def _working(largest_n: float, resistance: Working) -> Working:
    """The busiest reaction, then what it is held against."""
    work = Working()
    work.note(
        "E", "busiest fixing, frame edge as a continuous beam in the wind", largest_n, "N", THREE_MOMENTS
    )
    work.steps += resistance.steps
    return work


def _strength(largest_n: float, allowed_n: float, held: FixingInWall) -> tuple[Word, str]:
    carries = f"The busiest fixing carries {largest_n:.0f} N of the {allowed_n:.0f} N it may take"
    if largest_n > allowed_n * (1 + 1e-9):
        return "fails", f"{carries}: use more or stronger fixings, or fix to the other leaf."
    if held.warning:
        return "advise", f"{carries}; the figure is of low confidence."
    if held.screw_governs(allowed_n):
        return "meets", f"{carries}; the screw bends first: check its figures on the maker's sheet."
    return "meets", f"{carries}."


def _edge(edge_mm: float | None, face: Face, held: FixingInWall) -> tuple[Word, str] | None:
    if edge_mm is None or edge_mm >= held.edge_mm:
        return None
    if edge_mm < held.edge_least_mm:
        way = "further in" if face in ("outer", "inner cavity") else "further out"
        return "fails", (
            f"The screw stands {edge_mm:.0f} mm from {FACES[face]} where {held.edge_least_mm:.0f} mm is the "
            f"least: set the frame {way} or use lugs."
        )
    return "advise", (
        f"The screw stands {edge_mm:.0f} mm from {FACES[face]}; the full figure wants {held.edge_mm:.0f} mm."
    )
