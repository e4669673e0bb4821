"""From the readings of one opening to its frame: the face looked at, the hole found, the frame sized and placed."""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace
from functools import partial
from statistics import fmean

from jambwright.basis.problems import Problem
from jambwright.frame.faces import Lapped, sight_gaps_mm
from jambwright.frame.frame import Chosen, Frame, choose, make_frame
from jambwright.frame.joint import joint_wanted, least_joint_mm
from jambwright.frame.order_size import UNCAPPED, Joint, OrderSize, order_size
from jambwright.frame.reveals import HoleRead, hole_of, look_at_face, look_over, nib_back_mm
from jambwright.frame.sill import sill_height_mm
from jambwright.opening import (
    SIDES,
    Advice,
    BehindNibs,
    Findings,
    Gaps,
    Outline,
    reach,
    reliability,
)
from jambwright.readings import PLACES, reading_name, trust_of
from jambwright.readings.correction import shared_error_mm
from jambwright.readings.survey import Opening, Survey

WORTH_TELLING = 1.05
"""A misread must be this much larger to be noticed before the missing reading is said to be missed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sized:
    """One opening with its readings looked at and its frame sized."""

    opening: Opening
    outline: Outline
    findings: Findings
    advice: Advice
    read: HoleRead
    """The hole the frame is sized in, and what holds its order."""
    frame: Frame
    remarks: tuple[Problem, ...] = ()
    """What to look at, the clashes among it."""
    lapped: Lapped | None = None
    """How it stands behind nibs; none in a straight reveal."""
    clashes: tuple[Problem, ...] = ()
    """What both faces of the wall have against it."""


def size_alone(survey: Survey, opening: Opening) -> Sized:
    """Adjust the readings of the outer face, look for misreads, find the hole and size the frame in it."""
    outline, findings, advice = look_at_readings(survey, opening)
    read = hole_of(survey, opening, outline)
    return Sized(
        opening=opening,
        outline=outline,
        findings=findings,
        advice=advice,
        read=read,
        frame=frame_of(survey, opening, read.hole),
        remarks=tuple(Problem("outside", say, "caution") for say in findings.remarks),
    )


def looked_over(survey: Survey, each: Sized) -> Sized:
    """Its frame is final: how it stands behind nibs, and where it clashes with either face."""
    laps, read, found = look_over(survey, each.opening, each.outline, each.read, each.frame)
    clashes = (*read.remarks, *found)
    return replace(each, lapped=laps, read=read, clashes=clashes, remarks=(*each.remarks, *clashes))


def look_at_readings(survey: Survey, opening: Opening) -> tuple[Outline, Findings, Advice]:
    """Adjust the outer readings of an opening and look for misreads among them."""
    return look_at_face(survey, opening.outside)


def weakened(survey: Survey, opening: Opening) -> list[str]:
    """What can no longer be checked, or less well, because a diagonal was not read."""
    readings = list(opening.outside.readings())
    places = [(r.kind, r.at) for r in readings]
    missing = [("diagonal", at) for at in PLACES["diagonal"] if ("diagonal", at) not in places]
    if not missing or {"width", "height"} - {kind for kind, _ in places}:
        return []
    size = {kind: fmean(r.mm for r in readings if r.kind == kind) for kind in ("width", "height")}
    found = partial(
        reliability, width_mm=size["width"], height_mm=size["height"], trust=trust_of(survey.tools)
    )
    with_all = {(p.kind, p.at): p.smallest_detectable_mm for p in found([*places, *missing])}
    lost = []
    for planned in found(places):
        before, now = with_all[planned.kind, planned.at], planned.smallest_detectable_mm
        if before is not None and (now is None or now > WORTH_TELLING * before):
            limit = (
                "nothing checks it now"
                if now is None
                else f"found from {now:.0f} mm, with it from {before:.0f}"
            )
            lost.append(f"{reading_name(planned.kind, planned.at)}: {limit}")
    names = " and the ".join(reading_name(*place) for place in missing)
    were, them = ("were", "them") if len(missing) > 1 else ("was", "it")
    told = f" What a misread would need to be noticed: {'; '.join(lost)}." if lost else ""
    return [
        f"the {names} {were} not read; measure {them}, or out of square is checked by level and plumb alone.{told}"
    ]


def frame_of(
    survey: Survey,
    opening: Opening,
    hole: Outline | BehindNibs,
    at_most_mm: tuple[float, float] = UNCAPPED,
) -> Frame:
    """The frame to order for an adjusted hole, no larger than ``at_most_mm``."""
    chosen = choose(opening, survey.defaults, nib_back_mm=nib_back_mm(survey, opening))
    sill_mm = sill_height_mm() if chosen.sill else 0.0
    size = _size(opening, chosen, hole, sill_mm, at_most_mm, common_mm=shared_error_mm(survey, opening))
    outside = hole.outside if isinstance(hole, BehindNibs) else hole
    return make_frame(opening, chosen, size, opening_width_mm=_width_at_sill(outside, sill_mm))


def _size(
    opening: Opening,
    chosen: Chosen,
    hole: Outline | BehindNibs,
    sill_mm: float,
    at_most_mm: tuple[float, float],
    *,
    common_mm: float,
) -> OrderSize:
    """The published joint on the adjusted hole, and with the wanted chance never less than the least joint.

    Behind a nib never so little joint that the nib hides what a sash needs to clear it.
    """
    sight = sight_gaps_mm(hole, chosen.profile.frame_face_mm) if isinstance(hole, BehindNibs) else {}
    joint, source = joint_wanted(opening, chosen, hole)
    wanted = {side: max(joint.of(side), sight.get(side, 0.0)) for side in SIDES}
    least = least_joint_mm(chosen, hole)
    return _sized_in(
        hole,
        gaps_mm=Gaps(**{side: max(min(least, joint.of(side)), sight.get(side, 0.0)) for side in SIDES}),
        joint=Joint(gaps=Gaps(**wanted), source=source),
        sill_height_mm=sill_mm,
        at_most_mm=at_most_mm,
        ordered_mm=opening.ordered_mm,
        common_mm=common_mm,
    )


_sized_in = functools.lru_cache(maxsize=512)(order_size)
"""Sized once in one hole, however often a proposal plans the opening again; a hole is told by itself."""


def _width_at_sill(outline: Outline, sill_mm: float) -> float:
    """Least width over the height the sill takes up."""
    space = outline.space()
    base = max(outline.corners_mm["bottom_left"][1], outline.corners_mm["bottom_right"][1])
    return min(reach(space, "right", base + up) - reach(space, "left", base + up) for up in (0.0, sill_mm))
