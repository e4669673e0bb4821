"""The joint wanted round a frame: by its material, colour and size."""

from __future__ import annotations

from dataclasses import dataclass

from jambwright.basis.clause import Clause
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.frame.profiles import Material
from jambwright.readings.wanted import Colour


@dataclass(frozen=True, slots=True, kw_only=True)
class JointGap:
    """Least and largest joint on one side."""

    least_mm: float
    largest_mm: float
    source: Clause


def joint_gap(material: Material, colour: Colour, across_mm: float) -> JointGap:
    """The published joint a side for a frame of that size across the joint.

    Raises ``BadInput`` beyond the table: such a frame is coupled of smaller ones.

    >>> joint_gap("pvcu", "dark", 2400.0).least_mm
    7.5
    """
    gaps = table("perimeter_gaps")
    for row in gaps:
        if (
            row["material"] == material
            and row["colour"] in (colour, "any")
            and across_mm <= 1e3 * row["up_to_m"]
        ):
            return JointGap(least_mm=row["gap_mm"], largest_mm=row["largest_mm"], source=gaps.source(row))
    longest = 1e3 * max(row["up_to_m"] for row in gaps if row["material"] == material)
    raise BadInput.one(
        "outside.width",
        f"a {material} frame of {across_mm:.0f} mm in one piece is beyond the joint table ({longest:.0f} mm); "
        "make it of coupled frames with an expansion joint.",
    )
