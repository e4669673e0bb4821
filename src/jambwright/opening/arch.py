"""Arched heads: segmental, semicircular and two-centred, and the frame that keeps a gap inside them.

Angles are those of one arc: the whole arc of a segmental or semicircular head, each of the two arcs of a
gothic one. Source of the worked figures: circle geometry (calculated).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from jambwright.basis.clause import clause
from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.basis.working import Working

ArchKind = Literal["segmental", "semicircular", "gothic"]
CIRCLE = "Geometry of the circle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Arch:
    """An arched head on its springing line, mm and degrees."""

    kind: ArchKind
    span_mm: float
    rise_mm: float
    radius_mm: float
    angle_deg: float
    arc_mm: float
    """Along the whole head."""
    quarter_rise_mm: float
    """Rise at the quarter points of the span: a reading there tells whether the arch is a true one."""


@clause(CIRCLE, "chord and rise", unit="mm", formula="R = c² / (8 r) + r / 2", how="calculated")
def segmental_radius_mm(*, span_mm: float, rise_mm: float) -> float:
    """Radius of the circle through both springings and the crown.

    >>> segmental_radius_mm(span_mm=1200.0, rise_mm=200.0)
    1000.0
    """
    return span_mm**2 / (8 * rise_mm) + rise_mm / 2


@clause(CIRCLE, "two-centred arch", unit="mm", formula="R = (c² / 4 + h²) / c", how="calculated")
def gothic_radius_mm(*, span_mm: float, rise_mm: float) -> float:
    """Radius of both arcs of a pointed arch whose centres lie on the springing line.

    >>> gothic_radius_mm(span_mm=1000.0, rise_mm=866.0254)
    1000.0
    """
    return (span_mm**2 / 4 + rise_mm**2) / span_mm


@clause(CIRCLE, "chord", unit="deg", formula="q = 2 asin(c / (2 R))", how="calculated")
def segmental_angle_deg(*, span_mm: float, radius_mm: float) -> float:
    """Angle of an arc that is at most a half circle.

    >>> segmental_angle_deg(span_mm=1200.0, radius_mm=1000.0)
    73.74
    """
    return math.degrees(2 * math.asin(min(span_mm / (2 * radius_mm), 1.0)))


@clause(CIRCLE, "two-centred arch", unit="deg", formula="q = acos((R - c / 2) / R)", how="calculated")
def gothic_angle_deg(*, centre_mm: float, radius_mm: float) -> float:
    """Angle of each arc, springing to point; ``centre_mm`` is a centre's distance from the middle.

    >>> gothic_angle_deg(centre_mm=500.0, radius_mm=1000.0)
    60.0
    """
    return math.degrees(math.acos(centre_mm / radius_mm))


@clause(CIRCLE, "arc", unit="mm", formula="arc = R q", how="calculated")
def arc_length_mm(*, radius_mm: float, angle_deg: float) -> float:
    """Length of one arc.

    >>> arc_length_mm(radius_mm=1000.0, angle_deg=73.7398)
    1287.0
    """
    return radius_mm * math.radians(angle_deg)


@clause(CIRCLE, "arcs of one centre", unit="mm", formula="R = R_o − gap", how="calculated")
def inner_radius_mm(*, outer_radius_mm: float, gap_mm: float) -> float:
    """Radius of the arc that keeps a gap inside another.

    >>> inner_radius_mm(outer_radius_mm=1000.0, gap_mm=5.0)
    995.0
    """
    return outer_radius_mm - gap_mm


def arch(
    kind: ArchKind, *, span_mm: float, rise_mm: float, work: Working | None = None, of: str = ""
) -> Arch:
    """The arch over a span with a rise; ``work`` takes the steps, ``of`` marks their symbols.

    ``BadInput`` when the rise does not suit the kind: a segmental arch rises at most half its span, a
    semicircular one just half, a gothic one at least half.
    """
    raise_if_any(_faults(kind, span_mm, rise_mm))
    work = work or Working()
    if kind == "gothic":
        radius = work.step(f"R{of}", gothic_radius_mm, span_mm=span_mm, rise_mm=rise_mm)
        return _gothic(span_mm, radius, radius - span_mm / 2, work, of)
    radius = work.step(f"R{of}", segmental_radius_mm, span_mm=span_mm, rise_mm=rise_mm)
    return _round(kind, span_mm, radius, work, of)


def inside(outer: Arch, gap_mm: float, *, work: Working | None = None, of: str = "") -> Arch:
    """The arch of a frame that keeps a gap square to the head: same centres, smaller radius.

    ``work`` takes the steps, ``of`` marks their symbols.

    ``BadInput`` when the gap leaves nothing.
    """
    work = work or Working()
    span = outer.span_mm - 2 * gap_mm
    radius = work.step(f"R{of}", inner_radius_mm, outer_radius_mm=outer.radius_mm, gap_mm=gap_mm)
    if span <= 0:
        raise BadInput.one("gap_mm", f"gap_mm: {gap_mm:g} mm leaves no arch inside {outer.span_mm:g} mm.")
    if outer.kind == "gothic":
        return _gothic(span, radius, outer.radius_mm - outer.span_mm / 2, work, of)
    return _round(outer.kind, span, radius, work, of)


def _round(kind: ArchKind, span: float, radius: float, work: Working, of: str) -> Arch:
    springing = math.sqrt(max(radius**2 - (span / 2) ** 2, 0.0))
    angle = work.step(f"q{of}", segmental_angle_deg, span_mm=span, radius_mm=radius)
    return Arch(
        kind=kind,
        span_mm=span,
        rise_mm=radius - springing,
        radius_mm=radius,
        angle_deg=angle,
        arc_mm=work.step(f"arc{of}", arc_length_mm, radius_mm=radius, angle_deg=angle),
        quarter_rise_mm=math.sqrt(radius**2 - (span / 4) ** 2) - springing,
    )


def _gothic(span: float, radius: float, centre: float, work: Working, of: str) -> Arch:
    angle = work.step(f"q{of}", gothic_angle_deg, centre_mm=centre, radius_mm=radius)
    return Arch(
        kind="gothic",
        span_mm=span,
        rise_mm=math.sqrt(radius**2 - centre**2),
        radius_mm=radius,
        angle_deg=angle,
        arc_mm=2 * work.step(f"arc{of}", arc_length_mm, radius_mm=radius, angle_deg=angle),
        quarter_rise_mm=math.sqrt(radius**2 - (centre + span / 4) ** 2),
    )


def _faults(kind: ArchKind, span: float, rise: float) -> list[Problem]:
    found = [
        Problem(name, f"{name}: {value:g} can't be; it must be more than 0.")
        for name, value in (("span_mm", span), ("rise_mm", rise))
        if value <= 0
    ]
    half, hair = span / 2, 1e-6 * abs(span)
    suits = {
        "segmental": (rise <= half + hair, "at most half the span"),
        "semicircular": (abs(rise - half) <= hair, "just half the span"),
        "gothic": (rise >= half - hair, "at least half the span"),
    }
    fine, wanted = suits[kind]
    if not found and not fine:
        say = f"rise_mm: a {kind} arch over {span:g} mm rises {wanted} ({half:g} mm), not {rise:g} mm."
        found.append(Problem("rise_mm", f"{say} Measure span and rise again, or choose another kind."))
    return found
