"""All rules run on one opening, or on the house and the work as a whole."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from jambwright.checks.regulations.duties import check_access, check_fire, check_security
from jambwright.checks.regulations.energy import check_energy
from jambwright.checks.regulations.escape import best_escape
from jambwright.checks.regulations.escape_opening import hinge_way
from jambwright.checks.regulations.facts import (
    EscapeFacts,
    GuardingFacts,
    HouseFacts,
    LightFacts,
    OpenerFacts,
    OpeningFacts,
    RoomAir,
)
from jambwright.checks.regulations.flues import check_combustion_vent, check_flue
from jambwright.checks.regulations.guarding import check_guarding
from jambwright.checks.regulations.house_duties import check_hazards, check_heritage, check_notify
from jambwright.checks.regulations.rule import RuleSet, rules_in_force
from jambwright.checks.regulations.safety_glass import check_pane
from jambwright.checks.regulations.ventilation import check_background, check_purge
from jambwright.checks.verdict import Verdict


def check_opening(facts: OpeningFacts) -> list[Verdict]:
    """Every finding on one opening by the rules of its nation on the day of the work.

    Raises ``BadInput`` when the nation is not known or a stroke or glass class can't be.
    """
    rules = rules_in_force(facts.nation, facts.date)
    about = f"{facts.name}: " if facts.name else ""
    air = room_air(facts)
    energy = replace(
        facts.energy,
        kind=facts.energy.kind or facts.kind,
        protected_look=facts.energy.protected_look or facts.protected_look,
    )
    escape = in_group("escape", rules, lambda: _escape(facts, rules, about))
    serves = facts.room_needs_escape
    if serves is None:
        serves = any(verdict.rule == "escape.area" for verdict in escape)
    groups: list[tuple[str, Callable[[], list[Verdict]]]] = [
        ("guarding", lambda: _guarding(facts, rules, about, serves_escape=serves)),
        ("safety_glass", lambda: [v for pane in facts.panes for v in check_pane(pane, rules)]),
        ("ventilation.background", lambda: [] if facts.air_told_at else check_background(air, rules)),
        ("ventilation.purge", lambda: [] if facts.air_told_at else check_purge(air, rules)),
        ("energy", lambda: check_energy(energy, rules, about)),
        ("flue", lambda: _flue(facts, rules, about)),
        ("access", lambda: check_access(facts.access, rules, about) if facts.access else []),
        ("fire", lambda: check_fire(facts.fire, rules, about) if facts.fire else []),
        ("security", lambda: [check_security(facts.product_tested, rules, about)]),
    ]
    return [*escape, *(verdict for group, run in groups for verdict in in_group(group, rules, run))]


def check_house(facts: HouseFacts) -> list[Verdict]:
    """Every finding on the house and the work: consents, notification, papers, hazards."""
    rules = rules_in_force(facts.nation, facts.date)
    return [
        *in_group("heritage", rules, lambda: check_heritage(facts, rules)),
        *in_group("notify", rules, lambda: check_notify(facts, rules)),
        *in_group("hazard", rules, lambda: check_hazards(facts, rules)),
    ]


def in_group(group: str, rules: RuleSet, run: Callable[[], list[Verdict]]) -> list[Verdict]:
    """The findings of one group, or one that says no edition is held for the day of the work."""
    return rules.not_held(group) or run()


def room_air(facts: OpeningFacts) -> RoomAir:
    """The air of the room: this opening's ventilators and openers with those of the room's others."""
    vents = tuple(v for light in facts.lights for v in light.vents_mm2)
    return RoomAir(
        name=facts.name,
        use=facts.room.use,
        floor_area_m2=facts.floor_area_m2,
        mechanical=facts.mechanical,
        old_vent_mm2=facts.old_vent_mm2,
        vents=vents + facts.other_vents_mm2,
        openers=tuple(opener_of(light) for light in facts.openers) + facts.other_openers,
        old_openers=facts.old_openers,
        extract_fan=facts.extract_fan,
        protected_look=facts.protected_look,
    )


def opener_of(light: LightFacts) -> OpenerFacts:
    """A light as something that airs the room; a turned sash counts as opened square."""
    return OpenerFacts(
        width_mm=light.sash_width_mm if light.sash_width_mm is not None else light.frame_clear_width_mm,
        height_mm=light.sash_height_mm if light.sash_height_mm is not None else light.frame_clear_height_mm,
        hinge=light.hinge,
        open_angle_deg=90.0 if hinge_way(light.hinge)["way"] == "turn" else light.open_angle_deg,
        rests_on=light.rests_on,
    )


def _escape(facts: OpeningFacts, rules: RuleSet, about: str) -> list[Verdict]:
    serving = facts.openers or facts.lights
    named = [(_named(about, light), _escape_facts(facts, light)) for light in serving]
    return best_escape(named or [(about, EscapeFacts(room=facts.room, old=facts.old))], rules)


def _named(about: str, light: LightFacts) -> str:
    return f"{about}light {light.mark}: "


def _escape_facts(facts: OpeningFacts, light: LightFacts) -> EscapeFacts:
    return EscapeFacts(
        room_needs=facts.room_needs_escape,
        room=facts.room,
        hinge=light.hinge,
        frame_clear_width_mm=light.frame_clear_width_mm,
        frame_clear_height_mm=light.frame_clear_height_mm,
        obstruction_mm=light.obstruction_mm,
        open_angle_deg=light.open_angle_deg,
        bottom_above_floor_mm=light.bottom_above_floor_mm,
        clear_width_mm=light.clear_width_mm,
        clear_height_mm=light.clear_height_mm,
        restrictor=light.restrictor,
        old=facts.old,
        rests_on=light.rests_on,
    )


def _guarding(facts: OpeningFacts, rules: RuleSet, about: str, *, serves_escape: bool) -> list[Verdict]:
    """Each opening light over a drop, and glass that would hold people back there."""
    found = [
        verdict
        for light in facts.openers
        for verdict in check_guarding(
            GuardingFacts(
                kind=facts.kind,
                bottom_above_floor_mm=light.bottom_above_floor_mm,
                drop_outside_mm=facts.drop_outside_mm,
                children=facts.children,
                room_needs_escape=serves_escape,
                restrictor=light.restrictor,
                guard_height_mm=facts.guard_height_mm,
                old_bottom_above_floor_mm=facts.old.bottom_above_floor_mm if facts.old else None,
                over_street=facts.over_street,
                sill_above_floor_mm=facts.sill_above_floor_mm,
                rests_on=light.rests_on,
            ),
            rules,
            _named(about, light),
        )
    ]
    return found + _containment(facts, rules)


def _containment(facts: OpeningFacts, rules: RuleSet) -> list[Verdict]:
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
    if drop <= rules["guarding.drop"].figure:
        return []
    why = "glass low over a drop holds people back: laminate the leaf towards the room, and prove its load."
    return [
        rule.verdict("advise", f"{pane.name or 'pane'}: {why}", found=pane.bottom_above_floor_mm)
        for pane in low
    ]


def _flue(facts: OpeningFacts, rules: RuleSet, about: str) -> list[Verdict]:
    found = check_flue(facts.flue, rules, about) if facts.flue else []
    if facts.combustion_vent:
        found.append(check_combustion_vent(facts.permanent_vent_mm2, rules, about))
    return found
