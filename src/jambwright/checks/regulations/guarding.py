"""Guarding: openings low over a drop, and where that runs against escape."""

from __future__ import annotations

from jambwright.checks.regulations.facts import GuardingFacts
from jambwright.checks.regulations.rule import Rule, RuleSet
from jambwright.checks.verdict import Rest, Verdict, rests_of


def _ways_out(at_mm: float) -> str:
    return (
        f"Raise a transom so that the opener starts at {at_mm:g} mm with a fixed laminated light below, "
        "or fit a child-resistant restrictor that can be released; never a fixed bar across a way out."
    )


def check_guarding(facts: GuardingFacts, rules: RuleSet, about: str = "") -> list[Verdict]:
    """Findings on one opening over a drop."""
    main = _main_rule(facts, rules)
    missing = main.unknown_from(facts, about)
    found = [missing] if missing else [_guard_finding(facts, main, rules, about)]
    found += _gaps_finding(facts, main, rules, about)
    if not missing and _low_over_drop(facts, main, rules) and facts.room_needs_escape:
        found.append(_conflict_finding(facts, main, rules, about))
    street = rules.get("guarding.highway")
    if facts.over_street and street:
        why = (
            f"{about}nothing may open out over a street; order it to open inwards, or ask the highway office."
        )
        found.append(street.verdict("refer", why))
    return found


def _main_rule(facts: GuardingFacts, rules: RuleSet) -> Rule:
    if facts.kind == "door":
        return rules["guarding.balcony"]
    return rules.get("guarding.restrictor") or rules["guarding.height"]


def _low_over_drop(facts: GuardingFacts, main: Rule, rules: RuleSet) -> bool:
    drop, bottom = facts.drop_outside_mm, facts.bottom_above_floor_mm
    if drop is None or drop <= rules["guarding.drop"].figure:
        return False
    return facts.kind == "door" or (bottom is not None and bottom < main.figure)


def _guard_finding(facts: GuardingFacts, main: Rule, rules: RuleSet, about: str) -> Verdict:
    bottom, drop, allowed = facts.bottom_above_floor_mm, facts.drop_outside_mm, rules["guarding.drop"].figure
    start = "" if bottom is None else f"bottom {bottom:g} mm above the floor, "
    said = f"{about}{start}drop outside {drop:g} mm"
    if not _low_over_drop(facts, main, rules):
        why = f"{said}; a guard is asked below {main.figure:g} mm over a drop of more than {allowed:g} mm."
        return main.verdict("meets", why, found=bottom, rests_on=_rests_on(facts, main, rules))
    if main.id == "guarding.restrictor":
        return _restrictor_finding(facts, main, said)
    if facts.guard_height_mm is not None and facts.guard_height_mm >= main.figure:
        why = f"{said}; a guard stands to {facts.guard_height_mm:g} mm."
        return main.verdict("meets", why, found=facts.guard_height_mm)
    return _against_old(facts, main, rules, said)


def _rests_on(facts: GuardingFacts, main: Rule, rules: RuleSet) -> tuple[Rest, ...]:
    """Where there is no drop, or the sill itself is high enough, no frame's figure decides."""
    no_drop = (facts.drop_outside_mm or 0.0) <= rules["guarding.drop"].figure
    high = facts.sill_above_floor_mm is not None and facts.sill_above_floor_mm >= main.figure
    return () if no_drop or high else rests_of(facts.rests_on, "bottom_above_floor_mm")


def _restrictor_finding(facts: GuardingFacts, main: Rule, said: str) -> Verdict:
    if facts.restrictor == "releasable":
        return main.verdict("meets", f"{said}; a releasable restrictor is ordered.", found="releasable")
    why = f"{said}; order a restrictor that limits the opening and can be released."
    return main.verdict(main.not_met or "fails", why, found=facts.bottom_above_floor_mm)


def _against_old(facts: GuardingFacts, main: Rule, rules: RuleSet, said: str) -> Verdict:
    """No worse than before where the law says so; else, or when nothing is known of before, the limit."""
    relief, old, bottom = (
        rules.get("guarding.replacement"),
        facts.old_bottom_above_floor_mm,
        facts.bottom_above_floor_mm,
    )
    need = f"{said}; a guard or solid part is asked up to {main.figure:g} mm. {_ways_out(main.figure)}"
    if relief is None or old is None or bottom is None:
        tail = " If the old opening was as low, give its height." if relief and facts.kind == "window" else ""
        return main.verdict(main.not_met or "fails", need + tail, found=bottom)
    if bottom < min(old, main.figure):
        why = f"{need} The old opening started at {old:g} mm, so this is worse than before."
        return main.verdict("worse", why, found=bottom, source=relief.source)
    why = f"{need} The old opening started at {old:g} mm, so this is no worse than before."
    return main.verdict("advise", why, found=bottom, source=relief.source)


def _gaps_finding(facts: GuardingFacts, main: Rule, rules: RuleSet, about: str) -> list[Verdict]:
    rule = rules["guarding.gaps"]
    if missing := rule.unknown_from(facts, about):
        return [missing]
    if facts.children and _low_over_drop(facts, main, rules):
        why = f"{about}children under five are likely: no gap may pass a ball of {rule.figure:g} mm, "
        return [rule.verdict(rule.not_met or "advise", f"{why}and nothing level to climb on.")]
    return []


def _conflict_finding(facts: GuardingFacts, main: Rule, rules: RuleSet, about: str) -> Verdict:
    rule = rules["guarding.escape"]
    why = f"{about}this opening is a way out and low over a drop. {_ways_out(main.figure)}"
    return rule.verdict("advise", why, found=facts.bottom_above_floor_mm)
