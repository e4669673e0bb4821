"""Ventilation of a room: background ventilators by what was there, and airing through its openers."""

from __future__ import annotations

import math
from collections.abc import Iterable

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.basis.units import show_m2
from jambwright.checks.figures import HAIR
from jambwright.checks.regulations.escape_opening import angle_from_stroke_deg, swung_free_area_m2
from jambwright.checks.regulations.facts import OpenerFacts, RoomAir
from jambwright.checks.regulations.rule import Rule, RuleSet
from jambwright.checks.verdict import AGAINST, Verdict, rests_of
from jambwright.readings.ways import way_of


def vents_needed(required_mm2: float, each_mm2: float) -> int:
    """How many ventilators of one size make up an equivalent area.

    >>> vents_needed(8000, 2500), vents_needed(8000, 4000)
    (4, 2)
    """
    return math.ceil(required_mm2 / each_mm2 - HAIR)


def check_background(room: RoomAir, rules: RuleSet) -> list[Verdict]:
    """Findings on the background ventilators of one room."""
    about = f"{room.name}: " if room.name else ""
    if room.use is None:
        return [rules["ventilation.background.none"].unknown(["use"], about)]
    kind = table("room_uses").find(use=room.use)["background"]
    if kind == "none":
        rule = rules["ventilation.background.none"]
        return [rule.verdict("meets", f"{about}no background ventilator is asked of a {room.use}.", limit=0)]
    found = [_background_finding(room, kind, rules, about)]
    found += _after_work_finding(room, found[0], rules, about)
    return found + _open_plan_finding(room, rules, about) + _height_finding(room, rules, about)


def _background_finding(room: RoomAir, kind: str, rules: RuleSet, about: str) -> Verdict:
    by_use = rules[f"ventilation.background.{kind}"]
    kept = rules.get("ventilation.background.kept")
    if room.vents is None:
        return by_use.unknown(["vents"], about)
    total = 0.0 if room.night_latch_only else sum(room.vents)
    if room.mechanical is None:
        return by_use.unknown(["mechanical"], about)
    if room.mechanical == "balanced":
        rule = rules["ventilation.background.balanced"]
        why = f"{about}balanced ventilation of the whole house: window ventilators are not asked."
        return rule.verdict("refer" if rule.limit is None else "meets", why, found=total)
    if kept and room.old_vent_mm2:
        return _kept_finding(room, kept, total, about)
    if room.mechanical == "extract":
        return _extract_finding(room, kind, total, rules, about)
    return _against_figure(room, by_use, total, rules, about)


def _after_work_finding(room: RoomAir, short: Verdict, rules: RuleSet, about: str) -> list[Verdict]:
    """Where too little is no matter of no worse alone: the home must air well enough when the work is done."""
    rule = rules.get("ventilation.background.after_work")
    if rule is None or room.vents is None or short.word in ("meets", "advise", "unknown"):
        return []
    why = f"{about}no worse than before may not be enough here; ask building control."
    return [rule.verdict(rule.not_met or "refer", why, found=sum(room.vents))]


def _kept_finding(room: RoomAir, kept: Rule, total: float, about: str) -> Verdict:
    old = room.old_vent_mm2 or 0.0
    why = f"{about}{total:g} mm² equivalent area where {old:g} mm² was there"
    if total >= old - HAIR:
        return kept.verdict("meets", f"{why}; it must be possible to close them.", found=total, limit=old)
    return kept.verdict(kept.not_met or "worse", f"{why}. {_how_many(old)}", found=total, limit=old)


def _extract_finding(room: RoomAir, kind: str, total: float, rules: RuleSet, about: str) -> Verdict:
    rule = rules["ventilation.background.with_extract"]
    if kind != "habitable":
        why = f"{about}continuous extract in the house: none are asked of a wet room."
        return rule.verdict("meets" if rule.limit is not None else "refer", why, found=total, limit=0)
    return _against_figure(room, rule, total, rules, about)


def _against_figure(room: RoomAir, rule: Rule, total: float, rules: RuleSet, about: str) -> Verdict:
    has = f"{about}{total:g} mm² equivalent area"
    if rule.limit is None:
        return rule.verdict("refer", f"{has}; ask building control for the figure.", found=total)
    if isinstance(rule.limit, str):
        why = f"{has}; no figure is set, the largest practical is advised."
        return rule.judge(total > 0, why, found=total)
    why = f"{has}, {rule.figure:g} mm² is asked."
    if total >= rule.figure - HAIR:
        return rule.verdict("meets", why, found=total)
    why += f" {_how_many(rule.figure)} A customer's disclaimer does not lift this, and a night latch does not count."
    if eased := _eased(room, rule, total, rules):
        return rule.verdict("refer", f"{why} {eased}", found=total)
    return rule.verdict(rule.not_met or "fails", why, found=total)


