"""What can be changed in an order to meet a rule: stay, hinge, opener, transom, glass, ventilators."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from shapely import get_coordinates
from shapely.geometry import box

from jambwright.basis.tables import Row, table
from jambwright.checks.regulations.escape_opening import hinge_way
from jambwright.checks.regulations.facts import GlassFacts, LightFacts, OpeningFacts, PaneFacts
from jambwright.checks.regulations.rule import RuleSet
from jambwright.checks.regulations.safety_glass import check_pane, outline_mm
from jambwright.checks.regulations.ventilation import vents_needed
from jambwright.checks.verdict import Verdict

ChangeKind = Literal["stay", "hinge", "move_opener", "raise_transom", "restrictor", "glass", "vents"]

_SAFE: tuple[Literal["toughened", "laminated"], ...] = ("toughened", "laminated")

_MOST_VENTS = 4
"""More ventilators than this do not fit in one window. Common practice, no published source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change of the order."""

    kind: ChangeKind
    on: str
    """Mark of the light, or name of the pane."""
    say: str
    weight: float


Option = tuple[Change, OpeningFacts]


def options(facts: OpeningFacts, failure: Verdict, rules: RuleSet) -> Iterator[Option]:
    """Changes that may mend a failure, each with the opening as it would be."""
    for group, ways in _WAYS.items():
        if failure.rule.startswith(group):
            for way in ways:
                yield from way(facts, failure, rules)


def can_mend(rule_id: str) -> bool:
    """Whether a change of the layout can mend that rule at all."""
    return rule_id.startswith(tuple(_WAYS))


def _change(kind: ChangeKind, on: str, say: str, extra: float = 0.0) -> Change:
    return Change(
        kind=kind, on=on, say=say, weight=table("order_changes").find(change=kind)["weight"] + extra
    )


def _openers(facts: OpeningFacts) -> list[LightFacts]:
    return [light for light in facts.lights if light.hinge != "fixed"]


def _with_lights(facts: OpeningFacts, *changed: LightFacts) -> OpeningFacts:
    new = {light.mark: light for light in changed}
    return replace(facts, lights=tuple(new.get(light.mark, light) for light in facts.lights))


def _opened_by(light: LightFacts, row: Row) -> LightFacts:
    return replace(light, open_angle_deg=row["open_angle_deg"], obstruction_mm=row["obstruction_mm"])


def _stays(facts: OpeningFacts, _: Verdict, __: RuleSet) -> Iterator[Option]:
    for light in _openers(facts):
        for row in table("stays"):
            better = _opened_by(light, row)
            if row["way"] == hinge_way(light.hinge)["way"] and better != light:
                blocked = f"opens {row['open_angle_deg']:g}°, {row['obstruction_mm']:g} mm left blocked"
                say = f"light {light.mark}: {row['stay']} ({blocked})"
                yield _change("stay", light.mark, say), _with_lights(facts, better)


def _hinges(facts: OpeningFacts, _: Verdict, __: RuleSet) -> Iterator[Option]:
    for light in _openers(facts):
        for row in table("stays"):
            if row["way"] == hinge_way(light.hinge)["way"] or (row["way"] == "turn" and facts.kind == "door"):
                continue
            hinge: Literal["side_hung", "tilt_turn"] = "side_hung" if row["way"] == "side" else "tilt_turn"
            say = f"light {light.mark}: {hinge.replace('_', ' ')} with {row['stay']} instead of "
            yield (
                _change("hinge", light.mark, say + light.hinge.replace("_", " ")),
                _with_lights(facts, replace(_opened_by(light, row), hinge=hinge)),
            )


def _moves(facts: OpeningFacts, _: Verdict, __: RuleSet) -> Iterator[Option]:
    """The opener changes places with a fixed light of the same frame."""
    for opener in _openers(facts):
        for fixed in facts.lights:
            if fixed.hinge != "fixed" or fixed.frame_clear_width_mm is None:
                continue
            moved = replace(
                fixed,
                hinge=opener.hinge,
                obstruction_mm=opener.obstruction_mm,
                open_angle_deg=opener.open_angle_deg,
                restrictor=opener.restrictor,
            )
            still = replace(opener, hinge="fixed", restrictor=None)
            say = f"move the opener from light {opener.mark} to light {fixed.mark}"
            yield _change("move_opener", opener.mark, say), _with_lights(facts, moved, still)


def _transoms(facts: OpeningFacts, _: Verdict, rules: RuleSet) -> Iterator[Option]:
    """A transom at the guard's height with a fixed laminated light below it."""
    rule = rules.get("guarding.height") or rules["guarding.restrictor"]
    at = rule.figure
    for light in _openers(facts):
        bottom, height = light.bottom_above_floor_mm, light.frame_clear_height_mm
        if bottom is None or height is None or not bottom < at < bottom + height:
            continue
        rise, sash = at - bottom, light.sash_height_mm
        upper = replace(
            light,
            bottom_above_floor_mm=at,
            frame_clear_height_mm=height - rise,
            sash_height_mm=None if sash is None else max(sash - rise, 0.0),
        )
        low = LightFacts(mark=f"{light.mark} low", bottom_above_floor_mm=bottom)
        raised = _with_lights(facts, upper)
        panes = tuple(part for pane in facts.panes for part in _split(pane, light.mark, at))
        say = f"light {light.mark}: transom at {at:g} mm above the floor, fixed laminated light below it"
        yield (
            _change("raise_transom", light.mark, say),
            replace(raised, lights=(*raised.lights, low), panes=panes),
        )


