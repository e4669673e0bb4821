"""The whole way on one page: survey in, whole-house plan out. Pure: no disk, no clock, no network."""

from __future__ import annotations

from collections.abc import Callable

from jambwright.basis.problems import BadInput, Problem
from jambwright.checks.cautions import cautions, storey_of
from jambwright.frame.frame import Chosen, Frame, choose, make_frame
from jambwright.frame.joint_gap import joint_gap
from jambwright.frame.order_size import order_size, room_in
from jambwright.frame.sill import packer_gap_mm, sill_height_mm
from jambwright.opening import Outline, adjust
from jambwright.opening.largest import Gaps, reach
from jambwright.paper.plan_file import plan_file
from jambwright.plan.fitting import plan_fitting
from jambwright.plan.house import HousePlan, OpeningPlan, opening_name
from jambwright.plan.order_of_work import Condition
from jambwright.readings.survey import Opening, Survey

Progress = Callable[[str], None]


def plan_house(survey: Survey, progress: Progress | None = None) -> HousePlan:
    """Plan every opening. Raises ``BadInput`` with the problems of all openings at once."""
    planned: list[OpeningPlan] = []
    problems: list[Problem] = []
    for index, opening in enumerate(survey.openings):
        if progress:
            progress(opening_name(opening))
        try:
            planned.append(plan_opening(survey, opening))
        except BadInput as bad:
            problems += [
                Problem(f"openings.{index}.{p.field}", f"{opening_name(opening)}: {p.say}", p.kind)
                for p in bad.problems
            ]
    if problems:
        raise BadInput(problems)
    return HousePlan(survey=survey, openings=tuple(planned))


def plan_opening(survey: Survey, opening: Opening) -> OpeningPlan:
    """The way of one opening: readings, outline, frame, fitting."""
    outline = adjust(list(opening.outside.readings()))
    chosen = choose(opening, survey.defaults)
    sill_mm = sill_height_mm() if chosen.sill else 0.0
    size = order_size(outline, gaps_mm=_gaps(outline, chosen, opening), sill_height_mm=sill_mm)
    frame = make_frame(opening, chosen, size, opening_width_mm=_width_at_sill(outline, sill_mm))
    words = cautions(survey, opening)
    fitting = plan_fitting(
        frame,
        room_in(outline),
        lintel=opening.lintel,
        conditions=_conditions(survey, opening, frame),
        dropped_sash_mm=opening.wanted.dropped_sash_mm,
    )
    remarks = (*(frame.sill.problems if frame.sill else ()), *fitting.problems)
    return OpeningPlan(
        opening=opening, outline=outline, frame=frame, fitting=fitting, cautions=words, remarks=remarks
    )


def _gaps(outline: Outline, chosen: Chosen, opening: Opening) -> Gaps:
    """Joint wanted a side: as asked, else by material, colour and size; under a sill room for its packers."""
    if opening.wanted.gap_mm is not None:
        gap = opening.wanted.gap_mm
        return Gaps(left=gap, right=gap, head=gap, bottom=gap)
    width, height = (_mean_mm(outline, kind) for kind in ("width", "height"))
    across = joint_gap(chosen.profile.material, chosen.colour, width).least_mm
    down = joint_gap(chosen.profile.material, chosen.colour, height).least_mm
    return Gaps(left=across, right=across, head=down, bottom=packer_gap_mm() if chosen.sill else down)


def _mean_mm(outline: Outline, kind: str) -> float:
    values = [r.adjusted_mm for r in outline.readings if r.kind == kind]
    return sum(values) / len(values)


def _width_at_sill(outline: Outline, sill_mm: float) -> float:
    """Least width over the height the sill takes up."""
    room = room_in(outline)
    base = max(outline.corners_mm["bottom_left"][1], outline.corners_mm["bottom_right"][1])
    return min(reach(room, "right", base + up) - reach(room, "left", base + up) for up in (0.0, sill_mm))


def _conditions(survey: Survey, opening: Opening, frame: Frame) -> frozenset[Condition]:
    applies: dict[Condition, bool] = {
        "no_lintel": opening.lintel.kind in ("none", "unknown"),
        "upstairs": storey_of(survey, opening) > 0,
        "sill": frame.sill is not None,
        "glass": any(unit is not None for unit in frame.glazing.values()),
    }
    return frozenset(name for name, holds in applies.items() if holds)


def papers(house: HousePlan, progress: Progress | None = None) -> dict[str, bytes]:
    """Every paper of a house by file name."""
    return {"plan.json": plan_file(house).model_dump_json(indent=1).encode()}


def check_house(survey: Survey) -> list[Problem]:
    """What the readings still want of the fitter: what to measure again, and what nothing checks."""
    return []
