"""Another order for one opening as changes of the readings file: from remedies of the rules, from stronger glass."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from jambwright.basis.problems import BadInput
from jambwright.checks.changed_lights import as_it_opens, glass_with, split_at, vents_by_light
from jambwright.checks.light_facts import frame_above_floor_mm, lights_of, panes_of
from jambwright.checks.order_tree import (
    Tree,
    changes_of,
    node_at,
    put_at,
    wanted_tree,
    with_node,
    without_declared,
)
from jambwright.checks.regulations import LightFacts, Remedy
from jambwright.checks.verdict import AGAINST, Verdict
from jambwright.frame.frame import Frame
from jambwright.frame.glazing_unit import GlazingUnit
from jambwright.frame.layout import Layout, LayoutPath, PlacedLight
from jambwright.readings.proposal import Proposal
from jambwright.readings.survey import Opening

GLASS_RULE = "glass.strength"
"""What stronger glass mends."""
OF_THE_GLASS = ("glass_wind_pa", "en12600_class")
"""What is declared of one make-up and of no other."""


def remedy_proposals(
    opening: Opening, frame: Frame, found: Sequence[Verdict], choices: Sequence[Remedy]
) -> list[Proposal]:
    """The choices that can be written as changes of ``opening``, as it stands in the survey.

    ``frame`` is its frame as ordered, ``found`` what the rules find of it.
    """
    failing = dict.fromkeys(verdict.rule for verdict in found if verdict.word in AGAINST)
    offered = []
    for choice in choices:
        left = {verdict.rule for verdict in choice.verdicts if verdict.word in AGAINST}
        mends = tuple(rule for rule in failing if rule not in left)
        if changes := changes_of(opening, _reordered(opening, frame, choice)):
            offered.append(Proposal(mends=mends, changes=changes, say=choice.say))
    return offered


def glass_proposals(
    opening: Opening, layout: Layout, proposed: Mapping[str, GlazingUnit]
) -> tuple[Proposal, ...]:
    """Stronger glass, by light mark, as one proposal: the check of an opening's glass passes as a whole."""
    wanted = wanted_tree(opening)
    for light in layout.lights:
        if unit := proposed.get(light.mark):
            wanted = put_at(wanted, light.path, "glass", str(unit))
    changes = changes_of(opening, without_declared(wanted, OF_THE_GLASS)) if proposed else ()
    say = "; ".join(f"light {mark}: {unit}" for mark, unit in proposed.items())
    return (Proposal(mends=(GLASS_RULE,), changes=changes, say=say),) if changes else ()


def glass_order(opening: Opening, make_up: str) -> Proposal:
    """Another make-up for all lights that have none of their own; what was declared of the old one goes."""
    wanted = without_declared(wanted_tree(opening) | {"glass": make_up}, OF_THE_GLASS)
    return Proposal(mends=(), changes=changes_of(opening, wanted), say=f"glass {make_up}")


def _reordered(opening: Opening, frame: Frame, choice: Remedy) -> Tree | None:
    """What is wanted with the remedy in it; ``None`` where the layout can't hold it."""
    try:
        wanted = _resized(wanted_tree(opening), frame, opening, choice)
        wanted = _lights_changed(wanted, frame, opening, choice)
        wanted = _split(wanted, frame, opening, choice)
    except BadInput:
        return None
    if wanted == wanted_tree(opening):
        return wanted
    reglazed = OF_THE_GLASS if dict(_glass(frame, opening, choice)) else ()
    return without_declared(wanted, ("lights", *reglazed))


def _lights_changed(wanted: Tree, frame: Frame, opening: Opening, choice: Remedy) -> Tree:
    """Ways of opening, stays, restrictors, ventilators and glass, light by light."""
    before = {light.mark: light for light in lights_of(opening, frame)}
    after = {light.mark: light for light in choice.facts.lights}
    asked = {light.mark: node_at(wanted, light.path) for light in frame.layout.lights}
    vents = vents_by_light(frame.layout.lights, before, after)
    glass = dict(_glass(frame, opening, choice))
    for light in frame.layout.lights:
        node = node_at(wanted, light.path)
        new = as_it_opens(node, light, frame, before, after[light.mark], asked)
        if light.mark in vents:
            new = {name: value for name, value in new.items() if name != "vent_mm2"}
            new |= {"vent_mm2": vents[light.mark]} if vents[light.mark] else {}
        if light.mark in glass:
            new["glass"] = glass[light.mark]
        wanted = with_node(wanted, light.path, new)
    return wanted


