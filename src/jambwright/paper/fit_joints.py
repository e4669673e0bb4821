"""The joints of an opening on its fit sheet: a section for each side that differs, and how each is built up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from jambwright.basis.units import show_mm
from jambwright.paper.fit_views import sill_view
from jambwright.paper.joint_section import JointView, joint_section
from jambwright.paper.legend import joint_signs, legend
from jambwright.paper.render import svg
from jambwright.paper.scale import scale_name
from jambwright.paper.scene import Box, Scene
from jambwright.paper.sill_drawing import sill_section
from jambwright.paper.threshold_drawing import ThresholdView, threshold_section
from jambwright.record import OpeningRecord, SideJoint, Wall

SECTION = Box(width_mm=57, height_mm=46)
SOLE = Box(width_mm=57, height_mm=34)
"""Of a sill or a threshold."""
ALIKE_MM = 0.5
"""Sides whose joints differ by less are shown as one."""
NOT_KEPT = (
    "This plan was kept before joints were drawn side by side: plan the house again for their sections."
)
BACKED = {"tape": "on bond-breaker tape, no rod", "none": "in the corner of nib and frame, nothing behind it"}

Part = dict[str, Any]


def joints(plan: OpeningRecord, threshold_mm: float | None) -> Part:
    """Sections with their words, the signs they use, and what is said where there are none."""
    sections = [_section(plan, sides, threshold_mm) for sides in alike(plan.fitting.joints)]
    backings = {joint.seal.backing for joint in plan.fitting.joints}
    signs = joint_signs(rod="rod" in backings, tape="tape" in backings)
    return {
        "sections": sections,
        "said": "" if sections else NOT_KEPT,
        "signs": picture(legend(signs, 2 * SECTION.width_mm + 4)) if sections else None,
    }


def alike(sides: Sequence[SideJoint]) -> list[list[SideJoint]]:
    """Sides in groups that hands treat the same; the bottom is always a group of its own."""
    groups: list[list[SideJoint]] = []
    for joint in sides:
        group = next((each for each in groups if _same(each[0], joint)), None)
        if group:
            group.append(joint)
        else:
            groups.append([joint])
    return groups


def _same(one: SideJoint, other: SideJoint) -> bool:
    return (
        "bottom" not in (one.side, other.side)
        and (one.seal.backing, one.rod_mm) == (other.seal.backing, other.rod_mm)
        and abs(one.seal.width_mm - other.seal.width_mm) <= ALIKE_MM
        and [(trim.item, trim.size) for trim in one.trims] == [(trim.item, trim.size) for trim in other.trims]
    )


def _section(plan: OpeningRecord, sides: Sequence[SideJoint], threshold_mm: float | None) -> Part:
    scene, what = _scene(plan, sides[0], threshold_mm)
    return {
        "title": f"{' and '.join(joint.side for joint in sides).capitalize()}{what}, {scale_name(scene.scale)}",
        "picture": picture(scene),
        "said": list(_words(plan, sides)),
    }


def _scene(plan: OpeningRecord, joint: SideJoint, threshold_mm: float | None) -> tuple[Scene, str]:
    frame = plan.frame
    sill, depth = sill_view(plan), frame.chosen.profile.frame_depth_mm
    if joint.side == "bottom" and sill:
        return sill_section(sill, SOLE), ", under the sill"
    if joint.side == "bottom" and threshold_mm is not None:
        view = ThresholdView(
            title=plan.name, depth_mm=depth, height_mm=threshold_mm, set_back_mm=frame.chosen.set_back_mm
        )
        return threshold_section(view, SOLE), ", under the threshold"
    return joint_section(joint_view(plan, joint), SECTION), ""


def joint_view(plan: OpeningRecord, joint: SideJoint) -> JointView:
    """What the section of a side shows."""
    frame, backing = plan.frame, joint.seal.backing
    laps = plan.lapped.laps_mm.get(joint.side) if plan.lapped else None
    return JointView(
        title=f"{plan.name} joint, {joint.side}",
        leaves_mm=_leaves_mm(plan.wall) if plan.wall else (),
        closer=plan.wall.closer if plan.wall else "unknown",
        set_back_mm=frame.chosen.set_back_mm,
        frame_depth_mm=frame.chosen.profile.frame_depth_mm,
        gap_mm=joint.foam.gap_mm if joint.foam else joint.seal.width_mm,
        seal_depth_mm=joint.seal.depth_mm,
        rod=backing == "rod",
        tape=backing == "tape",
        foam=joint.foam is not None,
        nib_mm=max(0.0, laps[1]) if laps and joint.seal.against_nib else 0.0,
        cover_trim=any(trim.item == "cover trim" for trim in joint.trims),
        under=joint.side == "bottom",
    )


def _leaves_mm(wall: Wall) -> tuple[tuple[float, bool], ...]:
    inner_mm = 0.0 if wall.inner_leaf == "none" else wall.inner_mm
    leaves = ((wall.outer_mm, True), (wall.cavity_mm, False), (inner_mm, True), (wall.plaster_mm, True))
    return tuple(leaf for leaf in leaves if leaf[0] > 0)


def _words(plan: OpeningRecord, sides: Sequence[SideJoint]) -> Iterator[str]:
    """How the joint is built up, from outside inwards."""
    seal, foam = sides[0].seal, sides[0].foam
    gaps = "; ".join(f"{joint.side} {_gap(joint)}" for joint in sides)
    yield f"Gap: {gaps}."
    widths = " or ".join(dict.fromkeys(show_mm(joint.seal.width_mm) for joint in sides))
    bead = (
        f"{show_mm(seal.depth_mm)} each face"
        if seal.against_nib
        else f"{widths} wide, {show_mm(seal.depth_mm)} deep"
    )
    yield f"Sealant: {bead}, {_backed(sides[0])}."
    yield f"Foam: {show_mm(foam.depth_mm)} deep." if foam else "No foam: bedded on sealant."
    yield f"Set back: {show_mm(plan.frame.chosen.set_back_mm)}."
    if sides[0].trims:
        yield f"Over it: {', '.join(f'{trim.item} {trim.size}' for trim in sides[0].trims)}."


def _gap(joint: SideJoint) -> str:
    low, high = min(joint.gaps_mm), max(joint.gaps_mm)
    return show_mm(low) if high - low < 0.05 else f"{show_mm(low)} to {show_mm(high)}"


def _backed(joint: SideJoint) -> str:
    if joint.seal.backing != "rod":
        return BACKED[joint.seal.backing]
    if joint.rod_mm is None:
        return "no rod is large enough: close the joint with an extension or a trim first"
    return f"on {show_mm(joint.rod_mm)} mm backing rod"


def picture(scene: Scene, width_mm: float | None = None) -> Part:
    """A drawing for the typesetter, in the middle of a given width and as high as it needs."""
    needs = scene.paper_size()
    box = Box(width_mm=width_mm or needs.width_mm, height_mm=needs.height_mm)
    return {"svg": svg(scene, box), "width": box.width_mm, "title": scene.title}
