"""Clear opening by the geometry of hinge, stay and obstruction; floats or arrays of one shape."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from jambwright.basis.clause import clause
from jambwright.basis.working import Working
from jambwright.checks.regulations.clear import DECLARED, ClearOpening
from jambwright.checks.regulations.facts import EscapeFacts
from jambwright.readings.ways import Clear, way_of

F = float | npt.NDArray[np.float64]

_GEOMETRY = "geometry of the opened sash"


@clause(
    _GEOMETRY,
    "measured square to the wall",
    unit="mm",
    formula="W - W cos t - o, t at most 90°",
    how="calculated",
)
def straight_clear_mm(*, frame_clear_mm: F, open_angle_deg: F, obstruction_mm: F) -> F:
    """Gap left beside a swung sash, measured square to the wall: the conservative measure.

    >>> print(straight_clear_mm(frame_clear_mm=600.0, open_angle_deg=65.0, obstruction_mm=70.0))
    276.4
    """
    opened = np.radians(np.minimum(open_angle_deg, 90.0))
    gap: F = np.maximum(frame_clear_mm * (1 - np.cos(opened)) - obstruction_mm, 0.0)
    return gap


@clause(
    "Approved Document B volume 1 Dwellings, 2019 edition",
    "2.10, the route may be at an angle",
    unit="mm",
    formula="W sin t - o, t at most 90°",
    how="read",
)
def angled_clear_mm(*, frame_clear_mm: F, open_angle_deg: F, obstruction_mm: F) -> F:
    """Gap between the free edge of a swung sash and the frame, measured square to the sash.

    >>> print(angled_clear_mm(frame_clear_mm=600.0, open_angle_deg=65.0, obstruction_mm=70.0))
    473.8
    """
    opened = np.radians(np.minimum(open_angle_deg, 90.0))
    gap: F = np.maximum(frame_clear_mm * np.sin(opened) - obstruction_mm, 0.0)
    return gap


@clause(
    _GEOMETRY,
    "sash that slides past the other half",
    unit="mm",
    formula="W / 2 - o",
    how="from memory, medium",
)
def sliding_clear_mm(*, frame_clear_mm: F, obstruction_mm: F) -> F:
    """Clear travel of a slider; the obstruction is meeting rail, horn and stop.

    >>> print(sliding_clear_mm(frame_clear_mm=1020.0, obstruction_mm=60.0))
    450.0
    """
    gap: F = np.maximum(frame_clear_mm / 2 - obstruction_mm, 0.0)
    return gap


@clause(_GEOMETRY, "chord of the free edge", unit="deg", formula="2 asin(s / 2S)", how="calculated")
def angle_from_stroke_deg(*, stroke_mm: F, sash_mm: F) -> F:
    """Opening angle from the travel of the free edge of a sash of that size.

    >>> print(angle_from_stroke_deg(stroke_mm=100.0, sash_mm=600.0))
    9.6
    """
    angle: F = np.degrees(2 * np.arcsin(stroke_mm / (2 * sash_mm)))
    return angle


@clause(
    _GEOMETRY,
    "front and two side gaps of a swung sash",
    unit="m2",
    formula="min(W H, 2 W H sin(t/2) + W² sin t)",
    how="calculated",
)
def swung_free_area_m2(*, swung_mm: F, along_hinge_mm: F, open_angle_deg: F) -> F:
    """Free area through a swung sash, to compare old with new; ``swung_mm`` is the side that swings out.

    >>> print(swung_free_area_m2(swung_mm=600.0, along_hinge_mm=1000.0, open_angle_deg=10.0))
    0.167
    """
    opened = np.radians(np.minimum(open_angle_deg, 90.0))
    front = 2 * swung_mm * along_hinge_mm * np.sin(opened / 2)
    area: F = np.minimum(swung_mm * along_hinge_mm, front + swung_mm**2 * np.sin(opened)) * 1e-6
    return area


def missing_sizes(facts: EscapeFacts) -> list[str]:
    """Which inputs the clear opening of this hinge still lacks."""
    if facts.hinge is None:
        return ["hinge"]
    way = way_of(facts.hinge)
    declared = facts.clear_width_mm is not None and facts.clear_height_mm is not None
    if not way.opens or declared or facts.slid:
        return []
    names = ["frame_clear_width_mm", "frame_clear_height_mm", "obstruction_mm"]
    names += ["open_angle_deg"] if way.needs_angle else []
    return [name for name in names if getattr(facts, name) is None]


def clear_opening(facts: EscapeFacts) -> ClearOpening | None:
    """The clear opening, or nothing where only the maker's sheet can tell. Needs complete facts."""
    assert facts.hinge is not None
    if facts.clear_width_mm is not None and facts.clear_height_mm is not None:
        width, height = facts.clear_width_mm, facts.clear_height_mm
        return ClearOpening(
            width_mm=width, height_mm=height, angled_width_mm=width, angled_height_mm=height, inputs=DECLARED
        )
    if facts.slid:
        return facts.slid
    formula = _FORMULAS.get(way_of(facts.hinge).clear)
    return formula(facts) if formula else None


def _exact(size_mm: F) -> float:
    """A size without the hair that the sine of a right angle leaves."""
    return round(float(size_mm), 6)


def _fixed(_: EscapeFacts) -> ClearOpening:
    return ClearOpening(width_mm=0.0, height_mm=0.0, angled_width_mm=0.0, angled_height_mm=0.0)


def _swung(size_mm: float, facts: EscapeFacts, working: Working) -> tuple[float, float]:
    given = {
        "frame_clear_mm": size_mm,
        # the turn position of a tilt-and-turn sash opens past a right angle
        "open_angle_deg": 90.0 if facts.open_angle_deg is None else facts.open_angle_deg,
        "obstruction_mm": facts.obstruction_mm or 0.0,
    }
    straight = working.step("straight clear", straight_clear_mm, **given)
    angled = working.step("angled clear", angled_clear_mm, **given)
    return _exact(straight), _exact(angled)


def _side(facts: EscapeFacts) -> ClearOpening:
    working, height = Working(), facts.frame_clear_height_mm or 0.0
    straight, angled = _swung(facts.frame_clear_width_mm or 0.0, facts, working)
    return ClearOpening(
        width_mm=straight, height_mm=height, angled_width_mm=angled, angled_height_mm=height, working=working
    )


def _top(facts: EscapeFacts) -> ClearOpening:
    working, width = Working(), facts.frame_clear_width_mm or 0.0
    straight, angled = _swung(facts.frame_clear_height_mm or 0.0, facts, working)
    return ClearOpening(
        width_mm=width, height_mm=straight, angled_width_mm=width, angled_height_mm=angled, working=working
    )


def _slide(facts: EscapeFacts, *, up: bool) -> ClearOpening:
    working = Working()
    width, height = facts.frame_clear_width_mm or 0.0, facts.frame_clear_height_mm or 0.0
    travel = working.step(
        "clear travel",
        sliding_clear_mm,
        frame_clear_mm=height if up else width,
        obstruction_mm=facts.obstruction_mm or 0.0,
    )
    width, height = (width, _exact(travel)) if up else (_exact(travel), height)
    return ClearOpening(
        width_mm=width, height_mm=height, angled_width_mm=width, angled_height_mm=height, working=working
    )


_FORMULAS: dict[Clear, Callable[[EscapeFacts], ClearOpening]] = {
    "fixed": _fixed,
    "side": _side,
    "turn": _side,
    "top": _top,
    "slide_up": lambda facts: _slide(facts, up=True),
    "slide_across": lambda facts: _slide(facts, up=False),
}
