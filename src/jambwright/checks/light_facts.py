"""What the rules ask of the lights and panes of a frame, from its layout at true sizes and its place."""

from __future__ import annotations

from typing import Any, Literal

from jambwright.basis.tables import Row, table
from jambwright.checks.regulations import GlassFacts, LightFacts, PaneFacts
from jambwright.checks.regulations.facts import PanePlace, Restrictor
from jambwright.checks.rests import by_maker, by_profile, by_sources
from jambwright.checks.slid_clear import clear_leaf, slid_clear, usual_loss
from jambwright.checks.verdict import Rests
from jambwright.frame.frame import Frame
from jambwright.frame.glazing_unit import GlazingUnit
from jambwright.frame.layout import PlacedLight
from jambwright.frame.rect import Rect
from jambwright.readings.declared import Declared, DeclaredLight
from jambwright.readings.proposal import asked
from jambwright.readings.survey import Opening
from jambwright.readings.ways import way_of

CLEAR = "ask the maker for the clear opening"
GLASS_STARTS = "ask the maker how high the glass starts, or for its EN 12600 class"


def frame_above_floor_mm(opening: Opening, frame: Frame) -> float | None:
    """Bottom of the frame above the inside floor: structural sill, joint or packers, frame sill."""
    sill = opening.sill_above_floor_mm
    return None if sill is None else sill + frame.size.place_mm[1]


def lights_of(opening: Opening, frame: Frame) -> tuple[LightFacts, ...]:
    """Every light; a fixed one with the sizes it would have as an opener. What the maker declares rules."""
    declared = opening.wanted.declared
    said = declared.lights if declared else {}
    return tuple(
        _light(
            opening, frame, light, said.get(light.mark, DeclaredLight()) if light.opens else DeclaredLight()
        )
        for light in frame.layout.lights
    )


def frame_above_ground_mm(opening: Opening, frame: Frame) -> float | None:
    """Bottom of the frame above the ground or roof outside."""
    drop = opening.drop_outside_mm
    return None if drop is None else drop + frame.size.place_mm[1]


def _light(opening: Opening, frame: Frame, light: PlacedLight, said: DeclaredLight) -> LightFacts:
    wanted, sash = light.wanted, light.sash or light.sight.grown(frame.chosen.profile.sash_overlap_mm)
    level = frame_above_floor_mm(opening, frame)
    bottom = _above(level, light.sight.y_mm)
    if said.bottom_mm is not None and level is not None:
        bottom = _above(level - frame.size.sill_height_mm, said.bottom_mm)
    return LightFacts(
        mark=light.mark,
        hinge=light.way.rules,
        frame_clear_width_mm=beside_slave_mm(light),
        frame_clear_height_mm=light.sight.height_mm,
        obstruction_mm=blocked_mm(light),
        open_angle_deg=angle_deg(light),
        bottom_above_floor_mm=bottom,
        bottom_above_ground_mm=_above(frame_above_ground_mm(opening, frame), light.sight.y_mm),
        sash_width_mm=said.sash_width_mm or sash.width_mm,
        sash_height_mm=said.sash_height_mm or sash.height_mm,
        clear_width_mm=said.clear_width_mm,
        clear_height_mm=said.clear_height_mm,
        restrictor=_restrictor(wanted.restrictor),
        vents_mm2=(wanted.vent_mm2,) if wanted.vent_mm2 else (),
        pair=_leaf_of(frame, light),
        told_at_another=bool(light.leaf) and not light.is_paired and light != clear_leaf(frame, light),
        slid=slid_clear(frame, light),
        clear_of_both=light.made == "stable_door",
        both_frame_width_mm=both_mm(frame, light),
        turns_inside=light.swings == "in"
        or way_of(wanted.opens).turns_inside
        or wanted.balance == "spiral_tilt",
        rests_on=_rests_on(opening, frame, light, said),
    )


def _slave_left() -> Row:
    """What the meeting stile of a slave leaf that stays shut takes, half on each side of the meeting line."""
    return table("clear_usual").find(kind="french_window", size="slave_left_mm")


def beside_slave_mm(light: PlacedLight) -> float:
    """The clear frame of one light; of a master leaf what its slave leaves of it."""
    master = light.is_paired and not light.follows
    return light.sight.width_mm - (_slave_left()["value"] / 2 if master else 0.0)


def both_mm(frame: Frame, light: PlacedLight) -> float | None:
    """Of a master leaf the clear frame of both leaves."""
    if not light.is_paired or light.follows:
        return None
    return light.sight.width_mm + frame.layout.partner(light).sight.width_mm


def _leaf_of(frame: Frame, light: PlacedLight) -> Literal["", "master", "slave"]:
    """Which leaf of several it is; of what slides the master is where the one clear opening is."""
    if not light.leaf:
        return ""
    if light.is_paired:
        return "slave" if light.follows else "master"
    return "master" if light == clear_leaf(frame, light) else "slave"


def _restrictor(ordered: bool | Literal["key", "fixed"]) -> Restrictor:
    if isinstance(ordered, str):
        return ordered
    return "releasable" if ordered else "none"


