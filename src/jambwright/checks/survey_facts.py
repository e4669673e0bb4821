"""From a surveyed house and its frames to the plain facts the rules ask for. Nothing is guessed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from jambwright.checks.heat import standing_now, unit_heat
from jambwright.checks.light_facts import frame_above_ground_mm, lights_of, panes_of
from jambwright.checks.opening_heat import NOTHING_DECLARED, OpeningHeat
from jambwright.checks.regulations import (
    AccessFacts,
    EnergyFacts,
    FireFacts,
    FlueFacts,
    HouseFacts,
    LightFacts,
    OldEscape,
    OpenerFacts,
    OpeningFacts,
    RoomPlace,
)
from jambwright.checks.regulations.check import openers_of
from jambwright.checks.regulations.clear import DECLARED, GEOMETRY
from jambwright.checks.regulations.escape_opening import straight_clear_mm
from jambwright.checks.rests import by_maker, by_profile
from jambwright.checks.slid_clear import clears_together, slid_clear
from jambwright.checks.verdict import rests_of
from jambwright.frame.frame import Frame
from jambwright.frame.layout import PlacedLight
from jambwright.readings.survey import Opening, Room, Standing, Survey
from jambwright.readings.ways import way_of

T = TypeVar("T")

DECLARED_U = "ask the maker for the declared U-value"
DECLARED_BAND = "ask the maker for the declared energy band"


@dataclass(frozen=True, slots=True, kw_only=True)
class Framed:
    """One opening with the frame to order and its heat."""

    opening: Opening
    frame: Frame
    heat: OpeningHeat


def opening_facts(survey: Survey, on: date, framed: Framed, room: Sequence[Framed]) -> OpeningFacts:
    """The facts of one opening. ``room`` lists every opening of its room, the one its air is told at first."""
    opening, frame = framed.opening, framed.frame
    others = [other for other in room if other is not framed]
    lights = lights_of(opening, frame)
    house, where, door = survey.house, survey.room(opening.room), frame.chosen.kind == "door"
    return OpeningFacts(
        nation=survey.site.nation,
        date=on,
        notice_date=survey.notice_date,
        start_date=survey.start_date,
        certified=survey.registered_installer,
        kind=frame.chosen.kind,
        room=_place(survey, where),
        floor_area_m2=where.floor_area_m2 if where else None,
        mechanical=house.mechanical_ventilation,
        extract_fan=where.extract_fan if where else None,
        lights=lights,
        panes=panes_of(opening, frame),
        other_vents_mm2=tuple(vent for other in others for vent in _vents_mm2(other)),
        other_openers=tuple(opener for other in others for opener in _openers(other)),
        old_openers=_all_known(room, _old_openers),
        air_told_at=None if room[0] is framed else room[0].opening.name,
        sill_above_floor_mm=opening.sill_above_floor_mm,
        other_glass_m2=sum(_glass_m2(other) for other in others),
        drop_outside_mm=opening.drop_outside_mm,
        top_above_ground_mm=_top_above_ground_mm(framed),
        guard_height_mm=opening.guard_height_mm,
        children=house.children,
        over_street=opening.over_street and _opens_outwards(frame),
        old=_old_escape(opening.now),
        old_vent_mm2=_old_vents_mm2(room),
        combustion_vent=opening.now.combustion_vent,
        permanent_vent_mm2=opening.wanted.permanent_vent_mm2,
        energy=_energy(survey, framed),
        flue=_flue(opening),
        access=_access(opening, lights) if door else None,
        fire=_fire(survey, framed),
        product_tested=frame.chosen.specified.security_tested,
        protected_look=_protected(survey),
    )


def house_facts(survey: Survey, on: date, framed: Sequence[Framed]) -> HouseFacts:
    """The facts of the house and the work as a whole."""
    house = survey.house
    return HouseFacts(
        nation=survey.site.nation,
        date=on,
        notice_date=survey.notice_date,
        start_date=survey.start_date,
        built_year=house.built_year,
        storeys=house.storeys,
        listed=house.listed,
        conservation_area=house.conservation_area,
        flat=house.kind == "flat",
        registered_installer=survey.registered_installer,
        doors=any(each.frame.chosen.kind == "door" for each in framed),
        smaller_parts=tuple(each.opening.name for each in framed if _opens_smaller(each)),
        lintel_missing=tuple(o.name for o in survey.openings if o.lintel.kind == "none"),
        heaviest_kg=max((each.frame.whole_kg for each in framed), default=None),
    )


def _opens_smaller(framed: Framed) -> bool:
    """Whether a window's largest part that opens is smaller than it was, as far as the old one was measured."""
    now = framed.opening.now
    if framed.frame.chosen.kind == "door" or now.clear_width_mm is None or now.clear_height_mm is None:
        return False
    openers = (light for light in framed.frame.layout.lights if light.opens)
    largest = max((_largest_m2(framed.frame, light) for light in openers), default=0.0)
    return largest < now.clear_width_mm * now.clear_height_mm * 1e-6


