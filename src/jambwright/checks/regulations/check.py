"""All rules run on one opening, or on the house and the work as a whole."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from jambwright.checks.regulations.duties import check_access, check_fire, check_security
from jambwright.checks.regulations.energy import check_daylight, check_energy
from jambwright.checks.regulations.escape import best_escape, check_escape
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
from jambwright.checks.regulations.guarding import check_cleaning, check_containment, check_guarding
from jambwright.checks.regulations.house_duties import check_hazards, check_heritage, check_notify
from jambwright.checks.regulations.rule import RuleSet, rules_for
from jambwright.checks.regulations.safety_glass import check_pane
from jambwright.checks.regulations.ventilation import check_background, check_purge
from jambwright.checks.verdict import PartOfOpening, Verdict
from jambwright.readings.ways import way_of


def check_opening(facts: OpeningFacts) -> list[Verdict]:
    """Every finding on one opening by the rules of its nation on the day of the work.

    Raises ``BadInput`` when the nation is not known or a stroke or glass class can't be.
    """
    rules = rules_for(facts.nation, facts.work)
    air = room_air(facts)
    energy = replace(
        facts.energy,
        kind=facts.energy.kind or facts.kind,
        protected_look=facts.energy.protected_look or facts.protected_look,
    )
    escape = in_group("escape", rules, lambda: _escape(facts, rules))
    serves = facts.room_needs_escape
    if serves is None:
        serves = any(verdict.rule == "escape.area" for verdict in escape)
    groups: list[tuple[str, Callable[[], list[Verdict]]]] = [
        ("guarding", lambda: _guarding(facts, rules, serves_escape=serves)),
        ("safety_glass", lambda: [v for pane in facts.panes for v in check_pane(pane, rules)]),
        ("ventilation.background", lambda: [] if facts.air_told_at else check_background(air, rules)),
        ("ventilation.purge", lambda: [] if facts.air_told_at else check_purge(air, rules)),
        ("energy", lambda: [*check_energy(energy, rules), *_daylight(facts, rules)]),
        ("flue", lambda: _flue(facts, rules)),
        ("access", lambda: check_access(facts.access, rules) if facts.access else []),
        ("fire", lambda: check_fire(facts.fire, rules) if facts.fire else []),
        ("security", lambda: [check_security(facts.product_tested, rules)]),
    ]
    return [*escape, *(verdict for group, run in groups for verdict in in_group(group, rules, run))]


def check_house(facts: HouseFacts) -> list[Verdict]:
    """Every finding on the house and the work: consents, notification, papers, hazards."""
    rules = rules_for(facts.nation, facts.work)
    return [
        *in_group("heritage", rules, lambda: check_heritage(facts, rules)),
        *in_group("notify", rules, lambda: check_notify(facts, rules)),
        *in_group("hazard", rules, lambda: check_hazards(facts, rules)),
    ]


def in_group(group: str, rules: RuleSet, run: Callable[[], list[Verdict]]) -> list[Verdict]:
    """The findings of one group, or one that says no figures are held for the day of the work."""
    return rules.not_held(group) or [*run(), *rules.notice_wanted(group)]


def room_air(facts: OpeningFacts) -> RoomAir:
    """The air of the room: this opening's ventilators and openers with those of the room's others."""
    vents = tuple(v for light in facts.lights for v in light.vents_mm2)
    return RoomAir(
        use=facts.room.use,
        floor_area_m2=facts.floor_area_m2,
        mechanical=facts.mechanical,
        old_vent_mm2=facts.old_vent_mm2,
        vents=vents + facts.other_vents_mm2,
        openers=openers_of(facts.lights) + facts.other_openers,
        old_openers=facts.old_openers,
        extract_fan=facts.extract_fan,
        protected_look=facts.protected_look,
    )


def openers_of(lights: Sequence[LightFacts]) -> tuple[OpenerFacts, ...]:
    """What airs the room; leaves that leave one clear opening between them only once."""
    return tuple(opener_of(light) for light in lights if light.opens and not light.told_at_another)


def opener_of(light: LightFacts) -> OpenerFacts:
    """A light as something that airs the room; a turned sash counts as opened square."""
    if light.slid:
        declared = light.clear_width_mm is not None and light.clear_height_mm is not None
        return OpenerFacts(
            width_mm=light.clear_width_mm if declared else light.slid.width_mm,
            height_mm=light.clear_height_mm if declared else light.slid.height_mm,
            hinge=light.hinge,
            open_angle_deg=light.open_angle_deg,
            top_above_floor_mm=_top_mm(light),
            rests_on=light.rests_on,
        )
    return OpenerFacts(
        width_mm=light.sash_width_mm if light.sash_width_mm is not None else light.frame_clear_width_mm,
        height_mm=light.sash_height_mm if light.sash_height_mm is not None else light.frame_clear_height_mm,
        hinge=light.hinge,
        open_angle_deg=90.0 if way_of(light.hinge).clear == "turn" else light.open_angle_deg,
        top_above_floor_mm=_top_mm(light),
        rests_on=light.rests_on,
    )


def _top_mm(light: LightFacts) -> float | None:
    bottom, height = light.bottom_above_floor_mm, light.frame_clear_height_mm
    return None if bottom is None or height is None else bottom + height


def _escape(facts: OpeningFacts, rules: RuleSet) -> list[Verdict]:
    serving = [light for light in facts.openers or facts.lights if light.pair != "slave"]
    if not serving:
        return check_escape(EscapeFacts(room=facts.room, old=facts.old), rules)
    alone = [(light.mark, _escape_facts(facts, light)) for light in serving]
    pairs = [light for light in serving if light.both_frame_width_mm and light.clear_width_mm is None]
    both = [(light.mark, _with_both_leaves(facts, light)) for light in pairs]
    return best_escape([*alone, *both], rules)


def _with_both_leaves(facts: OpeningFacts, light: LightFacts) -> EscapeFacts:
    """A pair with both leaves open: the whole clear frame, blocked at both jambs."""
    blocked = None if light.obstruction_mm is None else 2 * light.obstruction_mm
    spread = replace(light, frame_clear_width_mm=light.both_frame_width_mm, obstruction_mm=blocked)
    return replace(_escape_facts(facts, spread), both_leaves=True)


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
        slid=light.slid,
        slides_as_door=facts.kind == "door" and way_of(light.hinge).walked_through,
        restrictor=light.restrictor,
        both_leaves=light.clear_of_both,
        old=facts.old,
        rests_on=light.rests_on,
    )


def _guarding(facts: OpeningFacts, rules: RuleSet, *, serves_escape: bool) -> list[Verdict]:
    """Each opening light over a drop, glass that would hold people back there, and how the glass is cleaned."""
    found = [
        replace(verdict, part=PartOfOpening("light", light.mark))
        for light in facts.openers
        if not (
            facts.kind == "door" and light.told_at_another
        )  # what is walked through is guarded as a whole
        for verdict in check_guarding(_guarding_facts(facts, light, serves_escape=serves_escape), rules)
    ]
    inside = bool(facts.lights) and all(light.turns_inside for light in facts.lights)
    seen = GuardingFacts(
        kind=facts.kind, top_above_ground_mm=facts.top_above_ground_mm, cleaned_inside=inside or None
    )
    return [*found, *check_containment(facts, rules), *check_cleaning(seen, rules)]


def _guarding_facts(facts: OpeningFacts, light: LightFacts, *, serves_escape: bool) -> GuardingFacts:
    """A window light beside a door leaf is guarded as a window."""
    leaf = facts.kind == "door" and (
        light.hinge == "door" or not any(each.hinge == "door" for each in facts.lights)
    )
    return GuardingFacts(
        kind="door" if leaf else "window",
        bottom_above_floor_mm=light.bottom_above_floor_mm,
        drop_outside_mm=facts.drop_outside_mm,
        bottom_above_ground_mm=light.bottom_above_ground_mm,
        children=facts.children,
        room_needs_escape=serves_escape,
        restrictor=light.restrictor,
        guard_height_mm=facts.guard_height_mm,
        old_bottom_above_floor_mm=facts.old.bottom_above_floor_mm if facts.old else None,
        over_street=facts.over_street,
        sill_above_floor_mm=facts.sill_above_floor_mm,
        rests_on=light.rests_on,
    )


def _daylight(facts: OpeningFacts, rules: RuleSet) -> list[Verdict]:
    """Told once a room, where its air is told; bead to bead, so no more than there is."""
    if facts.air_told_at:
        return []
    sizes = [(pane.width_mm, pane.height_mm) for pane in facts.panes]
    known = all(w is not None and h is not None for w, h in sizes)
    glass = sum((w or 0.0) * (h or 0.0) * 1e-6 for w, h in sizes) + facts.other_glass_m2
    return check_daylight(facts.room.use, facts.floor_area_m2, glass if known else None, rules)


def _flue(facts: OpeningFacts, rules: RuleSet) -> list[Verdict]:
    found = check_flue(facts.flue, rules) if facts.flue else []
    if facts.combustion_vent:
        found.append(check_combustion_vent(facts.permanent_vent_mm2, rules))
    return found
