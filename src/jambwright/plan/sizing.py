"""From readings to frames: every opening sized alone, then families of openings brought to one size."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from statistics import fmean
from typing import TypeVar

from jambwright.basis.problems import BadInput, Problem
from jambwright.basis.tables import table
from jambwright.basis.units import show_mm
from jambwright.checks.movement import movement_gap
from jambwright.frame.faces import Lapped, sight_gaps_mm
from jambwright.frame.frame import Chosen, Frame, choose, make_frame
from jambwright.frame.order_size import UNCAPPED, OrderSize, order_size
from jambwright.frame.sill import packer_gap_mm, sill_height_mm
from jambwright.opening import (
    SIDES,
    Advice,
    BehindNibs,
    Findings,
    Gaps,
    Outline,
    largest_rectangle,
    reach,
    reliability,
)
from jambwright.opening.behind_nibs import ACROSS, UP
from jambwright.plan.reveals import HoleRead, hole_of, look_at_face, look_over, nib_back_mm
from jambwright.readings import PLACES, reading_name, trust_of
from jambwright.readings.survey import Opening, Survey
from jambwright.readings.wanted import Down

T = TypeVar("T")

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


def for_each(survey: Survey, do: Callable[[Opening], T]) -> tuple[list[T], list[Problem]]:
    """Something for every opening; bad input is gathered and names its opening."""
    done: list[T] = []
    problems: list[Problem] = []
    for index, opening in enumerate(survey.openings):
        try:
            done.append(do(opening))
        except BadInput as bad:
            problems += [
                Problem(f"openings.{index}.{p.field}", f"{opening.name}: {p.say}", p.kind)
                for p in bad.problems
            ]
    return done, problems


def size_house(survey: Survey) -> tuple[list[Sized], list[Problem]]:
    """Every opening sized, families brought to one size, and what is bad about any opening."""
    sized, problems = for_each(survey, lambda opening: _size_alone(survey, opening))
    matched = list(_matched(survey, sized))
    return [_looked_over(survey, _lined_up(survey, each, matched)) for each in matched], problems


def size_opening(survey: Survey, opening: Opening) -> Sized:
    """Adjust the readings of both faces, look for misreads, size the frame, look for clashes."""
    return _looked_over(survey, _size_alone(survey, opening))


def _size_alone(survey: Survey, opening: Opening) -> Sized:
    outline, findings, advice = look_at_readings(survey, opening)
    read = hole_of(survey, opening, outline)
    return Sized(
        opening=opening,
        outline=outline,
        findings=findings,
        advice=advice,
        read=read,
        frame=frame_of(survey, opening, read.hole),
    )


def _looked_over(survey: Survey, each: Sized) -> Sized:
    """Its frame is final: how it stands behind nibs, and where it clashes with either face."""
    laps, read, found = look_over(survey, each.opening, each.outline, each.read, each.frame)
    clashes = (*read.remarks, *found, *_as_ordered(each))
    return replace(each, lapped=laps, read=read, clashes=clashes, remarks=(*each.remarks, *clashes))


def _as_ordered(each: Sized) -> Iterator[Problem]:
    """What speaks against a frame that is ordered already, by what is read now."""
    size, opening = each.frame.size, each.opening
    if not opening.is_done("ordered") or opening.is_done("fitted"):
        return
    if opening.ordered_mm is None:
        say = (
            "It is marked as ordered, but not at what size; write `ordered` with width_mm and height_mm off the "
            "order, or a changed reading changes its size here."
        )
        yield Problem("ordered", say, "caution")
    elif size.probability_fits < size.confidence:
        say = (
            f"The frame ordered at {show_mm(size.width_mm)} x {show_mm(size.height_mm)} goes in with every gap "
            f"kept {100 * size.probability_fits:.0f} times in 100 by the readings now. Measure again before the "
            "old frame comes out; have the reveal cut back or the order changed."
        )
        yield Problem("ordered", say, "caution")


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
    names = " and ".join(reading_name(*place) for place in missing)
    told = f" What a misread would need to be noticed: {'; '.join(lost)}." if lost else ""
    return [
        f"the {names} was not read; measure it, or out of square is checked by level and plumb alone.{told}"
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
    size = _size(opening, chosen, hole, sill_mm, at_most_mm)
    outside = hole.outside if isinstance(hole, BehindNibs) else hole
    return make_frame(opening, chosen, size, opening_width_mm=_width_at_sill(outside, sill_mm))


def _size(
    opening: Opening,
    chosen: Chosen,
    hole: Outline | BehindNibs,
    sill_mm: float,
    at_most_mm: tuple[float, float],
) -> OrderSize:
    """The published joint on the adjusted hole, and with the wanted chance never less than the least joint.

    Behind a nib never so little joint that the nib hides what a sash needs to clear it.
    """
    sight = sight_gaps_mm(hole, chosen.profile.frame_face_mm) if isinstance(hole, BehindNibs) else {}
    joint = _gaps(opening, chosen, hole)
    wanted = {side: max(joint.of(side), sight.get(side, 0.0)) for side in SIDES}
    nominal = largest_rectangle(hole.room(), Gaps(**wanted))
    cap = (min(nominal.width, at_most_mm[0]), min(nominal.height - sill_mm, at_most_mm[1]))
    least = _least_gap_mm(chosen, hole)
    return order_size(
        hole,
        gaps_mm=Gaps(**{side: max(min(least, joint.of(side)), sight.get(side, 0.0)) for side in SIDES}),
        sill_height_mm=sill_mm,
        at_most_mm=cap,
        ordered_mm=opening.ordered_mm,
    )


def _gaps(opening: Opening, chosen: Chosen, hole: Outline | BehindNibs) -> Gaps:
    """Joint wanted a side: as asked, else the firm's, else by material, colour and size.

    Under a sill there is room for its packers, unless the opening asks otherwise.
    """
    if opening.wanted.gap_mm is not None:
        gap = opening.wanted.gap_mm
        return Gaps(left=gap, right=gap, head=gap, bottom=gap)
    across, down = (
        movement_gap(
            material=chosen.profile.material, colour=chosen.colour, length_mm=_mean_mm(hole, kind)
        ).gap_per_side_mm
        if chosen.joint_mm is None
        else chosen.joint_mm
        for kind in ("width", "height")
    )
    return Gaps(left=across, right=across, head=down, bottom=packer_gap_mm() if chosen.sill else down)


def _least_gap_mm(chosen: Chosen, hole: Outline | BehindNibs) -> float:
    """What must be left at every point: never so little that the frame's growth closes it."""
    rule = {row["rule"]: row["value"] for row in table("joint_rules")}
    longest = max(_mean_mm(hole, kind) for kind in ("width", "height"))
    moves = movement_gap(material=chosen.profile.material, colour=chosen.colour, length_mm=longest)
    return float(max(rule["least_anywhere_mm"], moves.movement_out_mm + rule["over_movement_mm"]))


