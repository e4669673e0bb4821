"""The joint round a frame: as asked, else by material, colour and size; and the least that may be left."""

from __future__ import annotations

from statistics import fmean

from jambwright.basis.clause import Clause
from jambwright.basis.tables import table
from jambwright.frame.frame import Chosen
from jambwright.frame.movement import movement_gap
from jambwright.frame.order_size import ASKED
from jambwright.frame.sill import packer_gap_mm
from jambwright.opening import BehindNibs, Gaps, Outline
from jambwright.opening.behind_nibs import ACROSS, UP
from jambwright.readings.survey import Opening

FIRMS = Clause("The firm's joint, in the readings file", "", "calculated")


def joint_wanted(opening: Opening, chosen: Chosen, hole: Outline | BehindNibs) -> tuple[Gaps, Clause]:
    """Joint wanted a side, and its source: as asked, else the firm's, else by material, colour and size.

    Under a sill there is room for its packers, unless the opening asks otherwise.
    """
    if opening.wanted.gap_mm is not None:
        gap = opening.wanted.gap_mm
        return Gaps(left=gap, right=gap, head=gap, bottom=gap), ASKED
    if chosen.joint_mm is not None:
        across = down = chosen.joint_mm
        source = FIRMS
    else:
        across, down = (
            movement_gap(
                material=chosen.profile.material, colour=chosen.colour, length_mm=_mean_mm(hole, kind)
            ).gap_per_side_mm
            for kind in ("width", "height")
        )
        source = table("movement_gaps").pedigree.source
    bottom = packer_gap_mm() if chosen.sill else down
    return Gaps(left=across, right=across, head=down, bottom=bottom), source


def least_joint_mm(chosen: Chosen, hole: Outline | BehindNibs) -> float:
    """What must be left at every point: never so little that the frame's growth closes it."""
    return least_joint_of_mm(chosen, max(_mean_mm(hole, kind) for kind in ("width", "height")))


def least_joint_of_mm(chosen: Chosen, longest_mm: float) -> float:
    """The same for a frame whose longer side is so long."""
    rule = {row["rule"]: row["value"] for row in table("joint_rules")}
    moves = movement_gap(material=chosen.profile.material, colour=chosen.colour, length_mm=longest_mm)
    return float(max(rule["least_anywhere_mm"], moves.movement_out_mm + rule["over_movement_mm"]))


def _mean_mm(hole: Outline | BehindNibs, kind: str) -> float:
    """About how long a frame in the hole is, across or up."""
    if isinstance(hole, BehindNibs):
        over = ACROSS if kind == "width" else UP
        return _mean_mm(hole.outside, kind) + sum(hole.nibs[side].mm for side in over if side in hole.nibs)
    return fmean(r.adjusted_mm for r in hole.readings if r.kind == kind)
