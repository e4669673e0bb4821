"""Glass under wind and climate: plates, design strength, sealed units, and the lightest make-up that holds.

Loads that push into the room are positive; wind acts on pane 1, the outer one. Stress and deflection are
magnitudes.
"""

from jambwright.checks.glass.cases import LoadCase, climate_case, order_cases, wind_case
from jambwright.checks.glass.check import PaneCheck, UnitCheck, check_unit
from jambwright.checks.glass.choose import GlassChoice, StockGlass, choose_glass, stock_glass
from jambwright.checks.glass.pane import PaneSize
from jambwright.checks.glass.strength import duration_factor, strength_of
from jambwright.checks.glass.unit import UnitLoads, isochoric_pressure_pa, unit_loads
from jambwright.checks.glass.working import DeclaredGlass, glass_verdict, unit_working

__all__ = [
    "DeclaredGlass",
    "GlassChoice",
    "LoadCase",
    "PaneCheck",
    "PaneSize",
    "StockGlass",
    "UnitCheck",
    "UnitLoads",
    "check_unit",
    "choose_glass",
    "climate_case",
    "duration_factor",
    "glass_verdict",
    "isochoric_pressure_pa",
    "order_cases",
    "stock_glass",
    "strength_of",
    "unit_loads",
    "unit_working",
    "wind_case",
]