def _mean_mm(hole: Outline | BehindNibs, kind: str) -> float:
    """About how long a frame in the hole is, across or up."""
    if isinstance(hole, BehindNibs):
        over = ACROSS if kind == "width" else UP
        return _mean_mm(hole.outside, kind) + sum(hole.nibs[side].mm for side in over if side in hole.nibs)
    return fmean(r.adjusted_mm for r in hole.readings if r.kind == kind)


def _width_at_sill(outline: Outline, sill_mm: float) -> float:
    """Least width over the height the sill takes up."""
    room = outline.room()
    base = max(outline.corners_mm["bottom_left"][1], outline.corners_mm["bottom_right"][1])
    return min(reach(room, "right", base + up) - reach(room, "left", base + up) for up in (0.0, sill_mm))


def _matched(survey: Survey, sized: Sequence[Sized]) -> Iterator[Sized]:
    """Give each family one size where no member loses more than is allowed; else say what it would lose."""
    families: dict[str, list[Sized]] = defaultdict(list)
    for each in sized:
        if each.opening.wanted.match and each.opening.ordered_mm is None:
            families[each.opening.wanted.match].append(each)
    for each in sized:
        family = families.get(each.opening.wanted.match or "", [])
        yield _in_family(survey, each, family) if each in family and len(family) > 1 else each


def _in_family(survey: Survey, each: Sized, family: Sequence[Sized]) -> Sized:
    name, allowed = each.opening.wanted.match, survey.defaults.match_loses_mm
    one = (min(m.frame.width_mm for m in family), min(m.frame.height_mm for m in family))
    lost = max(max(m.frame.width_mm - one[0], m.frame.height_mm - one[1]) for m in family)
    marks = ", ".join(m.opening.id for m in family)
    size = f"{show_mm(one[0])} x {show_mm(one[1])}"
    if lost > allowed:
        say = (
            f"{marks} were to match as `{name}`, but one size of {size} would lose {show_mm(lost)} mm where "
            f"{show_mm(allowed)} is allowed; each keeps its own size."
        )
        return replace(each, remarks=(*each.remarks, Problem("wanted.match", say, "caution")))
    if (each.frame.width_mm, each.frame.height_mm) == one:
        return each
    frame = frame_of(survey, each.opening, each.read.hole, one)
    own = f"{show_mm(each.frame.width_mm)} x {show_mm(each.frame.height_mm)}"
    say = f"Made {size} to match {marks}; alone it would be {own}."
    return replace(each, frame=frame, remarks=(*each.remarks, Problem("wanted.match", say, "caution")))


def _lined_up(survey: Survey, each: Sized, others: Sequence[Sized]) -> Sized:
    """Move the upper transom to stand as far below the head as the neighbour's, where that was asked."""
    mark = each.opening.wanted.line_up
    if mark is None:
        return each
    neighbour = next((other for other in others if other.opening.id == mark), None)
    transoms = neighbour.frame.layout.centre_lines_mm("transom") if neighbour else ()
    layout = each.opening.wanted.layout
    if neighbour is None or not transoms or not isinstance(layout, Down):
        say = f"can't be lined up with {mark}: both must have a transom."
        return replace(each, remarks=(*each.remarks, Problem("wanted.line_up", say, "caution")))
    below = neighbour.frame.height_mm - transoms[-1]
    parts = [layout.down[0].model_copy(update={"mm": below}), *layout.down[1:]]
    wanted = each.opening.wanted.model_copy(update={"layout": layout.model_copy(update={"down": parts})})
    opening = each.opening.model_copy(update={"wanted": wanted})
    cap = (each.frame.width_mm, each.frame.height_mm)
    return replace(each, opening=opening, frame=frame_of(survey, opening, each.read.hole, cap))
