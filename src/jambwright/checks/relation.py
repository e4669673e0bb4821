"""How a limit binds what was found: one table of every rule whose finding sets a figure beside a figure."""

from __future__ import annotations

from typing import Any, Literal

Relation = Literal["", "at_least", "at_most"]

AT_LEAST = (
    "access.width", "access.width_kept", "condensation", "energy.daylight", "escape.area", "escape.bottom_low",
    "escape.height", "escape.roof_window", "escape.width", "fitted.fixings", "flue", "guarding.height",
    "heritage.side_window", "readings.agree", "safety_glass", "size.chance", "size.ordered", "specification.bars",
    "system.vent", "ventilation.background", "ventilation.purge",
)  # fmt: skip
AT_MOST = (
    "access.kept", "access.upstand", "delivery.square", "energy", "escape.bottom", "fire", "fixings.strength",
    "glass.strength", "guarding.drop", "hazard.lifting", "members.deflection",
)  # fmt: skip
BETWEEN = (
    "delivery.fit",
    "delivery.size",
    "fitted.gap",
    "movement.gap",
    "specification.letter_plate",
    "system",
)
"""Bound on both sides: the limit beside it is the one it breaks, or the lower one."""
NEITHER = (
    "guarding.balcony", "guarding.containment", "guarding.gaps", "guarding.restrictor", "hazard",
    "ventilation.background.none",
)  # fmt: skip
"""The figure is where the rule begins to ask, not what it asks."""

HAIR = 1e-6


def relation_of(rule: str, word: str, found: Any, limit: Any) -> Relation:
    """How ``limit`` binds ``found``; empty where a figure stands on no or one side, or decides nothing.

    It never speaks against the finding: one that is met, or broken, for another reason has none.

    >>> relation_of("escape.width", "fails", 415.5, 450.0), relation_of("movement.gap", "advise", 12.0, 10.0)
    ('at_least', 'at_most')
    """
    if not (_is_figure(found) and _is_figure(limit)):
        return ""
    least = found >= limit - HAIR * abs(limit)
    most = found <= limit + HAIR * abs(limit)
    bound = _bound(rule)
    if bound == "between":
        bound = "at_most" if least and not most and word != "meets" else "at_least"
    holds = {"at_least": least, "at_most": most}.get(bound)
    if holds is None or (word == "meets" and not holds) or (word in ("fails", "worse") and holds):
        return ""
    return "at_least" if bound == "at_least" else "at_most"


def _is_figure(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _bound(rule: str) -> str:
    """The bound of the rule, or of the narrowest group it belongs to that has one."""
    tables = {"at_least": AT_LEAST, "at_most": AT_MOST, "between": BETWEEN, "": NEITHER}
    of = {name: bound for bound, names in tables.items() for name in names}
    while rule:
        if rule in of:
            return of[rule]
        rule = rule.rpartition(".")[0]
    return ""
