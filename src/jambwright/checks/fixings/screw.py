"""The screw across the packed gap: a cantilever from the wall to the frame.

Head free: the frame lets the head turn. Head held: the frame holds it square.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from jambwright.basis.clause import clause
from jambwright.checks.figures import Figures

ScrewHead = Literal["free", "held"]

ALPHA_M = {"free": 1.0, "held": 2.0}
_STIFFNESS = {"free": 3.0, "held": 12.0}


@clause("EN 1992-4:2018", "7.2.2.3.2 W_el of the root", unit="mm3", formula="W = π d³ / 32")
def section_modulus_mm3(*, root_diameter_mm: Figures) -> Figures:
    """Elastic section modulus of a round screw.

    >>> section_modulus_mm3(root_diameter_mm=5.3)
    14.62
    """
    return np.pi * root_diameter_mm**3 / 32


@clause("Theory of structures", "round section", unit="mm4", formula="I = π d⁴ / 64", how="calculated")
def second_moment_mm4(*, root_diameter_mm: Figures) -> Figures:
    """Second moment of area of a round screw.

    >>> second_moment_mm4(root_diameter_mm=5.3)
    38.73
    """
    return np.pi * root_diameter_mm**4 / 64


@clause("EN 1992-4:2018", "6.2.2.3 eq. (6.1)", unit="N mm", formula="M = V l / α_M, α_M = 1 free, 2 held")
def bending_moment_n_mm(*, shear_n: Figures, lever_mm: Figures, head: ScrewHead) -> Figures:
    """Moment in the screw where it enters the wall.

    >>> bending_moment_n_mm(shear_n=300.0, lever_mm=20.0, head="held")
    3000.0
    """
    return shear_n * lever_mm / ALPHA_M[head]


@clause("Theory of structures", "bending stress", unit="N/mm²", formula="σ = M / W", how="calculated")
def bending_stress_n_mm2(*, moment_n_mm: Figures, modulus_mm3: Figures) -> Figures:
    """Stress at the root of the thread."""
    return moment_n_mm / modulus_mm3


@clause(
    "Theory of structures",
    "cantilever",
    unit="mm",
    formula="w = V l³ / (3 E I) free, V l³ / (12 E I) held",
    how="calculated",
)
def deflection_mm(
    *, shear_n: Figures, lever_mm: Figures, e_n_mm2: float, second_moment_mm4: Figures, head: ScrewHead
) -> Figures:
    """How far the frame drops or shifts on its screw.

    >>> deflection_mm(
    ...     shear_n=300.0, lever_mm=20.0, e_n_mm2=210000.0, second_moment_mm4=38.73, head="free"
    ... )
    0.098
    """
    return shear_n * lever_mm**3 / (_STIFFNESS[head] * e_n_mm2 * second_moment_mm4)


@clause("EN 1992-4:2018", "7.2.2.3.2", unit="N mm", formula="M0_Rk = 1.2 W f_uk")
def characteristic_moment_n_mm(*, modulus_mm3: Figures, fu_n_mm2: Figures) -> Figures:
    """Characteristic bending resistance of the screw.

    >>> characteristic_moment_n_mm(modulus_mm3=14.616, fu_n_mm2=800.0)
    14031.36
    """
    return 1.2 * modulus_mm3 * fu_n_mm2