def _largest_m2(frame: Frame, light: PlacedLight) -> float:
    """The part that opens: of what slides what it leaves clear."""
    slid = slid_clear(frame, light)
    if slid:
        return slid.area_m2
    return 0.0 if clears_together(light) else light.sight.area_m2


def _place(survey: Survey, room: Room | None) -> RoomPlace:
    flat = survey.house.kind == "flat"
    if room is None:
        return RoomPlace(flat=flat)
    said = room.way_out is not None
    return RoomPlace(
        use=room.use,
        storey=room.storey,
        floor_above_ground_mm=room.floor_above_ground_mm,
        hall_to_exit=room.way_out == "hall" if said else None,
        protected_stair=room.way_out == "protected_stair" if said else None,
        inner_room=room.way_out == "other_room",
        flat=flat,
    )


def _vents_mm2(framed: Framed) -> tuple[float, ...]:
    return tuple(v for light in lights_of(framed.opening, framed.frame) for v in light.vents_mm2)


def _glass_m2(framed: Framed) -> float:
    lit = (light for light in framed.frame.layout.lights if framed.frame.glazing[light.mark])
    return sum(light.daylight.area_m2 for light in lit)


def _top_above_ground_mm(framed: Framed) -> float | None:
    ground = frame_above_ground_mm(framed.opening, framed.frame)
    return None if ground is None else round(ground + framed.frame.height_mm, 1)


def _openers(framed: Framed) -> tuple[OpenerFacts, ...]:
    return openers_of(lights_of(framed.opening, framed.frame))


def _old_openers(now: Standing) -> tuple[OpenerFacts, ...] | None:
    """As many as opened, each as large as the largest: the safe side of 'no worse than before'."""
    width, height = now.clear_width_mm, now.clear_height_mm
    if now.openers == 0:
        return ()
    if now.openers is None or width is None or height is None:
        return None
    # what stood clear counts whole, as with a slider
    return (OpenerFacts(width_mm=width, height_mm=height, hinge="horizontal_slider"),) * now.openers


def _all_known(
    room: Sequence[Framed], find: Callable[[Standing], tuple[T, ...] | None]
) -> tuple[T, ...] | None:
    """What stood in all openings of the room together; nothing while one of them is not known."""
    found = [find(each.opening.now) for each in room]
    return None if None in found else tuple(item for some in found if some for item in some)


def _old_vents_mm2(room: Sequence[Framed]) -> float | None:
    vents = _all_known(room, lambda now: None if now.vents_mm2 is None else (now.vents_mm2,))
    return None if vents is None else sum(vents)


def _old_escape(now: Standing) -> OldEscape | None:
    """The old way out; nothing where nothing of it was measured."""
    sizes = (now.clear_width_mm, now.clear_height_mm, now.bottom_above_floor_mm)
    if sizes == (None, None, None):
        return None
    width, height, bottom = sizes
    return OldEscape(clear_width_mm=width, clear_height_mm=height, bottom_above_floor_mm=bottom)


def _opens_outwards(frame: Frame) -> bool:
    return any(light.swings == "out" for light in frame.layout.lights)


def _protected(survey: Survey) -> bool:
    return bool(survey.house.listed or survey.house.conservation_area)