def _eased(room: RoomAir, rule: Rule, total: float, rules: RuleSet) -> str:
    """Why building control may accept less; empty where nothing speaks for it."""
    least = rules.get("ventilation.background.least")
    if least and total >= least.figure - HAIR:
        return (
            "A lower set holds in a house shown to leak over 10 m³/h a m² at 50 Pa "
            f"({least.note}): ask for the test, and for which set applies."
        )
    if rule.test == "no_worse" and room.other_means:
        return "That the house is ventilated in another way is to be shown to building control."
    if room.protected_look:
        return "The look is protected: it may be relaxed where the character would be harmed."
    return ""


def _how_many(required_mm2: float) -> str:
    sizes = [row["each_mm2"] for row in table("vent_sizes")]
    counts = ", ".join(f"{vents_needed(required_mm2, each)} of {each:g}" for each in sizes)
    return f"As tested and marked on the product, that is {counts} mm²."


def _open_plan_finding(room: RoomAir, rules: RuleSet, about: str) -> list[Verdict]:
    rule = rules.get("ventilation.background.open_plan")
    if rule is None or room.use != "kitchen_living" or room.mechanical != "none" or room.vents is None:
        return []
    each = rules["ventilation.background.habitable"].figure
    wanted = rule.figure * each
    if sum(room.vents) >= wanted:
        return []
    why = f"{about}an open-plan kitchen and living space of a new home gets {rule.figure:g} of {each:g} mm²"
    return [rule.verdict("advise", f"{why}.", found=sum(room.vents), limit=wanted)]


def _height_finding(room: RoomAir, rules: RuleSet, about: str) -> list[Verdict]:
    rule, at = rules.get("ventilation.background.height"), room.vent_above_floor_mm
    if rule is None or at is None or at >= rule.figure:
        return []
    why = (
        f"{about}ventilator {at:g} mm above the floor; {rule.figure:g} mm or more keeps draughts off people."
    )
    return [rule.verdict("advise", why, found=at)]


def check_purge(room: RoomAir, rules: RuleSet) -> list[Verdict]:
    """Findings on the airing of one room through its openers."""
    about = f"{room.name}: " if room.name else ""
    wide = rules["ventilation.purge.wide"]
    if room.use is None:
        return [wide.unknown(["use"], about)]
    asked = table("room_uses").find(use=room.use)["purge"]
    if asked == "no":
        return [
            rules["ventilation.purge.none"].verdict("meets", f"{about}no opener is asked of a {room.use}.")
        ]
    wet = rules.get("ventilation.purge.wet_room") if asked == "wet" else None
    fan = room.extract_fan or room.mechanical in ("extract", "balanced")
    if wet and fan:
        return [_wet_room_finding(room, wet, about)]
    if missing := wide.unknown_from(room, about):
        return [missing]
    if wide.limit is None:
        return [wide.verdict("refer", f"{about}ask building control how large the openers must be.")]
    by_angle = rules["ventilation.purge.wide_angle"].figure > 0
    if unread := _unread(room.openers or (), by_angle=by_angle):
        return [wide.unknown(unread, about)]
    finding = _share_finding(room, rules, about)
    high = _high_finding(room, rules, about)
    if wet and finding.word in AGAINST and room.extract_fan is None:
        ask = " With an extract fan in the room any opener does: say whether there is one."
        return [wet.verdict("unknown", finding.why + ask, found=finding.found), *high]
    return [finding, *high]


def _high_finding(room: RoomAir, rules: RuleSet, about: str) -> list[Verdict]:
    """Whether some of what opens stands high, where the nation asks for it."""
    rule = rules.get("ventilation.purge.high")
    opening = [opener.top_above_floor_mm for opener in room.openers or () if opener.opens]
    if rule is None or any(top is not None and top >= rule.figure for top in opening):
        return []
    known = [top for top in opening if top is not None]
    at = (
        f"the highest opener ends {max(known):g} mm above the floor"
        if known
        else "how high it opens is not known"
    )
    why = f"{about}{at}; some of what opens is to stand at or over {rule.figure:g} mm."
    return [rule.verdict(rule.not_met or "advise", why, found=max(known, default=None))]


def _wet_room_finding(room: RoomAir, rule: Rule, about: str) -> Verdict:
    if room.openers is None:
        return rule.unknown(["openers"], about)
    opens = any(opener.opens for opener in room.openers)
    why = f"{about}a wet room with an extract fan: any opener does, no size is set."
    return rule.judge(opens, why, found=len(room.openers))


def _unread(openers: Iterable[OpenerFacts], *, by_angle: bool = True) -> list[str]:
    """Inputs that some opener still lacks."""
    missing: dict[str, None] = {}
    for opener in openers:
        missing |= {n: None for n in ("hinge", "width_mm", "height_mm") if getattr(opener, n) is None}
        swings = opener.hinge is not None and way_of(opener.hinge).swings_on
        if by_angle and swings and opener.open_angle_deg is None and opener.stroke_mm is None:
            missing["open_angle_deg"] = None
    return list(missing)


