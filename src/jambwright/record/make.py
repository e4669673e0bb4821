"""From what the stages decided to the record. Nothing is worked out here that a stage could tell."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import shapely

from jambwright.basis.working import Working
from jambwright.checks.cautions import storey_of
from jambwright.checks.gates import gates_of, stopped
from jambwright.checks.rule_needs import needed, title
from jambwright.checks.verdict import Verdict
from jambwright.frame.size_working import lengths_working, sill_working
from jambwright.opening import Outline, Point
from jambwright.opening.outline_working import readings_working
from jambwright.plan.chain import checks_of, found_of
from jambwright.plan.figures import Told, figures_of
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.plan.quantities import quantities
from jambwright.plan.reveals import SIDES_OF
from jambwright.readings.survey import Cleared, Opening, Survey
from jambwright.record.house import Site
from jambwright.record.opening import Face, GlassOrder, OpeningRecord, OrderFigures, Readings, Unread
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
    return _stopped(house.rules.house, house.survey.cleared)


def opening_record(house: HousePlan, plan: OpeningPlan, of_house: Sequence[Verdict]) -> OpeningRecord:
    """The record of one opening; ``of_house`` are the findings on its house."""
    survey, opening, frame = house.survey, plan.opening, plan.frame
    found, figures = house.rules_on(plan), figures_of(plan)
    cleared = (*opening.cleared, *survey.cleared)
    checks, rules = _stopped(checks_of(plan), cleared), _stopped(found.verdicts, cleared)
    return OpeningRecord(
        id=opening.id,
        room=opening.room,
        note=opening.note,
        elevation=opening.elevation,
        storey=storey_of(survey, opening),
        before=opening.now.opens or "",
        done=tuple(opening.done),
        ordered=opening.is_done("ordered"),
        order=_order(plan, figures["whole_kg"]),
        glass=_glass(plan),
        told={name: _figure(figure) for name, figure in figures.items() if name != "whole_kg"},
        gates=gates_of((*checks, *rules), of_house),
        asked=opening.wanted,
        readings=_readings(plan),
        hole_mm=_points(plan.read.hole.room().points),
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
        not_mended=tuple(verdict.rule for verdict in found.remedies.beyond),
        choices=tuple(
            tuple(change.say for change in choice.changes) for choice in found.remedies.choices
        ),
        assumed=found.assumed,
        air_told_at=found.air_told_at,
        cautions=plan.cautions,
        remarks=plan.remarks,
    )  # fmt: skip


def unread_record(opening: Opening, missing: Sequence[str], of_house: Sequence[Verdict]) -> Unread:
    """An opening whose readings are not enough to plan it; ``missing`` are their names."""
    why = f"Not read yet: {', '.join(missing)}."
    verdict = stopped(Verdict(rule="readings.unread", word="unknown", why=why), ())
    return Unread(
        id=opening.id, room=opening.room, gates=gates_of([verdict], of_house), missing=tuple(missing)
    )


def _stopped(verdicts: Iterable[Verdict], cleared: Sequence[Cleared]) -> tuple[Verdict, ...]:
    """Every verdict with what its rule asks, how to get what it lacks, and the gates it shuts."""
    return tuple(
        plain(stopped(replace(verdict, asks=title(verdict.rule), write=needed(verdict)), cleared))
        for verdict in verdicts
    )


def _order(plan: OpeningPlan, mass: Told) -> OrderFigures:
    frame, sill = plan.frame, plan.frame.sill
    said = {
        name: [*_read(plan, name), *work] for name, work in lengths_working(frame.size, plan.lapped).items()
    }
    cut = sill_working(sill) if sill else {}
    return OrderFigures(
        width=Figure.of(frame.width_mm, "mm", Working(said["width"])),
        height=Figure.of(frame.height_mm, "mm", Working(said["height"])),
        overall_height=Figure.of(frame.size.overall_height_mm, "mm", Working(said["overall_height"])),
        sill_length=Figure.of(sill.length_mm, "mm", cut["length"]) if sill else None,
        sill_depth=Figure.of(sill.depth_mm, "mm", cut["depth"]) if sill else None,
        whole_kg=_figure(mass),
    )


def _read(plan: OpeningPlan, kind: str) -> Working:
    """The readings of that kind as adjusted; behind nibs those of both faces."""
    work = readings_working([r for r in plan.outline.readings if r.kind == kind])
    if plan.lapped and plan.read.inside:
        inside = readings_working([r for r in plan.read.inside.readings if r.kind == kind])
        work.steps += [replace(step, symbol=f"inside, {step.symbol}") for step in inside]
    return work


def _figure(told: Told) -> Figure:
    return Figure.of(told.value, told.unit, told.working)


def _glass(plan: OpeningPlan) -> dict[str, GlassOrder]:
    frame = plan.frame
    masses = {p.light: p.mass_kg for p in frame.pieces if p.kind in ("glass", "panel")}
    return {
        light.mark: GlassOrder(
            width=Figure.of(light.glass.width_mm, "mm"),
            height=Figure.of(light.glass.height_mm, "mm"),
            make_up=str(unit) if (unit := frame.glazing[light.mark]) else None,
            obscure=light.wanted.obscure,
            mass_kg=masses[light.mark],
        )
        for light in frame.layout.lights
    }


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
    for side in plan.read.nibs:
        edges = [(a, b) for a, b, each in plan.outline.room().edges() if each == side]
        seen = body.intersection(shapely.MultiLineString(edges))
        for part in shapely.get_parts(shapely.line_merge(seen)):
            if part.length:
                yield _points(shapely.get_coordinates(part))


def _points(points: Iterable[Sequence[float]]) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in points)
