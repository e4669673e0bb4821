"""Other ways to make what its system does not take, as changes of the readings file still to be planned again."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from jambwright.checks.changed_lights import OF_OPENERS, OF_STAYS
from jambwright.checks.order_tree import (
    Tree,
    changes_of,
    node_at,
    wanted_tree,
    with_node,
    without_declared,
)
from jambwright.checks.system_case import Case, OtherWay
from jambwright.checks.system_fit import (
    AT_EDGE_MM,
    Sash,
    against_hinge,
    beyond,
    hinges_for,
    most_vents_mm2,
    sash_of,
    vents_of,
)
from jambwright.checks.system_leaves import other_folds, other_panes, other_split
from jambwright.checks.verdict import AGAINST, Verdict
from jambwright.frame.frame import Frame
from jambwright.frame.glazing_unit import GlazingUnit
from jambwright.frame.layout import PlacedLight
from jambwright.readings.proposal import Change, Proposal
from jambwright.readings.survey import Opening
from jambwright.readings.system_sheet import SashOnSheet, SystemSheet
from jambwright.readings.ways import hung

NARROWEST_CAVITY_MM, WIDEST_CAVITY_MM = 8.0, 20.0
"""Of the cavities that units are made with. Common practice, no published source."""


LEAST_FIXED_MM = 300.0
"""Of a new fixed part beside one that opens. Common practice, no published source."""


def system_proposals(
    opening: Opening, frame: Frame, sheet: SystemSheet, found: Sequence[Verdict]
) -> list[Proposal]:
    """What may mend a sash, glass or ventilators that the system does not take.

    Lights that break a limit are changed alike: where one way gives several, they are tried one by one.
    """
    failing = [v for v in found if v.rule.startswith("system.") and v.word in AGAINST and v.part]
    if not failing:
        return []
    mends = tuple(dict.fromkeys(verdict.rule for verdict in failing))
    marks = {verdict.part.mark for verdict in failing if verdict.part}
    lights = [light for light in frame.layout.lights if light.mark in marks]
    # a light of several leaves is changed as a whole, where what it has once is told
    paths = dict.fromkeys(each.path for each in lights)
    lights = [next(leaf for leaf in frame.layout.leaves_at(path) if not leaf.follows) for path in paths]
    offered = []
    for way in (*_WAYS, *_later(mends)):
        for say, changes in _alike(opening, frame, sheet, lights, way):
            offered.append(Proposal(mends=mends, changes=changes, say=say))
    if "system.vent" in mends and (shared := _vents_shared(opening, frame, sheet)):
        offered.append(replace(shared, mends=mends))
    return _each_once(offered)


def _later(mends: Sequence[str]) -> tuple[OtherWay, ...]:
    """Nothing that opens where a light is too small to open."""
    return (_fixed,) if {"system.width", "system.height", "system.ratio"} & set(mends) else ()


def _each_once(offered: Sequence[Proposal]) -> list[Proposal]:
    return [p for n, p in enumerate(offered) if p.changes not in [other.changes for other in offered[:n]]]


def _alike(
    opening: Opening, frame: Frame, sheet: SystemSheet, lights: Sequence[PlacedLight], way: OtherWay
) -> Iterator[tuple[str, tuple[Change, ...]]]:
    """The changes of all lights by one way, in words, for each of the forms it has."""
    asked = wanted_tree(opening)
    forms = [[*way(Case(node_at(asked, light.path), light, frame, sheet))] for light in lights]
    for number in range(max(map(len, forms), default=0)):
        wanted, said = asked, []
        for light, found in zip(lights, forms, strict=True):
            if not found:
                continue
            say, node = found[min(number, len(found) - 1)]
            wanted = with_node(wanted, light.path, node)
            said.append(f"light {light.mark}: {say}")
        if said and (changes := changes_of(opening, without_declared(wanted, ("lights",)))):
            yield "; ".join(said), changes


def _other_hinge(case: Case) -> Iterator[tuple[str, Tree]]:
    """A hinge that carries it, opened no farther than it lets."""
    light, limits, node = case.light, case.limits, case.node
    if not limits or not light.sash:
        return
    free = replace(light, wanted=light.wanted.model_copy(update=dict.fromkeys(OF_STAYS)))
    sash = sash_of(case.frame, light)
    for each in limits.hinges:
        if each.name == light.wanted.hinge or any(against_hinge(each, sash, free)):
            continue
        kept = {name: node[name] for name in OF_STAYS if name in node} | {"hinge": each.name}
        if each.open_angle_deg is not None and "open_angle_deg" in kept:
            kept["open_angle_deg"] = min(each.open_angle_deg, kept["open_angle_deg"])
        if each.obstruction_mm is not None and "obstruction_mm" in kept:
            kept["obstruction_mm"] = each.obstruction_mm
        angle = f", opens to {kept['open_angle_deg']:g}°" if "open_angle_deg" in kept else ""
        yield f"{each.name}{angle}", case.without(OF_STAYS) | kept


def _inwards(case: Case) -> Iterator[tuple[str, Tree]]:
    """The same, turned to open in."""
    if case.light.way.clear == "turn" and case.light.wanted.swing == "out":
        yield "opens in", case.node | {"swing": "in"}


def _turned(case: Case) -> Iterator[tuple[str, Tree]]:
    """Tilt and turn, hung where it hung."""
    light = case.light
    known = case.sheet.sash("tilt_turn") is not None
    if known and light.sash and not light.door_leaf and not light.leaf and light.way.clear != "turn":
        side = light.way.hangs if light.way.hangs in ("left", "right") else "left"
        yield "tilt and turn, opens in", case.without(OF_STAYS) | {"opens": hung("turn", side), "swing": "in"}


def _paired(case: Case) -> Iterator[tuple[str, Tree]]:
    """Two leaves that meet without a mullion."""
    light = case.light
    known = case.sheet.sash("door" if light.door_leaf else "french_leaf") is not None
    if known and light.sash and light.way.clear == "side" and not light.leaf:
        kept = case.without(("hinge", "obstruction_mm"))
        yield "a pair of leaves without a mullion", kept | {"opens": f"pair_{light.way.hangs}"}


def _fixed(case: Case) -> Iterator[tuple[str, Tree]]:
    """It does not open."""
    light = case.light
    if light.sash and not light.door_leaf and (not light.leaf or light.made == "vertical_sash"):
        yield "fixed", case.without(OF_OPENERS) | {"opens": "fixed"}


def _divided(case: Case) -> Iterator[tuple[str, Tree]]:
    """As much of it opens as its system takes, else half of it; the rest is fixed."""
    light, limits = case.light, case.limits
    if limits is None:
        return
    if not light.sash:
        yield from _fixed_divided(case)
        return
    if light.way.hangs == "top" or light.made == "vertical_sash":
        yield "two of the same side by side", _in_two(case)
    if (light.way.hangs in ("left", "right") or light.made == "slider") and (
        most := _most_mm(case, limits, wide=True)
    ):
        yield f"the part that opens {most} mm wide, fixed beside it", _across(case, most)
    if most := _most_mm(case, limits, wide=False):
        where = "below" if light.way.hangs == "top" else "above"
        yield f"the part that opens {most} mm high, fixed {where}", _down(case, most)
    if not light.door_leaf and not light.leaf:
        yield "a mullion in the middle, one half opens", _across(case, None)
        yield "a transom in the middle, one half opens", _down(case, None)


def _most_mm(case: Case, limits: SashOnSheet, *, wide: bool) -> int | None:
    """The largest part that the system lets open, to the new bar's centre line; nothing where all of it may."""
    light, layout = case.light, case.frame.layout
    size = case.along_mm(wide=wide)
    held = [each for each in _sizes_held(case, limits, wide=wide) if each < size]
    if not held:
        return None
    part, sight = layout.part_rect(light.path), layout.seen_rect(light.path, "sight")
    far = {
        "right": part.right_mm - sight.right_mm,
        "left": sight.x_mm - part.x_mm,
        "top": part.top_mm - sight.top_mm,
        "bottom": sight.y_mm - part.y_mm,
    }
    hangs = light.way.hangs
    at = ("left" if hangs == "right" else "right") if wide else ("bottom" if hangs == "top" else "top")
    whole = part.width_mm if wide else part.height_mm
    half = case.frame.chosen.profile.bar_face_mm / 2
    most = whole - case.leaves_along(wide=wide) * (size - held[0]) - far[at] + half
    return math.floor(min(most, whole - LEAST_FIXED_MM))