def opening_angle_deg(opener: OpenerFacts) -> float:
    """How far an opener opens, by its angle or its stroke; sliders and doors that slide count as open.

    Raises ``BadInput`` when the stroke is more than the sash can travel.
    """
    way = way_of(opener.hinge or "fixed")
    if not way.swings_on:
        return 90.0 if way.opens else 0.0
    if opener.open_angle_deg is not None:
        return opener.open_angle_deg
    sash = opener.width_mm if way.swings_on == "width" else opener.height_mm
    stroke = opener.stroke_mm or 0.0
    if sash is None or stroke > 2 * sash:
        say = f"stroke_mm: {stroke:g} mm is more than a sash of {sash} mm can travel; check both."
        raise BadInput.one("stroke_mm", say)
    return float(angle_from_stroke_deg(stroke_mm=stroke, sash_mm=sash))


def _area_m2(opener: OpenerFacts) -> float:
    return (opener.width_mm or 0.0) * (opener.height_mm or 0.0) * 1e-6


def _share_finding(room: RoomAir, rules: RuleSet, about: str) -> Verdict:
    """Openers against their share of the floor; those that open less wide count by their own share."""
    wide, narrow = rules["ventilation.purge.wide"], rules.get("ventilation.purge.narrow")
    full_from = rules["ventilation.purge.wide_angle"].figure
    none_below = rules["ventilation.purge.narrow_angle"].figure if narrow else full_from
    floor, full, part = room.floor_area_m2 or 0.0, 0.0, 0.0
    for opener in room.openers or ():
        angle = opening_angle_deg(opener)
        if opener.opens and angle >= full_from - HAIR:
            full += _area_m2(opener)
        elif opener.opens and angle >= none_below - HAIR:
            part += _area_m2(opener)
    only_part = narrow is not None and part > 0 and full == 0
    rule = narrow if only_part and narrow else _full_rule(room, rules)
    found = part if only_part else full + (part * wide.figure / narrow.figure if narrow else 0.0)
    asked = floor * rule.figure
    why = f"{about}{show_m2(found)} m² of openers counts for a floor of {floor:g} m², {show_m2(asked)} m² is asked"
    why += f"; under {none_below:g}° none counts" if none_below else ""
    why += f", from {full_from:g}° it counts in full." if full_from else "."
    if found >= asked - HAIR:
        by = [
            rest
            for opener in room.openers or ()
            for rest in rests_of(opener.rests_on, "sash_width_mm", "sash_height_mm", "open_angle_deg")
        ]
        return rule.verdict("meets", why, found=found, limit=asked, unit="m2", rests_on=by)
    return _short_of_share(room, rule, rules, why, (found, asked))


def _full_rule(room: RoomAir, rules: RuleSet) -> Rule:
    """The rule for openers that count in full: its own where every one of them slides."""
    ways = {way_of(opener.hinge or "fixed").clear for opener in room.openers or ()}
    slider = rules.get("ventilation.purge.slider")
    return (
        slider
        if slider and ways and ways <= {"slide_up", "slide_across"}
        else rules["ventilation.purge.wide"]
    )


def _short_of_share(
    room: RoomAir, rule: Rule, rules: RuleSet, why: str, found_asked: tuple[float, float]
) -> Verdict:
    found, asked = found_asked
    kept = rules.get("ventilation.purge.kept")
    if kept is None or room.old_openers is None or _unread(room.old_openers):
        tail = " If the old openers aired the room no better, give them: no worse is enough." if kept else ""
        return rule.verdict(rule.not_met or "fails", why + tail, found=found, limit=asked, unit="m2")
    old, new = free_area_m2(room.old_openers), free_area_m2(room.openers or ())
    said = f"{why} The free area is {show_m2(new)} m² where {show_m2(old)} m² was there, "
    if new >= old - HAIR:
        return rule.verdict(
            "advise", f"{said}so it is no worse.", found=found, limit=asked, unit="m2", source=kept.source
        )
    return kept.verdict("worse", f"{said}so it is worse.", found=new, limit=old, unit="m2")


def free_area_m2(openers: Iterable[OpenerFacts]) -> float:
    """Free area through openers as they really open, to compare old with new."""
    return sum(_free_area_m2(opener) for opener in openers)


def _free_area_m2(opener: OpenerFacts) -> float:
    swings, width, height = way_of(opener.hinge or "fixed").swings_on, opener.width_mm, opener.height_mm
    if not swings or width is None or height is None:
        return _area_m2(opener) if opener.opens else 0.0
    swung, along = (width, height) if swings == "width" else (height, width)
    area = swung_free_area_m2(swung_mm=swung, along_hinge_mm=along, open_angle_deg=opening_angle_deg(opener))
    return float(area)
