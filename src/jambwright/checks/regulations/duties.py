"""Duties that come with one opening: access at the threshold, fire at the boundary, security."""

from __future__ import annotations

from jambwright.basis.tables import table
from jambwright.basis.units import show_m2
from jambwright.checks.figures import HAIR
from jambwright.checks.regulations.facts import AccessFacts, FireFacts
from jambwright.checks.regulations.rule import RuleSet
from jambwright.checks.verdict import Verdict, rests_of


def check_access(facts: AccessFacts, rules: RuleSet) -> list[Verdict]:
    """Findings on a door as a way in: a level threshold stays level, the width is kept."""
    return [_threshold_finding(facts, rules), _width_finding(facts, rules)]


def _threshold_finding(facts: AccessFacts, rules: RuleSet) -> Verdict:
    target, kept = rules["access.upstand"], rules.get("access.kept")
    rule = kept if kept and facts.old_level_threshold else target
    if missing := target.unknown_from(facts):
        return missing
    found = facts.upstand_mm or 0.0
    why = f"threshold upstand {found:g} mm; {target.figure:g} mm or less counts as level."
    if rule is kept and found > target.figure:
        why += " The old threshold was level and must stay so: order a low threshold."
    by = rests_of(facts.rests_on, "upstand_mm")
    return rule.judge(found <= target.figure, why, found=found, limit=target.figure, rests_on=by)


def _width_finding(facts: AccessFacts, rules: RuleSet) -> Verdict:
    target, kept = rules["access.width"], rules.get("access.width_kept")
    if missing := (kept or target).unknown_from(facts):
        return missing
    new, old = facts.clear_width_mm or 0.0, facts.old_clear_width_mm
    if kept and old is not None and new < old - HAIR and new < target.figure:
        why = f"clear width {new:g} mm where {old:g} mm was there; keep at least as much: "
        why += "a slimmer frame, a thinner leaf or hinges that swing it clear."
        return kept.verdict("worse", why, found=new, limit=old)
    why = f"clear width {new:g} mm; {target.figure:g} mm is asked at the main door of a new home."
    by = rests_of(facts.rests_on, "clear_width_mm")
    return target.judge(new >= target.figure, why, found=new, rests_on=by)


def check_fire(facts: FireFacts, rules: RuleSet) -> list[Verdict]:
    """Findings on a hole in a wall facing the neighbour, and on the edge of its cavity."""
    boundary = _boundary_finding(facts, rules)
    cavity, foam = rules.get("fire.cavity"), rules.get("fire.foam")
    found = [boundary]
    if cavity and facts.cavity_closed is not True:
        why = "see how the cavity is closed round it: a plastic frame alone is no cavity barrier."
        found.append(cavity.verdict("advise", why, found=facts.cavity_closed))
    if foam and boundary.word == "refer":
        why = "ordinary foam has no fire duty, and fire foam only in the joint it was tested for."
        found.append(foam.verdict("advise", why))
    return found


def _boundary_finding(facts: FireFacts, rules: RuleSet) -> Verdict:
    near = rules["fire.boundary"]
    new, old, away = facts.opening_area_m2, facts.old_opening_area_m2, facts.to_boundary_m
    if new is not None and old is not None and new <= old + HAIR:
        # how far the boundary is makes no difference then
        why = f"opening {show_m2(new)} m² where {show_m2(old)} m² was, so it is no bigger. "
        why += "Keep fixed and fire-resisting lights fixed."
        return near.verdict("meets", why, found=new, limit=old, unit="m2", by_figure=False)
    if missing := near.unknown_from(facts):
        return missing
    assert new is not None  # neither is missing now
    assert old is not None
    said = f"opening {show_m2(new)} m², {away:g} m from the boundary; {show_m2(old)} m² was there"
    return _enlarged_finding(facts, rules, said)


def _enlarged_finding(facts: FireFacts, rules: RuleSet, said: str) -> Verdict:
    to_boundary = facts.to_boundary_m or 0.0
    if to_boundary < rules["fire.boundary"].figure:
        rule = rules["fire.small_opening"]
        return rule.verdict(
            "refer", f"{said}, so it is bigger: ask building control.", found=facts.opening_area_m2
        )
    rule = rules["fire.unprotected"]
    row = [r for r in table("unprotected_area") if r["to_boundary_m"] <= to_boundary][-1]
    allowed = "no limit" if row["area_m2"] is None else row["area_m2"]
    why = f"{said}, so it is bigger: all openings of that wall together count. Ask building control."
    return rule.verdict("refer", why, found=facts.wall_unprotected_area_m2, limit=allowed)


def check_security(product_tested: bool | None, rules: RuleSet) -> Verdict:
    """Advice on a product proved against break-in; a replacement is not bound to it."""
    rule = rules["security.product"]
    why = f"a product tested to {rule.limit} is advised at the ground floor and by flat roofs; "
    return rule.judge(bool(product_tested), f"{why}a replacement is not bound to it.", found=product_tested)
