"""Movement by heat: how far a frame grows and shrinks in its opening, the gap and the sealant that take it.

The frame is held at mid length, so each end moves by half. The published gap and the computed movement are
both found and the larger governs.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from jambwright.basis import Problem, Working, clause, table
from jambwright.basis.figures import Figures
from jambwright.basis.problems import raise_if_any
from jambwright.readings.system_sheet import FrameMaterial
from jambwright.readings.wanted import Colour

SEALANT_LEAST_MM = 6.0
"""Narrowest joint a sealant bead is made in: ISO 11600 practice, makers' floor of 6 x 6 mm, read."""
PUBLISHED_TO_MM = 4500.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MovementGap:
    """Movement at one end of a frame, the gap a side it asks for and the width a sealant wants."""

    material: FrameMaterial
    colour: Colour
    movement_out_mm: float
    movement_in_mm: float
    gap_per_side_mm: float
    gap_most_mm: float
    governs: Literal["published table", "computed movement"]
    sealant_width_min_mm: float
    problems: tuple[Problem, ...] = ()


@clause("Definition of linear expansion", unit="mm", formula="Δ = α (L / 2) ΔT", how="calculated")
def end_movement_mm(*, alpha_per_k: Figures, length_mm: Figures, change_k: Figures) -> Figures:
    """Movement of one end of a frame held at mid length.

    >>> end_movement_mm(alpha_per_k=70e-6, length_mm=2400.0, change_k=30.0)
    2.52
    """
    return alpha_per_k * length_mm / 2 * change_k


@clause(
    "BS 6093 and sealant makers",
    "W = M / MAF",
    unit="mm",
    formula="W = max(100 (out + in) / class, 6)",
    how="read",
)
def sealant_width_mm(*, movement_mm: Figures, class_percent: Figures) -> Figures:
    """Least joint width for a total movement at the joint and a movement class."""
    return np.maximum(100 * movement_mm / class_percent, SEALANT_LEAST_MM)


def published_gap_mm(*, material: FrameMaterial, colour: Colour, length_mm: Any) -> tuple[Figures, Figures]:
    """Least and greatest gap a side in the published table, floats or arrays; its last band goes on."""
    rows = [r for r in table("movement_gaps") if r["material"] == material and r["colour"] == colour]
    if not rows:
        table("movement_gaps").find(material=material, colour=colour)
    band = np.searchsorted([row["from_mm"] for row in rows], np.asarray(length_mm, float), side="right") - 1
    least = np.asarray([row["gap_mm"] for row in rows])[band]
    most = np.asarray([row["gap_most_mm"] for row in rows])[band]
    return least, most


def end_movements_mm(
    *, material: FrameMaterial, colour: Colour, length_mm: Any, set_temperature_c: Any = 15.0,
    work: Working | None = None,
) -> tuple[Figures, Figures]:  # fmt: skip
    """Out (hottest) and in (coldest) movement of one end, floats or arrays of lengths and temperatures."""
    work = work or Working()
    materials, years = table("movement_materials"), table("movement_temperatures")
    row, year = materials.find(material=material), years.find(colour=colour)
    alpha, hot, cold = row["alpha_per_k"], year["hot_c"], year["cold_c"]
    work.note("α", "", alpha, "1/K", materials.source(row), material=material)
    work.note("T_hot, T_cold", "", [hot, cold], "°C", years.source(year), colour=colour)
    moves = {"alpha_per_k": alpha, "length_mm": length_mm}
    return (
        work.step("Δ_out", end_movement_mm, **moves, change_k=hot - set_temperature_c),
        work.step("Δ_in", end_movement_mm, **moves, change_k=set_temperature_c - cold),
    )


def movement_gap(
    *,
    material: FrameMaterial,
    colour: Colour,
    length_mm: float,
    set_temperature_c: float = 15.0,
    sealant_class: float = 25.0,
    work: Working | None = None,
) -> MovementGap:
    """Gap a side and sealant width of one frame, or of a run coupled without play; ``work`` takes the steps.

    Raises ``BadInput`` for a length of nothing, a temperature outside the year, an unknown class.

    >>> found = movement_gap(material="pvcu", colour="white", length_mm=2400.0)
    >>> found.movement_out_mm, found.movement_in_mm, found.gap_per_side_mm, found.governs
    (2.52, 2.10, 5.0, 'published table')
    """
    _check(colour, length_mm, set_temperature_c, sealant_class)
    work = work or Working()
    out, back = end_movements_mm(
        material=material, colour=colour, length_mm=length_mm, set_temperature_c=set_temperature_c, work=work
    )
    published, most = published_gap_mm(material=material, colour=colour, length_mm=length_mm)
    gap = max(float(published), out)
    source = table("movement_gaps").source(table("movement_gaps").find(material=material, colour=colour))
    work.note("g_published", "least and greatest", [float(published), float(most)], "mm", source)
    work.note("g", "max(g_published, Δ_out)", gap, "mm", source)
    sealant = work.step("W", sealant_width_mm, movement_mm=out + back, class_percent=sealant_class)
    return MovementGap(
        material=material,
        colour=colour,
        movement_out_mm=out,
        movement_in_mm=back,
        gap_per_side_mm=gap,
        gap_most_mm=float(most),
        governs="computed movement" if out > published else "published table",
        sealant_width_min_mm=float(sealant),
        problems=tuple(_doubts(length_mm, gap, float(most))),
    )


def _check(colour: Colour, length_mm: float, set_c: float, sealant_class: float) -> None:
    year = table("movement_temperatures").find(colour=colour)
    classes = table("sealant_classes").column("movement_class")
    problems = []
    if length_mm <= 0:
        problems.append(Problem("length_mm", f"length_mm: {length_mm:g} can't be; measure it again."))
    if not year["cold_c"] <= set_c <= year["hot_c"]:
        problems.append(
            Problem("set_temperature_c", f"set_temperature_c: {set_c:g} is outside the year of a {colour} "
                                         "frame, "
                    f"{year['cold_c']:g} to {year['hot_c']:g} °C; give the frame's temperature on the day.")
        )  # fmt: skip
    if sealant_class not in classes:
        known = ", ".join(f"{c:g}" for c in classes)
        problems.append(
            Problem("sealant_class", f"sealant_class: {sealant_class:g} is not a class of ISO 11600; read "
                                     "the "
                    f"cartridge and give one of {known}.")
        )  # fmt: skip
    raise_if_any(problems)


def _doubts(length_mm: float, gap_mm: float, most_mm: float) -> list[Problem]:
    problems = []
    if length_mm > PUBLISHED_TO_MM:
        problems.append(
            Problem("length_mm", f"{length_mm:.0f} mm is past the published table (4500 mm): couple "
                                 "shorter frames "
                    "with couplers that slide, or ask the profile maker.", "caution")
        )  # fmt: skip
    if gap_mm > most_mm:
        problems.append(
            Problem("gap_per_side_mm", f"The movement asks for {gap_mm:.1f} mm a side where {most_mm:.0f} "
                                       "mm is the "
                    "most a joint should be: divide the frame.", "caution")
        )  # fmt: skip
    return problems
