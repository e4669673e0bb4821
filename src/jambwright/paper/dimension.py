"""Dimension lines round a drawing: chains of spans and running figures from one end, never overlapping.

A rail is one edge of what is drawn. ``along`` runs with the edge in true millimetres, ``out`` away from the
drawing in paper millimetres; every level of dimensions takes the next strip outwards.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from jambwright.basis.units import show_mm
from jambwright.paper.lettering import CAPITAL, advance_mm
from jambwright.paper.scene import Ink, Item, Line, Point, Words
from jambwright.record import Side

SMALL_MM = 3.1
"""Lettering of figures on drawings: 8.8 point."""
ROW_MM = 3.7
"""From one row of small lettering to the next."""
CLEAR_MM = 1.0
"""Kept free between two figures, and between the drawing and an extension line."""
TICK_MM = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """One edge to dimension from: where it lies and at which scale."""

    side: Side
    base_mm: float
    """y of a head or bottom edge, x of a left or right edge."""
    scale: float

    @property
    def upright(self) -> bool:
        """Whether the edge runs up and down."""
        return self.side in ("left", "right")

    @property
    def inward_text(self) -> bool:
        """Whether lettering above or left of its line lies between the line and the drawing."""
        return self.side in ("bottom", "right")

    def at(self, along_mm: float, out_mm: float) -> Point:
        """The point there."""
        away = self.base_mm + out_mm * self.scale * (1 if self.side in ("head", "right") else -1)
        return (away, along_mm) if self.upright else (along_mm, away)

    def line(self, *places: tuple[float, float], ink: Ink = "dimension") -> Line:
        """A line through places ``(along, out)``."""
        return Line(points=tuple(self.at(*place) for place in places), ink=ink)


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One level of dimensions: what is drawn and how far out it reaches, paper millimetres."""

    items: tuple[Item, ...]
    reach_mm: float


def spread(
    centres: Sequence[float], widths: Sequence[float], clear: float, within: tuple[float, float] | None = None
) -> list[float]:
    """Move labels along a line so that none overlap, as little as can be (least squares), order kept.

    ``within``: the ends of the line, where no label may stand beyond them.

    >>> [float(x) for x in spread([10.0, 11.0, 40.0], [6.0, 6.0, 6.0], 1.0)]
    [7.0, 14.0, 40.0]
    >>> [float(x) for x in spread([10.0, 11.0, 40.0], [6.0, 6.0, 6.0], 1.0, within=(5.0, 42.0))]
    [8.0, 15.0, 39.0]
    """
    import numpy as np
    from scipy.optimize import isotonic_regression

    if not centres:
        return []
    offsets = [0.0]
    for before, after in pairwise(widths):
        offsets.append(offsets[-1] + (before + after) / 2 + clear)
    free = isotonic_regression([c - o for c, o in zip(centres, offsets, strict=True)]).x
    if within is not None:
        # the nearest order between bounds is the nearest order, cut off at them
        low, high = within[0] + widths[0] / 2, within[1] - offsets[-1] - widths[-1] / 2
        free = np.clip(free, low, high)
    return [float(f) + o for f, o in zip(free, offsets, strict=True)]


def chain(rail: Rail, stops_mm: Sequence[float], *, out_mm: float) -> Strip:
    """A chain of spans between stops.

    Where a figure is too long for its span it stands a row further out on a leader; along an upright edge
    all figures then lie level beside the line.
    """
    stops = sorted(stops_mm)
    figures = [_Figure(middle_mm=(a + b) / 2, text=show_mm(b - a), span_mm=(b - a) / rail.scale)
               for a, b in pairwise(stops)]  # fmt: skip
    crowded = [f for f in figures if f.width_mm + 2 * TICK_MM + 0.2 > f.span_mm]
    text_out, line_out = _rows(rail, out_mm)
    if crowded and rail.upright:
        line_out = out_mm + 1.0
        drawn = _level_figures(rail, figures, line_out)
    else:
        drawn = _figures_in_rows(rail, figures, crowded, text_out, line_out)
    items: list[Item] = [rail.line((stops[0], line_out), (stops[-1], line_out))]
    for stop in stops:
        items.append(rail.line((stop, out_mm), (stop, line_out + TICK_MM)))
        items.append(_tick(rail, stop, line_out))
    return Strip(items=(*items, *drawn.items), reach_mm=drawn.reach_mm + 0.8)


