"""A French pair: two leaves hung across from each other whose stiles meet without a mullion."""

from __future__ import annotations

from collections.abc import Sequence

from jambwright.frame.kinds.leaf import Hole, Leaf
from jambwright.frame.profiles import ProfileSystem
from jambwright.readings.wanted import Light
from jambwright.readings.ways import Way, way_of

MEETING_GAP_MM = 4.0
"""Gap between the meeting stiles of a pair. Common practice, no published source."""

_OF_MASTER = {"vent_mm2": 0.0, "handle_height_mm": None}
"""The ventilator and the handle of a pair are its master leaf's."""


def leaves(hole: Hole, light: Light, profile: ProfileSystem) -> Sequence[Leaf]:
    """The two leaves from the left, each ending half a gap short of the line on which the stiles meet."""
    sight = hole.sight
    halves = hole.beside([sight.x_mm + sight.width_mm / 2])
    from_left = sorted(map(way_of, way_of(light.opens).leaves), key=lambda leaf: leaf.hangs or "")
    return [_leaf(half, leaf, light, profile) for half, leaf in zip(halves, from_left, strict=True)]


def _leaf(half: Hole, leaf: Way, light: Light, profile: ProfileSystem) -> Leaf:
    follows = leaf.kind.startswith("slave")
    short = profile.sash_overlap_mm + MEETING_GAP_MM / 2
    at_line = {"right_mm": short} if leaf.hangs == "left" else {"left_mm": short}
    sash = half.sight.grown(profile.sash_overlap_mm).inset(**at_line)
    return Leaf(
        way=leaf.kind,
        hole=half,
        sash=sash,
        daylight=sash.grown(-profile.sash_face_mm),
        wanted=light.model_copy(update=_OF_MASTER) if follows else light,
        follows=follows,
        without_handle=follows,
    )
