"""A light of one leaf: fixed, or one hinged sash that laps over the frame."""

from __future__ import annotations

from collections.abc import Sequence

from jambwright.frame.kinds.leaf import Hole, Leaf
from jambwright.frame.profiles import ProfileSystem
from jambwright.readings.wanted import Light
from jambwright.readings.ways import way_of


def leaves(hole: Hole, light: Light, profile: ProfileSystem) -> Sequence[Leaf]:
    """The light as one leaf; fixed glass sits in the frame itself."""
    sash = hole.sight.grown(profile.sash_overlap_mm) if way_of(light.opens).opens else None
    daylight = sash.grown(-profile.sash_face_mm) if sash else hole.sight
    return (Leaf(way=light.opens, hole=hole, sash=sash, daylight=daylight, wanted=light),)