def levels(rail: Rail, stops_mm: Iterable[float], *, out_mm: float) -> tuple[Item, ...]:
    """A chain of spans between stops, and the whole beyond it where there is more than one span."""
    stops = sorted(set(stops_mm))
    inner = chain(rail, stops, out_mm=out_mm)
    if len(stops) == 2:
        return inner.items
    return (*inner.items, *chain(rail, (stops[0], stops[-1]), out_mm=inner.reach_mm).items)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Figure:
    middle_mm: float
    text: str
    span_mm: float
    """On paper."""

    @property
    def width_mm(self) -> float:
        return advance_mm(self.text, SMALL_MM)


def _figures_in_rows(
    rail: Rail, figures: Sequence[_Figure], crowded: Sequence[_Figure], text_out: float, line_out: float
) -> Strip:
    """Figures along their line, the crowded ones in a row beyond it on leaders, turned where they are many."""
    items: list[Item] = [_figure(rail, f.middle_mm, text_out, f.text) for f in figures if f not in crowded]
    reach = max(line_out, text_out + SMALL_MM / 2)
    if not crowded:
        return Strip(items=tuple(items), reach_mm=reach)
    lying = [f.width_mm for f in crowded]
    turned = sum(lying) + CLEAR_MM * len(lying) > sum(f.span_mm for f in figures)
    along_mm, deep = ([SMALL_MM] * len(lying), max(lying)) if turned else (lying, SMALL_MM)
    row = reach + CLEAR_MM + deep / 2
    under = row - deep / 2 - 0.2
    placed = spread([f.middle_mm / rail.scale for f in crowded], along_mm, 0.2 if turned else CLEAR_MM)
    for f, along in zip(crowded, placed, strict=True):
        here = along * rail.scale
        items.append(
            rail.line((f.middle_mm, line_out), (f.middle_mm, under - 0.8), (here, under), ink="leader")
        )
        items.append(_figure(rail, here, row, f.text, turned=turned))
    return Strip(items=tuple(items), reach_mm=row + deep / 2)


def _level_figures(rail: Rail, figures: Sequence[_Figure], line_out: float) -> Strip:
    """Level figures beside an upright line, pushed apart where spans are short."""
    placed = spread([f.middle_mm / rail.scale for f in figures], [SMALL_MM] * len(figures), 0.0)
    widest = max(f.width_mm for f in figures)
    out = line_out + TICK_MM + 0.8 + widest / 2
    items = [
        Words(at=rail.at(along * rail.scale, out), text=f.text, size_mm=SMALL_MM, ink="dimension")
        for f, along in zip(figures, placed, strict=True)
    ]
    return Strip(items=tuple(items), reach_mm=out + widest / 2)


def _rows(rail: Rail, out_mm: float) -> tuple[float, float]:
    """How far out the figures and the line of a chain stand: figures above or left of their line."""
    near, far = out_mm + CAPITAL * SMALL_MM / 2 + 0.5, out_mm + CAPITAL * SMALL_MM + 1.1
    if rail.inward_text:
        return near, far
    return out_mm + 1.6 + CAPITAL * SMALL_MM / 2, out_mm + 1.0


def _figure(rail: Rail, along_mm: float, out_mm: float, text: str, *, turned: bool = False) -> Words:
    turn = 90.0 if rail.upright != turned else 0.0
    return Words(at=rail.at(along_mm, out_mm), text=text, size_mm=SMALL_MM, turn_deg=turn, ink="dimension")


def _tick(rail: Rail, along_mm: float, out_mm: float) -> Line:
    x, y = rail.at(along_mm, out_mm)
    reach = TICK_MM * rail.scale
    return Line(points=((x - reach, y - reach), (x + reach, y + reach)), ink="datum")
