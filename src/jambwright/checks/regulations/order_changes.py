"""What can be changed in an order to meet a rule: stay, hinge, opener, transom, glass, ventilators."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from shapely import get_coordinates
from shapely.geometry import box

from jambwright.basis.tables import Row, table
from jambwright.checks.regulations.facts import GlassFacts, LightFacts, OpeningFacts, PaneFacts
from jambwright.checks.regulations.rule import RuleSet
from jambwright.checks.regulations.safety_glass import check_pane, outline_mm
from jambwright.checks.regulations.ventilation import vents_needed
from jambwright.checks.verdict import Verdict
from jambwright.readings.ways import way_of

StepKind = Literal[
    "stay", "hinge", "move_opener", "add_opener", "raise_transom", "restrictor", "mullion", "glass", "vents"
]

_SAFE: tuple[Literal["toughened", "laminated"], ...] = ("toughened", "laminated")

_CLEAR = ("frame_clear_width_mm", "frame_clear_height_mm", "bottom_above_floor_mm")
_STEP_MM = 5.0
"""A mullion moves in whole steps."""
_LEAST_LIGHT_MM = 200.0
"""A light is not made narrower than this. Common practice, no published source."""

_LEAST_ANGLE_DEG = 1.0
"""A light that opens less is not mended by more width. Common practice, no published source."""

_MOST_VENTS = 4
"""More ventilators than this do not fit in one window. Common practice, no published source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderStep:
    """One step away from the order: what is done to a light, a pane or the whole, and how much it weighs."""

    kind: StepKind
    on: str
    """Mark of the light, or name of the pane."""
    say: str
    weight: float


Option = tuple[OrderStep, OpeningFacts]


def options(facts: OpeningFacts, failure: Verdict, rules: RuleSet) -> Iterator[Option]:
    """Steps that may mend a failure, each with the opening as it would be."""
    for way in _WAYS.get(failure.rule, ()):
        yield from way(facts, failure, rules)


def can_mend(rule_id: str) -> bool:
    """Whether a change of the layout can mend that rule at all."""
    return rule_id in _WAYS


def _step(kind: StepKind, on: str, say: str, extra: float = 0.0) -> OrderStep:
    return OrderStep(
        kind=kind, on=on, say=say, weight=table("order_changes").find(change=kind)["weight"] + extra
    )


def _with_lights(facts: OpeningFacts, *changed: LightFacts) -> OpeningFacts:
    new = {light.mark: light for light in changed}
    return replace(facts, lights=tuple(new.get(light.mark, light) for light in facts.lights))


def _opened_by(light: LightFacts, row: Row) -> LightFacts:
    opened = {"open_angle_deg": row["open_angle_deg"], "obstruction_mm": row["obstruction_mm"]}
    return _changed(light, **opened)


def _changed(light: LightFacts, **changes: Any) -> LightFacts:
    """What its maker declared was of the light as it was."""
    return replace(light, clear_width_mm=None, clear_height_mm=None, **changes)


def _alone(facts: OpeningFacts) -> Iterator[LightFacts]:
    """Openers that may be hung otherwise: a leaf of a pair goes with its other leaf."""
    return (light for light in facts.openers if not light.pair)


def _stays(facts: OpeningFacts, _: Verdict, __: RuleSet) -> Iterator[Option]:
    for light in facts.openers:
        for row in table("stays"):
            better = _opened_by(light, row)
            if row["way"] == way_of(light.hinge).clear and better != light:
                blocked = f"opens {row['open_angle_deg']:g}°, {row['obstruction_mm']:g} mm left blocked"
                say = f"light {light.mark}: {row['stay']} ({blocked})"
                yield _step("stay", light.mark, say), _with_lights(facts, better)


def _hinges(facts: OpeningFacts, _: Verdict, __: RuleSet) -> Iterator[Option]:
    for light in _alone(facts):
        for row in table("stays"):
            if row["way"] == way_of(light.hinge).clear or (row["way"] == "turn" and facts.kind == "door"):
                continue
            hinge: Literal["side_hung", "tilt_turn"] = "side_hung" if row["way"] == "side" else "tilt_turn"
            say = f"light {light.mark}: {way_of(hinge).family} with {row['stay']} instead of "
            yield (
                _step("hinge", light.mark, say + way_of(light.hinge).family),
                _with_lights(facts, replace(_opened_by(light, row), hinge=hinge)),
            )


def _moves(facts: OpeningFacts, _: Verdict, __: RuleSet) -> Iterator[Option]:
    """The opener changes places with a fixed light of the same frame."""
    for opener in _alone(facts):
        for fixed in facts.lights:
            if fixed.opens or fixed.pair or fixed.frame_clear_width_mm is None or _alike(opener, fixed):
                continue
            moved = _opening_like(opener, fixed)
            still = _changed(opener, hinge="fixed", restrictor=None)
            say = f"move the opener from light {opener.mark} to light {fixed.mark}"
            yield _step("move_opener", opener.mark, say), _with_lights(facts, moved, still)


