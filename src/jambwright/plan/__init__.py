"""How to make and fit it: the fitting of one opening, and what is decided over the whole house."""

from jambwright.plan.fixing_layout import (
    FixingLayout,
    Head,
    Rules,
    SideFixings,
    fixing_layout,
    house_rules,
)
from jambwright.plan.fixing_strength import FixingPlan, HeldFrame, held_frame, plan_fixings, strengthened

__all__ = [
    "FixingLayout",
    "FixingPlan",
    "Head",
    "HeldFrame",
    "Rules",
    "SideFixings",
    "fixing_layout",
    "held_frame",
    "house_rules",
    "plan_fixings",
    "strengthened",
]
