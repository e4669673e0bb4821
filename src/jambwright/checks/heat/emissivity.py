"""Emissivity of glass faces: from the normal value on a data sheet to the one that exchanges heat."""

from __future__ import annotations

import numpy as np

from jambwright.basis.clause import clause
from jambwright.basis.tables import table
from jambwright.checks.heat.constants import Figures, constant, plain


@clause("EN 12898 and EN 673:2011", "Annex A", unit="-", formula="ε = ε_n × ratio(ε_n)")
def corrected_emissivity(*, normal: Figures) -> Figures:
    """Corrected emissivity from the normal one, any shape. Outside the table the end ratio holds.

    >>> corrected_emissivity(normal=0.037)
    0.0446
    """
    ratios = table("emissivity_correction")
    return plain(normal * np.interp(normal, ratios.column("normal"), ratios.column("ratio")))


def coating_emissivity(coating: str) -> float:
    """Corrected emissivity of a face without (``none``) or with a ``hard`` or ``soft`` coating.

    Raises ``BadInput`` that names the known coatings.
    """
    if coating == "none":
        return constant("uncoated_emissivity")
    return float(corrected_emissivity(normal=table("glass_coatings").find(coating=coating)["emissivity"]))
