"""Energy limits of windows and doors: by U-value or by band, whichever the maker declares; and daylight."""

from __future__ import annotations

from math import floor, log10
from typing import get_args

from jambwright.basis.tables import table
from jambwright.basis.units import show_m2
from jambwright.checks.figures import HAIR
from jambwright.checks.regulations.facts import Band, EnergyFacts, RoomKind
from jambwright.checks.regulations.rule import Rule, RuleSet
from jambwright.checks.verdict import AGAINST, Rest, Verdict, rests_of

_BANDS: tuple[str, ...] = get_args(Band)
"""Best first."""


def check_energy(facts: EnergyFacts, rules: RuleSet, about: str = "") -> list[Verdict]:
    """The findings on one window or door: one route that meets is enough."""
    if facts.glass_only:
        return [_glass_only(rules, about)]
    if facts.kind is None:
        return [rules["energy.window.u"].unknown(["kind"], about)]
    found = _whole_unit(facts, rules, about)
    relief = f"timber_{facts.kind}"
    if facts.timber and found.word not in ("meets", "advise") and f"energy.{relief}.u" in rules.rules:
        eased = _either_route(facts, relief, rules, about)
        # the relief can only help
        found = eased if eased.word in ("meets", "advise") or found.word in AGAINST else found
    return [found, *_kept_finding(facts, rules, about)]


def _whole_unit(facts: EnergyFacts, rules: RuleSet, about: str) -> Verdict:
    if facts.kind != "door":
        return _either_route(facts, str(facts.kind), rules, about)
    if facts.glazed_share is not None:
        glazed = facts.glazed_share > rules["energy.glazed_share"].figure
        return _either_route(facts, "glazed_door" if glazed else "door", rules, about)
    # the share is not known: settled only if it makes no difference
    as_glazed = _either_route(facts, "glazed_door", rules, about)
    as_solid = _either_route(facts, "door", rules, about)
    if as_glazed.word == as_solid.word:
        return as_solid
    return rules["energy.door.u"].unknown(["glazed_share"], about)


def _glass_only(rules: RuleSet, about: str) -> Verdict:
    rule, said = rules.get("energy.glass_only"), f"{about}new glass in the old frame"
    if rule is None:
        why = f"{said}: whether the limits bind it is not held for this nation; ask building control."
        return rules["energy.window.u"].verdict("refer", why, limit="not held")
    why = f"{said} is {rule.limit}; the limits do not bind it, and good glass is still worth it."
    return rule.verdict(rule.not_met or "advise", why)


def _kept_finding(facts: EnergyFacts, rules: RuleSet, about: str) -> list[Verdict]:
    """Nothing is said where the old unit's U-value is not known: hardly one is better than the limits."""
    rule, old, new = rules.get("energy.kept"), facts.old_u_w_m2k, facts.u_w_m2k
    if rule is None or old is None or new is None or new <= old + HAIR:
        return []
    why = f"{about}U {new:g} W/m²K where {old:g} W/m²K was there, so it is worse than before."
    return [rule.verdict(rule.not_met or "refer", why, found=new, limit=old)]


def _either_route(facts: EnergyFacts, kind: str, rules: RuleSet, about: str) -> Verdict:
    by_u, by_band = rules.get(f"energy.{kind}.u"), rules.get(f"energy.{kind}.band")
    if by_u is None:
        why = f"{about}no limit is held for a {kind.replace('_', ' ')} in this nation; ask building control."
        return rules["energy.window.u"].verdict("refer", why, limit="not held")
    asked = f"U at most {by_u.figure:g} W/m²K" + (f" or band {by_band.limit} or better" if by_band else "")
    if facts.u_w_m2k is None and (facts.band is None or by_band is None):
        return by_u.unknown(["u_w_m2k_or_band"], f"{about}{asked} is asked; ")
    why = f"{about}{_said(facts, by_u.figure)}; {asked} is asked."
    by = rests_of(facts.rests_on, "u_w_m2k")
    if facts.u_w_m2k is not None and facts.u_w_m2k <= by_u.figure:
        return by_u.verdict("meets", why, found=facts.u_w_m2k, rests_on=by)
    if by_band and facts.band is not None and _at_least(facts.band, by_band):
        return by_band.verdict("meets", why, found=facts.band, rests_on=rests_of(facts.rests_on, "band"))
    too_near = facts.u_w_m2k is not None and _is_the_limit(facts.u_w_m2k, by_u.figure)
    if too_near and any(rest.weak for rest in by) and not facts.protected_look:
        return by_u.verdict("unknown", f"{why} {_near(by)}", found=facts.u_w_m2k, rests_on=by)
    return _not_met(facts, by_u if facts.u_w_m2k is not None else by_band or by_u, rules, why)


