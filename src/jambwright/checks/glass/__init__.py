"""Glass under wind and climate: plates, design strength, sealed units, and the lightest make-up that holds.

Loads that push into the room are positive; wind acts on pane 1, the outer one. Stress and deflection are
magnitudes.
"""

from jambwright.checks.glass.cases import (
    DECIDES,
    MILDER,
    Factors,
    LoadCase,
    duration_of,
    given_cases,
    note_factors,
    order_cases,
)
from jambwright.checks.glass.check import PaneCheck, PaneInCase, UnitCheck, check_unit
from jambwright.checks.glass.choose import GlassChoice, StockGlass, choose_glass, stock_glass
from jambwright.checks.glass.pane import PaneSize
from jambwright.checks.glass.strength import duration_factor, strength_of
from jambwright.checks.glass.stronger import stronger_make_ups
from jambwright.checks.glass.unit import UnitLoads, isochoric_pressure_pa, unit_loads
from jambwright.checks.glass.verdict import DeclaredGlass, glass_verdict, judged

__all__ = [
    "DECIDES",
    "MILDER",
    "DeclaredGlass",
    "Factors",
    "GlassChoice",
    "LoadCase",
    "PaneCheck",
    "PaneInCase",
    "PaneSize",
    "StockGlass",
    "UnitCheck",
    "UnitLoads",
    "check_unit",
    "choose_glass",
    "duration_factor",
    "duration_of",
    "given_cases",
    "glass_verdict",
    "isochoric_pressure_pa",
    "judged",
    "note_factors",
    "order_cases",
    "stock_glass",
    "strength_of",
    "stronger_make_ups",
    "unit_loads",
]
