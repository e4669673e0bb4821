"""Guarding: openings low over a drop, windows apart from doors, and where that runs against escape."""

from __future__ import annotations

from dataclasses import replace

from jambwright.checks.regulations.facts import GuardingFacts, OpeningFacts
from jambwright.checks.regulations.rule import Rule, RuleSet
from jambwright.checks.regulations.safety_glass import part_of
from jambwright.checks.verdict import Rest, Verdict, rests_of


def check_guarding(facts: GuardingFacts, rules: RuleSet) -> list[Verdict]:
    """Findings on one opening over a drop. A door is guarded across, never barred or given a sill."""
    main = rules["guarding.balcony" if facts.is_door else "guarding.height"]
    missing = main.unknown_from(facts)
    found = [missing] if missing else [_guard_finding(facts, main, rules)]
    found += _restrictor_finding(facts, rules)
    found += _gaps_finding(facts, main, rules)
    if not missing and _low_over_drop(facts, main, rules) and facts.room_needs_escape:
        found.append(_conflict_finding(facts, main, rules))
    return found + _street_finding(facts, rules)


def _drop_rule(rules: RuleSet, *, door: bool) -> Rule:
    """The drop over which a guard is asked; doors have one of their own in some nations."""
    return (rules.get("guarding.balcony_drop") if door else None) or rules["guarding.drop"]


def _low_over_drop(facts: GuardingFacts, main: Rule, rules: RuleSet) -> bool:
    drop, bottom = facts.drop_outside_mm, facts.bottom_above_floor_mm
    if drop is None or drop <= _drop_rule(rules, door=facts.is_door).figure:
        return False
    return facts.is_door or (bottom is not None and bottom < main.figure)


def _mend(facts: GuardingFacts, main: Rule, rules: RuleSet) -> str:
    """What to order instead."""
    if facts.is_door:
        return (
            f"Fix a guard across it to {main.figure:g} mm above the floor, proved for its load; "
            "never bar the door itself."
        )
    raised = (
        f"Raise a transom so that the opener starts at {main.figure:g} mm with a fixed laminated light below"
    )
    if rules.get("guarding.restrictor"):
        return f"{raised}; a restrictor alone does not do, and a fixed bar never goes across a way out."
    return f"{raised}, or fit a child-resistant restrictor that can be released; never a fixed bar across a way out."


def _guard_finding(facts: GuardingFacts, main: Rule, rules: RuleSet) -> Verdict:
    bottom, drop, over = (
        facts.bottom_above_floor_mm,
        facts.drop_outside_mm,
        _drop_rule(rules, door=facts.is_door),
    )
    start = "" if bottom is None else f"bottom {bottom:g} mm above the floor, "
    said = f"{start}drop outside {drop:g} mm"
    if not _low_over_drop(facts, main, rules):
        where = f"across a door to {main.figure:g} mm" if facts.is_door else f"below {main.figure:g} mm"
        why = f"{said}; a guard is asked {where} over a drop of more than {over.figure:g} mm."
        if facts.is_door and over.id == "guarding.balcony_drop":
            return over.verdict("meets", why, found=drop)
        return main.verdict("meets", why, found=bottom, rests_on=_rests_on(facts, main, over))
    if facts.guard_height_mm is not None and facts.guard_height_mm >= main.figure:
        why = f"{said}; a guard stands to {facts.guard_height_mm:g} mm."
        return main.verdict("meets", why, found=facts.guard_height_mm)
    return _against_old(facts, main, rules, said)


def _rests_on(facts: GuardingFacts, main: Rule, over: Rule) -> tuple[Rest, ...]:
    """Where there is no drop, or the sill itself is high enough, no frame's figure decides."""
    no_drop = (facts.drop_outside_mm or 0.0) <= over.figure
    high = facts.sill_above_floor_mm is not None and facts.sill_above_floor_mm >= main.figure
    return () if no_drop or high else rests_of(facts.rests_on, "bottom_above_floor_mm")


def _against_old(facts: GuardingFacts, main: Rule, rules: RuleSet, said: str) -> Verdict:
    """No worse than before where the law says so; else, or when nothing is known of before, the limit."""
    relief, old, bottom = (
        rules.get("guarding.replacement"),
        facts.old_bottom_above_floor_mm,
        facts.bottom_above_floor_mm,
    )
    asked = "a guard is asked across it" if facts.is_door else "a guard or solid part is asked"
    need = f"{said}; {asked} up to {main.figure:g} mm. {_mend(facts, main, rules)}"
    if relief is None or old is None or bottom is None:
        tail = " If the old opening was as low, give its height." if relief and not facts.is_door else ""
        return main.verdict(main.not_met or "fails", need + tail, found=bottom)
    if bottom < min(old, main.figure):
        why = f"{need} The old opening started at {old:g} mm, so this is worse than before."
        return main.verdict("worse", why, found=bottom, source=relief.source)
    why = f"{need} The old opening started at {old:g} mm, so this is no worse than before."
    return main.verdict("advise", why, found=bottom, source=relief.source)


