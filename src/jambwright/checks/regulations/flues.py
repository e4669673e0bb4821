"""Flue terminals near an opening, and the vent that feeds an appliance."""

from __future__ import annotations

from jambwright.basis.tables import table
from jambwright.checks.regulations.facts import FlueFacts
from jambwright.checks.regulations.rule import Rule, RuleSet
from jambwright.checks.verdict import Verdict

_ASK = "Don't fit before a registered engineer for the appliance has agreed."


def check_flue(facts: FlueFacts, rules: RuleSet) -> list[Verdict]:
    """Findings on one flue terminal: to the nearest opener, and to the hole for the frame."""
    absent = [name for name in ("appliance", "direction") if getattr(facts, name) is None]
    if absent:
        return [rules["flue.gas_fanned.opener"].unknown(absent)]
    if facts.appliance == "oil":
        return [_oil_finding(facts, rules["flue.oil.opener"])]
    to_opener = f"flue.gas_natural.{facts.direction}"
    opener = rules["flue.gas_fanned.opener" if facts.appliance == "gas_fanned" else to_opener]
    frame = rules[f"flue.{facts.appliance}.frame"]
    return [_opener_finding(facts, opener), _frame_finding(facts, frame)]


def check_combustion_vent(permanent_vent_mm2: float | None, rules: RuleSet) -> Verdict:
    """The finding where the old window held a permanently open vent that feeds an appliance."""
    rule = rules["flue.combustion_air"]
    why = "the old window held a permanently open vent for an appliance; the new one needs a vent that "
    why += f"can't be closed (a trickle vent does not count). {_ASK}"
    return rule.verdict(
        "refer" if permanent_vent_mm2 else rule.not_met or "fails", why, found=permanent_vent_mm2
    )


def _oil_finding(facts: FlueFacts, rule: Rule) -> Verdict:
    if facts.direction == "above":
        why = f"no distance is held for an oil flue above an opening. {_ASK}"
        return rule.verdict("refer", why, found=facts.to_opener_mm, limit="not held")
    return _opener_finding(facts, rule)


def _opener_finding(facts: FlueFacts, rule: Rule) -> Verdict:
    if missing := rule.unknown_from(facts):
        return missing
    asked = rule.figure if isinstance(rule.limit, float) else _by_input(facts)
    found = facts.to_opener_mm or 0.0
    why = f"flue {found:g} mm {facts.direction} the nearest opener or vent, {asked:g} mm is asked."
    if found >= asked:
        return rule.verdict("meets", why, found=found, limit=asked)
    if facts.old_to_opener_mm is not None and found >= facts.old_to_opener_mm:
        why += f" It was {facts.old_to_opener_mm:g} mm before, so it is no worse. {_ASK}"
        return rule.verdict("refer", why, found=found, limit=asked)
    why += f" Keep the light by the flue fixed, or move the opener. {_ASK}"
    return rule.verdict(rule.not_met or "fails", why, found=found, limit=asked)


def _by_input(facts: FlueFacts) -> float:
    """Distance for a natural draught flue, by heat input."""
    kw = facts.input_kw or 0.0
    rows = table("flue_natural_draught")
    row = next(r for r in rows if r["up_to_kw"] is None or kw <= r["up_to_kw"])
    return float(row[facts.direction or "below"])


def _frame_finding(facts: FlueFacts, rule: Rule) -> Verdict:
    if missing := rule.unknown_from(facts):
        return missing
    found = facts.to_frame_mm or 0.0
    why = f"flue terminal {found:g} mm from the hole for the frame, {rule.figure:g} mm is asked."
    return rule.judge(found >= rule.figure, why if found >= rule.figure else f"{why} {_ASK}", found=found)
