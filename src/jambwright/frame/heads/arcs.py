"""Heads of circular arcs: moved in, each stays an arc about the same centre."""

from __future__ import annotations

import math

from jambwright.basis.clause import clause
from jambwright.basis.units import show_mm
from jambwright.basis.working import Working
from jambwright.frame.heads.values import (
    HAIR,
    PARALLEL,
    WIDEN,
    FrameHead,
    Head,
    over_springing,
    refuse,
    stations,
)
from jambwright.opening.arch import arc_length_mm, gothic_radius_mm, inner_radius_mm, segmental_radius_mm


@clause(
    PARALLEL, "arc and jamb", unit="mm", formula="s = y_c + √(R'² − (c/2 − g_s − x_c)²)", how="calculated"
)
def springing_shift_mm(
    *, radius_mm: float, reach_mm: float, centre_x_mm: float = 0.0, centre_y_mm: float = 0.0
) -> float:
    """How far over the opening's springing the frame's head meets its jamb, ``reach_mm`` from midspan.

    >>> springing_shift_mm(radius_mm=995.0, reach_mm=595.0, centre_y_mm=-800.0)
    -2.504
    """
    return centre_y_mm + math.sqrt(radius_mm**2 - (reach_mm - centre_x_mm) ** 2)


def _arcs(head: Head, centre_x: float, centre_y: float, radius: float, work: Working) -> FrameHead:
    """Two arcs of one radius, mirrored, that meet at midspan; one arc where the centre lies under it."""
    reach = head.span_mm / 2 - head.sides_mm
    inner = work.step("R'", inner_radius_mm, outer_radius_mm=radius, gap_mm=head.curve_mm)
    if centre_x > HAIR * radius:
        raise refuse(
            "rise_mm", f"the crown would dip between two arcs of {show_mm(radius)} mm: a pointed arch with its centres "
            f"on the springing line rises at least half its span ({show_mm(head.span_mm / 2)} mm). Measure again."
        )  # fmt: skip
    if inner <= abs(centre_x):
        raise refuse(
            "curve_mm", f"a joint of {show_mm(head.curve_mm)} mm leaves nothing of a radius of {show_mm(radius)} mm."
        )  # fmt: skip
    if reach - centre_x > inner + HAIR:
        raise refuse(
            "sides_mm",
            f"half the frame ({show_mm(reach)} mm) reaches beyond its arc ({show_mm(inner + centre_x)} mm), which "
            f"never meets the jamb. {WIDEN}",
        )
    reach = min(reach, inner + centre_x)
    place = {"centre_x_mm": centre_x, "centre_y_mm": centre_y}
    shift = work.step("s", springing_shift_mm, radius_mm=inner, reach_mm=reach, **place)
    crown = springing_shift_mm(radius_mm=inner, reach_mm=0.0, **place)
    angle = math.degrees(math.asin((reach - centre_x) / inner) - math.asin(-centre_x / inner))
    if shift < centre_y:
        raise refuse("rise_mm", "the arc is more than half a circle; no such head is worked out here.")
    each = work.step("half arc", arc_length_mm, radius_mm=inner, angle_deg=angle)
    return FrameHead(
        **over_springing(head, shift=shift, crown=crown),
        arc_mm=2 * each,
        arc_each_mm=each if centre_x < -HAIR * radius else None,
        stays_arc=True,
        radius_mm=inner,
        stations_mm=stations(
            reach, shift, lambda x: springing_shift_mm(radius_mm=inner, reach_mm=x, **place)
        ),
    )


def segmental(head: Head, work: Working) -> FrameHead:
    """One arc, half a circle or less."""
    half = head.span_mm / 2
    if head.kind == "semicircular" and abs(head.rise_mm - half) > HAIR * half:
        raise refuse(
            "rise_mm", f"a semicircle over {show_mm(head.span_mm)} mm rises {show_mm(half)} mm, not "
            f"{show_mm(head.rise_mm)} mm. Measure again, or take it as segmental."
        )  # fmt: skip
    if head.rise_mm > half * (1 + HAIR):
        raise refuse(
            "rise_mm", f"a segmental arch over {show_mm(head.span_mm)} mm rises at most half of it "
            f"({show_mm(half)} mm), not {show_mm(head.rise_mm)} mm. Measure again, or choose another kind."
        )  # fmt: skip
    if head.rise_mm == 0:
        return _level(head)
    radius = work.step("R", segmental_radius_mm, span_mm=head.span_mm, rise_mm=head.rise_mm)
    return _arcs(head, 0.0, head.rise_mm - radius, radius, work)


def _level(head: Head) -> FrameHead:
    """No rise: the head of a rectangle."""
    span = head.span_mm - 2 * head.sides_mm
    sizes = over_springing(head, shift=-head.curve_mm, crown=-head.curve_mm)
    say = "The head has no rise: the frame is a rectangle."
    return FrameHead(**sizes, arc_mm=span, stays_arc=False, say=(say,))


