"""What a bar is made of: stiffness of profile, reinforcement and coupled frames working side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jambwright.basis import clause, table
from jambwright.checks.figures import Figures


@dataclass(frozen=True, slots=True, kw_only=True)
class Reinforcement:
    """One section from the table."""

    section: str
    material: str
    across_mm: float
    deep_mm: float
    i_cm4: float
    kg_m: float
    ei_n_mm2: float


def e_n_mm2(material: str) -> float:
    """Modulus of a bar material; ``BadInput`` names those known."""
    return float(table("member_materials").find(material=material)["e_n_mm2"])


@clause(
    "Theory of structures",
    "members that bend alike share the load by stiffness; screwed together at 300 to 400 mm at most",
    unit="N mm²",
    formula="E I = Σ Eᵢ Iᵢ",
    how="from memory, medium",
)
def parallel_ei_n_mm2(*, e_n_mm2: Sequence[Figures], i_cm4: Sequence[Figures]) -> Figures:
    """Stiffness of profile and steel, or of two jambs and their coupler, bending about their own axes.

    >>> parallel_ei_n_mm2(e_n_mm2=[210000.0, 2500.0], i_cm4=[4.5, 35.0])
    10325000000.0
    """
    return sum(e * i * 1e4 for e, i in zip(e_n_mm2, i_cm4, strict=True))


def reinforcements() -> list[Reinforcement]:
    """All sections of the table, lightest first."""
    rows = [
        Reinforcement(
            section=row["section"], material=row["material"], across_mm=row["across_mm"],
            deep_mm=row["deep_mm"], i_cm4=row["i_cm4"], kg_m=row["kg_m"],
            ei_n_mm2=e_n_mm2(row["material"]) * row["i_cm4"] * 1e4,
        )
        for row in table("reinforcement")
    ]  # fmt: skip
    return sorted(rows, key=lambda r: (r.kg_m, r.i_cm4))


def lightest_reinforcement(
    *, ei_wanted_n_mm2: float, chamber_mm: tuple[float, float], profile_ei_n_mm2: float = 0.0
) -> Reinforcement | None:
    """Lightest section in the chamber (across, deep) that makes up the stiffness; ``None`` when none does.

    >>> lightest_reinforcement(ei_wanted_n_mm2=6e9, chamber_mm=(36, 36)).section
    'box 28x35x1.5'
    """
    across, deep = chamber_mm
    fits = (r for r in reinforcements() if r.across_mm <= across and r.deep_mm <= deep)
    return next((r for r in fits if profile_ei_n_mm2 + r.ei_n_mm2 >= ei_wanted_n_mm2), None)
