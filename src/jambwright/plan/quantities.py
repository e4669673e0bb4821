"""What one opening uses up, piece by piece and by true length, before packs and waste."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.basis.units import show_mm
from jambwright.plan.house import OpeningPlan
from jambwright.plan.joints import (
    FoamJoint,
    SealantJoint,
    foam_volume_l,
    rod_mm,
    sealant_volume_ml,
)

Unit = Literal["piece", "mm", "m", "m2", "ml", "l"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """So much of one thing for one opening. A quantity in mm is one piece cut from a length."""

    item: str
    """One of the items of the table ``packs``."""
    size: str
    amount: float
    unit: Unit
    opening_id: str


def quantities(plan: OpeningPlan) -> tuple[Quantity, ...]:
    """Everything one opening uses up."""
    parts = (*_made(plan), *_fixed(plan), *_filled(plan), *_trimmed(plan), *_used_up(plan))
    return tuple(
        Quantity(item=item, size=size, amount=amount, unit=unit, opening_id=plan.opening.id)
        for item, size, amount, unit in parts
    )


Part = tuple[str, str, float, Unit]


def _made(plan: OpeningPlan) -> Iterator[Part]:
    frame = plan.frame
    size = f"{show_mm(frame.width_mm)} x {show_mm(frame.height_mm)}"
    yield "frame", f"{size}, {frame.chosen.profile.title}, {frame.chosen.colour}", 1, "piece"
    for light in frame.layout.lights:
        unit = frame.glazing[light.mark]
        if unit is None and light.made == "slab":
            continue  # it is the leaf itself, which comes with its frame
        what = f"{show_mm(light.glass.width_mm)} x {show_mm(light.glass.height_mm)}"
        what += f", {unit}" if unit else f", {frame.chosen.colour}"
        what += ", obscure" if light.wanted.obscure else ""
        yield "glass" if unit else "panel", what, 1, "piece"
    if frame.sill:
        kind = f"{show_mm(frame.sill.depth_mm)} deep, {frame.chosen.colour}"
        yield "sill", kind, frame.sill.length_mm, "mm"
        yield "end cap", kind, frame.sill.end_caps, "piece"


def _fixed(plan: OpeningPlan) -> Iterator[Part]:
    fitting = plan.fitting
    packers = Counter(mm for point in fitting.packers for mm in point.packers_mm)
    for mm, count in sorted(packers.items()):
        yield "packer", f"{show_mm(mm)} mm", count, "piece"
    for size, count in sorted(_screws(plan).items()):
        yield "frame screw", size, count, "piece"
    lugs = held_by(plan, "lug")
    if lugs:
        yield "lug", "", lugs, "piece"
    # a unit that comes glazed brings its blocks; fixed glass taken out goes back on its own
    bought = fitting.blocks.values() if fitting.lifts.unglazed else ()
    blocks = Counter(show_mm(block.thickness_mm) for each in bought for block in each)
    for thickness, count in sorted(blocks.items()):
        yield "glazing block", f"{thickness} mm", count, "piece"


def held_by(plan: OpeningPlan, how: Literal["screw", "lug"]) -> int:
    """Screws, or lugs, round the frame."""
    return sum(len(side.positions_mm) for side in plan.fitting.fixings if side.held_by == how)


def _screws(plan: OpeningPlan) -> Counter[str]:
    """Screws by kind and length; without wind or a figure in the wall the kind is chosen on site."""
    fixing_plan = plan.fitting.fixing_plan
    count: Counter[str] = Counter()
    for side in plan.fitting.fixings:
        if side.held_by != "screw" or not side.positions_mm:
            continue
        size = "kind and length to be chosen"
        if fixing_plan and fixing_plan.fixing:
            size = str(table("fixing_kinds").find(fixing=fixing_plan.fixing.fixing)["words"])
            length = fixing_plan.lengths_mm.get(side.side)
            size += f", {show_mm(length)} mm" if length else ", length to be chosen"
        count[size] += len(side.positions_mm)
    return count


def _filled(plan: OpeningPlan) -> Iterator[Part]:
    sealant, foam = plan.fitting.sealant, plan.fitting.foam
    yield "sealant", plan.frame.chosen.colour, sum(map(_sealant_ml, sealant)), "ml"
    yield "foam", "low expansion", sum(map(_foam_l, foam)), "l"
    rods: dict[str, float] = defaultdict(float)
    for joint in sealant:
        if joint.backing == "rod":
            rods[_rod(joint)] += joint.length_m
    for size, metres in rods.items():
        yield "backing rod", size, metres, "m"
    narrow = sum(joint.length_m for joint in sealant if joint.backing == "tape")
    if narrow:
        yield "bond-breaker tape", "6 mm", narrow, "m"


def _rod(joint: SealantJoint) -> str:
    try:
        return f"{show_mm(rod_mm(gap_mm=joint.width_mm))} mm"
    except BadInput:
        # the rest of the house is bought all the same
        return f"none wide enough for {show_mm(joint.width_mm)} mm, close the joint first"


def _sealant_ml(joint: SealantJoint) -> float:
    return float(sealant_volume_ml(length_m=joint.length_m, width_mm=joint.width_mm, depth_mm=joint.depth_mm))


def _foam_l(joint: FoamJoint) -> float:
    return float(foam_volume_l(length_m=joint.length_m, gap_mm=joint.gap_mm, depth_mm=joint.depth_mm))


def _trimmed(plan: OpeningPlan) -> Iterator[Part]:
    trims = [trim for joint in plan.fitting.joints for trim in joint.trims]
    for trim in sorted(trims, key=lambda trim: trim.item != "inside trim"):
        yield trim.item, f"{trim.size}, {plan.frame.chosen.colour}", trim.run_mm, "mm"


def _used_up(plan: OpeningPlan) -> Iterator[Part]:
    counted = _counted(plan)
    for row in table("used_up"):
        amount = row["amount"] * counted[row["per"]]
        if amount:
            yield row["item"], row["size"].format(colour=plan.frame.chosen.colour), amount, row["unit"]


def _counted(plan: OpeningPlan) -> dict[str, float]:
    """What the rules of ``used_up`` count; a door's threshold has no joint inside."""
    frame = plan.frame
    around_m = 2e-3 * (frame.width_mm + frame.height_mm)
    bottom_m = 1e-3 * frame.width_mm if frame.chosen.kind == "door" else 0.0
    return {
        "opening": 1,
        "width_m": 1e-3 * frame.width_mm,
        # the old unit filled the same hole; the new frame's area is near enough for sacks
        "old_area_m2": frame.outer.area_m2,
        "outside_m": around_m,
        "inside_m": around_m - bottom_m,
        "screw": held_by(plan, "screw"),
        "lug": held_by(plan, "lug"),
        "sill_screw": len(frame.sill.screws_mm) if frame.sill else 0,
        "sill_m": 1e-3 * frame.sill.length_mm if frame.sill else 0.0,
        "end_cap": frame.sill.end_caps if frame.sill else 0,
    }
