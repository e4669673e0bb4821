"""U and g of a glazing unit as it is written on the order."""

from __future__ import annotations

from typing import Literal

from jambwright.basis.clause import Clause
from jambwright.basis.working import Working
from jambwright.checks.heat.constants import constant
from jambwright.checks.heat.emissivity import coating_emissivity
from jambwright.checks.heat.glass_u import GlassHeat, glass_heat
from jambwright.checks.heat.solar import g_by_kind
from jambwright.frame.glazing_unit import GlazingUnit

Coating = Literal["hard", "soft"]


def unit_heat(
    unit: GlazingUnit, *, coating: Coating = "soft", slope_deg: float = 90.0, work: Working | None = None
) -> GlassHeat:
    """Heat through the middle of a unit; its coated faces take the usual emissivity of the coating.

    Laminated panes count with their whole thickness as glass: the interlayer would lower U by under 1 %.
    ``work`` takes the steps.

    >>> from jambwright.frame.glazing_unit import parse_glazing
    >>> round(float(unit_heat(parse_glazing("4-16Ar-4 low-e")).u_w_m2k), 3)
    1.124
    """
    return glass_heat(
        pane_mm=[pane.thickness_mm for pane in unit.panes],
        gap_mm=[cavity.gap_mm for cavity in unit.cavities],
        gas=[cavity.gas for cavity in unit.cavities],
        fill=[cavity.fill for cavity in unit.cavities],
        face_emissivity=faces_of(unit, coating),
        slope_deg=slope_deg,
        work=work,
    )


def faces_of(unit: GlazingUnit, coating: Coating) -> list[float]:
    """Corrected emissivity of every face, face 1 first."""
    coated, bare = coating_emissivity(coating), constant("uncoated_emissivity")
    return [coated if face in unit.low_e else bare for face in range(1, 2 * len(unit.panes) + 1)]


def unit_g(unit: GlazingUnit, *, coating: Coating = "soft") -> tuple[float, Clause]:
    """The g-value of a unit's kind and its source, with the confidence of the copy."""
    return g_by_kind(panes=len(unit.panes), coating=coating if unit.low_e else "none")
