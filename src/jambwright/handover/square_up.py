"""Which packer by how much brings a racked frame square, level and plumb.

The members keep their length and the corners act as pins, so that a frame in its packers is a parallelogram: how
far it leans ``p`` and how far its sill is out of level ``l`` say all of it. The sill is levelled first, the frame free
at its sides, and turns; then the sides are moved, and it racks. A small least squares with bounds looks for the moves
that leave diagonals, plumb and level nearest to true, and keeps every packer between nothing and what there is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from jambwright.basis.clause import clause
from jambwright.basis.problems import BadInput
from jambwright.basis.tables import table
from jambwright.basis.units import show_mm
from jambwright.basis.working import Working

Floats = NDArray[np.float64]
Side = Literal["left", "right", "head", "bottom"]
SIDES: tuple[Side, Side] = ("left", "right")
RACKED = "Geometry of a frame of four members pinned at its corners"
NEAR_MM = 1.0
"""A frame is brought square when all that is left is at most this. House default."""
END_MM = 150.0
"""Where packers are taken to be when none are told: so far from the corners, and at mid height."""
FAR_OFF_MM = 20.0
"""Diagonals farther from those of the width and height are a slip of the pen. House default."""
LEVEL_FIRST = 3.0
"""Weight of the sill's level beside plumb and diagonals: it drains, and the frame stands on it. House default."""
STAYS = 1e-3
"""Weight of leaving the bottom left corner where it is, beside a millimetre out of true."""
TOLD_MM = 0.005
"""A change smaller than this is none."""
STIFF = 1e5
"""Weight of a member staying straight over its packers."""


@clause(RACKED, "near, good to 0.1 % under p/H = 0.02", unit="mm", formula="d = 2 (W p + H l) / √(W² + H²)",
        how="calculated")  # fmt: skip
def diagonals_differ_mm(*, width_mm: float, height_mm: float, plumb_mm: float, level_mm: float) -> float:
    """How far the rising diagonal is over the falling one.

    >>> diagonals_differ_mm(width_mm=1200.0, height_mm=1050.0, plumb_mm=0.0, level_mm=3.0)
    3.951
    """
    return 2 * (width_mm * plumb_mm + height_mm * level_mm) / math.hypot(width_mm, height_mm)


@clause(RACKED, "out of square", unit="mm", formula="S = d √(W² + H²) / (2 W)", how="calculated")
def out_of_square_mm(*, width_mm: float, height_mm: float, differ_mm: float) -> float:
    """How far the head stands to the right of square once the sill is level.

    >>> out_of_square_mm(width_mm=1200.0, height_mm=1200.0, differ_mm=6.0)
    4.243
    """
    return differ_mm * math.hypot(width_mm, height_mm) / (2 * width_mm)


@clause(RACKED, "a frame turned by its sill", unit="mm", formula="p' = p − t H / W", how="calculated")
def turned_plumb_mm(*, width_mm: float, height_mm: float, plumb_mm: float, lifted_mm: float) -> float:
    """Lean of the jambs after the right end of the sill was lifted and the frame turned with it.

    >>> turned_plumb_mm(width_mm=900.0, height_mm=2100.0, plumb_mm=0.0, lifted_mm=2.0)
    -4.667
    """
    return plumb_mm - lifted_mm * height_mm / width_mm


@clause(RACKED, "corners out of plane", unit="mm", formula="w = f_right − f_left", how="calculated")
def twist_mm(*, face_left_mm: float, face_right_mm: float) -> float:
    """How far one corner stands out of the plane of the others; strings across the corners are half of it apart.

    >>> twist_mm(face_left_mm=0.0, face_right_mm=4.0)
    4.0
    """
    return face_right_mm - face_left_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Packer:
    """One packer, or stack of them, by its side and how far it stands from the bottom or the left end."""

    side: Side
    at_mm: float
    thickness_mm: float | None = None
    """``None`` where it was not told: nothing bounds it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AsRead:
    """A frame as it stands, mm; a reading that was not taken is left out."""

    width_mm: float
    height_mm: float
    diagonals_mm: Mapping[str, float]
    plumb_mm: Mapping[str, float] = field(default_factory=dict)
    level_mm: Mapping[str, float] = field(default_factory=dict)
    face_plumb_mm: Mapping[str, float] = field(default_factory=dict)
    """Of left and right jamb out of the wall: + is top towards the outside."""
    packers: Sequence[Packer] = ()

    @property
    def differ_mm(self) -> float:
        """Rising diagonal minus falling."""
        return self.diagonals_mm["rising"] - self.diagonals_mm["falling"]

    @property
    def diagonal_mm(self) -> float:
        """Of the frame when it is square."""
        return math.hypot(self.width_mm, self.height_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """One change. ``by_mm`` + is thicker; at a jamb as measured once the sill is level."""

    side: Side
    at_mm: float
    by_mm: float
    thickness_mm: float | None
    """Of the packer afterwards, where its thickness was told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """How the frame is to move from where it stands, mm."""

    lean: float
    """Of the head beside the sill."""
    tilt: float
    """Of the right end beside the left."""
    aside: float
    """Of the bottom left corner, to the right."""
    up: float
    spent: tuple[Packer, ...]
    """Packers that hold no more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SquareUp:
    """The changes, what they leave, and what they can't mend."""

    changes: tuple[Moved, ...]
    set_out: tuple[Moved, ...]
    """For a twist: how far a fixing is set towards the outside (+) at its height."""
    shift: Shift
    diagonals_mm: Mapping[str, float]
    plumb_mm: Mapping[str, float]
    level_mm: Mapping[str, float]
    out_of_square_mm: float
    misfit_mm: float | None
    """Diagonals as read beside what plumb and level make of them; none where these were not read."""
    twist_mm: float | None
    read_again: bool
    """Whether the readings contradict each other by more than a fitted frame may be out."""
    reached: bool
    """Whether all that is left is small."""

    @property
    def mended(self) -> bool:
        """Whether the changes bring the frame square, and the readings that say so agree."""
        return self.reached and not self.read_again

    @property
    def after_mm(self) -> Floats:
        """Diagonals apart, plumb left and right, level at sill and head."""
        differ = self.diagonals_mm["rising"] - self.diagonals_mm["falling"]
        return np.array([differ, *self.plumb_mm.values(), *self.level_mm.values()])