def _opening_like(opener: LightFacts, light: LightFacts) -> LightFacts:
    """A light that opens as the opener does."""
    return _changed(
        light,
        hinge=opener.hinge,
        obstruction_mm=opener.obstruction_mm,
        open_angle_deg=opener.open_angle_deg,
        restrictor=opener.restrictor,
    )


def _alike(one: LightFacts, other: LightFacts) -> bool:
    """Lights that leave the same way out."""
    return all(getattr(one, name) == getattr(other, name) for name in _CLEAR)


def _opens_too(facts: OpeningFacts, _: Verdict, __: RuleSet) -> Iterator[Option]:
    """A fixed light opens as well: like its neighbour, or side hung where nothing opens yet."""
    like = next(_alone(facts), None) or _opened_by(
        LightFacts(mark="", hinge="side_hung"), table("stays").find(way="side")
    )
    for fixed in facts.lights:
        if not fixed.opens and not fixed.pair and fixed.frame_clear_width_mm is not None:
            opener = _opening_like(like, fixed)
            say = f"light {fixed.mark} opens too, {way_of(like.hinge).family}"
            yield _step("add_opener", fixed.mark, say), _with_lights(facts, opener)


def _mullions(facts: OpeningFacts, failure: Verdict, __: RuleSet) -> Iterator[Option]:
    """The opener grows to the width asked at the cost of a fixed light beside it."""
    if failure.rule != "escape.width" or facts.kind == "door":
        return
    for opener in _alone(facts):
        grow = _lacking_mm(opener, failure)
        for beside in facts.lights:
            if grow and not (beside.opens or beside.pair) and _side_by_side(opener, beside, grow):
                say = f"light {opener.mark}: {grow:g} mm wider at the cost of light {beside.mark}"
                wider = _with_lights(facts, _widened(opener, grow), _widened(beside, -grow))
                by = {opener.mark: grow, beside.mark: -grow}
                panes = tuple(_pane_widened(pane, by.get(pane.light, 0.0)) for pane in facts.panes)
                yield _step("mullion", opener.mark, say), replace(wider, panes=panes)


def _lacking_mm(light: LightFacts, failure: Verdict) -> float:
    """How much wider the frame opening must be, in whole steps; 0 where width does not mend it."""
    angle = light.open_angle_deg
    if angle is None or angle < _LEAST_ANGLE_DEG or light.frame_clear_width_mm is None:
        return 0.0
    swung = 1 - math.cos(math.radians(min(angle, 90.0)))
    wanted = (float(failure.limit) + (light.obstruction_mm or 0.0)) / swung
    return max(0.0, math.ceil((wanted - light.frame_clear_width_mm) / _STEP_MM - 1e-9) * _STEP_MM)


def _side_by_side(opener: LightFacts, beside: LightFacts, grow: float) -> bool:
    """Lights of one height at one level, and room left in the one that shrinks."""
    if way_of(opener.hinge).clear != "side" or beside.frame_clear_width_mm is None:
        return False
    level = opener.bottom_above_floor_mm == beside.bottom_above_floor_mm
    as_high = opener.frame_clear_height_mm == beside.frame_clear_height_mm
    return level and as_high and beside.frame_clear_width_mm - grow >= _LEAST_LIGHT_MM


def _widened(light: LightFacts, by_mm: float) -> LightFacts:
    clear, sash = light.frame_clear_width_mm, light.sash_width_mm
    return _changed(
        light,
        frame_clear_width_mm=None if clear is None else clear + by_mm,
        sash_width_mm=None if sash is None else sash + by_mm,
    )


def _pane_widened(pane: PaneFacts, by_mm: float) -> PaneFacts:
    return pane if pane.width_mm is None or not by_mm else replace(pane, width_mm=pane.width_mm + by_mm)


