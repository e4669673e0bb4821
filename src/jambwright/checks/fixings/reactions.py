"""Wind on each fixing: every side of the frame is a beam over its own fixings.

A side with two fixings or more stands on them alone. A head or sill with none spans between the corners and
loads the ends of the jambs; with one, the fixing takes the whole side and the corners only keep it from
turning. Either way the reactions of all four sides sum to the wind on the frame.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Literal

import numpy as np

from jambwright.basis.problems import BadInput
from jambwright.checks.figures import Floats
from jambwright.checks.fixings.beam import Load, continuous_beam
from jambwright.checks.fixings.pane_loads import Edges, with_point

Side = Literal["left", "right", "head", "sill"]
SIDES: tuple[Side, ...] = ("left", "right", "head", "sill")
JAMBS: tuple[Side, ...] = ("left", "right")


def frame_reactions(*, edges: Edges, positions_mm: Mapping[Side, Any]) -> dict[Side, Floats]:
    """Reaction in N of every fixing on left, right, head and sill, in the shape of the positions (..., m).

    Raises ``BadInput`` when a jamb has no fixing.
    """
    at = {side: np.asarray(positions_mm[side], float) for side in SIDES}
    for side in JAMBS:
        if at[side].shape[-1] == 0:
            raise BadInput.one(
                f"{side}_mm", f"{side}_mm: the {side} jamb has no fixing; give it at least one."
            )
    jambs = edges
    reactions: dict[Side, Floats] = {}
    ends: tuple[tuple[Side, Floats], ...] = (("head", edges.height_mm), ("sill", 0 * edges.height_mm))
    for side, y_mm in ends:
        reactions[side], low, high = _across(getattr(edges, side), at[side], edges.width_mm)
        jambs = replace(
            jambs,
            left=with_point(jambs.left, y_mm, low),
            right=with_point(jambs.right, y_mm, high),
        )
    return {"left": _jamb(jambs.left, at["left"]), "right": _jamb(jambs.right, at["right"]), **reactions}


def _across(load: Load, at_mm: Floats, length_mm: Floats) -> tuple[Floats, Floats, Floats]:
    """Reactions of head or sill, and what it hands to the left and right corner."""
    total, nothing = load.total_n(), np.zeros_like(length_mm)
    if at_mm.shape[-1] > 1:
        return continuous_beam(supports_mm=at_mm, load=load).reactions_n, nothing, nothing
    if at_mm.shape[-1] == 1:
        turning: Floats = (load.moment_n_mm() - total * at_mm[..., 0]) / length_mm
        return total[..., None], -turning, turning
    high: Floats = load.moment_n_mm() / length_mm
    return np.zeros((*total.shape, 0)), total - high, high


def _jamb(load: Load, at_mm: Floats) -> Floats:
    if at_mm.shape[-1] == 1:
        return load.total_n()[..., None]
    return continuous_beam(supports_mm=at_mm, load=load).reactions_n
