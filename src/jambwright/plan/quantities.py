"""What one opening uses up, piece by piece and by true length, before packs and waste."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from jambwright.basis.units import show_mm
from jambwright.plan.house import OpeningPlan
from jambwright.plan.joints import (
    FoamJoint,
    SealantJoint,
    foam_volume_l,
    needs_rod,
    rod_mm,
    sealant_volume_ml,
)

Item = Literal[
    "frame", "glass", "panel", "sill", "end cap", "packer", "frame screw", "lug", "sill screw", "glazing block",
    "sealant", "foam", "backing rod",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """So much of one thing for one opening."""

    item: Item
    size: str
    amount: float
    unit: Literal["piece", "mm", "m", "ml", "l"]
    opening_id: str


def quantities(plan: OpeningPlan) -> tuple[Quantity, ...]:
    """Everything one opening uses up."""
    return tuple(
        Quantity(item=item, size=size, amount=amount, unit=unit, opening_id=plan.opening.id)
        for item, size, amount, unit in (*_made(plan), *_fixed(plan), *_filled(plan))
    )


Part = tuple[Item, str, float, Literal["piece", "mm", "m", "ml", "l"]]


def _made(plan: OpeningPlan) -> Iterator[Part]:
    frame = plan.frame
    size = f"{show_mm(frame.width_mm)} x {show_mm(frame.height_mm)}"
    yield "frame", f"{size}, {frame.chosen.profile.name}, {frame.chosen.colour}", 1, "piece"
    for light in frame.layout.lights:
        unit = frame.glazing[light.mark]
        what = f"{show_mm(light.glass.width_mm)} x {show_mm(light.glass.height_mm)}"
        what += f", {unit}" if unit else f", {frame.chosen.colour}"
        what += ", obscure" if light.wanted.obscure else ""
        yield "glass" if unit else "panel", what, 1, "piece"
    if frame.sill:
        yield (
            "sill",
            f"{show_mm(frame.sill.depth_mm)} deep, {frame.chosen.colour}",
            frame.sill.length_mm,
            "mm",
        )
        yield (
            "end cap",
            f"{show_mm(frame.sill.depth_mm)} deep, {frame.chosen.colour}",
            frame.sill.end_caps,
            "piece",
        )


def _fixed(plan: OpeningPlan) -> Iterator[Part]:
    fitting = plan.fitting
    packers = Counter(mm for point in fitting.packers for mm in point.packers_mm)
    for mm, count in sorted(packers.items()):
        yield "packer", f"{show_mm(mm)} mm", count, "piece"
    held = Counter(side.held_by for side in fitting.fixings for _ in side.positions_mm)
    if held["screw"]:
        yield "frame screw", "by fixing", held["screw"], "piece"
    if held["lug"]:
        yield "lug", "", held["lug"], "piece"
    if plan.frame.sill:
        yield "sill screw", "", len(plan.frame.sill.screws_mm), "piece"
    blocks = Counter(show_mm(block.thickness_mm) for each in fitting.blocks.values() for block in each)
    for thickness, count in sorted(blocks.items()):
        yield "glazing block", f"{thickness} mm", count, "piece"


def _filled(plan: OpeningPlan) -> Iterator[Part]:
    sealant, foam = plan.fitting.sealant, plan.fitting.foam
    yield "sealant", plan.frame.chosen.colour, sum(map(_sealant_ml, sealant)), "ml"
    yield "foam", "low expansion", sum(map(_foam_l, foam)), "l"
    rods: dict[float, float] = defaultdict(float)
    for joint in sealant:
        if needs_rod(joint.width_mm):
            rods[rod_mm(gap_mm=joint.width_mm)] += joint.length_m
    for diameter, metres in sorted(rods.items()):
        yield "backing rod", f"{show_mm(diameter)} mm", metres, "m"


def _sealant_ml(joint: SealantJoint) -> float:
    return float(sealant_volume_ml(length_m=joint.length_m, width_mm=joint.width_mm, depth_mm=joint.depth_mm))


def _foam_l(joint: FoamJoint) -> float:
    return float(foam_volume_l(length_m=joint.length_m, gap_mm=joint.gap_mm, depth_mm=joint.depth_mm))
