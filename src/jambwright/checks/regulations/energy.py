"""Energy limits of windows and doors: by U-value or by band, whichever the maker declares."""

from __future__ import annotations

from typing import get_args

from jambwright.checks.regulations.facts import Band, EnergyFacts
from jambwright.checks.regulations.rule import Rule, RuleSet
from jambwright.checks.verdict import Verdict, rests_of

_BANDS: tuple[str, ...] = get_args(Band)
"""Best first."""


def check_energy(facts: EnergyFacts, rules: RuleSet, about: str = "") -> list[Verdict]:
    """The finding on one window or door: one route that meets is enough."""
    if facts.kind is None:
        return [rules["energy.window.u"].unknown(["kind"], about)]
    if facts.kind != "door":
        return [_either_route(facts, facts.kind, rules, about)]
    if facts.glazed_share is not None:
        glazed = facts.glazed_share > rules["energy.glazed_share"].figure
        return [_either_route(facts, "glazed_door" if glazed else "door", rules, about)]
    # the share is not known: settled only if it makes no difference
    as_glazed = _either_route(facts, "glazed_door", rules, about)
    as_solid = _either_route(facts, "door", rules, about)
    if as_glazed.word == as_solid.word:
        return [as_solid]
    return [rules["energy.door.u"].unknown(["glazed_share"], about)]


def _either_route(facts: EnergyFacts, kind: str, rules: RuleSet, about: str) -> Verdict:
    by_u, by_band = rules.get(f"energy.{kind}.u"), rules.get(f"energy.{kind}.band")
    if by_u is None:
        why = f"{about}no limit is held for a {kind.replace('_', ' ')} in this nation; ask building control."
        return rules["energy.window.u"].verdict("refer", why, limit="not held")
    asked = f"U at most {by_u.figure:g} W/m²K" + (f" or band {by_band.limit} or better" if by_band else "")
    if facts.u_w_m2k is None and (facts.band is None or by_band is None):
        return by_u.unknown(["u_w_m2k_or_band"], f"{about}{asked} is asked; ")
    why = f"{about}{_said(facts, by_u.figure)}; {asked} is asked."
    if facts.u_w_m2k is not None and facts.u_w_m2k <= by_u.figure:
        return by_u.verdict("meets", why, found=facts.u_w_m2k, rests_on=rests_of(facts.rests_on, "u_w_m2k"))
    if by_band and facts.band is not None and _at_least(facts.band, by_band):
        return by_band.verdict("meets", why, found=facts.band, rests_on=rests_of(facts.rests_on, "band"))
    return _not_met(facts, by_u if facts.u_w_m2k is not None else by_band or by_u, rules, why)


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
    relief = rules.get("energy.character.u")
    if relief is None or not facts.protected_look:
        by = rests_of(facts.rests_on, "band" if rule.id.endswith(".band") else "u_w_m2k")
        return rule.verdict(rule.not_met or "fails", why, found=found, rests_on=by)
    centre = facts.centre_pane_u_w_m2k
    said = f"{why} The look is protected: comply as far as the character allows, agreed with the council, "
    tail = f"then centre-pane U at most {relief.figure:g} W/m²K or low-e secondary glazing"
    if facts.secondary_low_e or (centre is not None and centre <= relief.figure):
        return relief.verdict("advise", f"{said}{tail}: this does.", found=centre)
    return relief.verdict("refer", f"{said}{tail}.", found=centre)
