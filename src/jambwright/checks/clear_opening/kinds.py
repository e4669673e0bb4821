"""The kinds of window and door by name, and the clear opening of each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.checks.clear_opening import formulas
from jambwright.checks.clear_opening.sizes import Sizes
from jambwright.checks.regulations.escape_opening import (
    angle_from_stroke_deg,
    angled_clear_mm,
    swung_free_area_m2,
)
from jambwright.frame.kinds.slider import sliding_pane_mm
from jambwright.frame.kinds.vertical_sash import lower_sash_mm

Kind = Literal[
    "fixed", "side_hung", "easy_clean", "wide_opening", "butt_hinged", "top_hung", "tilt_turn", "reversible",
    "vertical_slider", "french_window", "door", "door_pair", "stable_door", "slider", "bi_fold", "secondary",
]  # fmt: skip
Doubt = Literal["", "route", "in the way", "both leaves", "maker"]
"""Why arithmetic alone does not make a way out of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clear:
    """What a unit leaves clear when open; ``None`` where only the maker's sheet tells."""

    width_mm: float | None
    height_mm: float | None
    free_area_m2: float | None
    """For air: front and side gaps of a swung sash, at most the clear frame."""
    square_to_wall_mm: float | None = None
    """The clear width of a side-hung sash measured square to the wall."""
    master_width_mm: float | None = None
    """The clear width with the master leaf of a pair alone."""
    doubt: Doubt = ""


_FRAME = ("frame_clear_width_mm", "frame_clear_height_mm")


def clear_of(sizes: Sizes) -> Clear:
    """The clear opening of one unit. Raises ``BadInput`` where a size is missing or can't be."""
    return KINDS[sizes.kind](sizes)


def _fixed(_: Sizes) -> Clear:
    return Clear(width_mm=0.0, height_mm=0.0, free_area_m2=0.0)


def _maker(_: Sizes) -> Clear:
    return Clear(width_mm=None, height_mm=None, free_area_m2=None, doubt="maker")


def _angle(sizes: Sizes, across_mm: float, sash: str) -> float:
    """The angle as given, from the travel of the free edge, or the usual one of the stay."""
    if sizes.has("travel_mm") and not sizes.has("open_angle_deg"):
        travel = sizes.one("travel_mm")
        swung = sizes.one(sash) if sizes.has(sash) else across_mm
        if travel > 2 * swung:
            say = f"travel_mm: the free edge of a sash of {swung:g} mm can't travel {travel:g} mm; measure again."
            raise BadInput.one("travel_mm", say)
        return float(sizes.work.step("angle", angle_from_stroke_deg, stroke_mm=travel, sash_mm=swung))
    return sizes.one("open_angle_deg")


def _swung(sizes: Sizes, across_mm: float, along_mm: float, angle_deg: float) -> tuple[float, float]:
    """Clear across an opened sash, square to it, and the free area."""
    clear = sizes.work.step(
        "clear", angled_clear_mm, frame_clear_mm=across_mm, open_angle_deg=angle_deg,
        obstruction_mm=sizes.one("obstruction_mm"),
    )  # fmt: skip
    return float(clear), _air(sizes, across_mm, along_mm, angle_deg)


def _air(sizes: Sizes, across_mm: float, along_mm: float, angle_deg: float) -> float:
    return float(
        sizes.work.step(
            "free area",
            swung_free_area_m2,
            swung_mm=across_mm,
            along_hinge_mm=along_mm,
            open_angle_deg=angle_deg,
        )
    )


def _side_hung(sizes: Sizes) -> Clear:
    width, height = sizes.of(*_FRAME).values()
    angle = _angle(sizes, width, "sash_width_mm")
    clear, air = _swung(sizes, width, height, angle)
    square = sizes.work.step(
        "square to the wall", formulas.beside_sash_mm, frame_clear_mm=width, open_angle_deg=angle,
        sash_mm=sizes.one("sash_width_mm") if sizes.has("sash_width_mm") else width,
        obstruction_mm=sizes.one("obstruction_mm"),
    )  # fmt: skip
    return Clear(
        width_mm=clear, height_mm=height, free_area_m2=air, square_to_wall_mm=float(square), doubt="route"
    )


def _top_hung(sizes: Sizes) -> Clear:
    width, height = sizes.of(*_FRAME).values()
    by_stay = sizes.has("stay_in") and not (sizes.has("open_angle_deg") or sizes.has("travel_mm"))
    angle = _angle_of_stay(sizes) if by_stay else _angle(sizes, height, "sash_height_mm")
    clear, air = _swung(sizes, height, width, angle)
    return Clear(width_mm=width, height_mm=clear, free_area_m2=air, doubt="in the way")


