"""Safety glass: zones as polygons over the true panes, the class needed, and the mark to look for."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from shapely.geometry import Polygon, box

from jambwright.basis.problems import BadInput, Problem
from jambwright.basis.tables import table
from jambwright.checks.regulations.facts import GlassFacts, PaneFacts
from jambwright.checks.regulations.rule import Rule, RuleSet
from jambwright.checks.verdict import GRAVITY, PartOfOpening, Rest, Verdict, Word, rests_of

_FAR_MM = 1e6
_TOUCH_MM2 = 1.0
"""A pane that laps into a zone by less only touches it."""

_MARK = (
    "Look for a lasting mark on the pane, seen after glazing: maker, product standard "
    "(EN 12150 toughened, EN 14449 laminated) and EN 12600 class."
)

_CLASS = re.compile(r"^([123-])\(([ABC])\)([0123-])$")


@dataclass(frozen=True, slots=True, kw_only=True)
class ImpactClass:
    """An EN 12600 class such as ``1(C)3``: best drop height passed, how it breaks, drop height unbroken."""

    height: int | None
    mode: Literal["A", "B", "C"]

    def at_least(self, needed: float) -> bool:
        """Whether it passes as safety glass of that class; breaking like ordinary glass (A) never does."""
        return self.mode != "A" and self.height is not None and self.height <= needed


def impact_class(text: str) -> ImpactClass:
    """Read an EN 12600 class.

    Raises ``BadInput`` when the text is no class.

    >>> impact_class("1(C)3").at_least(2), impact_class("3(B)3").at_least(2)
    (True, False)
    """
    found = _CLASS.match(text.replace(" ", "").upper())
    if found is None:
        say = f"{text!r} is no EN 12600 class; copy it off the mark, such as 1(C)3 or 2(B)2."
        raise BadInput([Problem("en12600_class", say, of="en12600_class")])
    height, mode = found.group(1), found.group(2)
    return ImpactClass(height=None if height == "-" else int(height), mode=mode)  # type: ignore[arg-type]  # the pattern allows A, B and C


def usual_class(kind: str, thickness_mm: float) -> str | None:
    """The class usual for that kind of glass; nothing for glass that is no safety glass."""
    rows = [r for r in table("glass_classes") if r["kind"] == kind and r["from_mm"] <= thickness_mm + 1e-9]
    return max(rows, key=lambda r: float(r["from_mm"]))["class"] if rows else None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Leaf:
    """What one leaf of glass comes to in a zone."""

    word: Word
    glass: str
    """Kind, thickness and class."""
    usual: bool
    """Whether the class is the one usual for its kind, and not declared."""
    why: str = ""
    """What else decides it."""

    @property
    def found(self) -> str:
        """The glass and what else decides."""
        return f"{self.glass}{self.why}"

    @property
    def says(self) -> str:
        """The same, with what the class is by."""
        by = f", usual for its kind ({table('glass_classes').pedigree.how})" if self.usual else ""
        return f"{self.glass}{by}{self.why}"


def outline_mm(pane: PaneFacts) -> Polygon:
    """The pane as seen: x from the door edge, y above the inside floor."""
    if pane.outline_mm is not None:
        return Polygon(pane.outline_mm)
    assert pane.width_mm is not None
    left = pane.from_door_edge_mm or 0.0
    return box(left, pane.bottom_above_floor_mm or 0.0, left + pane.width_mm, pane.top_above_floor_mm or 0.0)


def check_pane(pane: PaneFacts, rules: RuleSet) -> list[Verdict]:
    """Findings on one pane. A pane partly in a zone complies as a whole."""
    return [replace(verdict, part=part_of(pane)) for verdict in _findings(pane, rules)]


def part_of(pane: PaneFacts) -> PartOfOpening | None:
    """What a finding on a pane speaks of; ``None`` where the pane has no mark."""
    return PartOfOpening("pane", pane.light) if pane.light else None


def _findings(pane: PaneFacts, rules: RuleSet) -> list[Verdict]:
    place = f"safety_glass.{pane.place or 'window'}"
    if missing := _missing(pane):
        return [rules[place].unknown(missing)]
    found = _zone_finding(pane, rules)
    return [found, *_bath_finding(pane, rules, found.word)]


def _missing(pane: PaneFacts) -> list[str]:
    names = ["place", "bottom_above_floor_mm", "top_above_floor_mm", "width_mm", "height_mm"]
    missing = [name for name in names if getattr(pane, name) is None]
    if not pane.leaves or any(leaf.kind is None for leaf in pane.leaves):
        missing.append("glass")
    if any(leaf.thickness_mm is None for leaf in pane.leaves):
        missing.append("thickness_mm")
    return missing


def _zone_finding(pane: PaneFacts, rules: RuleSet) -> Verdict:
    if pane.place != "side_panel" or pane.from_door_edge_mm is not None:
        return _in_zones(pane, rules, _zones(pane, rules))
    # the distance to the door is not known: settled only if it makes no difference
    near = _in_zones(pane, rules, _zones(pane, rules, beside=True))
    far = _in_zones(pane, rules, _zones(pane, rules))
    if near.word == far.word:
        return near
    return rules["safety_glass.side_panel"].unknown(["from_door_edge_mm"])


def _zones(pane: PaneFacts, rules: RuleSet, *, beside: bool = False) -> dict[str, Polygon]:
    """The zones that can bear on a pane, by rule; from the floor inside and the ground outside."""
    levels = [0.0] if pane.outside_floor_mm is None else [0.0, pane.outside_floor_mm]

    def below(rule_id: str, reach: float) -> Polygon:
        return box(-_FAR_MM, -_FAR_MM, reach, max(levels) + rules[rule_id].figure)

    if pane.place == "door":
        return {"safety_glass.door": below("safety_glass.door", _FAR_MM)}
    zones = {}
    if beside:
        zones["safety_glass.side_panel"] = below("safety_glass.side_panel", _FAR_MM)
    elif pane.from_door_edge_mm is not None:
        reach = rules["safety_glass.side_reach"].figure
        zones["safety_glass.side_panel"] = below("safety_glass.side_panel", reach)
    return zones | {"safety_glass.window": below("safety_glass.window", _FAR_MM)}


def _in_zones(pane: PaneFacts, rules: RuleSet, zones: dict[str, Polygon]) -> Verdict:
    shape = outline_mm(pane)
    inside = [i for i, zone in zones.items() if shape.intersection(zone).area > _TOUCH_MM2]
    if not inside:
        rule = rules[next(iter(zones))]
        why = f"no part of the pane is in the zone below {rule.figure:g} mm, so any glass will do."
        return rule.verdict(
            "meets", why, found=pane.bottom_above_floor_mm, rests_on=_rests_on(pane, zones.values())
        )
    rule = rules[inside[0]]
    needed = _needed(pane, rule, rules)
    leaves = [_leaf(leaf, pane, rules, needed) for leaf in pane.leaves]
    word = max((leaf.word for leaf in leaves), key=GRAVITY.index)
    governing = [leaf for leaf in leaves if leaf.word == word]
    text = "; ".join(dict.fromkeys(leaf.says for leaf in governing))
    if word == "fails":
        word = rule.not_met or "fails"
    why = f"it reaches below {rule.figure:g} mm, so all of the pane must be class {needed:g} or better: "
    tail = "" if word == "meets" else " Order it toughened or laminated."
    return rule.verdict(
        word, f"{why}{text}.{tail} {_MARK}", limit=f"class {needed:g}",
        found="; ".join(dict.fromkeys(leaf.found for leaf in governing)),
        rests_on=(_by_kind(),) if any(leaf.usual for leaf in governing) else (),
    )  # fmt: skip


def _rests_on(pane: PaneFacts, zones: Iterable[Polygon]) -> tuple[Rest, ...]:
    """The frame's figures place the pane; a sill above every zone does so alone."""
    top = max(zone.bounds[3] for zone in zones)
    if pane.sill_above_floor_mm is not None and pane.sill_above_floor_mm >= top:
        return ()
    return rests_of(pane.rests_on, "bottom_above_floor_mm", "width_mm")


