"""A vertical sliding sash: two sashes in two planes that lap at their meeting rails, the upper one outside."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from jambwright.basis.clause import clause
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import Row
from jambwright.frame.kinds.leaf import Hole, Leaf, row_of
from jambwright.frame.profiles import ProfileSystem
from jambwright.readings.wanted import Light

F = float | npt.NDArray[np.float64]

_GEOMETRY = "geometry of sliding sashes"
_OF_UPPER = {"vent_mm2": 0.0}
"""A ventilator sits in the head of the upper sash."""


@clause(
    _GEOMETRY, "two sashes that fill the hole and lap at their meeting rails", unit="mm",
    formula="h_t = H + m - h_b", how="calculated",
)  # fmt: skip
def upper_sash_mm(*, frame_clear_mm: float, meeting_rail_mm: float, lower_sash_mm: float) -> float:
    """Height of the upper sash beside a lower one of that height, mm.

    >>> upper_sash_mm(frame_clear_mm=1400.0, meeting_rail_mm=40.0, lower_sash_mm=737.5)
    702.5
    """
    return frame_clear_mm + meeting_rail_mm - lower_sash_mm


@clause(_GEOMETRY, "sashes with equal glass", unit="mm", formula="h_b = (H + m + b - t)/2", how="calculated")
def lower_sash_mm(*, frame_clear_mm: F, meeting_rail_mm: F, bottom_rail_mm: F, top_rail_mm: F) -> F:
    """Height of the lower sash with which both sashes show the same glass, mm; arrays of one shape.

    >>> print(lower_sash_mm(frame_clear_mm=1400.0, meeting_rail_mm=40.0, bottom_rail_mm=85.0, top_rail_mm=50.0))
    737.5
    """
    height: F = (frame_clear_mm + meeting_rail_mm + bottom_rail_mm - top_rail_mm) / 2
    return height


def rails(profile: ProfileSystem) -> Row:
    """Faces of the sashes of a profile system. Raises ``BadInput`` where none are held for it."""
    return row_of("vertical_sashes", profile, "vertical sliding sashes")


def leaves(hole: Hole, light: Light, profile: ProfileSystem) -> Sequence[Leaf]:
    """Upper then lower sash. Each runs into the channel at both jambs and ends at the head or the sill."""
    rail, sight = rails(profile), hole.sight
    lap, height = rail["meeting_rail_mm"], sight.height_mm
    if light.horns not in (None, "none") and not rail["horn_mm"]:
        raise BadInput.one("wanted.layout", f"layout: {profile.title} has no horns; leave them out.")
    alike = lower_sash_mm(
        frame_clear_mm=height, meeting_rail_mm=lap, bottom_rail_mm=rail["bottom_rail_mm"],
        top_rail_mm=rail["top_rail_mm"],
    )  # fmt: skip
    lower = float(light.lower_sash_mm or alike)
    upper = upper_sash_mm(frame_clear_mm=height, meeting_rail_mm=lap, lower_sash_mm=lower)
    least = lap + max(rail["bottom_rail_mm"], rail["top_rail_mm"])
    if min(lower, upper) <= least:
        say = (
            f"layout: sashes of {lower:.0f} and {upper:.0f} mm leave no glass between their rails "
            f"({least:.0f} mm); change the height of the lower sash or the split."
        )
        raise BadInput.one("wanted.layout", say)
    above, below = hole.halved_at(sight.y_mm + lower - lap / 2)
    in_channel = sight.inset(left_mm=-rail["guide_mm"], right_mm=-rail["guide_mm"])
    beside = {"left_mm": rail["stile_mm"], "right_mm": rail["stile_mm"]}
    over, under = in_channel.inset(bottom_mm=height - upper), in_channel.inset(top_mm=height - lower)
    return (
        Leaf(
            way="upper_sash", hole=above, sash=over, wanted=light, without_handle=True,
            horn_mm=0.0 if light.horns in (None, "none") else float(rail["horn_mm"]),
            daylight=over.inset(top_mm=rail["top_rail_mm"], bottom_mm=lap, **beside),
        ),
        Leaf(
            way="lower_sash", hole=below, sash=under, wanted=light.model_copy(update=_OF_UPPER), follows=True,
            without_handle=True,
            daylight=under.inset(top_mm=lap, bottom_mm=rail["bottom_rail_mm"], **beside),
        ),
    )  # fmt: skip