def _angle_of_stay(sizes: Sizes) -> float:
    length = sizes.one("stay_in")
    stays = {row["length_in"]: row for row in table("friction_stays") if row["hang"] == "top"}
    if length not in stays:
        known = ", ".join(f"{each:g}" for each in stays)
        raise BadInput.one(
            "stay_in", f"stay_in: no angle is held for {length:g} in; held are {known}. Give the angle."
        )
    angle = float(stays[length]["open_angle_deg"])
    sizes.work.note("angle", "of the stay", angle, "deg", table("friction_stays").source(stays[length]))
    return angle


def _tilt_turn(sizes: Sizes) -> Clear:
    """Turned unless the travel of a tilted sash is given; tilted it lets air in and nobody out."""
    width, height = sizes.of(*_FRAME).values()
    if sizes.has("travel_mm"):
        angle = _angle(sizes, height, "sash_height_mm")
        return Clear(width_mm=0.0, height_mm=0.0, free_area_m2=_air(sizes, height, width, angle))
    angle = sizes.one("open_angle_deg") if sizes.has("open_angle_deg") else 90.0
    clear, air = _swung(sizes, width, height, angle)
    return Clear(width_mm=clear, height_mm=height, free_area_m2=air)


def _vertical_slider(sizes: Sizes) -> Clear:
    width, height = sizes.of(*_FRAME).values()
    lower = _lower_sash(sizes, height)
    lap = 0.0 if sizes.has("upper_sash_mm") else sizes.one("meeting_rail_mm")
    upper = sizes.one("upper_sash_mm") if sizes.has("upper_sash_mm") else height + lap - lower
    raised = float(
        sizes.work.step(
            "clear height", formulas.under_raised_sash_mm, frame_clear_mm=height, lower_sash_mm=lower,
            upper_sash_mm=upper, **sizes.of("stop_loss_mm", "horn_mm"),
        )
    )  # fmt: skip
    if sizes.has("travel_mm"):
        raised = min(raised, sizes.one("travel_mm"))
    return _passed(sizes, max(width - 2 * sizes.one("guide_mm"), 0.0), raised)


def _lower_sash(sizes: Sizes, height_mm: float) -> float:
    if sizes.has("lower_sash_mm"):
        return sizes.one("lower_sash_mm")
    rails = sizes.of("meeting_rail_mm", "bottom_rail_mm", "top_rail_mm")
    return float(sizes.work.step("lower sash", lower_sash_mm, frame_clear_mm=height_mm, **rails))


def _passed(
    sizes: Sizes, width_mm: float, height_mm: float, *, master_mm: float | None = None, doubt: Doubt = ""
) -> Clear:
    area = sizes.work.step("area", formulas.clear_area_m2, width_mm=width_mm, height_mm=height_mm)
    return Clear(
        width_mm=width_mm,
        height_mm=height_mm,
        free_area_m2=float(area),
        master_width_mm=master_mm,
        doubt=doubt,
    )


def _at_right_angle(sizes: Sizes) -> None:
    if sizes.has("open_angle_deg") and sizes.one("open_angle_deg") < 90:
        say = (
            "open_angle_deg: what a leaf leaves clear is known from a right angle on; "
            "give 90 or more, or ask the maker."
        )
        raise BadInput.one("open_angle_deg", say)


def _leaf(sizes: Sizes) -> float:
    """What one hinged leaf at a right angle blocks, by its hinge or as given."""
    if sizes.has("obstruction_mm"):
        return sizes.one("obstruction_mm")
    names = ("leaf_thickness_mm", "pin_outside_mm", "pin_to_daylight_mm")
    return float(sizes.work.step("blocked", formulas.leaf_in_the_way_mm, **sizes.of(*names)))


def _door(sizes: Sizes) -> Clear:
    _at_right_angle(sizes)
    width, height = sizes.of(*_FRAME).values()
    clear = sizes.work.step(
        "clear width", formulas.between_leaves_mm, frame_clear_mm=width, leaves=1, obstruction_mm=_leaf(sizes)
    )
    return _passed(sizes, float(clear), height)


def _stable_door(sizes: Sizes) -> Clear:
    found = _door(sizes)
    return Clear(
        width_mm=found.width_mm,
        height_mm=found.height_mm,
        free_area_m2=found.free_area_m2,
        doubt="both leaves",
    )