def _rests_on(opening: Opening, frame: Frame, light: PlacedLight, said: DeclaredLight) -> Rests:
    """What the figures of a light are by: a profile that stands in for the maker's, usual stays, or declared."""
    profile, declared = frame.chosen.profile, opening.wanted.declared
    rests = {
        "frame_clear_width_mm": by_profile(profile, ask=CLEAR),
        "frame_clear_height_mm": by_profile(profile, ask=CLEAR),
        "sash_width_mm": by_profile(profile, ask="ask the maker for the sash sizes"),
        "sash_height_mm": by_profile(profile, ask="ask the maker for the sash sizes"),
        "bottom_above_floor_mm": by_profile(
            profile, ask="ask the maker how high above the frame's underside it opens"
        ),
    }
    if usual := usual_blocked(light):
        source = table("usual_obstructions").source(usual)
        stay = by_sources("a usual hinge", source, ask=CLEAR, of_product=True)
        if _taken(opening, light, "obstruction_mm"):
            rests["obstruction_mm"] = stay
        if _taken(opening, light, "open_angle_deg") and light.way.clear != "turn":
            rests["open_angle_deg"] = stay
    if (lost := usual_loss(light)) and light.wanted.obstruction_mm is None:
        source = table("clear_usual").source(lost)
        rests["obstruction_mm"] = by_sources("a usual stop", source, ask=CLEAR, of_product=True)
    if declared:
        given = said.model_dump(exclude_none=True) if light.opens else {}
        names = {"bottom_mm": "bottom_above_floor_mm"}
        rests |= {names.get(name, name): by_maker(declared) for name in given}
    return (*rests.items(), *_rests_on_slave(light))


def _rests_on_slave(light: PlacedLight) -> Rests:
    if not light.is_paired or light.follows:
        return ()
    source = table("clear_usual").source(_slave_left())
    return (
        ("frame_clear_width_mm", by_sources("a usual meeting stile", source, ask=CLEAR, of_product=True)),
    )


def _taken(opening: Opening, light: PlacedLight, field: str) -> bool:
    """Whether a figure of a light is by our table: not said at all, or put there by an accepted proposal."""
    said = getattr(light.wanted, field)
    if said is None or not opening.accepted:
        return said is None
    node: Any = asked(opening).layout
    for name, index in zip(light.path[::2], light.path[1::2], strict=True):
        parts = getattr(node, str(name), ())
        if not isinstance(index, int) or index >= len(parts):
            return True
        node = parts[index]
    return bool(getattr(node, field, None) != said)


def usual_blocked(light: PlacedLight) -> Row | None:
    """The usual obstruction and angle of that kind of opener; nothing for a fixed light."""
    return table("usual_obstructions").find(hinge=light.way.usual) if light.way.usual else None


def blocked_mm(light: PlacedLight) -> float | None:
    """What hinge and sash leave blocked: as ordered, else the usual."""
    usual = usual_blocked(light)
    if light.wanted.obstruction_mm is not None or usual is None:
        return light.wanted.obstruction_mm
    return float(usual["obstruction_mm"])


def angle_deg(light: PlacedLight) -> float | None:
    """How far it opens: as ordered, else the usual; nothing where only the stay tells."""
    usual, angle = usual_blocked(light), light.wanted.open_angle_deg
    return usual["open_angle_deg"] if usual and angle is None else angle


def panes_of(opening: Opening, frame: Frame) -> tuple[PaneFacts, ...]:
    """Every glazed unit as seen, bead to bead."""
    level = frame_above_floor_mm(opening, frame)
    leaves = [light.sash for light in frame.layout.lights if light.door_leaf and light.sash]
    return tuple(
        _pane(opening, frame, light, unit, level, leaves)
        for light in frame.layout.lights
        if (unit := frame.glazing[light.mark]) is not None
    )


def _pane(
    opening: Opening,
    frame: Frame,
    light: PlacedLight,
    unit: GlazingUnit,
    level_mm: float | None,
    leaves: list[Rect],
) -> PaneFacts:
    seen = light.daylight
    place: PanePlace = "window"
    from_door = None
    if light.door_leaf:
        place = "door"
    elif leaves:
        place, from_door = "side_panel", min(_apart_mm(seen, leaf) for leaf in leaves)
    elif opening.beside_door_mm is not None:
        # on which side the door is was not said: the nearer edge of the frame
        from_door = opening.beside_door_mm + min(seen.x_mm, frame.width_mm - seen.right_mm)
    return PaneFacts(
        light=light.mark,
        place=place,
        bottom_above_floor_mm=_above(level_mm, seen.y_mm),
        top_above_floor_mm=_above(level_mm, seen.top_mm),
        width_mm=seen.width_mm,
        height_mm=seen.height_mm,
        from_door_edge_mm=from_door,
        leaves=_leaves(unit, opening.wanted.declared),
        by_bath=opening.by_bath,
        outside_floor_mm=_outside_floor_mm(opening),
        sill_above_floor_mm=opening.sill_above_floor_mm,
        rests_on=(("bottom_above_floor_mm", by_profile(frame.chosen.profile, ask=GLASS_STARTS)),),
    )


def _leaves(unit: GlazingUnit, declared: Declared | None) -> tuple[GlassFacts, ...]:
    """The leaf towards the room and the one outside: each can be struck from its own side."""
    struck = dict.fromkeys((unit.panes[0], unit.panes[-1]))
    impact = declared.en12600_class if declared else None
    return tuple(
        GlassFacts(kind=pane.kind, thickness_mm=pane.thickness_mm, en12600_class=impact) for pane in struck
    )


def _apart_mm(seen: Rect, leaf: Rect) -> float:
    """How far a pane lies beside a door leaf; 0 above it."""
    return max(0.0, seen.x_mm - leaf.right_mm, leaf.x_mm - seen.right_mm)


def _outside_floor_mm(opening: Opening) -> float | None:
    sill, drop = opening.sill_above_floor_mm, opening.drop_outside_mm
    return None if sill is None or drop is None else sill - drop


def _above(level_mm: float | None, height_mm: float) -> float | None:
    """Rounded: a level is no surer than the tape it was read with."""
    return None if level_mm is None else round(level_mm + height_mm, 1)
