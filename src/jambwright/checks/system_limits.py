"""Sashes, glass and ventilators of a frame against what its system's sheet says they may be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from jambwright.basis.clause import Clause
from jambwright.basis.units import show_mm
from jambwright.basis.working import Working
from jambwright.checks.figures import HAIR
from jambwright.checks.rests import by_sheet
from jambwright.checks.system_fit import (
    Sash,
    against_hinge,
    beyond,
    head_mm,
    hinge_of,
    hinges_for,
    kind_of,
    least_head_mm,
    note_light,
    sash_of,
    vents_of,
)
from jambwright.checks.verdict import PartOfOpening, Verdict, settled
from jambwright.frame.frame import Frame
from jambwright.frame.layout import PlacedLight
from jambwright.readings.system_sheet import SashOnSheet, SystemSheet

ASK = "ask the maker of the profiles for his sheet"
INWARDS = Clause("Common practice", "tilt and turn", "common practice, no published source")


def system_verdicts(frame: Frame, sheet: SystemSheet) -> tuple[Verdict, ...]:
    """Every limit that a light breaks, what keeps its limits, and what the sheet can't tell."""
    broken = [
        verdict
        if verdict.rule == "system.swing"
        else replace(verdict, working=_working(frame, [light], sheet))
        for light in frame.layout.lights
        for verdict in _broken(frame, light, sheet)
    ]
    marks = {each.part.mark for each in broken if each.part}
    sound = [light for light in frame.layout.lights if light.mark not in marks]
    return (*broken, *_kept(frame, sheet, sound))


def _broken(frame: Frame, light: PlacedLight, sheet: SystemSheet) -> Iterator[Verdict]:
    if limits := sheet.sash(kind_of(light)):
        sizes = [*_sizes(frame, light, sheet, limits)]
        # a sash that can't be made at all needs no hinge
        yield from sizes or _hinge(frame, light, sheet, limits)
    if light.sash and light.way.clear == "turn" and light.wanted.swing == "out":
        why = "A tilt and turn sash opens inwards; order it so, or another way of opening."
        part = PartOfOpening("light", light.mark)
        yield Verdict(rule="system.swing", word="fails", why=why, part=part, source=INWARDS)
    yield from _glass(frame, light, sheet)
    yield from _vents(frame, light, sheet)


def _sizes(frame: Frame, light: PlacedLight, sheet: SystemSheet, limits: SashOnSheet) -> Iterator[Verdict]:
    sash = sash_of(frame, light)
    for each in beyond(limits, sash):
        found, limit, unit = each.found, each.limit, each.unit
        why = (
            f"{_called(light, sash)} has {each.called} of {_shown(found, unit)}; "
            f"{sheet.title} takes at {each.bound} {_shown(limit, unit)}."
        )
        yield _said(f"system.{each.rule}", why, light, sheet, found=round(found, 2), limit=limit, unit=unit)


def _hinge(frame: Frame, light: PlacedLight, sheet: SystemSheet, limits: SashOnSheet) -> Iterator[Verdict]:
    if not limits.hinges or not light.opens or hinge_of(frame, light, limits):
        return
    sash, asked = sash_of(frame, light), light.wanted.hinge
    hinges = hinges_for(light, limits)
    if not hinges:
        listed = ", ".join(each.name for each in limits.hinges)
        why = f"The sheet of {sheet.title} has no hinge or stay `{asked}` for it; there are {listed}."
    else:
        # of those that fall short in as little, the last is the strongest
        nearest = min(reversed(hinges), key=lambda each: len([*against_hinge(each, sash, light)]))
        short = f"{nearest.name} {' and '.join(against_hinge(nearest, sash, light))}"
        what = f"{_called(light, sash)} weighs {sash.mass_kg:.1f} kg"
        none = f"no hinge or stay of {sheet.title} takes it, the nearest: "
        why = f"{what}; {'as asked, ' if asked else none}{short}."
    yield _said("system.hinge", why, light, sheet)