def _sizes_held(case: Case, limits: SashOnSheet, *, wide: bool) -> list[float]:
    """Other widths or heights of the sash with which it keeps its limits and a hinge carries it, the nearest first."""
    light, sash = case.light, sash_of(case.frame, case.light)
    sizes = (
        [limits.least_width_mm, limits.most_width_mm]
        if wide
        else [limits.least_height_mm, limits.most_height_mm]
    )
    for ratio in (limits.least_ratio, limits.most_ratio):
        sizes += [ratio * sash.height_mm if wide else sash.width_mm / ratio] if ratio else []
    if (light.way.swings_on or "width") == ("width" if wide else "height"):
        sizes += [end for each in limits.hinges for end in (each.least_mm, each.most_mm)]
    now = case.along_mm(wide=wide)
    return sorted(
        {s for s in sizes if s and _holds(case, limits, sash, s, wide=wide)}, key=lambda s: abs(s - now)
    )


def _holds(case: Case, limits: SashOnSheet, now: Sash, size_mm: float, *, wide: bool) -> bool:
    """Whether a sash that wide or high would do, its mass taken to grow with its edges and its glass."""
    width, height = (size_mm, now.height_mm) if wide else (now.width_mm, size_mm)
    glass = case.frame.infill_kg(case.light.mark)
    edges = (width + height) / (now.width_mm + now.height_mm)
    kg = (now.mass_kg - glass) * edges + glass * width * height * 1e-6 / now.area_m2
    sash = Sash(width_mm=width, height_mm=height, mass_kg=kg)
    hinges = hinges_for(case.light, limits)
    carried = not limits.hinges or any(not any(against_hinge(h, sash, case.light)) for h in hinges)
    return carried and not any(beyond(limits, sash))