def _by_kind() -> Rest:
    """A class that was not declared."""
    return Rest(
        what="the class usual for its kind",
        how=table("glass_classes").pedigree.how,
        ask="ask the glass maker for its EN 12600 class",
        of_product=True,
    )


def _needed(pane: PaneFacts, rule: Rule, rules: RuleSet) -> float:
    wide = (pane.width_mm or 0.0) > rules["safety_glass.wide"].figure
    by_door = rule.id in ("safety_glass.door", "safety_glass.side_panel")
    return rules["safety_glass.wide_class" if wide and by_door else "safety_glass.class"].figure


def _leaf(leaf: GlassFacts, pane: PaneFacts, rules: RuleSet, needed: float) -> _Leaf:
    """What one leaf of glass comes to in a zone."""
    assert leaf.kind is not None
    assert leaf.thickness_mm is not None
    name = f"{leaf.kind.replace('_', ' ')} {leaf.thickness_mm:g} mm"
    usual = usual_class(leaf.kind, leaf.thickness_mm)
    declared = leaf.en12600_class or usual
    if declared:
        found = _Leaf(word="meets", glass=f"{name}, class {declared}", usual=not leaf.en12600_class)
        if impact_class(declared).at_least(needed):
            return found
        return _small_or_robust(leaf, pane, rules, found)
    if leaf.kind in ("toughened", "laminated"):
        ask = ": read it off the mark or the maker's declaration"
        return _Leaf(word="unknown", glass=f"{name}, class not known", usual=False, why=ask)
    return _small_or_robust(leaf, pane, rules, _Leaf(word="fails", glass=f"{name}, no class", usual=False))