def _split(pane: PaneFacts, mark: str, at: float) -> Iterator[PaneFacts]:
    """The part of a pane above the new transom, and a laminated one below; bar faces are left out."""
    bottom, top = pane.bottom_above_floor_mm, pane.top_above_floor_mm
    if pane.light != mark or bottom is None or top is None or not bottom < at < top:
        yield pane
        return
    upper = replace(pane, bottom_above_floor_mm=at, height_mm=top - at)
    lower = replace(
        pane,
        name=f"{pane.name} low",
        light=f"{mark} low",
        top_above_floor_mm=at,
        height_mm=at - bottom,
        leaves=tuple(_safe(leaf, "laminated") for leaf in pane.leaves),
    )
    if pane.outline_mm is None:
        yield from (upper, lower)
        return
    shape = outline_mm(pane)
    left, _, right, _ = shape.bounds
    for part, low, high in ((upper, at, top), (lower, bottom, at)):
        cut = shape.intersection(box(left, low, right, high))
        yield replace(part, outline_mm=tuple((float(x), float(y)) for x, y in get_coordinates(cut)))


def _restrictors(facts: OpeningFacts, _: Verdict, __: RuleSet) -> Iterator[Option]:
    for light in _openers(facts):
        if light.restrictor != "releasable":
            say = f"light {light.mark}: child-resistant restrictor that can be released"
            yield (
                _change("restrictor", light.mark, say),
                _with_lights(facts, replace(light, restrictor="releasable")),
            )


def _glass(facts: OpeningFacts, _: Verdict, rules: RuleSet) -> Iterator[Option]:
    """Toughened or laminated in the first pane that fails."""
    for i, pane in enumerate(facts.panes):
        if not any(verdict.word == "fails" for verdict in check_pane(pane, rules)):
            continue
        for kind in _SAFE:
            leaves = tuple(_safe(leaf, kind) for leaf in pane.leaves)
            panes = (*facts.panes[:i], replace(pane, leaves=leaves), *facts.panes[i + 1 :])
            name = pane.name or f"pane {i + 1}"
            yield _change("glass", name, f"{name}: {kind} glass"), replace(facts, panes=panes)
        return


def _safe(leaf: GlassFacts, kind: Literal["toughened", "laminated"]) -> GlassFacts:
    """A leaf of that kind, no thinner than before and than the least that has a class."""
    least = min(row["from_mm"] for row in table("glass_classes") if row["kind"] == kind)
    return GlassFacts(kind=kind, thickness_mm=max(leaf.thickness_mm or 0.0, least))


def _vents(facts: OpeningFacts, failure: Verdict, _: RuleSet) -> Iterator[Option]:
    """Ventilators of one size in this opening that make up what the room lacks."""
    lacking = float(failure.limit) - sum(facts.other_vents_mm2)
    for row in table("vent_sizes"):
        each, first = row["each_mm2"], facts.lights[0] if facts.lights else None
        count = vents_needed(lacking, each)
        if first is None or not 0 < count <= _MOST_VENTS:
            continue
        bare = [replace(light, vents_mm2=()) for light in facts.lights]
        fitted = _with_lights(facts, *bare[1:], replace(first, vents_mm2=(each,) * count))
        say = f"{count} ventilator{'s' if count > 1 else ''} of {each:g} mm² equivalent area"
        yield _change("vents", "all", say, extra=0.1 * (count - 1)), fitted


_WAYS: Mapping[str, tuple[Callable[[OpeningFacts, Verdict, RuleSet], Iterator[Option]], ...]] = {
    "escape.": (_restrictors, _stays, _hinges, _moves, _transoms),
    "guarding.": (_restrictors, _moves, _transoms),
    "safety_glass.": (_glass,),
    "ventilation.background.": (_vents,),
    "ventilation.purge.": (_stays, _hinges, _moves),
}
