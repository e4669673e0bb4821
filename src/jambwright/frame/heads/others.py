"""Heads that are no arcs: an ellipse, which does not stay one, and straight edges, which move as a polygon does."""

from __future__ import annotations

import math

from jambwright.basis.clause import clause
from jambwright.basis.units import show_mm
from jambwright.basis.working import Working
from jambwright.frame.heads.values import (
    HAIR,
    PARALLEL,
    FrameHead,
    Head,
    over_springing,
    refuse,
    stations,
)


@clause(PARALLEL, "straight edge at a slope", unit="mm", formula="g / cos θ", how="calculated")
def upright_joint_mm(*, joint_mm: float, slope: float) -> float:
    """Upright measure of a joint that is kept square to an edge; ``slope`` is rise over run.

    >>> upright_joint_mm(joint_mm=5.0, slope=0.4)
    5.385
    """
    return joint_mm * math.hypot(1.0, slope)


def ellipse(head: Head, work: Working) -> FrameHead:
    """Half an ellipse; its parallel is none."""
    from scipy.optimize import brentq
    from scipy.special import ellipeinc

    a, h, g = head.span_mm / 2, head.rise_mm, head.curve_mm
    least = min(h**2 / a, a**2 / h) if h > 0 else 0.0
    if g >= least:
        raise refuse(
            "curve_mm", f"a joint of {show_mm(g)} mm is more than the curve's least radius, {show_mm(least)} mm; no "
            "even joint goes round it."
        )  # fmt: skip
    if head.sides_mm < g - HAIR:
        raise refuse(
            "sides_mm",
            "the head never meets the jamb. Make the joint at the sides at least that at the curve.",
        )

    def point(u: float) -> tuple[float, float]:
        across, up = h * math.cos(u), a * math.sin(u)
        share = g / math.hypot(across, up)
        return a * math.cos(u) - share * across, h * math.sin(u) - share * up

    def at(x: float) -> float:
        """Turn of the ellipse whose moved point lies that far from midspan."""
        if x >= point(0.0)[0]:
            return 0.0
        return (
            float(brentq(lambda u: point(u)[0] - x, 0.0, math.pi / 2, xtol=1e-13)) if x > 0 else math.pi / 2
        )

    reach = a - head.sides_mm
    foot = at(reach)
    shift = point(foot)[1]
    # from the springing to the crown: the ellipse's own length less the joint times how far it turns
    own = a * (ellipeinc(math.pi / 2 - foot, 1 - (h / a) ** 2))
    turned = math.pi / 2 - math.atan2(a * math.sin(foot), h * math.cos(foot))
    arc = 2 * float(own - g * turned)
    work.note("arc", "2 (a E − g θ)", arc, "mm", upright_joint_mm.source, a_mm=a, h_mm=h, joint_mm=g)
    return FrameHead(
        **over_springing(head, shift=shift, crown=h - g),
        arc_mm=arc,
        stays_arc=False,
        stations_mm=stations(reach, shift, lambda x: point(at(x))[1]),
        say=("The frame's head is no ellipse: give the maker the stations, or a template.",),
    )


def raked(head: Head, work: Working) -> FrameHead:
    """A straight head, higher at one side."""
    slope = head.rise_mm / head.span_mm
    joint = work.step("g_v", upright_joint_mm, joint_mm=head.curve_mm, slope=slope)
    low, high = slope * head.sides_mm - joint, slope * (head.span_mm - head.sides_mm) - joint
    sizes = over_springing(head, shift=low, crown=high)
    return FrameHead(**sizes, arc_mm=math.hypot(sizes["span_mm"], sizes["rise_mm"]), stays_arc=False)


def gable(head: Head, work: Working) -> FrameHead:
    """Two rafters to a ridge; a triangle where there are no jambs."""
    slope = head.rise_mm / (head.span_mm / 2)
    joint = work.step("g_v", upright_joint_mm, joint_mm=head.curve_mm, slope=slope)
    sizes = over_springing(head, shift=slope * head.sides_mm - joint, crown=head.rise_mm - joint)
    if head.springing_mm == 0 and slope > 0:
        # a triangle has no jamb: its base ends where the rafters meet the frame's bottom
        high = head.rise_mm - joint - head.bottom_mm
        sizes |= {"span_mm": 2 * high / slope, "rise_mm": high, "jamb_mm": 0.0, "shift_mm": head.bottom_mm}
    rafter = math.hypot(sizes["span_mm"] / 2, sizes["rise_mm"])
    return FrameHead(**sizes, arc_mm=2 * rafter, arc_each_mm=rafter, stays_arc=False)
