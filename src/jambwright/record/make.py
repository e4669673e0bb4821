"""From what the stages decided to the record. Nothing is worked out here that a stage could tell."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import shapely

from jambwright.basis.working import Step, Working
from jambwright.checks.cautions import storey_of
from jambwright.checks.delivered import remake_of, still_settled
from jambwright.checks.delivery_list import delivery_list
from jambwright.checks.gates import gates_of, stopped
from jambwright.checks.mended_at import with_places
from jambwright.checks.rule_needs import needed, title
from jambwright.checks.system_fit import VentsFitted, frame_has_steel, from_sheet
from jambwright.checks.verdict import AGAINST, Verdict
from jambwright.frame.frame import Frame
from jambwright.frame.layout import pane_mm
from jambwright.frame.order_size import overall_height_mm
from jambwright.frame.reveals import SIDES_OF
from jambwright.opening import Outline, Point
from jambwright.opening.outline_steps import note_readings
from jambwright.plan.chain import checks_of, found_of
from jambwright.plan.figures import Told, figures_of
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.plan.order_check import area_m2, mass_kg, perimeter_m
from jambwright.plan.quantities import quantities
from jambwright.readings.cleared import Cleared
from jambwright.readings.proposal import Proposal, asked
from jambwright.readings.survey import Opening, Survey
from jambwright.readings.system_sheet import SystemSheet
from jambwright.record.house import Site
from jambwright.record.opening import (
    BySheet,
    Face,
    GlassOrder,
    OpeningRecord,
    OrderFigures,
    Readings,
    Unread,
    VentSlots,
)
from jambwright.record.plain import Figure, plain


def site_record(survey: Survey) -> Site:
    """Whose house it is."""
    return Site(
        label=survey.site.label,
        note=survey.note,
        nation=survey.site.nation,
        date_of_work=survey.date_of_work,
        disturb={room.name: room.disturb for room in survey.house.rooms if room.disturb},
    )


def house_rules(house: HousePlan) -> tuple[Verdict, ...]:
    """Findings on the house, each with what it stops."""
    return _stopped(house.survey, house.rules.house, house.survey.cleared)


def opening_record(
    house: HousePlan, plan: OpeningPlan, of_house: Sequence[Verdict], offered: Sequence[Proposal] = ()
) -> OpeningRecord:
    """The record of one opening; ``of_house`` are the findings on its house, ``offered`` what mends its own."""
    survey, opening, frame = house.survey, plan.opening, plan.frame
    found, figures = house.rules_on(plan), figures_of(plan)
    cleared = still_settled(opening, survey.cleared)
    checks, rules = (
        _stopped(survey, verdicts, cleared, opening) for verdicts in (checks_of(plan), found.verdicts)
    )
    return OpeningRecord(
        id=opening.id,
        room=opening.room,
        note=opening.note,
        elevation=opening.elevation,
        storey=storey_of(survey, opening),
        before=opening.now.opens or "",
        done=tuple(opening.done),
        ordered=opening.is_done("ordered"),
        delivery=None if opening.is_done("fitted") else plain(delivery_list(frame)),
        remake=remake_of(opening),
        order=_order(plan, figures["whole_kg"]),
        glass=_glass(plan),
        by_sheet=_by_sheet(plan.frame, survey.system_of(opening)),
        told={name: _figure(figure) for name, figure in figures.items() if name != "whole_kg"},
        gates=gates_of((*checks, *rules), of_house),
        asked=asked(opening),
        accepted=tuple(opening.accepted),
        readings=_readings(plan),
        hole_mm=_points(plan.read.hole.space().points),
        nib_edges_mm=tuple(_nib_edges(plan)),
        lapped=plain(plan.lapped),
        frame=plain(frame),
        fitting=plain(replace(plan.fitting, verdicts=(), problems=())),
        wind=plain(plan.wind),
        heat=plain(replace(plan.heat, damp=())),
        found=plain(found_of(survey, plan)),
        quantities=plain(quantities(plan)),
        checks=checks,
        rules=rules,
        not_mended=tuple(dict.fromkeys(
            v.rule for v in found.verdicts if v.word in AGAINST and not any(v.rule in p.mends for p in offered)
        )),
        proposed=tuple(offered),
        assumed=found.assumed,
        air_told_at=found.air_told_at,
        cautions=plan.cautions,
        access=plan.access,
        remarks=plan.remarks,
        wall=survey.wall_of(opening),
    )  # fmt: skip


def unread_record(
    survey: Survey, opening: Opening, missing: Sequence[str], of_house: Sequence[Verdict]
) -> Unread:
    """An opening whose readings are not enough to plan it; ``missing`` are their names."""
    why = f"Not read yet: {', '.join(missing)}."
    verdict = stopped(
        with_places(survey, Verdict(rule="readings.unread", word="unknown", why=why), opening), ()
    )
    return Unread(
        id=opening.id, room=opening.room, gates=gates_of([verdict], of_house), missing=tuple(missing)
    )


def _stopped(
    survey: Survey, verdicts: Iterable[Verdict], cleared: Sequence[Cleared], opening: Opening | None = None
) -> tuple[Verdict, ...]:
    """Every verdict with what its rule asks, how and where to give what it lacks, and the gates it shuts."""
    told = (
        replace(with_places(survey, verdict, opening), asks=title(verdict.rule), write=needed(verdict))
        for verdict in verdicts
    )
    work_on = survey.start_date or survey.date_of_work
    return tuple(plain(stopped(verdict, cleared, work_on)) for verdict in told)


def _order(plan: OpeningPlan, mass: Told) -> OrderFigures:
    frame, sill, size = plan.frame, plan.frame.sill, plan.frame.size
    overall = Working()
    overall.step(
        "H with sill", overall_height_mm, height_mm=size.height_mm, sill_height_mm=size.sill_height_mm
    )
    sides = {"width_mm": frame.width_mm, "height_mm": frame.height_mm}
    around, over, checked = Working(), Working(), Working()
    perimeter, area = around.step("P", perimeter_m, **sides), over.step("A", area_m2, **sides)
    kg = checked.step("m", mass_kg, whole_kg=mass.value)
    return OrderFigures(
        width=Figure.of(frame.width_mm, "mm", Working(steps=[*_adjusted(plan, "width"), *size.across])),
        height=Figure.of(frame.height_mm, "mm", Working(steps=[*_adjusted(plan, "height"), *size.up])),
        overall_height=Figure.of(size.overall_height_mm, "mm", overall),
        sill_length=Figure.of(sill.length_mm, "mm", sill.along) if sill else None,
        sill_depth=Figure.of(sill.depth_mm, "mm", sill.deep) if sill else None,
        whole_kg=_figure(mass),
        perimeter=Figure.of(perimeter, "m", around),
        area=Figure.of(area, "m2", over),
        check_kg=Figure.of(kg, "kg", checked),
    )


def _by_sheet(frame: Frame, sheet: SystemSheet) -> BySheet:
    lights = from_sheet(frame, sheet)
    outer = ("outer frame",) if frame_has_steel(frame, sheet) else ()
    return BySheet(
        hinges={mark: each.hinge for mark, each in lights.items() if each.hinge},
        vents={mark: each.vents for mark, each in lights.items() if each.vents},
        slots={mark: _slots(each.fitted) for mark, each in lights.items() if each.fitted},
        steel_in=(*outer, *(f"sash {mark}" for mark, each in lights.items() if each.steel)),
    )


def _slots(fitted: VentsFitted) -> VentSlots:
    vent = fitted.vent
    return VentSlots(count=fitted.count, length_mm=vent.length_mm, in_sash=vent.place == "sash_head")


def _adjusted(plan: OpeningPlan, kind: str) -> list[Step]:
    """The readings of that kind as adjusted; behind nibs those of both faces."""
    own, inside = Working(), Working()
    note_readings(own, (r for r in plan.outline.readings if r.kind == kind))
    if plan.lapped and plan.read.inside:
        note_readings(inside, (r for r in plan.read.inside.readings if r.kind == kind))
    return [*own, *(replace(step, symbol=f"inside, {step.symbol}") for step in inside)]


def _figure(told: Told) -> Figure:
    return Figure.of(told.value, told.unit, told.working)


def _glass(plan: OpeningPlan) -> dict[str, GlassOrder]:
    frame = plan.frame
    cover = frame.chosen.profile.glass_cover_mm
    return {
        light.mark: GlassOrder(
            width=_side(light.glass.width_mm, light.daylight.width_mm, cover),
            height=_side(light.glass.height_mm, light.daylight.height_mm, cover),
            make_up=str(unit) if (unit := frame.glazing[light.mark]) else None,
            obscure=light.wanted.obscure,
            mass_kg=frame.infill_kg(light.mark),
        )
        for light in frame.layout.lights
    }


def _side(value_mm: float, daylight_mm: float, cover_mm: float) -> Figure:
    working = Working()
    working.step("glass", pane_mm, daylight_mm=daylight_mm, cover_mm=cover_mm)
    return Figure.of(value_mm, "mm", working)


def _readings(plan: OpeningPlan) -> Readings:
    read, nibs = plan.read, plan.read.nibs
    return Readings(
        word=plan.advice.word,
        say=plan.advice.say,
        held=read.held,
        weakened=plan.weakened,
        suspects=plain(plan.findings.suspects),
        outside=_face(plan.outline),
        inside=_face(read.inside) if read.inside else None,
        nibs=tuple(side for side in SIDES_OF.values() if side in nibs),
        nibs_mm={
            name: mm
            for name, side in SIDES_OF.items()
            if side in nibs and (mm := getattr(plan.opening.nibs, name)) is not None
        },
    )


def _face(outline: Outline) -> Face:
    return Face(
        corners_mm=plain(outline.corners_mm),
        mid_edges_mm=plain(outline.mid_edges_mm),
        boundary_mm=_points(outline.boundary()),
        readings=plain(outline.readings),
    )


def _nib_edges(plan: OpeningPlan) -> Iterable[tuple[Point, ...]]:
    """The edges of the outer hole that stand in front of the frame."""
    frame, (x, y) = plan.frame, plan.frame.size.place_mm
    body = shapely.box(x, y, x + frame.width_mm, y + frame.height_mm)
    for side in (side for side in SIDES_OF.values() if side in plan.read.nibs):
        edges = [(a, b) for a, b, each in plan.outline.space().edges() if each == side]
        seen = body.intersection(shapely.MultiLineString(edges))
        for part in shapely.get_parts(shapely.line_merge(seen)):
            if part.length:
                yield _points(shapely.get_coordinates(part))


def _points(points: Iterable[Sequence[float]]) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in points)