def square_up(read: AsRead, work: Working | None = None) -> SquareUp:
    """The changes of packers that bring the frame nearest to square.

    ``BadInput`` when the diagonals can't belong to a frame of that width and height.
    """
    work = work or Working()
    _refuse(read)
    size = {"width_mm": read.width_mm, "height_mm": read.height_mm}
    square = work.step("S", out_of_square_mm, **size, differ_mm=read.differ_mm)
    misfit = _misfit(read, work)
    now = _state(read, square)
    shift = _moves(read, now)
    turned = turned_plumb_mm(**size, plumb_mm=0.0, lifted_mm=shift.tilt)
    if abs(shift.tilt) > TOLD_MM:
        lean = float(now[1] + now[2]) / 2
        work.step("p'", turned_plumb_mm, **size, plumb_mm=lean, lifted_mm=shift.tilt)
    moved = diagonals_differ_mm(**size, plumb_mm=shift.lean, level_mm=shift.tilt)
    after = now + np.array([moved, shift.lean, shift.lean, shift.tilt, shift.tilt])
    mean = sum(read.diagonals_mm.values()) / 2
    twist = None
    if len(read.face_plumb_mm) == len(SIDES):
        faces = {f"face_{side}_mm": read.face_plumb_mm[side] for side in SIDES}
        twist = work.step("w", twist_mm, **faces)
    work.note(
        "d'", "what the changes leave between the diagonals", float(after[0]), "mm",
        diagonals_differ_mm.source, lean_by_mm=shift.lean, sill_by_mm=shift.tilt,
    )  # fmt: skip
    return SquareUp(
        changes=tuple(_changes(read, shift, turned)),
        set_out=tuple(_set_out(read)),
        shift=shift,
        diagonals_mm={"rising": mean + float(after[0]) / 2, "falling": mean - float(after[0]) / 2},
        plumb_mm={"left": float(after[1]), "right": float(after[2])},
        level_mm={"sill": float(after[3]), "head": float(after[4])},
        out_of_square_mm=square,
        misfit_mm=misfit,
        twist_mm=twist,
        read_again=misfit is not None and abs(misfit) > fitted_limit("diagonals_mm"),
        reached=bool(np.all(np.abs(after) <= NEAR_MM + 1e-6)),
    )


def _refuse(read: AsRead) -> None:
    long, short = max(read.width_mm, read.height_mm), min(read.width_mm, read.height_mm)
    mean = math.sqrt(sum(d**2 for d in read.diagonals_mm.values()) / 2)
    if abs(mean - read.diagonal_mm) > FAR_OFF_MM:
        raise BadInput.one(
            "diagonals_mm",
            f"diagonals_mm: a frame {show_mm(read.width_mm)} x {show_mm(read.height_mm)} mm has diagonals of about "
            f"{show_mm(read.diagonal_mm)} mm, not {show_mm(read.diagonals_mm['rising'])} and "
            f"{show_mm(read.diagonals_mm['falling'])}; measure width, height and diagonals again.",
        )
    if abs(read.differ_mm) > short / 10:
        raise BadInput.one(
            "diagonals_mm",
            f"diagonals_mm: {show_mm(abs(read.differ_mm))} mm apart in a frame {show_mm(long)} mm long is no racked "
            "frame but a slip; measure both diagonals again.",
        )
    for packer in read.packers:
        reach = read.height_mm if packer.side in ("left", "right") else read.width_mm
        if not 0 <= packer.at_mm <= reach:
            raise BadInput.one(
                "packers",
                f"packers: {show_mm(packer.at_mm)} mm is off the {packer.side}, which is {show_mm(reach)} mm long.",
            )