def two_centred(head: Head, work: Working) -> FrameHead:
    """Two arcs of one radius with a point at the crown."""
    a, rise = head.span_mm / 2, head.rise_mm
    if head.radius_mm is None:
        radius = work.step("R", gothic_radius_mm, span_mm=head.span_mm, rise_mm=rise)
        return _arcs(head, a - radius, 0.0, radius, work)
    chord = math.hypot(a, rise)
    if head.radius_mm < chord / 2:
        raise refuse(
            "radius_mm", f"an arc of radius {show_mm(head.radius_mm)} mm does not reach from springing to crown, "
            f"{show_mm(chord)} mm apart; it takes {show_mm(chord / 2)} mm at the least."
        )  # fmt: skip
    off = math.sqrt(head.radius_mm**2 - (chord / 2) ** 2)
    return _arcs(head, a / 2 - rise * off / chord, rise / 2 - a * off / chord, head.radius_mm, work)


def three_centred(head: Head, work: Working) -> FrameHead:
    """A large arc over the crown and a small one towards each springing."""
    a, h, small = head.span_mm / 2, head.rise_mm, head.small_radius_mm
    if small is None:
        raise refuse(
            "small_radius_mm", "is missing; span and rise do not tell a three-centred arch without the radius towards "
            "its springings."
        )  # fmt: skip
    if not small < h <= a * (1 + HAIR):
        raise refuse(
            "small_radius_mm" if h <= a else "rise_mm",
            f"a three-centred arch rises at most half its span ({show_mm(a)} mm), and more than its small radius; "
            f"{show_mm(h)} mm and {show_mm(small)} mm can't be.",
        )
    large = (a**2 + h**2 - 2 * a * small) / (2 * (h - small))
    inner, inner_small = large - head.curve_mm, small - head.curve_mm
    if inner_small <= 0:
        raise refuse(
            "curve_mm", f"a joint of {show_mm(head.curve_mm)} mm leaves nothing of a radius of {show_mm(small)} mm."
        )  # fmt: skip
    foot = (small - head.sides_mm) / inner_small
    if foot > 1 + HAIR:
        raise refuse(
            "sides_mm",
            "the head never meets the jamb. Make the joint at the sides at least that at the curve.",
        )
    meets, end = math.atan2(a - small, large - h), math.asin(min(foot, 1.0)) if foot > -1 else -1.0
    if end < meets:
        raise refuse("sides_mm", "the joint at the sides takes the small arcs away; have the maker draw it.")
    shift = work.step("s", springing_shift_mm, radius_mm=inner_small, reach_mm=min(foot, 1.0) * inner_small)
    arc = 2 * (inner * meets + inner_small * (end - meets))
    work.note(
        "arc", "2 (R' t + r' (e − t))", arc, "mm", springing_shift_mm.source,
        large_radius_mm=inner, small_radius_mm=inner_small, t_deg=math.degrees(meets), e_deg=math.degrees(end),
    )  # fmt: skip

    def height(x: float) -> float:
        if x <= inner * math.sin(meets):
            return h - large + math.sqrt(inner**2 - x**2)
        return math.sqrt(max(inner_small**2 - (x - (a - small)) ** 2, 0.0))

    return FrameHead(
        **over_springing(head, shift=shift, crown=h - head.curve_mm),
        arc_mm=arc,
        stays_arc=True,
        radius_mm=inner,
        small_radius_mm=inner_small,
        stations_mm=stations(a - head.sides_mm, shift, height),
    )


def quarter_circle(head: Head, work: Working) -> FrameHead:
    """Upright at the left, level at the bottom, the arc about the opening's corner between them."""
    radius = head.span_mm
    if abs(head.rise_mm - radius) > HAIR * radius:
        raise refuse("rise_mm", f"a quarter circle is as high as wide, {show_mm(radius)} mm.")
    inner = work.step("R'", inner_radius_mm, outer_radius_mm=radius, gap_mm=head.curve_mm)
    if inner <= math.hypot(head.sides_mm, head.bottom_mm):
        raise refuse("curve_mm", f"the joints leave nothing of a quarter circle of {show_mm(radius)} mm.")
    width = math.sqrt(inner**2 - head.bottom_mm**2) - head.sides_mm
    height = math.sqrt(inner**2 - head.sides_mm**2) - head.bottom_mm
    angle = 90 - math.degrees(math.asin(head.sides_mm / inner) + math.asin(head.bottom_mm / inner))
    return FrameHead(
        span_mm=width,
        rise_mm=height,
        jamb_mm=0.0,
        overall_mm=height,
        arc_mm=work.step("arc", arc_length_mm, radius_mm=inner, angle_deg=angle),
        stays_arc=True,
        radius_mm=inner,
        say=(f"No true quarter: the arc turns {angle:.1f}° about the opening's corner.",),
    )


def circle(head: Head, work: Working) -> FrameHead:
    """A whole circle."""
    inner = work.step("R'", inner_radius_mm, outer_radius_mm=head.span_mm / 2, gap_mm=head.curve_mm)
    if inner <= 0:
        raise refuse("curve_mm", f"the joint leaves nothing of a circle of {show_mm(head.span_mm)} mm.")
    across = 2 * inner
    return FrameHead(
        span_mm=across, rise_mm=across, jamb_mm=0.0, overall_mm=across, stays_arc=True, radius_mm=inner,
        arc_mm=work.step("arc", arc_length_mm, radius_mm=inner, angle_deg=360.0),
    )  # fmt: skip
