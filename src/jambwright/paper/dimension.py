"""Dimension lines round a drawing: chains of spans and running figures from one end, never overlapping.

A rail is one edge of what is drawn. ``along`` runs with the edge in true millimetres, ``out`` away from the
drawing in paper millimetres; every level of dimensions takes the next strip outwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from jambwright.basis.units import show_mm
from jambwright.paper.lettering import CAPITAL
from jambwright.paper.scene import Ink, Item, Line, Point, Words

Side = Literal["left", "right", "head", "bottom"]

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


def spread(centres: Sequence[float], widths: Sequence[float], clear: float) -> list[float]:
    """Move labels along a line so that none overlap, as little as can be (least squares), order kept.

    >>> [float(x) for x in spread([10.0, 11.0, 40.0], [6.0, 6.0, 6.0], 1.0)]
    [7.0, 14.0, 40.0]
    """
    from scipy.optimize import isotonic_regression

    if not centres:
        return []
    offsets = [0.0]
    for before, after in zip(widths, widths[1:], strict=False):
        offsets.append(offsets[-1] + (before + after) / 2 + clear)
    free = isotonic_regression([c - o for c, o in zip(centres, offsets, strict=True)]).x
    return [float(f) + o for f, o in zip(free, offsets, strict=True)]


def chain(rail: Rail, stops_mm: Sequence[float], *, out_mm: float) -> Strip:
    """A chain of spans between stops; a figure too long for its span stands a row further out on a leader."""
    stops = sorted(stops_mm)
    spans = list(zip(stops, stops[1:], strict=False))
    texts = [show_mm(b - a) for a, b in spans]
    widths = [Words(at=(0, 0), text=t, size_mm=SMALL_MM).width_mm for t in texts]
    roomy = [(b - a) / rail.scale >= w + CLEAR_MM for (a, b), w in zip(spans, widths, strict=True)]
    text_out, line_out = _rows(rail, out_mm)
    items: list[Item] = [rail.line((stops[0], line_out), (stops[-1], line_out))]
    for stop in stops:
        items.append(rail.line((stop, out_mm), (stop, line_out + TICK_MM)))
        items.append(_tick(rail, stop, line_out))
    for (a, b), text, fits in zip(spans, texts, roomy, strict=True):
        if fits:
            items.append(_figure(rail, (a + b) / 2, text_out, text))
    crowded = [
        ((a + b) / 2, text, width)
        for (a, b), text, width, fits in zip(spans, texts, widths, roomy, strict=True)
        if not fits
    ]
    reach = max(line_out, text_out + SMALL_MM / 2)
    if crowded:
        row = reach + CLEAR_MM + SMALL_MM / 2
        items += _led_out(rail, crowded, line_out, row)
        reach = row + SMALL_MM / 2
    return Strip(items=tuple(items), reach_mm=reach + 0.8)


def _rows(rail: Rail, out_mm: float) -> tuple[float, float]:
    """How far out the figures and the line of a chain stand: figures above or left of their line."""
    near, far = out_mm + CAPITAL * SMALL_MM / 2 + 0.5, out_mm + CAPITAL * SMALL_MM + 1.1
    if rail.inward_text:
        return near, far
    return out_mm + 1.6 + CAPITAL * SMALL_MM / 2, out_mm + 1.0


def _led_out(rail: Rail, crowded: list[tuple[float, str, float]], line_out: float, row: float) -> list[Item]:
    centres = [mid / rail.scale for mid, _, _ in crowded]
    placed = spread(centres, [width for _, _, width in crowded], CLEAR_MM)
    items: list[Item] = []
    for (mid, text, _), along in zip(crowded, placed, strict=True):
        under = row - SMALL_MM / 2 - 0.2
        items.append(
            rail.line((mid, line_out), (mid, under - 0.8), (along * rail.scale, under), ink="leader")
        )
        items.append(_figure(rail, along * rail.scale, row, text))
    return items


def _figure(rail: Rail, along_mm: float, out_mm: float, text: str) -> Words:
    turn = 90.0 if rail.upright else 0.0
    return Words(at=rail.at(along_mm, out_mm), text=text, size_mm=SMALL_MM, turn_deg=turn, ink="dimension")


def _tick(rail: Rail, along_mm: float, out_mm: float) -> Line:
    x, y = rail.at(along_mm, out_mm)
    reach = TICK_MM * rail.scale
    return Line(points=((x - reach, y - reach), (x + reach, y + reach)), ink="datum")