def _restrictor_finding(facts: GuardingFacts, rules: RuleSet) -> list[Verdict]:
    """A window that opens high above the ground opens little at first, whatever its sill."""
    rule = rules.get("guarding.restrictor")
    if rule is None or facts.is_door:
        return []
    if missing := rule.unknown_from(facts):
        return [missing]
    above = facts.drop_outside_mm if facts.bottom_above_ground_mm is None else facts.bottom_above_ground_mm
    over = rules["guarding.drop"].figure
    said = f"the part that opens is {above:g} mm above the ground"
    if (above or 0.0) <= over:
        return [rule.verdict("meets", f"{said}; a restrictor is asked over {over:g} mm.", found=above)]
    if facts.restrictor == "releasable":
        return [rule.verdict("meets", f"{said}; a releasable restrictor is ordered.", found="releasable")]
    if facts.restrictor in ("key", "fixed"):
        freed = "only a key frees it" if facts.restrictor == "key" else "it can't be released"
        why = f"{said}; a restrictor is ordered, but {freed}: never on a way out."
        return [rule.verdict("advise", why, found=facts.restrictor)]
    why = (
        f"{said}; order a restrictor that lets it open no more than {rule.figure:g} mm at first "
        "and is released without a key."
    )
    return [rule.verdict(rule.not_met or "fails", why, found=above)]


def _gaps_finding(facts: GuardingFacts, main: Rule, rules: RuleSet) -> list[Verdict]:
    rule = rules["guarding.gaps"]
    if missing := rule.unknown_from(facts):
        return [missing]
    if facts.children and _low_over_drop(facts, main, rules):
        why = f"children under five are likely: no gap may pass a ball of {rule.figure:g} mm, "
        return [rule.verdict(rule.not_met or "advise", f"{why}and nothing level to climb on.")]
    return []


def _conflict_finding(facts: GuardingFacts, main: Rule, rules: RuleSet) -> Verdict:
    rule, found = rules["guarding.escape"], facts.bottom_above_floor_mm
    if facts.is_door:
        why = "this door is a way out with a drop behind it: ask building control how the guard and it agree."
        return rule.verdict("refer", why, found=found)
    why = f"this opening is a way out and low over a drop. {_mend(facts, main, rules)}"
    return rule.verdict("advise", why, found=found)


def _street_finding(facts: GuardingFacts, rules: RuleSet) -> list[Verdict]:
    if not facts.over_street:
        return []
    ask = "order it to open inwards, or ask the"
    if street := rules.get("guarding.highway"):
        why = f"nothing may open out over a street; {ask} highway office."
        return [street.verdict("refer", why)]
    if passers_by := rules.get("guarding.projection"):
        why = f"it opens out over a street, where it may strike who passes by; {ask} council."
        return [passers_by.verdict(passers_by.not_met or "advise", why)]
    why = f"it opens out over a street, and no rule on that is held for this nation; {ask} council."
    return [rules["guarding.drop"].verdict("refer", why, limit="not held")]


def check_containment(facts: OpeningFacts, rules: RuleSet) -> list[Verdict]:
    """Glass low over a drop bears the load of a guard: laminated as a rule, and proved."""
    rule, drop = rules["guarding.containment"], facts.drop_outside_mm
    low = [
        pane
        for pane in facts.panes
        if pane.bottom_above_floor_mm is not None
        and pane.bottom_above_floor_mm < rule.figure
        and not any(leaf.kind == "laminated" for leaf in pane.leaves)
    ]
    if drop is None:
        # openers ask for the drop themselves
        return [rules["guarding.drop"].unknown(["drop_outside_mm"])] if low and not facts.openers else []
    why = "glass low over a drop holds people back: laminate the leaf towards the room, and prove its load."
    return [
        replace(rule.verdict("advise", why, found=pane.bottom_above_floor_mm), part=part_of(pane))
        for pane in low
        if drop > _drop_rule(rules, door=pane.place == "door").figure
    ]


def check_cleaning(facts: GuardingFacts, rules: RuleSet) -> list[Verdict]:
    """Whether the glass can be cleaned without a fall, where the nation asks for it."""
    rule = rules.get("guarding.cleaning")
    if rule is None:
        return []
    if facts.top_above_ground_mm is None:
        return [rule.unknown(["top_above_ground_mm"])]
    top, inside = facts.top_above_ground_mm, facts.cleaned_inside
    why = f"glass up to {top:g} mm above the ground"
    if top <= rule.figure or inside:
        reached = "both faces are reached from inside" if inside else f"not over {rule.figure:g} mm"
        return [rule.verdict("meets", f"{why}; {reached}.", found=top)]
    ask = "order sashes that turn or open inwards, or ask how it is cleaned without a fall"
    return [rule.verdict(rule.not_met or "refer", f"{why}, over {rule.figure:g} mm; {ask}.", found=top)]