def _misfit(read: AsRead, work: Working) -> float | None:
    """Diagonals as read less those of plumb and level; ``None`` unless both were read."""
    if not read.plumb_mm or not read.level_mm:
        return None
    expected = work.step(
        "d_0", diagonals_differ_mm, width_mm=read.width_mm, height_mm=read.height_mm,
        plumb_mm=_mean(read.plumb_mm), level_mm=_mean(read.level_mm),
    )  # fmt: skip
    return read.differ_mm - expected


def _mean(values: Mapping[str, float]) -> float:
    return sum(values.values()) / len(values)


def _state(read: AsRead, square_mm: float) -> Floats:
    """Diagonals apart, plumb left and right, level at sill and head. What was not read follows from the rest."""
    ratio = read.height_mm / read.width_mm
    if read.level_mm:
        level = _mean(read.level_mm)
        plumb = _mean(read.plumb_mm) if read.plumb_mm else square_mm - level * ratio
    else:
        plumb = _mean(read.plumb_mm) if read.plumb_mm else square_mm
        level = (square_mm - plumb) / ratio
    leans = [read.plumb_mm.get(side, plumb) for side in ("left", "right")]
    levels = [read.level_mm.get(side, level) for side in ("sill", "head")]
    return np.array([read.differ_mm, *leans, *levels])


def _moves(read: AsRead, now: Floats) -> Shift:
    """The shift that leaves least, by least squares.

    Each packer is a variable of its own, bounded by what it and those beside it hold, and held to the straight line
    of its member.
    """
    from scipy.optimize import lsq_linear

    W, H, D = read.width_mm, read.height_mm, read.diagonal_mm
    bounded = [packer for packer in read.packers if packer.thickness_mm is not None]
    n = 4 + len(bounded)
    rows = np.zeros((7 + len(bounded), n))
    rows[0, :2] = 2 * W / D, 2 * H / D
    rows[1:3, 0], rows[3:5, 1] = 1.0, LEVEL_FIRST
    rows[5, 2] = rows[6, 3] = STAYS
    least, most = np.full(n, -np.inf), np.full(n, np.inf)
    for k, packer in enumerate(bounded):
        upright = packer.side in ("left", "right")
        share = packer.at_mm / (H if upright else W)
        rows[7 + k, [0 if upright else 1, 2 if upright else 3, 4 + k]] = -STIFF * share, -STIFF, STIFF
        # a packer at the left or under the sill follows the frame as it moves away; at the other sides it gives way
        room = packer.thickness_mm or 0.0
        if packer.side in ("left", "bottom"):
            least[4 + k] = -room - 1e-9
        else:
            most[4 + k] = room + 1e-9
    wanted = np.zeros(len(rows))
    wanted[:5] = -now
    wanted[3:5] *= LEVEL_FIRST
    found = lsq_linear(rows, wanted, (least, most), method="bvls", tol=1e-14)
    lean, tilt, aside, up = map(float, found.x[:4])
    spent = [p for p, held in zip(bounded, found.active_mask[4:], strict=True) if held]
    return Shift(lean=lean, tilt=tilt, aside=aside, up=up, spent=tuple(spent))


def _changes(read: AsRead, shift: Shift, turned: float) -> Iterator[Moved]:
    """Bottom and head first: the sill is levelled before the sides are moved."""
    packers = list(read.packers)
    if not any(p.side in ("left", "right") for p in packers):
        end = min(END_MM, read.height_mm / 4)
        heights = (end, read.height_mm / 2, read.height_mm - end)
        packers += [Packer(side=side, at_mm=at) for side in SIDES for at in heights]
    if not any(p.side == "bottom" for p in packers):
        packers.append(Packer(side="bottom", at_mm=read.width_mm))
    order = ("bottom", "head", "left", "right")
    for packer in sorted(packers, key=lambda p: (order.index(p.side), p.at_mm)):
        upright = packer.side in SIDES
        share = packer.at_mm / (read.height_mm if upright else read.width_mm)
        away = packer.side in ("left", "bottom")
        whole = shift.aside + shift.lean * share if upright else shift.up + shift.tilt * share
        # the frame turned with its sill, and its sides with it
        by = whole - turned * share if upright else whole
        if abs(by) > TOLD_MM or abs(whole) > TOLD_MM:
            stood = packer.thickness_mm
            after = None if stood is None else max(stood + (whole if away else -whole), 0.0)
            by_mm = by if away else -by
            yield Moved(side=packer.side, at_mm=packer.at_mm, by_mm=by_mm, thickness_mm=after)


def _set_out(read: AsRead) -> Iterator[Moved]:
    for side in SIDES:
        lean = read.face_plumb_mm.get(side, 0.0)
        at = [p.at_mm for p in read.packers if p.side == side] or [
            read.height_mm / 2,
            read.height_mm - END_MM,
        ]
        for height in sorted(at) if abs(lean) > TOLD_MM else []:
            yield Moved(side=side, at_mm=height, by_mm=-lean * height / read.height_mm, thickness_mm=None)


def fitted_limit(name: str) -> float:
    """A published limit for a fitted frame.

    >>> fitted_limit("diagonals_mm")
    3.0
    """
    return table("fitted_limits").value(limit=name)
