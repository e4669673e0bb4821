"""The verdict on the fixings of one frame: the busiest against what it can hold, and its edge distance."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from jambwright.basis import Clause, Working, table
from jambwright.checks.fixings.beam import THREE_MOMENTS
from jambwright.checks.fixings.resistance import (
    PULL_TEST,
    FixingInWall,
    allowed_reaction_n,
    allowed_wind_n,
    factor,
)
from jambwright.checks.rests import by_sources
from jambwright.checks.verdict import GRAVITY, Rest, Verdict, Word, settled

Face = Literal["outer", "cavity", "inner cavity", "unseen cavity", "room"]
"""A face of the wall that a screw may stand too near; the cavity has that of the outer leaf and of the inner."""
FACES: Mapping[Face, str] = {
    "outer": "the outer face of the wall",
    "cavity": "the cavity face of the outer leaf",
    "inner cavity": "the cavity face of the inner leaf",
    "unseen cavity": "the cavity, if it is open at the jambs",
    "room": "the room face of the wall",
}

PULL_TESTS = Clause("BS 8539:2012+A1:2021", "tests on site", "from memory, medium")


@dataclass(frozen=True, slots=True, kw_only=True)
class DeclaredResistance:
    """Design resistance of one fixing that its maker, or pull tests on site, vouch for."""

    design_n: float
    by: str
    rest: Rest

    @property
    def source(self) -> Clause:
        """The document."""
        return Clause(self.by, "", self.rest.how)

    def allowed_n(self, work: Working | None = None) -> float:
        """Characteristic wind reaction that the fixing may take."""
        work = work or Working()
        return float(work.step("R", allowed_wind_n, design_n=self.design_n, gamma_f=factor("wind")))


def fixing_verdict(
    *,
    held: FixingInWall,
    largest_n: float,
    gap_mm: float,
    edge_mm: float | None = None,
    edge_face: Face = "outer",
    declared: DeclaredResistance | None = None,
) -> Verdict:
    """Can the busiest fixing take the wind, by what is declared of it, else by the figures of its kind.

    ``largest_n`` is the largest characteristic reaction, ``edge_mm`` from the screw to ``edge_face``, the
    nearest face of what it bites into.
    """
    work = _busiest(largest_n)
    # a declared resistance takes the place of the modelled one, which is told beside it without its steps
    modelled = float(allowed_reaction_n(held=held, gap_mm=gap_mm, work=None if declared else work))
    allowed = declared.allowed_n(work) if declared else modelled
    word, why = _strength(largest_n, allowed)
    if declared:
        why = f"{why} The {allowed:.0f} N are on the declared resistance; modelled {modelled:.0f} N."
    elif word == "meets" and held.screw_governs(allowed):
        why = f"{why} The screw bends first."
    near = _edge(edge_mm, edge_face, held)
    if near:
        why, word = f"{why} {near[1]}", max(word, near[0], key=GRAVITY.index)
        why += f" {PULL_TEST.capitalize()}." if word == "advise" else ""
    return settled(
        rule="fixings.strength", word=word, why=why, found=largest_n, limit=allowed, unit="N",
        source=declared.source if declared else held.source,
        rests_on=(declared.rest if declared else _by_kind(held, gap_mm),), working=work,
    )  # fmt: skip


def declared_verdict(*, declared: DeclaredResistance, largest_n: float) -> Verdict:
    """The verdict where no kind of fixing has a figure in the wall, but one is declared for it."""
    work = _busiest(largest_n)
    allowed = declared.allowed_n(work)
    word, why = _strength(largest_n, allowed)
    return settled(
        rule="fixings.strength", word=word, why=f"{why} The resistance is the declared one.", found=largest_n,
        limit=allowed, unit="N", source=declared.source, rests_on=(declared.rest,), working=work,
    )  # fmt: skip


def no_figure_verdict(*, substrate: str, largest_n: float, kind: str | None = None) -> Verdict:
    """The verdict where no kind of fixing, or not the one to be used, has a figure in the wall."""
    what = kind.replace("_", " ") if kind else "fixings"
    return Verdict(
        rule="fixings.strength", word="unknown", found=largest_n, unit="N", source=PULL_TESTS,
        working=_busiest(largest_n),
        why=f"No figure is known for {what} in {substrate}: have pull tests made to BS 8539; each fixing "
            "must "
        f"hold a wind of {largest_n:.0f} N.",
    )  # fmt: skip


def _busiest(largest_n: float) -> Working:
    """Steps that begin with the busiest reaction."""
    work = Working()
    work.note(
        "E", "busiest fixing, frame edge as a continuous beam in the wind", largest_n, "N", THREE_MOMENTS
    )
    return work


def _by_kind(held: FixingInWall, gap_mm: float) -> Rest:
    """Wall and screw both decide: one maker's fixing, or recalled figures, for any of that kind."""
    kinds = table("fixing_kinds")
    screw = kinds.source(kinds.find(fixing=held.fixing))
    return by_sources(
        "usual figures of its kind", held.source, screw, of_product=True,
        ask=f"ask the fixing's maker for its resistance here across {gap_mm:.0f} mm, or have pull tests made",
    )  # fmt: skip


def _strength(largest_n: float, allowed_n: float) -> tuple[Word, str]:
    carries = f"The busiest fixing carries {largest_n:.0f} N of the {allowed_n:.0f} N it may take"
    if largest_n > allowed_n * (1 + 1e-9):
        return "fails", f"{carries}: use more or stronger fixings, or fix to the other leaf."
    return "meets", f"{carries}."


def _edge(edge_mm: float | None, face: Face, held: FixingInWall) -> tuple[Word, str] | None:
    if edge_mm is None or edge_mm >= held.edge_mm:
        return None
    if edge_mm < held.edge_least_mm and face == "unseen cavity":
        return "unknown", (
            f"The screw stands {edge_mm:.0f} mm from {FACES[face]}, where {held.edge_least_mm:.0f} mm is the least: "
            "look how the cavity is closed at the jambs and say by what."
        )
    if edge_mm < held.edge_least_mm:
        way = "further in" if face in ("outer", "inner cavity") else "further out"
        return "fails", (
            f"The screw stands {edge_mm:.0f} mm from {FACES[face]} where {held.edge_least_mm:.0f} mm is the "
            f"least: set the frame {way} or use lugs."
        )
    return "advise", (
        f"The screw stands {edge_mm:.0f} mm from {FACES[face]}; the full figure wants {held.edge_mm:.0f} mm."
    )
