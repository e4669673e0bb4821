"""Mullions, transoms and couplers: how far they bend in the wind and the stiffness they want."""

from jambwright.checks.members.check import Bar, bar_between, bar_verdict, sag_of_any_load_n_mm3
from jambwright.checks.members.limits import deflection_limit_mm, strictest_limit_mm
from jambwright.checks.members.stiffness import (
    Reinforcement,
    e_n_mm2,
    lightest_reinforcement,
    parallel_ei_n_mm2,
    reinforcements,
)

__all__ = [
    "Bar",
    "Reinforcement",
    "bar_between",
    "bar_verdict",
    "deflection_limit_mm",
    "e_n_mm2",
    "lightest_reinforcement",
    "parallel_ei_n_mm2",
    "reinforcements",
    "sag_of_any_load_n_mm3",
    "strictest_limit_mm",
]
