"""A stable door: an upper and a lower leaf hung at the same side, which lap at their meeting rails."""

from __future__ import annotations

from collections.abc import Sequence

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import Row
from jambwright.frame.kinds.leaf import Hole, Leaf, row_of
from jambwright.frame.profiles import ProfileSystem
from jambwright.readings.wanted import Light
from jambwright.readings.ways import way_of

USUAL_LOWER_MM = 1000.0
"""Height of the lower leaf where it is not said, 900 to 1100 being usual. From memory, medium."""


def sections(profile: ProfileSystem) -> Row:
    """How the meeting rails of a profile system lap. Raises ``BadInput`` where nothing is held for it."""
    return row_of("stable_doors", profile, "the rails at which the leaves of a stable door meet")


def leaves(hole: Hole, light: Light, profile: ProfileSystem) -> Sequence[Leaf]:
    """Upper then lower leaf; what a stable door has once is told at the upper, its handle where it stands."""
    lap = sections(profile)["lap_mm"]
    whole = hole.sight.grown(profile.sash_overlap_mm)
    lower = float(light.lower_leaf_mm or USUAL_LOWER_MM)
    upper = whole.height_mm + lap - lower
    least = 2 * profile.sash_face_mm
    if min(lower, upper) <= least:
        say = (
            f"layout: leaves of {upper:.0f} and {lower:.0f} mm leave nothing between their rails ({least:.0f} mm); "
            "change the height of the lower leaf."
        )
        raise BadInput.one("wanted.layout.lower_leaf_mm", say)
    over, under = whole.inset(bottom_mm=whole.height_mm - upper), whole.inset(top_mm=whole.height_mm - lower)
    above, below = hole.halved_at(whole.y_mm + lower - lap / 2)
    at = light.handle_height_mm
    on_upper = at is not None and at > lower
    above_upper = {"handle_height_mm": at - (lower - lap) if at is not None and on_upper else None}
    on_lower = {"handle_height_mm": None if on_upper else at}
    panelled = {"infill": light.lower_infill or "panel", "vent_mm2": 0.0}
    side = way_of(light.opens).hangs
    return (
        Leaf(
            way=f"upper_leaf_{side}", hole=above, sash=over, daylight=over.grown(-profile.sash_face_mm),
            wanted=light.model_copy(update=above_upper), without_handle=not on_upper,
        ),
        Leaf(
            way=f"lower_leaf_{side}", hole=below, sash=under, daylight=under.grown(-profile.sash_face_mm),
            wanted=light.model_copy(update=panelled | on_lower), follows=True, without_handle=on_upper,
        ),
    )  # fmt: skip
