"""The frame sill: its length, notches, projection and screws, to mark it out by.

Seen in plan, the sill lies under the whole frame; what is in front of the wall face is its nose, and with
horns the nose runs past the opening on both sides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from jambwright.basis.clause import Clause, clause
from jambwright.basis.problems import Problem
from jambwright.basis.tables import Row, table
from jambwright.basis.units import round_down_mm
from jambwright.basis.working import Working
from jambwright.readings.wanted import SillEnds, SillWanted


@dataclass(frozen=True, slots=True, kw_only=True)
class Sill:
    """One sill ready to cut. All millimetres."""

    depth_mm: float
    """Stock depth, back to nose."""
    height_mm: float
    packer_gap_mm: float
    """Room left for packers under it."""
    length_mm: float
    """Cut length over all."""
    reveal_length_mm: float
    """Length of the part inside the reveal, after the relief each side."""
    notch_along_mm: float
    """Horn cut along the sill, each end; 0 for a flush sill."""
    notch_back_mm: float
    """Horn cut from the back of the sill to the wall face."""
    nose_past_wall_mm: float
    drip_clear_mm: float
    """Wall face to the drip groove."""
    screws_mm: tuple[float, ...]
    """Screws up into the frame, from the left end of the reveal part."""
    end_caps: int
    ends: SillEnds
    sources: tuple[Clause, ...]
    problems: tuple[Problem, ...]
    along: Working = field(default_factory=Working, compare=False)
    """The steps to the length."""
    deep: Working = field(default_factory=Working, compare=False)
    """The steps to the depth."""


@clause(
    "Common practice", "the sill between the reveals, eased at both ends", unit="mm",
    formula="between = opening − 2 × easing", how="common practice, no published source",
)  # fmt: skip
def between_reveals_mm(*, opening_mm: float, easing_mm: float) -> float:
    """Length of the part inside the reveal, mm.

    >>> between_reveals_mm(opening_mm=1208.0, easing_mm=1.5)
    1205.0
    """
    return opening_mm - 2 * easing_mm


@clause(
    "Common practice", "horns run past the opening on both sides", unit="mm",
    formula="L = between + 2 × notch", how="common practice, no published source",
)  # fmt: skip
def cut_length_mm(*, between_mm: float, notch_mm: float) -> float:
    """Length over all: what lies between the reveals and, at each end, what is notched round the wall, mm.

    >>> cut_length_mm(between_mm=1205.0, notch_mm=51.5)
    1308.0
    """
    return between_mm + 2 * notch_mm


@clause(
    "Common practice", "the drip stands clear of the wall", unit="mm",
    formula="least = seat + set back + overhang", how="common practice, no published source",
)  # fmt: skip
def least_depth_mm(*, seat_mm: float, set_back_mm: float, overhang_mm: float) -> float:
    """Depth from which the drip is clear of the wall, mm.

    >>> least_depth_mm(seat_mm=40.0, set_back_mm=30.0, overhang_mm=45.0)
    115.0
    """
    return seat_mm + set_back_mm + overhang_mm


@clause(
    "Stock of sills", "", unit="mm", formula="D = the shallowest in stock that is deep enough",
    how="common practice, no published source",
)  # fmt: skip
def stock_depth_mm(*, least_mm: float, stock_mm: Sequence[float]) -> float:
    """The shallowest sill in stock that is deep enough; the deepest where none is, mm.

    >>> stock_depth_mm(least_mm=115.0, stock_mm=[85.0, 150.0, 180.0])
    150.0
    """
    return next((depth for depth in sorted(stock_mm) if depth >= least_mm), max(stock_mm))


ASKED = Clause("Projection asked for in the readings file", "", "calculated")


def sill_height_mm() -> float:
    """Height a frame sill takes off the frame."""
    return float(_rule("height_mm")["value"])


def packer_gap_mm() -> float:
    """Room left for packers under a sill."""
    return float(_rule("packer_gap_mm")["value"])


def plan_sill(
    wanted: SillWanted,
    *,
    opening_width_mm: float,
    frame_width_mm: float,
    seat_mm: float,
    set_back_mm: float,
    stock_mm: Sequence[float] = (),
) -> Sill:
    """Cut sizes of a sill under a frame whose front stands ``set_back_mm`` behind the wall face.

    ``opening_width_mm`` is the least width of the opening over the height of the sill; ``stock_mm`` are the depths
    that go with the system, the usual stock when left out.
    """
    value = {row["rule"]: float(row["value"]) for row in table("sill_rules")}
    behind_wall = seat_mm + set_back_mm
    along, deep = Working(), Working()
    least = deep.step(
        "least", least_depth_mm, seat_mm=seat_mm, set_back_mm=set_back_mm, overhang_mm=value["overhang_mm"]
    )
    depth, problems = _depth(wanted, least, deep, sorted(stock_mm or table("sill_stock").column("depth_mm")))
    relief, horns = value["notch_relief_mm"], wanted.ends == "horns"
    notch = wanted.horn_mm + relief if horns else 0.0
    reveal_length = along.step(
        "between", between_reveals_mm, opening_mm=round_down_mm(opening_width_mm), easing_mm=relief
    )
    length = along.step("L", cut_length_mm, between_mm=reveal_length, notch_mm=notch)
    return Sill(
        depth_mm=depth,
        height_mm=value["height_mm"],
        packer_gap_mm=value["packer_gap_mm"],
        length_mm=length,
        reveal_length_mm=reveal_length,
        notch_along_mm=notch,
        notch_back_mm=behind_wall if horns else 0.0,
        nose_past_wall_mm=depth - behind_wall,
        drip_clear_mm=depth - behind_wall - value["drip_back_mm"],
        screws_mm=_screws(reveal_length, frame_width_mm, value["first_screw_mm"], value["screw_centres_mm"]),
        end_caps=2,
        ends=wanted.ends,
        sources=tuple(
            table("sill_rules").source(_rule(rule))
            for rule in ("notch_relief_mm", "overhang_mm", "first_screw_mm")
        ),
        problems=tuple(problems),
        along=along,
        deep=deep,
    )


def _depth(
    wanted: SillWanted, least_mm: float, working: Working, stock: Sequence[float]
) -> tuple[float, list[Problem]]:
    if wanted.projection_mm is not None:
        working.note("D", "as asked", wanted.projection_mm, "mm", ASKED)
        short = least_mm - wanted.projection_mm
        problems = []
        if short > 0:
            say = f"the wanted {wanted.projection_mm:g} mm sill is {short:g} mm short of a drip clear of the wall."
            problems.append(Problem("wanted.sill.projection_mm", say, "caution"))
        return wanted.projection_mm, problems
    depth = working.step("D", stock_depth_mm, least_mm=least_mm, stock_mm=stock)
    if depth >= least_mm:
        return depth, []
    say = (
        f"no sill in stock reaches {least_mm:g} mm (deepest {stock[-1]:g}); "
        "order a deeper one or set the frame further out."
    )
    return depth, [Problem("wanted.sill", say, "caution")]


def _screws(reveal_mm: float, frame_mm: float, first_mm: float, centres_mm: float) -> tuple[float, ...]:
    start = (reveal_mm - frame_mm) / 2 + min(first_mm, frame_mm / 4)
    end = reveal_mm - start
    spaces = max(1, math.ceil((end - start) / centres_mm - 1e-9))
    return tuple(start + (end - start) * n / spaces for n in range(spaces + 1))


def _rule(name: str) -> Row:
    return table("sill_rules").find(rule=name)
