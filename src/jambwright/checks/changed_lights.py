"""One light of the wanted layout as it would be ordered otherwise: how it opens, its vents, its glass, a split."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from jambwright.basis.tables import table
from jambwright.checks.regulations import GlassFacts, LightFacts
from jambwright.frame.frame import Frame
from jambwright.frame.glazing_unit import GlazingUnit, Pane, parse_glazing
from jambwright.frame.layout import OWN_FIELDS, PlacedLight
from jambwright.readings.ways import At, hung, way_of

Tree = dict[str, Any]

OF_STAYS = ("open_angle_deg", "obstruction_mm", "hinge")
"""What is asked of one hinge or stay and of no other."""
OF_OPENERS = ("swing", "leaf", "handle_height_mm", "restrictor", *OF_STAYS, *OWN_FIELDS)
"""Fields that a fixed light has no use for."""
_SIDES: tuple[At, ...] = ("left", "right")
_HANDLE_SPARE_MM = 100.0
"""A handle nearer to the end of its sash is placed anew. Common practice, no published source."""


def as_it_opens(
    node: Tree,
    light: PlacedLight,
    frame: Frame,
    before: Mapping[str, LightFacts],
    new: LightFacts,
    nodes: Mapping[str, Tree],
) -> Tree:
    """A light's fields with hinge, stay and restrictor as in ``new``; all else as asked.

    ``before`` and ``nodes`` are the facts and fields of every light of the order by mark: a light that
    opens from now on takes after the one that did.
    """
    old, changed = before[light.mark], dict(node)
    if new.hinge == "fixed":
        if old.opens:
            changed = {n: v for n, v in node.items() if n not in OF_OPENERS} | {"opens": "fixed"}
        return changed
    if new.hinge != old.hinge:
        like = light.mark if old.opens else _taken_after(new, before)
        changed |= {n: v for n, v in nodes.get(like, {}).items() if n in OF_OPENERS}
        changed |= _hinged(light, frame, new, nodes.get(like, {}))
        if like and _turns_up(before[like].hinge) != _turns_up(new.hinge):
            changed.pop("handle_height_mm", None)
    if (new.hinge, new.open_angle_deg, new.obstruction_mm) != (
        old.hinge, old.open_angle_deg, old.obstruction_mm,
    ):  # fmt: skip
        changed = _stayed(changed, new)
    if new.restrictor == "releasable":
        changed["restrictor"] = True
    return changed


def _taken_after(new: LightFacts, before: Mapping[str, LightFacts]) -> str:
    """Mark of the opener whose hinge and stay the light gets; empty where nothing opened."""
    alike = [mark for mark, light in before.items() if light.hinge == new.hinge]
    same = [m for m in alike if (before[m].open_angle_deg, before[m].obstruction_mm)
            == (new.open_angle_deg, new.obstruction_mm)]  # fmt: skip
    return next(iter((*same, *alike)), "")


def _hinged(light: PlacedLight, frame: Frame, new: LightFacts, like: Tree) -> Tree:
    """Way of opening, with the side of its hinges by the layout where it has one."""
    way = way_of(new.hinge)
    if way.hangs in ("top", "bottom"):
        return {"opens": way.kind}
    side = _side(light, frame, str(like.get("opens", "fixed")))
    if way.clear == "turn":
        return {"opens": hung("turn", side), "swing": "in"}
    # in a door frame a side-hung light is a leaf unless it is said to be a sash
    sash = {"leaf": "sash"} if frame.chosen.kind == "door" and new.hinge != "door" else {}
    return {"opens": hung("side", side), **sash}


def _side(light: PlacedLight, frame: Frame, like: str) -> At:
    """Where it hangs: as it did, else at the jamb it stands at, else as the light it takes after, else left."""
    if (hangs := light.way.hangs) in _SIDES:
        return hangs
    at_left = light.part.x_mm < 0.5
    at_right = light.part.right_mm > frame.width_mm - 0.5
    if at_left != at_right:
        return "left" if at_left else "right"
    taken = way_of(like).hangs
    return taken if taken in _SIDES else "left"


def _turns_up(hinge: str) -> bool:
    """Whether it is hung at head or foot, so that its handle sits elsewhere."""
    return way_of(hinge).hangs in ("top", "bottom")


def _stayed(node: Tree, new: LightFacts) -> Tree:
    """Angle and obstruction of the stay, written only where they are not the usual of that hinge."""
    usual = table("usual_obstructions").find(hinge=way_of(new.hinge).usual)
    kept = {n: v for n, v in node.items() if n not in OF_STAYS}
    for name in ("open_angle_deg", "obstruction_mm"):
        value = getattr(new, name)
        if value is not None and (value != usual[name] or node.get(name) == value):
            kept[name] = value
    return kept


def vents_by_light(
    lights: Sequence[PlacedLight], before: Mapping[str, LightFacts], after: Mapping[str, LightFacts]
) -> dict[str, float]:
    """Equivalent area in the head of each light where the ventilators are others; empty where they stay.

    They are shared out among the lights at the frame's head, which have room for them.
    """
    if all(after[mark].vents_mm2 == light.vents_mm2 for mark, light in before.items()):
        return {}
    top = max(light.part.top_mm for light in lights)
    heads = [light.mark for light in lights if light.part.top_mm > top - 0.5 and not light.follows]
    fitted = dict.fromkeys((light.mark for light in lights if not light.follows), 0.0)
    for number, each in enumerate(vent for light in after.values() for vent in light.vents_mm2):
        fitted[heads[number % len(heads)]] += each
    return fitted


def glass_with(unit: GlazingUnit, leaves: Sequence[GlassFacts]) -> str:
    """The make-up with other outer panes and all else kept. Raises ``BadInput`` for glass that is not made."""
    outside, inside = (
        Pane(thickness_mm=leaf.thickness_mm or 0.0, kind=leaf.kind or "annealed")
        for leaf in (leaves[0], leaves[-1])
    )
    panes = (outside, *unit.panes[1:-1], inside) if len(unit.panes) > 1 else (inside,)
    return str(parse_glazing(str(replace(unit, panes=panes))))


def split_at(node: Tree, rise_mm: float, glass: str | None) -> Tree:
    """A light split by a transom whose centre is ``rise_mm`` above its lower edge, fixed below.

    ``glass`` is the lower make-up; a light without glass stays a panel there.
    """
    upper = {name: value for name, value in node.items() if name not in ("mm", "share")}
    size = {name: node[name] for name in ("mm", "share") if name in node}
    handle = node.get("handle_height_mm")
    if handle is not None:
        # the handle stays where a hand finds it, while the foot of the sash rises
        del upper["handle_height_mm"]
        upper |= {"handle_height_mm": handle - rise_mm} if handle - rise_mm > _HANDLE_SPARE_MM else {}
    lower: Tree = {"mm": float(-(-rise_mm // 1)), "opens": "fixed"}
    lower |= {"obscure": True} if node.get("obscure") else {}
    lower |= {"glass": glass} if glass else {"infill": "panel"}
    return size | {"down": [upper, lower]}