def _is_the_limit(u_w_m2k: float, limit: float) -> bool:
    """Whether a modelled value over the limit is the limit in two significant figures, as of results (EN ISO 10077-1).

    >>> [_is_the_limit(u, 1.4) for u in (1.4, 1.4002, 1.4499, 1.45)]
    [False, True, True, False]
    """
    half = 0.5 * 10.0 ** (floor(log10(limit)) - 1)
    return bool(limit < u_w_m2k < limit + half - HAIR)


def _near(rests: tuple[Rest, ...]) -> str:
    """What is said where only the maker can tell on which side it lies."""
    weak = [rest for rest in rests if rest.weak]
    asks = "; ".join(dict.fromkeys(rest.ask for rest in weak))
    return f"By {' and '.join(map(str, weak))}, which can't tell on which side of the limit the unit lies: {asks}."


def _at_least(band: str, rule: Rule) -> bool:
    return _BANDS.index(band) <= _BANDS.index(str(rule.limit))


def _said(facts: EnergyFacts, limit: float) -> str:
    said = [] if facts.u_w_m2k is None else [f"U {_beside(facts.u_w_m2k, limit)} W/m²K"]
    if facts.u_modelled_w_m2k is not None:
        said = [f"{said[0]} on the maker's declared value, modelled {_beside(facts.u_modelled_w_m2k, limit)}"]
    return ", ".join(said + ([] if facts.band is None else [f"band {facts.band}"]))


def _beside(u_w_m2k: float, limit: float) -> str:
    """To two places, or as many as show on which side of the limit it lies.

    >>> _beside(1.3421, 1.4), _beside(1.40020, 1.4)
    ('1.34', '1.4002')
    """
    places = next((n for n in range(2, 9) if u_w_m2k == limit or round(u_w_m2k, n) != limit), 9)
    return f"{round(u_w_m2k, places):g}"


def _not_met(facts: EnergyFacts, rule: Rule, rules: RuleSet, why: str) -> Verdict:
    found = facts.band if rule.id.endswith(".band") else facts.u_w_m2k
    relief, mean = rules.get("energy.character.u"), rules.get("energy.mean")
    if relief is None or not facts.protected_look:
        by = rests_of(facts.rests_on, "band" if rule.id.endswith(".band") else "u_w_m2k")
        if mean:
            why += (
                " One unit may be over where the mean of all windows, doors and rooflights, weighted by area, "
                f"meets it: ask for the mean ({mean.source})."
            )
        return rule.verdict(rule.not_met or "fails", why, found=found, rests_on=by)
    centre = facts.centre_pane_u_w_m2k
    said = f"{why} The look is protected: comply as far as the character allows, agreed with the council, "
    tail = f"then centre-pane U at most {relief.figure:g} W/m²K or low-e secondary glazing"
    if facts.secondary_low_e or (centre is not None and centre <= relief.figure):
        return relief.verdict("advise", f"{said}{tail}: this does.", found=centre)
    return relief.verdict("refer", f"{said}{tail}.", found=centre)


def check_daylight(
    use: RoomKind | None, floor_area_m2: float | None, glass_m2: float | None, rules: RuleSet, about: str = ""
) -> list[Verdict]:
    """Whether a living or sleeping room has glass enough for its floor, where the nation asks for it."""
    rule = rules.get("energy.daylight")
    if rule is None or (use and table("room_uses").find(use=use)["habitable"] == "no"):
        return []
    given = {"use": use, "floor_area_m2": floor_area_m2, "width_mm": glass_m2}
    if missing := [name for name, value in given.items() if value is None]:
        return [rule.unknown(missing, about)]
    asked, found = (floor_area_m2 or 0.0) * rule.figure, glass_m2 or 0.0
    why = f"{about}{show_m2(found)} m² of glass for a floor of {floor_area_m2:g} m², {show_m2(asked)} m² is asked."
    if found >= asked - HAIR:
        return [rule.verdict("meets", why, found=found, limit=asked, unit="m2")]
    ask = " The room's other windows count too; if there are none, order more glass or ask."
    return [rule.verdict(rule.not_met or "refer", why + ask, found=found, limit=asked, unit="m2")]
