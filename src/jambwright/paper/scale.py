"""The largest round scale at which a drawing fits its paper."""

from __future__ import annotations

from collections.abc import Callable

from jambwright.paper.scene import Box, Scene

SCALES = (
    1, 2, 2.5, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 15, 16, 18, 20, 22, 25, 28, 30, 35, 40, 45, 50, 60, 75, 100, 150, 200,
    250, 300,
)  # fmt: skip


class NoScaleFits(ValueError):
    """The paper is too small for a drawing with its lettering."""


def at_largest_scale(draw: Callable[[float], Scene], box: Box, *, least: float = 0.0) -> Scene:
    """The drawing at the first scale, not under ``least``, at which it fits the box with its lettering.

    ``NoScaleFits`` when even the smallest is too large.
    """
    for scale in SCALES:
        if scale < least:
            continue
        scene = draw(scale)
        needs = scene.paper_size()
        if needs.width_mm <= box.width_mm and needs.height_mm <= box.height_mm:
            return scene
    raise NoScaleFits(f"no scale fits {box.width_mm:g} x {box.height_mm:g} mm of paper")


def scale_name(scale: float) -> str:
    """As written on a drawing.

    >>> scale_name(2.5), scale_name(20)
    ('1:2.5', '1:20')
    """
    return f"1:{scale:g}"