def _glass(frame: Frame, light: PlacedLight, sheet: SystemSheet) -> Iterator[Verdict]:
    unit = frame.glazing[light.mark]
    if unit is None or sheet.glass_mm is None:
        return
    thick, within = unit.thickness_mm, sheet.glass_within_mm
    if any(abs(thick - each) <= within + HAIR for each in sheet.glass_mm):
        return
    held = ", ".join(f"{each:g}" for each in sheet.glass_mm)
    why = f"Glass {unit} is {thick:g} mm thick; {sheet.title} has beads for {held} mm, each within {within:g} mm."
    nearest = min(sheet.glass_mm, key=lambda each: abs(thick - each), default=None)
    yield _said("system.glass", why, light, sheet, found=thick, limit=nearest, unit="mm")


def _vents(frame: Frame, light: PlacedLight, sheet: SystemSheet) -> Iterator[Verdict]:
    wanted = light.wanted.vent_mm2
    if not wanted or sheet.vents is None or vents_of(frame, light, sheet, wanted):
        return
    if not sheet.vents:
        why = f"{sheet.title} takes no ventilators; ventilate the room another way."
        yield _said("system.vent", why, light, sheet)
        return
    least, there = least_head_mm(sheet, wanted), max(head_mm(frame, light, vent) for vent in sheet.vents)
    why = (
        f"Ventilators of {wanted:g} mm² take {show_mm(least)} mm of straight head, {show_mm(there)} mm is there; "
        "share them out, or ventilate the room another way."
    )
    yield _said("system.vent", why, light, sheet, found=there, limit=least, unit="mm")


def _kept(frame: Frame, sheet: SystemSheet, sound: Sequence[PlacedLight]) -> Iterator[Verdict]:
    """What keeps its limits, and what the sheet leaves open: neither is passed over in silence."""
    for gap in _gaps(frame, sheet):
        why = f"The sheet of {sheet.title} {gap}: not checked; {ASK}."
        yield Verdict(rule="system.gaps", word="advise", why=why, source=sheet.source)
    if held := [light for light in sound if sheet.sash(kind_of(light))]:
        lights = f"Light{'s' if len(held) > 1 else ''} {', '.join(light.mark for light in held)}"
        why = f"{lights} keep{'s' if len(held) == 1 else ''} within what the sheet of {sheet.title} says."
        yield settled(rule="system.limits", word="meets", why=why, source=sheet.source,
                      rests_on=[by_sheet(sheet, ask=ASK)], working=_working(frame, held, sheet))  # fmt: skip


def _working(frame: Frame, lights: Sequence[PlacedLight], sheet: SystemSheet) -> Working:
    work = Working()
    for light in lights:
        note_light(work, frame, light, sheet)
    return work


def _gaps(frame: Frame, sheet: SystemSheet) -> Iterator[str]:
    """What the sheet says nothing of and this frame needs, each once."""
    lights = frame.layout.lights
    for kind, called in {kind_of(light): _kind_words(light) for light in lights}.items():
        limits = sheet.sash(kind)
        if limits is None:
            yield f"says nothing of a {called}"
            continue
        if limits.lacking:
            yield f"gives no most {' and '.join(limits.lacking)} of a {called}"
    if sheet.glass_mm is None and any(frame.glazing.values()):
        yield "does not say which glass thickness its beads take"
    if sheet.vents is None and any(light.wanted.vent_mm2 for light in lights):
        yield "does not say which ventilators it takes"


def _kind_words(light: PlacedLight) -> str:
    if not light.sash:
        return "fixed light"
    if light.is_paired and not light.door_leaf:
        return "leaf of a French pair"
    named = (light.leaf and not light.is_paired) or light.made == "slab"
    return light.way.family if named else f"{light.way.family} light"


def _called(light: PlacedLight, sash: Sash) -> str:
    size = f"{show_mm(sash.width_mm)} x {show_mm(sash.height_mm)} mm"
    if not light.sash:
        return f"The glass of {size}"
    return f"The door leaf of {size}" if light.door_leaf else f"The sash of {size}, {light.way.family},"


def _said(rule: str, why: str, light: PlacedLight, sheet: SystemSheet, **more: Any) -> Verdict:
    return settled(
        rule=rule, word="fails", why=why[:1].upper() + why[1:], part=PartOfOpening("light", light.mark),
        source=sheet.source, rests_on=[by_sheet(sheet, ask=ASK)], **more,
    )  # fmt: skip


def _shown(value: float, unit: str) -> str:
    figure = show_mm(value) if unit == "mm" else f"{value:.1f}" if value >= 10 else f"{value:.2f}"
    return f"{figure.rstrip('0').rstrip('.') if '.' in figure else figure} {unit}".rstrip()
