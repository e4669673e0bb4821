"""Wind from the panes to the sides of a frame: panes shed along 45 degree lines, bars carry to their ends.

A part of a frame, from one pane to the whole, is known by the loads on its four sides. Parts beside or over
one another join into a bigger part; the bar between them works as a simple beam and leaves a point load at
each end. The loads on the four sides of the whole sum to pressure times area, whatever the layout.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np

from jambwright.basis.clause import Clause
from jambwright.checks.figures import Floats
from jambwright.checks.fixings.beam import Load, line_load

SHED = Clause(
    "Theory of structures", "panes shed along 45 degree lines", "common practice, no published source"
)


BarKind = str
"""`mullion`, `transom`, or what the leaves of a light meet with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BarLoad:
    """One mullion, transom or meeting of leaves: its length and the load on it, from the bottom or the left."""

    kind: BarKind
    length_mm: Floats
    load: Load


@dataclass(frozen=True, slots=True, kw_only=True)
class Edges:
    """Loads on the four sides of a part of a frame. Jambs from the bottom up, head and sill from the left.

    Sizes have the shape of the leading axes (one row an opening); all openings of a batch share one layout.
    """

    width_mm: Floats
    height_mm: Floats
    left: Load
    right: Load
    head: Load
    sill: Load
    bars: tuple[BarLoad, ...] = ()
    """Every bar inside, in the order the parts were joined."""


def pane(*, width_mm: Any, height_mm: Any, pressure_pa: Any) -> Edges:
    """One pane between the centre lines of its bars: triangles on the short sides, trapezoids on the long.

    >>> edges = pane(width_mm=800, height_mm=1200, pressure_pa=1200)
    >>> [float(side.total_n().round(6)) for side in (edges.left, edges.right, edges.head, edges.sill)]
    [384.0, 384.0, 192.0, 192.0]
    """
    width, height, pressure = np.broadcast_arrays(
        np.asarray(width_mm, float), np.asarray(height_mm, float), np.asarray(pressure_pa, float) * 1e-6
    )
    jamb = shed(length_mm=height, other_mm=width, pressure_n_mm2=pressure)
    across = shed(length_mm=width, other_mm=height, pressure_n_mm2=pressure)
    return Edges(width_mm=width, height_mm=height, left=jamb, right=jamb, head=across, sill=across)


def shed(*, length_mm: Floats, other_mm: Floats, pressure_n_mm2: Floats) -> Load:
    """Load of a pane on a side of ``length_mm``: ramps over half the lesser side, level between them."""
    t = np.minimum(length_mm, other_mm) / 2
    peak = pressure_n_mm2 * t
    nothing = np.zeros_like(peak)
    return line_load(
        np.stack([nothing, t, length_mm - t, length_mm], -1), np.stack([nothing, peak, peak, nothing], -1)
    )


def beside(parts: Sequence[Edges], between: Sequence[BarKind] | None = None) -> Edges:
    """Parts side by side, from the left, with a mullion on every line between them, or what ``between`` says."""
    kinds = between or ["mullion"] * (len(parts) - 1)
    starts = np.cumsum([part.width_mm for part in parts], axis=0)
    x = [np.zeros_like(starts[0]), *starts[:-1]]
    head = [_moved(part.head, at) for part, at in zip(parts, x, strict=True)]
    sill = [_moved(part.sill, at) for part, at in zip(parts, x, strict=True)]
    bars = [bar for part in parts for bar in part.bars]
    for (one, other), at, kind in zip(pairwise(parts), x[1:], kinds, strict=True):
        mullion = BarLoad(kind=kind, length_mm=one.height_mm, load=_joined([one.right, other.left]))
        bars.append(mullion)
        low, high = _ends(mullion)
        head.append(_point(at, high))
        sill.append(_point(at, low))
    return Edges(
        width_mm=starts[-1], height_mm=parts[0].height_mm, left=parts[0].left, right=parts[-1].right,
        head=_joined(head), sill=_joined(sill), bars=tuple(bars),
    )  # fmt: skip


def stacked(parts: Sequence[Edges], between: Sequence[BarKind] | None = None) -> Edges:
    """Parts one over another, from the bottom up, with a transom on every line between them, or ``between``."""
    turned = beside([_turned(part) for part in parts], between)
    return _turned(turned)


def grid(*, widths_mm: Sequence[Any], heights_mm: Sequence[Any], pressure_pa: Any) -> Edges:
    """Panes in columns and rows: mullions run through, transoms stand between them."""
    return beside(
        [
            stacked([pane(width_mm=w, height_mm=h, pressure_pa=pressure_pa) for h in heights_mm])
            for w in widths_mm
        ]
    )


def point_loads(at_mm: Any, n: Any) -> Load:
    """Point loads along an edge, shape (..., j)."""
    at, size = np.broadcast_arrays(np.asarray(at_mm, float), np.asarray(n, float))
    none = np.zeros((*at.shape[:-1], 0))
    return Load(start_mm=none, end_mm=none, at_start_n_mm=none, at_end_n_mm=none, point_mm=at, point_n=size)


def with_point(load: Load, at_mm: Any, n: Any) -> Load:
    """A load with a point load added."""
    return _joined([load, _point(at_mm, n)])


def _point(at_mm: Any, n: Any) -> Load:
    """One point load an opening."""
    return point_loads(np.asarray(at_mm)[..., None], np.asarray(n)[..., None])


def _ends(bar: BarLoad) -> tuple[Floats, Floats]:
    """Reactions at the low and the high end of a simple beam."""
    high: Floats = bar.load.moment_n_mm() / bar.length_mm
    return bar.load.total_n() - high, high


def _turned(part: Edges) -> Edges:
    """The part mirrored in the rising diagonal: rows become columns."""
    other: dict[BarKind, BarKind] = {"mullion": "transom", "transom": "mullion"}
    return Edges(
        width_mm=part.height_mm, height_mm=part.width_mm,
        left=part.sill, right=part.head, head=part.right, sill=part.left,
        bars=tuple(replace(bar, kind=other.get(bar.kind, bar.kind)) for bar in part.bars),
    )  # fmt: skip


def _moved(load: Load, by_mm: Floats) -> Load:
    by = by_mm[..., None]
    return Load(
        start_mm=load.start_mm + by, end_mm=load.end_mm + by, point_mm=load.point_mm + by,
        at_start_n_mm=load.at_start_n_mm, at_end_n_mm=load.at_end_n_mm, point_n=load.point_n,
    )  # fmt: skip


def _joined(loads: Sequence[Load]) -> Load:
    names = ("start_mm", "end_mm", "at_start_n_mm", "at_end_n_mm", "point_mm", "point_n")
    return Load(**{name: np.concatenate([getattr(load, name) for load in loads], -1) for name in names})