def _across(case: Case, opens_mm: float | None) -> Tree:
    """Side by side: it opens at the side it hangs on."""
    size, half, fixed = _halves(case, opens_mm)
    return size | {"across": [half, fixed] if case.light.way.hangs != "right" else [fixed, half]}


def _down(case: Case, opens_mm: float | None) -> Tree:
    """One above the other: what is hung at the top opens above, all else below; the ventilator stays at the head."""
    size, half, fixed = _halves(case, opens_mm)
    if case.light.way.hangs == "top":
        return size | {"down": [half, fixed]}
    fixed |= {"vent_mm2": half.pop("vent_mm2")} if "vent_mm2" in half else {}
    return size | {"down": [fixed, half]}


def _in_two(case: Case) -> Tree:
    """Two of the same side by side, with half the ventilation each."""
    size, half, _ = _halves(case, None)
    half |= {"vent_mm2": half["vent_mm2"] / 2} if "vent_mm2" in half else {}
    return size | {"across": [half, dict(half)]}


def _fixed_divided(case: Case) -> Iterator[tuple[str, Tree]]:
    """A fixed light in two by a bar; what is in its head stays in the first."""
    size, half, bare = _halves(case, None)
    yield "a mullion in the middle", size | {"across": [half, bare]}
    yield "a transom in the middle", size | {"down": [half, bare]}


