"""The rules of five nations by date: escape, guarding, safety glass, ventilation, energy, flues, duties.

A rule is data (``basis/data/rules.csv`` and its companions) plus a pure function where geometry is needed.
The day of the work decides the edition; a missing input gives ``unknown``, never a pass.
"""

from jambwright.checks.regulations.check import check_house, check_opening, in_group
from jambwright.checks.regulations.duties import check_access, check_fire, check_security
from jambwright.checks.regulations.edition import Work
from jambwright.checks.regulations.energy import check_daylight, check_energy
from jambwright.checks.regulations.escape import check_escape
from jambwright.checks.regulations.facts import (
    AccessFacts,
    EnergyFacts,
    EscapeFacts,
    FireFacts,
    FlueFacts,
    GlassFacts,
    GuardingFacts,
    HouseFacts,
    LightFacts,
    OldEscape,
    OpenerFacts,
    OpeningFacts,
    PaneFacts,
    RoomAir,
    RoomPlace,
)
from jambwright.checks.regulations.flues import check_flue
from jambwright.checks.regulations.guarding import check_cleaning, check_guarding
from jambwright.checks.regulations.house_duties import check_hazards, check_heritage, check_notify
from jambwright.checks.regulations.listing import day, listed_rules
from jambwright.checks.regulations.order_changes import OrderStep
from jambwright.checks.regulations.remedies import Remedies, Remedy, remedies
from jambwright.checks.regulations.rule import (
    NATIONS,
    Rule,
    RuleSet,
    all_rules,
    newest_day,
    rules_for,
    rules_in_force,
)
from jambwright.checks.regulations.safety_glass import check_pane, impact_class
from jambwright.checks.regulations.ventilation import check_background, check_purge

__all__ = [
    "NATIONS",
    "AccessFacts",
    "EnergyFacts",
    "EscapeFacts",
    "FireFacts",
    "FlueFacts",
    "GlassFacts",
    "GuardingFacts",
    "HouseFacts",
    "LightFacts",
    "OldEscape",
    "OpenerFacts",
    "OpeningFacts",
    "OrderStep",
    "PaneFacts",
    "Remedies",
    "Remedy",
    "RoomAir",
    "RoomPlace",
    "Rule",
    "RuleSet",
    "Work",
    "all_rules",
    "check_access",
    "check_background",
    "check_cleaning",
    "check_daylight",
    "check_energy",
    "check_escape",
    "check_fire",
    "check_flue",
    "check_guarding",
    "check_hazards",
    "check_heritage",
    "check_house",
    "check_notify",
    "check_opening",
    "check_pane",
    "check_purge",
    "check_security",
    "day",
    "impact_class",
    "in_group",
    "listed_rules",
    "newest_day",
    "remedies",
    "rules_for",
    "rules_in_force",
]