def _energy(survey: Survey, framed: Framed) -> EnergyFacts:
    """By the U-value at the reference size; a window by its band too."""
    unit, door = framed.heat.unit, framed.frame.chosen.kind == "door"
    glass = [unit for unit in framed.frame.glazing.values() if unit]
    protected = _protected(survey)
    declared = framed.opening.wanted.declared or NOTHING_DECLARED
    modelled = unit.reference.u_w_m2k
    maker, profile = by_maker(declared), framed.frame.chosen.profile
    return EnergyFacts(
        kind=framed.frame.chosen.kind,
        timber=framed.frame.chosen.profile.material == "timber",
        old_u_w_m2k=old.u_w_m2k if (old := standing_now(framed.opening.now)) else None,
        glazed_share=unit.real.glass_share if door else None,
        u_w_m2k=declared.u_w_m2k or modelled,
        u_modelled_w_m2k=modelled if declared.u_w_m2k else None,
        band=declared.energy_band or (unit.band.band if unit.band else None),  # type: ignore[arg-type]  # same bands
        centre_pane_u_w_m2k=max(float(unit_heat(each).u_w_m2k) for each in glass)
        if protected and glass
        else None,
        protected_look=protected,
        rests_on=(
            ("u_w_m2k", maker if declared.u_w_m2k else by_profile(profile, ask=DECLARED_U)),
            ("band", maker if declared.energy_band else by_profile(profile, ask=DECLARED_BAND)),
        ),
    )


def _flue(opening: Opening) -> FlueFacts | None:
    flue = opening.flue
    if flue is None:
        return None
    return FlueFacts(
        appliance=flue.appliance,
        direction=flue.direction,
        input_kw=flue.input_kw,
        to_opener_mm=flue.to_opener_mm,
        to_frame_mm=flue.to_frame_mm,
    )


def _access(opening: Opening, lights: Sequence[LightFacts]) -> AccessFacts:
    """The widest leaf is the way in; of a pair its master leaf alone."""
    leaves = [light for light in lights if _is_way_in(light) and light.pair != "slave"]
    starts = [leaf for leaf in leaves if leaf.bottom_above_floor_mm is not None]
    low = min(starts, key=lambda leaf: leaf.bottom_above_floor_mm or 0.0, default=None)
    wide = max(leaves, key=_leaf_clear_mm, default=None)
    by_threshold = rests_of(low.rests_on, "bottom_above_floor_mm") if low else ()
    by_leaf = rests_of(wide.rests_on, *_clear_by(wide)) if wide else ()
    return AccessFacts(
        old_level_threshold=opening.now.level_threshold,
        upstand_mm=low.bottom_above_floor_mm if low else None,
        clear_width_mm=_leaf_clear_mm(wide) if wide else None,
        old_clear_width_mm=opening.now.clear_width_mm,
        rests_on=(
            *(("upstand_mm", rest) for rest in by_threshold),
            *(("clear_width_mm", rest) for rest in by_leaf),
        ),
    )


def _clear_by(leaf: LightFacts) -> tuple[str, ...]:
    """Names of the facts that its clear width is by."""
    if leaf.clear_width_mm is not None:
        return DECLARED
    return leaf.slid.inputs if leaf.slid else GEOMETRY


def _is_way_in(light: LightFacts) -> bool:
    """A door leaf, or panes or leaves that are slid or folded away in a door."""
    return light.hinge == "door" or way_of(light.hinge).walked_through


def _leaf_clear_mm(leaf: LightFacts) -> float:
    if leaf.clear_width_mm is not None:
        return leaf.clear_width_mm
    if leaf.slid:
        return round(leaf.slid.width_mm, 1)
    assert leaf.frame_clear_width_mm is not None
    assert leaf.obstruction_mm is not None
    clear = straight_clear_mm(
        frame_clear_mm=leaf.frame_clear_width_mm,
        open_angle_deg=leaf.open_angle_deg or 0.0,
        obstruction_mm=leaf.obstruction_mm,
    )
    return round(float(clear), 1)


def _fire(survey: Survey, framed: Framed) -> FireFacts:
    """The hole in the wall stays as it is, so the new unit is as large as the old."""
    wall, area = survey.wall_of(framed.opening), framed.frame.outer.area_m2
    solid = wall.cavity_mm == 0 or wall.closer == "brick_return"
    closed = True if solid else False if wall.closer == "none" else None
    return FireFacts(
        to_boundary_m=framed.opening.to_boundary_m,
        opening_area_m2=area,
        old_opening_area_m2=area,
        cavity_closed=closed,
    )