def _small_or_robust(leaf: GlassFacts, pane: PaneFacts, rules: RuleSet, found: _Leaf) -> _Leaf:
    """Glass that does not pass by class may pass as a small pane, or be put to building control as robust."""
    assert leaf.thickness_mm is not None
    width, height = _sides(pane)
    small = (
        min(width, height) <= rules["safety_glass.small_side"].figure
        and width * height * 1e-6 <= rules["safety_glass.small_area"].figure
    )
    thick = rules["safety_glass.leaded" if pane.leaded else "safety_glass.small_pane"].figure
    if small and leaf.thickness_mm >= thick:
        return replace(found, word="meets", why=f", a small pane at least {thick:g} mm thick")
    if leaf.kind == "annealed" and _robust(leaf.thickness_mm, width, height):
        robust = f", thick enough to be put to building control ({rules['safety_glass.robust'].source})"
        return replace(found, word="refer", why=robust)
    return replace(
        found, word="fails", why=f"; a small pane must be at least {thick:g} mm thick" if small else ""
    )


def _sides(pane: PaneFacts) -> tuple[float, float]:
    """Width and height bead to bead; the larger height where two are given."""
    tall = (pane.top_above_floor_mm or 0.0) - (pane.bottom_above_floor_mm or 0.0)
    return pane.width_mm or 0.0, max(pane.height_mm or 0.0, tall)


def _robust(thickness_mm: float, width_mm: float, height_mm: float) -> bool:
    return any(
        thickness_mm >= row["from_mm"] and width_mm <= row["width_mm"] and height_mm <= row["height_mm"]
        for row in table("robust_annealed")
    )


def _bath_finding(pane: PaneFacts, rules: RuleSet, word: Word) -> list[Verdict]:
    """Advice by a bath or shower, where the pane is not already held to be safe for another reason."""
    rule = rules["safety_glass.bath"]
    low = (pane.bottom_above_floor_mm or 0.0) < rule.figure
    needed = rules["safety_glass.class"].figure
    if not pane.by_bath or not low or word not in ("meets", "advise"):
        return []
    leaves = (_leaf(leaf, pane, rules, needed) for leaf in pane.leaves)
    plain = [leaf for leaf in leaves if leaf.word != "meets"]
    if not plain:
        return []
    why = f"by a bath or shower, safety glass is advised below {rule.figure:g} mm: {plain[0].says}."
    return [rule.verdict("advise", why, found=plain[0].found)]