def _glass(frame: Frame, opening: Opening, choice: Remedy) -> Iterator[tuple[str, str]]:
    """Make-up by mark of each pane that is another; the one under a new transom goes by its own name."""
    before = {pane.light: pane for pane in panes_of(opening, frame)}
    for pane in choice.facts.panes:
        of = before[pane.cut_from or pane.light]
        unit = frame.glazing[of.light]
        assert unit is not None
        if of.light != pane.light or of.leaves != pane.leaves:
            yield pane.light, glass_with(unit, pane.leaves)


def _split(wanted: Tree, frame: Frame, opening: Opening, choice: Remedy) -> Tree:
    """Lights with a new transom and a fixed light below it."""
    after = {light.mark: light for light in choice.facts.lights}
    glass = dict(_glass(frame, opening, choice))
    level = frame_above_floor_mm(opening, frame)
    for light in frame.layout.lights:
        low = f"{light.mark} low"
        at = after[light.mark].bottom_above_floor_mm
        if low in after and at is not None and level is not None:
            rise = at - level - frame.chosen.profile.bar_face_mm / 2 - light.part.y_mm
            node = split_at(node_at(wanted, light.path), rise, glass.get(low))
            wanted = with_node(wanted, light.path, node)
    return wanted


def _resized(wanted: Tree, frame: Frame, opening: Opening, choice: Remedy) -> Tree:
    """A mullion moved: the part that grows and those beside it at fixed sizes, the one that pays takes the rest."""
    grown = {
        new.mark: by
        for new, old in _pairs(choice.facts.lights, lights_of(opening, frame))
        if (by := _wider_mm(new, old))
    }
    if not grown:
        return wanted
    marks = {light.mark: light for light in frame.layout.lights}
    wider, narrower = (marks[next(m for m, by in grown.items() if (by > 0) == up)] for up in (True, False))
    row, to, of = _shared_row(wider, narrower)
    for index, part in enumerate(node_at(wanted, row)["across"]):
        path = (*row, "across", index)
        if index == of and "mm" not in part:
            continue
        by = grown[wider.mark] if index == to else grown[narrower.mark] if index == of else 0.0
        if by or "mm" not in part:
            size = frame.layout.part_width_mm(path) + by
            # the part that grows is never a hair too narrow
            wanted = put_at(wanted, path, "mm", float(-(-size // 1)) if by > 0 else round(size, 1))
    return _one_part_free(wanted, row, to)


def _one_part_free(wanted: Tree, row: LayoutPath, grown: int) -> Tree:
    """Fixed sizes alone would not fill a frame that is measured again: one part takes the rest."""
    parts = node_at(wanted, row)["across"]
    if all("mm" in part for part in parts):
        path = (*row, "across", grown)
        return with_node(wanted, path, {n: v for n, v in parts[grown].items() if n != "mm"})
    return wanted


def _shared_row(one: PlacedLight, other: PlacedLight) -> tuple[LayoutPath, int, int]:
    """The row of parts in which two lights first part ways, and the number of each there."""
    for depth in range(0, min(len(one.path), len(other.path)), 2):
        mine, theirs = one.path[depth : depth + 2], other.path[depth : depth + 2]
        if mine != theirs:
            if mine[0] != "across" or theirs[0] != "across":
                break
            return one.path[:depth], int(mine[1]), int(theirs[1])
    raise BadInput.one("layout", f"lights {one.mark} and {other.mark} do not stand side by side.")


def _pairs(
    after: Sequence[LightFacts], before: Sequence[LightFacts]
) -> Iterator[tuple[LightFacts, LightFacts]]:
    old = {light.mark: light for light in before}
    return ((light, old[light.mark]) for light in after if light.mark in old)


def _wider_mm(new: LightFacts, old: LightFacts) -> float:
    return (new.frame_clear_width_mm or 0.0) - (old.frame_clear_width_mm or 0.0)
