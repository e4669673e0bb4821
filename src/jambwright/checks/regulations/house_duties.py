"""Duties of the whole work: consents, notification and papers, hazards before work."""

from __future__ import annotations

from jambwright.basis.tables import table
from jambwright.checks.regulations.facts import HouseFacts
from jambwright.checks.regulations.rule import Rule, RuleSet
from jambwright.checks.verdict import Verdict, Word

_PAPERS = (
    "Owed: compliance or completion certificate, insurance-backed and written guarantee, specification "
    "(U-value or band, glass marks, ventilator areas), ventilation and energy information, care notes, "
    "keys with a showing of escape locks and restrictors, waste transfer note, asbestos and lead findings, "
    "as-fitted sizes."
)


def check_heritage(facts: HouseFacts, rules: RuleSet) -> list[Verdict]:
    """Findings on consents: listed, conservation area, flat, the look, new window to the side."""
    found = [
        _protected(rules["heritage.consent"], facts.listed, "listed", facts),
        _protected(rules["heritage.area"], facts.conservation_area, "in a conservation area", facts),
    ]
    if facts.flat:
        found.append(_flat_finding(rules["heritage.flat"], facts))
    if look := rules.get("heritage.look"):
        found.append(look.verdict(look.not_met or "advise", f"For planning: {look.limit}."))
    if facts.new_side_window_clear_below_mm is not None:
        found.append(_side_finding(facts.new_side_window_clear_below_mm, rules))
    return found


def _flat_finding(rule: Rule, facts: HouseFacts) -> Verdict:
    free = rule.not_met == "advise"
    if free and facts.conservation_area is None:
        return rule.unknown(["conservation_area"])
    word: Word = "advise" if free and not facts.conservation_area else "refer"
    ask = "" if word == "advise" else " Ask the planning office before ordering."
    return rule.verdict(word, f"For planning, a flat: {rule.limit}.{ask}", found="flat")


def _side_finding(clear_below_mm: float, rules: RuleSet) -> Verdict:
    rule = rules.get("heritage.side_window")
    if rule is None:
        why = "No figure is held for a new upper window to the side in this nation: ask the planning office."
        return rules["heritage.consent"].verdict(
            "refer", why, found=clear_below_mm, limit="not held", unit="mm"
        )
    why = f"A new upper window to the side is obscured and fixed below {rule.figure:g} mm above the floor."
    return rule.judge(clear_below_mm >= rule.figure, why, found=clear_below_mm)


def _protected(rule: Rule, protected: bool | None, said: str, facts: HouseFacts) -> Verdict:
    if missing := rule.unknown_from(facts):
        return missing
    why = (
        f"The house is {said}: ask the council before ordering." if protected else f"The house is not {said}."
    )
    return rule.judge(not protected, why, found=protected)


def check_notify(facts: HouseFacts, rules: RuleSet) -> list[Verdict]:
    """Findings on who is told of the work, and the papers owed after it."""
    found = [_route_finding(facts, rules)]
    if facts.structure_changed or facts.lintel_missing:
        where = f" ({', '.join(facts.lintel_missing)})" if facts.lintel_missing else ""
        why = f"Load-bearing parts change or a lintel is missing{where}: apply to building control first."
        found.append(rules["notify.structure"].verdict("refer", why))
    return [*found, *_asked_about(facts, rules), rules["notify.papers"].verdict("advise", _PAPERS)]


def _asked_about(facts: HouseFacts, rules: RuleSet) -> list[Verdict]:
    """What the nation's route leaves open: doors, parts that open made smaller, flats."""
    found = []
    door, flat = rules.get("notify.door"), rules.get("notify.flat")
    if door and facts.doors is not False:
        why = (
            "An application is believed to be asked for external doors: ask building control before the work."
        )
        found.append(door.verdict("refer", why, found="not said" if facts.doors is None else "doors"))
    if door and facts.smaller_parts:
        which = ", ".join(facts.smaller_parts)
        why = f"The part that opens is made smaller than it was ({which}): ask building control before the work."
        found.append(rules["notify.structure"].verdict("refer", why, found=which))
    if flat and facts.flat:
        why = "Windows of a flat may need a warrant even in the same opening: ask before the work."
        found.append(flat.verdict("refer", why, found="flat"))
    return found


def _route_finding(facts: HouseFacts, rules: RuleSet) -> Verdict:
    rule = rules["notify.route"]
    if rule.not_met != "fails":
        return rule.verdict(rule.not_met or "advise", f"{str(rule.limit).capitalize()}.")
    if missing := rule.unknown_from(facts):
        return missing
    if facts.registered_installer:
        days = f"{rules['notify.papers'].figure:g} days"
        why = f"A registered installer certifies the work; householder and council hear within {days}."
        return rule.verdict("meets", why, found="registered")
    if facts.notice_date:
        why = f"Building notice was given on {facts.notice_date.isoformat()}; keep its reference."
        return rule.verdict("meets", why, found="notice given")
    why = (
        "Nobody registered certifies the work: give building notice before it starts, pay the fee, and keep the "
        "day of the notice."
    )
    return rule.verdict("refer", why, found="no notice given")


def check_hazards(facts: HouseFacts, rules: RuleSet) -> list[Verdict]:
    """Hazards to settle before work; each defers to the specialist it needs."""
    told = [row["rule"] for row in table("hazard_advice") if row["always"] == "yes"]
    return [
        _asbestos(facts, rules["hazard.asbestos"]),
        _lead(facts, rules["hazard.lead"], rules["hazard.lead_possible"]),
        _structure(facts, rules["hazard.structure"]),
        _lifting(facts, rules["hazard.lifting"]),
        *(rules[rule_id].verdict("advise", _advice(rules[rule_id])) for rule_id in told),
    ]


def _advice(rule: Rule) -> str:
    return str(table("hazard_advice").find(rule=rule.id)["advice"])


def _asbestos(facts: HouseFacts, rule: Rule) -> Verdict:
    if facts.built_year is None:
        return rule.unknown(["built_year"])
    if facts.built_year >= rule.figure:
        why = "Built after the ban; stop all the same if something looks like it."
        return rule.verdict("meets", why, found=facts.built_year)
    return rule.verdict("refer", _advice(rule), found=facts.built_year)


def _lead(facts: HouseFacts, likely: Rule, possible: Rule) -> Verdict:
    year = facts.built_year
    if year is None:
        return likely.unknown(["built_year"])
    if year < likely.figure:
        return likely.verdict("refer", _advice(likely), found=year)
    if year <= possible.figure:
        return possible.verdict("advise", _advice(possible), found=year)
    return possible.verdict("meets", "Lead paint is not expected.", found=year)


def _structure(facts: HouseFacts, rule: Rule) -> Verdict:
    loaded = bool(facts.lintel_missing) or facts.structure_changed
    return rule.verdict("refer" if loaded else "advise", _advice(rule), found=list(facts.lintel_missing))


def _lifting(facts: HouseFacts, rule: Rule) -> Verdict:
    heaviest = facts.heaviest_kg
    return rule.judge(heaviest is not None and heaviest <= rule.figure, _advice(rule), found=heaviest)
