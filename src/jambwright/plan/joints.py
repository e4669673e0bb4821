"""What fills the joint between frame and wall: sealant, foam and backing rod from the true gaps.

A joint is named by its length and its section. Volumes are plain section times length; packs are what
to buy: sealant with its waste, foam by what a can yields in a gap, both rounded up over all joints given.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, overload

import numpy as np
from numpy.typing import NDArray

from jambwright.basis import BadInput, Problem, Working, clause, table
from jambwright.basis.units import show_mm
from jambwright.plan.packs import pack_of

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class SealantJoint:
    """A gunned joint: gap times depth of sealant."""

    length_m: float
    width_mm: float
    depth_mm: float
    against_nib: bool = False
    """A bead in the corner between the frame's face and a nib's edge: solid behind, nothing backs it."""

    @property
    def backing(self) -> Literal["rod", "tape", "none"]:
        """What it is gunned against."""
        if self.against_nib:
            return "none"
        return "rod" if needs_rod(self.width_mm) else "tape"


@dataclass(frozen=True, slots=True, kw_only=True)
class FoamJoint:
    """The gap behind the seal that is foamed: gap times depth of foam."""

    length_m: float
    gap_mm: float
    depth_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RodLength:
    """Backing rod for the joints of one gap."""

    gap_mm: float
    rod_mm: float
    length_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """Net volumes, and the packs to buy for them."""

    sealant_ml: float
    """Width x depth x length, no waste."""
    cartridges: int
    """With waste, rounded up over all joints."""
    foam_l: float
    """Gap x depth x length, no waste."""
    foam_cans: int
    """By what a can yields in a gap, rounded up over all joints."""
    backing_rod: tuple[RodLength, ...]
    cautions: tuple[Problem, ...]


@overload
def mean_gap_mm(first: float, middle: float, last: float) -> float: ...
@overload
def mean_gap_mm(first: Array, middle: Array, last: Array) -> Array: ...
def mean_gap_mm(first: float | Array, middle: float | Array, last: float | Array) -> float | Array:
    """Mean gap of a side from its two ends and its middle; exact for a taper and for a bowed edge.

    Simpson's rule: a straight taper and a parabolic bow are both below its order.

    >>> mean_gap_mm(5.0, 8.0, 5.0)
    7.0
    """
    return (first + 4 * middle + last) / 6


@clause(
    "Geometry of a gunned joint",
    unit="ml",
    formula="V = length · width · depth",
    how="calculated",
)
def sealant_volume_ml(
    *, length_m: float | Array, width_mm: float | Array, depth_mm: float | Array
) -> float | Array:
    """Net sealant in a joint; a metre of one square millimetre holds one millilitre.

    >>> sealant_volume_ml(length_m=5.17, width_mm=10.0, depth_mm=6.0)
    310.2
    """
    return length_m * width_mm * depth_mm


@clause(
    "Geometry of a foamed gap",
    unit="l",
    formula="V = length · gap · depth / 1000",
    how="calculated",
)
def foam_volume_l(
    *, length_m: float | Array, gap_mm: float | Array, depth_mm: float | Array
) -> float | Array:
    """Net foam in a gap.

    >>> foam_volume_l(length_m=56.0, gap_mm=10.0, depth_mm=50.0)
    28.0
    """
    return length_m * gap_mm * depth_mm / 1000


@clause(
    "Sealant makers' joint guides",
    "depth by width",
    unit="mm",
    formula="depth = width up to 12 mm, half the width above; at least 6 mm",
    how="read",
)
def sealant_depth_mm(*, width_mm: float | Array) -> float | Array:
    """Depth of sealant wanted in a joint of that width.

    >>> [sealant_depth_mm(width_mm=w) for w in (5.0, 8.0, 12.0, 20.0)]
    [6.0, 8.0, 12.0, 10.0]
    """
    depth = np.where(width_mm <= _figure("depth_equal_to"), width_mm, np.divide(width_mm, 2))
    depth = np.maximum(depth, _figure("depth_min"))
    return depth if isinstance(width_mm, np.ndarray) else float(depth)


@clause(
    "Trade pack and waste",
    "packs: sealant",
    unit="",
    formula="n = V · (1 + waste) / cartridge, rounded up",
    how="common practice, no published source",
)
def cartridges(*, sealant_ml: float) -> int:
    """Cartridges to buy, waste included.

    >>> cartridges(sealant_ml=310.0), cartridges(sealant_ml=0.0)
    (2, 0)
    """
    return pack_of("sealant").count(sealant_ml)


@clause(
    "Trade yield of a 750 ml gun-foam can",
    "packs: foam",
    unit="",
    formula="n = V / yield in a gap, rounded up",
    how="from memory, medium",
)
def foam_cans(*, foam_l: float) -> int:
    """Foam cans to buy. The yield in a gap is far below the free one; that is the waste, none is added.

    >>> foam_cans(foam_l=28.0), foam_cans(foam_l=28.1)
    (1, 2)
    """
    return pack_of("foam").holding(foam_l)


def takes_trim(gap_mm: float) -> bool:
    """Whether a joint is so wide that a trim covers it."""
    return gap_mm > _figure("joint_trim_over")


def needs_rod(gap_mm: float) -> bool:
    """Whether a joint is gunned against backing rod; a narrower one takes a surface seal or tape."""
    return gap_mm >= _figure("joint_min")


@clause(
    "Sealant makers' joint guides",
    "rod 25 to 50 % larger than the gap",
    unit="mm",
    formula="smallest stock rod of at least 1.25 · gap",
    how="read",
)
def rod_mm(*, gap_mm: float) -> float:
    """Backing rod for a gap.

    >>> [rod_mm(gap_mm=g) for g in (6.0, 7.0, 10.0, 15.0)]
    [8.0, 10.0, 13.0, 20.0]
    """
    least = gap_mm * (1 + _figure("rod_over_gap_min"))
    rods = [float(rod) for rod in table("backing_rods").column("rod_mm")]
    fitting = [rod for rod in rods if rod >= least - 1e-9]
    if not fitting:
        raise BadInput.one(
            "width_mm",
            f"Joint {show_mm(gap_mm)} mm wide: no backing rod is large enough "
            f"(the largest, {show_mm(max(rods))} mm, serves up to "
            f"{show_mm(max(rods) / (1 + _figure('rod_over_gap_min')))} mm). "
            "Close the gap with a frame extension or a trim, or order a bigger frame.",
        )
    return min(fitting)


def fill(sealant: Sequence[SealantJoint], foam: Sequence[FoamJoint], work: Working | None = None) -> Filling:
    """Volumes, packs and backing rod for these joints together; ``work`` takes the steps.

    Raises ``BadInput`` naming every joint no rod can back.
    """
    work = work or Working()
    ml = math.fsum(
        float(
            work.step("V_s", sealant_volume_ml, length_m=j.length_m, width_mm=j.width_mm, depth_mm=j.depth_mm)
        )
        for j in sealant
    )
    litres = math.fsum(
        float(work.step("V_f", foam_volume_l, length_m=j.length_m, gap_mm=j.gap_mm, depth_mm=j.depth_mm))
        for j in foam
    )
    cartridge, can = pack_of("sealant"), pack_of("foam")
    work.note("cartridge", "", cartridge.size, cartridge.unit, cartridge.source)
    work.note("sealant_waste", "", cartridge.waste, "share of the net volume", cartridge.source)
    work.note("foam_can_in_gap", "", can.size, can.unit, can.source)
    filled_by = work.step("cartridges", cartridges, sealant_ml=ml)
    foamed_by = work.step("foam_cans", foam_cans, foam_l=litres)
    rods = _rods(sealant, work)
    return Filling(
        sealant_ml=ml,
        cartridges=filled_by,
        foam_l=litres,
        foam_cans=foamed_by,
        backing_rod=rods,
        cautions=(*_width_cautions(sealant), *_rod_cautions(rods)),
    )


def _rods(joints: Sequence[SealantJoint], work: Working) -> tuple[RodLength, ...]:
    lengths: dict[float, list[float]] = defaultdict(list)
    for joint in joints:
        if joint.backing == "rod":
            lengths[joint.width_mm].append(joint.length_m)
    rods: list[RodLength] = []
    problems: list[Problem] = []
    for gap, metres in sorted(lengths.items()):
        try:
            rod = work.step("rod", rod_mm, gap_mm=gap)
            rods.append(RodLength(gap_mm=gap, rod_mm=rod, length_m=math.fsum(metres)))
        except BadInput as bad:
            problems.extend(bad.problems)
    if problems:
        raise BadInput(problems)
    return tuple(rods)


def _width_cautions(joints: Sequence[SealantJoint]) -> list[Problem]:
    """What each band of joint width asks for beyond plain gunning."""
    cautions = []
    for width in sorted({joint.width_mm for joint in joints if not joint.against_nib}):
        where = f"Joint {show_mm(width)} mm wide: "
        if width < _figure("joint_min"):
            say = f"under {_figure('joint_min'):g} mm it takes a surface seal or bond-breaker tape, no rod."
        elif width > _figure("joint_staged_over"):
            say = (
                f"over {_figure('joint_staged_over'):g} mm it must be filled in stages; a frame extension or "
                "a trim is better."
            )
        elif width > _figure("joint_trim_over"):
            say = f"over {_figure('joint_trim_over'):g} mm cover it with a trim or an extension piece."
        else:
            continue
        cautions.append(Problem("width_mm", where + say, "caution"))
    return cautions


def _rod_cautions(rods: Sequence[RodLength]) -> list[Problem]:
    most = 1 + _figure("rod_over_gap_max")
    return [
        Problem(
            "width_mm",
            f"Joint {show_mm(rod.gap_mm)} mm wide: the {show_mm(rod.rod_mm)} mm rod is more than "
            f"{_figure('rod_over_gap_max'):.0%} larger than the gap; it goes in tight, don't tear its skin.",
            "caution",
        )
        for rod in rods
        if rod.rod_mm > rod.gap_mm * most + 1e-9
    ]


def _figure(name: str) -> float:
    return float(table("joint_filling").find(name=name)["value"])