def _transoms(facts: OpeningFacts, _: Verdict, rules: RuleSet) -> Iterator[Option]:
    """A transom at the guard's height with a fixed laminated light below it."""
    at = rules["guarding.height"].figure
    for light in _alone(facts):
        bottom, height = light.bottom_above_floor_mm, light.frame_clear_height_mm
        if bottom is None or height is None or not bottom < at < bottom + height:
            continue
        rise, sash = at - bottom, light.sash_height_mm
        upper = _changed(
            light,
            bottom_above_floor_mm=at,
            bottom_above_ground_mm=None
            if light.bottom_above_ground_mm is None
            else light.bottom_above_ground_mm + rise,
            frame_clear_height_mm=height - rise,
            sash_height_mm=None if sash is None else max(sash - rise, 0.0),
        )
        low = LightFacts(mark=f"{light.mark} low", bottom_above_floor_mm=bottom)
        raised = _with_lights(facts, upper)
        panes = tuple(part for pane in facts.panes for part in _split(pane, light.mark, at))
        say = f"light {light.mark}: transom at {at:g} mm above the floor, fixed laminated light below it"
        yield (
            _step("raise_transom", light.mark, say),
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
        light=f"{mark} low",
        cut_from=mark,
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
    for light in facts.openers:
        if light.restrictor != "releasable":
            say = f"light {light.mark}: child-resistant restrictor that can be released"
            yield (
                _step("restrictor", light.mark, say),
                _with_lights(facts, replace(light, restrictor="releasable")),
            )


def _glass(facts: OpeningFacts, _: Verdict, rules: RuleSet) -> Iterator[Option]:
    """Toughened or laminated in every pane that fails."""
    failing = [pane for pane in facts.panes if any(v.word == "fails" for v in check_pane(pane, rules))]
    marks = [pane.light or str(facts.panes.index(pane) + 1) for pane in failing]
    names = f"pane{'s' if len(marks) > 1 else ''} {', '.join(marks)}"
    for kind in _SAFE if failing else ():
        panes = tuple(
            replace(pane, leaves=tuple(_mended(leaf, kind, pane, rules) for leaf in pane.leaves))
            if pane in failing
            else pane
            for pane in facts.panes
        )
        yield _step("glass", names, f"{names}: {kind} glass"), replace(facts, panes=panes)


def _mended(
    leaf: GlassFacts, kind: Literal["toughened", "laminated"], pane: PaneFacts, rules: RuleSet
) -> GlassFacts:
    """A leaf that fails made safe; one that will do stays as it was asked for."""
    alone = check_pane(replace(pane, leaves=(leaf,)), rules)
    return _safe(leaf, kind) if any(v.word == "fails" for v in alone) else leaf


def _safe(leaf: GlassFacts, kind: Literal["toughened", "laminated"]) -> GlassFacts:
    """A leaf of that kind, no thinner than before and than the least that has a class."""
    least = min(row["from_mm"] for row in table("glass_classes") if row["kind"] == kind)
    thickness = max(leaf.thickness_mm or 0.0, least)
    if kind == "laminated":
        made = table("laminated_glass").column("thickness_mm")
        thickness = min((each for each in made if each >= thickness), default=thickness)
    return GlassFacts(kind=kind, thickness_mm=thickness)


def _vents(facts: OpeningFacts, failure: Verdict, _: RuleSet) -> Iterator[Option]:
    """Ventilators of one size in this opening that make up what the room lacks."""
    lacking = float(failure.limit) - sum(facts.other_vents_mm2)
    smallest: dict[int, float] = {}
    for each in sorted(table("vent_sizes").column("each_mm2")):
        smallest.setdefault(vents_needed(lacking, each), each)
    for count, each in smallest.items():
        first = facts.lights[0] if facts.lights else None
        if first is None or not 0 < count <= _MOST_VENTS:
            continue
        bare = [replace(light, vents_mm2=()) for light in facts.lights]
        fitted = _with_lights(facts, *bare[1:], replace(first, vents_mm2=(each,) * count))
        say = f"{count} ventilator{'s' if count > 1 else ''} of {each:g} mm² equivalent area in all"
        yield _step("vents", "all", say, extra=0.1 * (count - 1)), fitted


_Way = Callable[[OpeningFacts, Verdict, RuleSet], Iterator[Option]]
_WIDER: tuple[_Way, ...] = (_stays, _mullions, _hinges, _moves)
_WAYS: Mapping[str, tuple[_Way, ...]] = {
    "escape.area": _WIDER,
    "escape.width": _WIDER,
    "escape.height": _WIDER,
    "escape.hinge": (_hinges, _moves),
    "escape.bottom": (_moves,),
    "escape.bottom_low": (_transoms, _moves),
    "escape.restrictor": (_restrictors,),
    "escape.key": (_restrictors,),
    "guarding.height": (_moves, _transoms),
    "guarding.restrictor": (_restrictors, _moves),
    "safety_glass.window": (_glass,),
    "safety_glass.door": (_glass,),
    "safety_glass.side_panel": (_glass,),
    "ventilation.background.kept": (_vents,),
    "ventilation.background.habitable": (_vents,),
    "ventilation.background.kitchen": (_vents,),
    "ventilation.background.bathroom": (_vents,),
    "ventilation.background.small_room": (_vents,),
    "ventilation.background.with_extract": (_vents,),
    "ventilation.purge.wide": (_stays, _hinges, _moves, _opens_too),
    "ventilation.purge.narrow": (_stays, _hinges, _moves, _opens_too),
    "ventilation.purge.slider": (_moves, _opens_too),
    "ventilation.purge.kept": (_stays, _hinges, _moves, _opens_too),
    "ventilation.purge.wet_room": (_opens_too,),
}
"""What can mend each rule."""