def _pair(sizes: Sizes, blocked_mm: float) -> Clear:
    width, height = sizes.of(*_FRAME).values()
    if sizes.has("mullion_mm"):
        one = sizes.work.step(
            "one leaf", formulas.beside_mullion_mm, frame_clear_mm=width, mullion_mm=sizes.one("mullion_mm"),
            obstruction_mm=blocked_mm,
        )  # fmt: skip
        return _passed(sizes, float(one), height, master_mm=float(one))
    both = sizes.work.step(
        "both leaves", formulas.between_leaves_mm, frame_clear_mm=width, leaves=2, obstruction_mm=blocked_mm
    )
    master = sizes.work.step(
        "master alone", formulas.master_alone_mm, frame_clear_mm=width, slave_left_mm=sizes.one("slave_left_mm"),
        obstruction_mm=blocked_mm,
    )  # fmt: skip
    return _passed(sizes, float(both), height, master_mm=float(master))


def _french_window(sizes: Sizes) -> Clear:
    _at_right_angle(sizes)
    return _pair(sizes, sizes.one("obstruction_mm"))


def _door_pair(sizes: Sizes) -> Clear:
    _at_right_angle(sizes)
    return _pair(sizes, _leaf(sizes))


@dataclass(frozen=True, slots=True)
class _Slide:
    """How the panes of a slider stand."""

    panes: int
    interlocks: int
    runs: int
    """Pane widths that open."""
    handles: int
    """Handles that stop them."""


SLIDES: Mapping[str, _Slide] = {
    "OX": _Slide(2, 1, 1, 1),
    "XO": _Slide(2, 1, 1, 1),
    "OXO": _Slide(3, 2, 1, 1),
    "OXX": _Slide(3, 2, 2, 1),
    "XXO": _Slide(3, 2, 2, 1),
    "OXXO": _Slide(4, 2, 2, 2),
}
"""O stands, X slides, from the left as seen from outside."""


def _slider(sizes: Sizes) -> Clear:
    if sizes.mode is None:
        say = (
            "mode: is missing; say which panes slide, from the left as seen from outside, such as OX or OXXO."
        )
        raise BadInput.one("mode", say)
    slide, height = SLIDES[sizes.mode], sizes.one("frame_clear_height_mm")
    meeting = sizes.one("meeting_mm") if slide.handles == 2 else 0.0
    interlock = sizes.one("interlock_mm")
    if sizes.has("pane_mm"):
        pane = sizes.one("pane_mm")
    else:
        pane = float(
            sizes.work.step(
                "pane", sliding_pane_mm, **sizes.of("frame_mm", "jamb_mm"), interlock_mm=interlock,
                interlocks=slide.interlocks, panes=slide.panes, meeting_mm=meeting,
            )
        )  # fmt: skip
    clear = float(
        sizes.work.step(
            "clear width", formulas.slid_clear_mm, pane_mm=pane, interlock_mm=interlock,
            handle_mm=sizes.one("handle_standoff_mm"), runs=slide.runs, handles=slide.handles, meeting_mm=meeting,
        )
    )  # fmt: skip
    if pane <= 0:
        raise BadInput.one("frame_mm", "frame_mm: jambs and meeting gap leave no pane; measure again.")
    if sizes.has("travel_mm"):
        clear = min(clear, sizes.one("travel_mm"))
    return _passed(sizes, clear, height)


def _bi_fold(sizes: Sizes) -> Clear:
    names = ("track_mm", "leaves", "leaf_thickness_mm", "stack_gap_mm")
    clear = sizes.work.step("clear width", formulas.beside_stack_mm, **sizes.of(*names))
    return _passed(sizes, float(clear), sizes.one("frame_clear_height_mm"))


KINDS: Mapping[str, Callable[[Sizes], Clear]] = {
    "fixed": _fixed,
    "side_hung": _side_hung,
    "easy_clean": _side_hung,
    "wide_opening": _side_hung,
    "butt_hinged": _door,
    "top_hung": _top_hung,
    "tilt_turn": _tilt_turn,
    "reversible": _maker,
    "vertical_slider": _vertical_slider,
    "french_window": _french_window,
    "door": _door,
    "door_pair": _door_pair,
    "stable_door": _stable_door,
    "slider": _slider,
    "bi_fold": _bi_fold,
    "secondary": _maker,
}
