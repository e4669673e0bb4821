"""A mullion or transom under the wind of the panes beside it: a simple beam under two trapezoids.

Each pane sheds along 45 degree lines: the load rises over half the lesser of pane width and span, then stays
level (a triangle where the pane is as wide as the bar is long). All figures are floats or arrays of one
shape; both sides of a bar add up.
"""

from __future__ import annotations

import numpy as np

from jambwright.basis.clause import How, clause
from jambwright.checks.figures import Figures

BEAM = "Theory of structures, simple beam"
HOW: How = "calculated"


@clause("Panes shed along 45 degree lines", "", unit="mm", formula="t = min(b, L) / 2", how=HOW)
def shed_depth_mm(*, span_mm: Figures, pane_width_mm: Figures) -> Figures:
    """Depth of the strip of one pane that bears on the bar."""
    return np.minimum(span_mm, pane_width_mm) / 2


@clause("Panes shed along 45 degree lines", "", unit="N/mm", formula="q0 = p t", how=HOW)
def peak_load_n_mm(*, wind_pa: Figures, depth_mm: Figures) -> Figures:
    """Peak line load of one pane."""
    return wind_pa * 1e-6 * depth_mm


@clause(BEAM, "end reaction", unit="N", formula="R = q0 (L − t) / 2", how=HOW)
def end_reaction_n(*, peak_n_mm: Figures, depth_mm: Figures, span_mm: Figures) -> Figures:
    """Reaction at each end under the load of one pane.

    >>> end_reaction_n(peak_n_mm=1.0, depth_mm=450.0, span_mm=1500.0)
    525.0
    """
    return peak_n_mm * (span_mm - depth_mm) / 2


@clause(BEAM, "moment at mid-span", unit="N mm", formula="M = q0 (3 L² − 4 t²) / 24", how=HOW)
def moment_n_mm(*, peak_n_mm: Figures, depth_mm: Figures, span_mm: Figures) -> Figures:
    """Largest moment under the load of one pane.

    >>> moment_n_mm(peak_n_mm=1.0, depth_mm=450.0, span_mm=1500.0)
    247500.0
    """
    return peak_n_mm * (3 * span_mm**2 - 4 * depth_mm**2) / 24


@clause(BEAM, "sag at mid-span", unit="N mm³", formula="E I w = q0 (5 L² − 4 t²)² / 1920", how=HOW)
def sag_times_ei_n_mm3(*, peak_n_mm: Figures, depth_mm: Figures, span_mm: Figures) -> Figures:
    """Mid-span deflection times stiffness under the load of one pane.

    >>> sag_times_ei_n_mm3(peak_n_mm=1.0, depth_mm=750.0, span_mm=1500.0)
    42187500000.0
    """
    return peak_n_mm * (5 * span_mm**2 - 4 * depth_mm**2) ** 2 / 1920


@clause(BEAM, "stiffness wanted", unit="N mm²", formula="E I = Σ (E I w) / w_lim", how=HOW)
def ei_required_n_mm2(*, sag_times_ei_n_mm3: Figures, limit_mm: Figures) -> Figures:
    """Stiffness that keeps the bar within the limit."""
    return sag_times_ei_n_mm3 / limit_mm


@clause(BEAM, "deflection", unit="mm", formula="w = Σ (E I w) / (E I)", how=HOW)
def deflection_mm(*, sag_times_ei_n_mm3: Figures, ei_n_mm2: Figures) -> Figures:
    """Mid-span deflection."""
    return sag_times_ei_n_mm3 / ei_n_mm2


@clause("Definition", "", unit="cm⁴", formula="I = E I / E_steel", how=HOW)
def i_steel_cm4(*, ei_n_mm2: Figures, e_steel_n_mm2: float) -> Figures:
    """Steel that gives this stiffness by itself."""
    return ei_n_mm2 / e_steel_n_mm2 / 1e4
