"""A slab (composite) door: a leaf made in one piece that laps over the frame, solid or with a small light cut in."""

from __future__ import annotations

from collections.abc import Sequence

from jambwright.basis.problems import BadInput
from jambwright.frame.kinds.leaf import Hole, Leaf
from jambwright.frame.profiles import ProfileSystem
from jambwright.frame.rect import Rect
from jambwright.readings.wanted import Light

LEAST_EDGE_MM = 110.0
"""Of the slab left beside its light, for lock and hinges. Common practice, no published source."""


def leaves(hole: Hole, light: Light, profile: ProfileSystem) -> Sequence[Leaf]:
    """The slab; its light stands in the middle of its width, as far below the top as it stands beside the edges."""
    slab = hole.sight.grown(profile.sash_overlap_mm)
    width, height = light.slab_glass_width_mm, light.slab_glass_height_mm
    if width is None and height is None:
        solid = light.model_copy(update={"infill": "panel", "obscure": False})
        whole = profile.sash_overlap_mm
        return (
            Leaf(way=light.opens, hole=hole, sash=slab, daylight=hole.sight, wanted=solid, cover_mm=whole),
        )
    if width is None or height is None:
        say = "layout: the light of a slab door takes both width and height of the glass seen; give the other too."
        raise BadInput.one("wanted.layout.slab_glass_height_mm", say)
    beside = (slab.width_mm - width) / 2
    below = slab.height_mm - beside - height
    if min(beside, below) < LEAST_EDGE_MM:
        say = (
            f"layout: a light of {width:g} x {height:g} mm leaves {min(beside, below):.0f} mm of the slab of "
            f"{slab.width_mm:.0f} x {slab.height_mm:.0f} mm beside or below it; leave {LEAST_EDGE_MM:g} mm, or order "
            "a door of profiles."
        )
        raise BadInput.one("wanted.layout.slab_glass_width_mm", say)
    seen = Rect(x_mm=slab.x_mm + beside, y_mm=slab.y_mm + below, width_mm=width, height_mm=height)
    glazed = light.model_copy(update={"infill": "glass"})
    return (Leaf(way=light.opens, hole=hole, sash=slab, daylight=seen, wanted=glazed),)