def _halves(case: Case, opens_mm: float | None) -> tuple[Tree, Tree, Tree]:
    """Its size in the row it stands in, the part that opens as before, and a fixed part of the same glass."""
    size = {str(name): case.node[name] for name in ("mm", "share") if name in case.node}
    half = case.without(("mm", "share", "handle_height_mm"))
    half |= {"mm": float(opens_mm)} if opens_mm is not None else {}
    of_pane = ("glass", "obscure") if case.light.door_leaf else ("infill", "glass", "obscure")
    return size, half, {name: half[name] for name in of_pane if name in half} | {"opens": "fixed"}


def _resized(case: Case) -> Iterator[tuple[str, Tree]]:
    """A part among others gets the nearest size that does; those beside it share the rest."""
    light, limits = case.light, case.limits
    if not limits or not light.sash or not light.path:
        return
    wide = light.path[-2] == "across"
    held = next(iter(_sizes_held(case, limits, wide=wide)), None)
    if held is None:
        return
    part = case.frame.layout.part_rect(light.path)
    more = case.leaves_along(wide=wide) * (held - case.along_mm(wide=wide))
    mm = (part.width_mm if wide else part.height_mm) + more
    mm = math.ceil(mm) if more > 0 else math.floor(mm)
    yield f"{mm} mm {'wide' if wide else 'high'}", case.without(("share",)) | {"mm": float(mm)}


def _reglazed(case: Case) -> Iterator[tuple[str, Tree]]:
    """The same panes with cavities that make a thickness its beads take, the nearest first."""
    unit = case.frame.glazing[case.light.mark]
    if unit is None or not unit.cavities or not case.sheet.glass_mm:
        return
    thick = unit.thickness_mm
    for each in sorted(case.sheet.glass_mm, key=lambda each: abs(each - thick)):
        if other := _with_thickness(unit, each):
            yield f"glass {other}", case.node | {"glass": str(other)}


def _with_thickness(unit: GlazingUnit, thick_mm: float) -> GlazingUnit | None:
    """The unit made that thick by its cavities, in whole millimetres; nothing where none are made so."""
    of_each = (thick_mm - sum(pane.thickness_mm for pane in unit.panes)) / len(unit.cavities)
    gap = float(round(of_each))
    if not NARROWEST_CAVITY_MM <= gap <= WIDEST_CAVITY_MM:
        return None
    return replace(unit, cavities=tuple(replace(each, gap_mm=gap) for each in unit.cavities))


def _vents_shared(opening: Opening, frame: Frame, sheet: SystemSheet) -> Proposal | None:
    """The same ventilation from all lights at the frame's head: as much in each, else what each has room for."""
    lights = [light for light in frame.layout.lights if not light.follows]
    top = max(light.part.top_mm for light in lights)
    heads = [light for light in lights if light.part.top_mm > top - AT_EDGE_MM]
    needed = sum(light.wanted.vent_mm2 for light in lights)
    each = needed / len(heads)
    given = {light.mark: each for light in heads}
    if not all(vents_of(frame, light, sheet, each) for light in heads):
        left = needed
        for light in sorted(heads, key=lambda light: -light.part.width_mm):
            given[light.mark] = min(left, most_vents_mm2(frame, light, sheet))
            left -= given[light.mark]
        if left > 0:
            return None
    wanted = wanted_tree(opening)
    for light in lights:
        bare = {name: value for name, value in node_at(wanted, light.path).items() if name != "vent_mm2"}
        area = given.get(light.mark, 0.0)
        wanted = with_node(wanted, light.path, bare | ({"vent_mm2": area} if area else {}))
    changes = changes_of(opening, wanted)
    told = ", ".join(f"{area:g} mm² in light {mark}" for mark, area in given.items() if area)
    return Proposal(mends=("system.vent",), changes=changes, say=f"ventilators {told}") if changes else None


_WAYS: tuple[OtherWay, ...] = (
    _inwards, _other_hinge, _reglazed, _resized, other_panes, other_folds, other_split, _divided, _turned, _paired,
)  # fmt: skip
