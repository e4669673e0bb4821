"""Marks along the edges of the fitting drawing: how far along, what holds there, and the packers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jambwright.paper.dimension import CLEAR_MM, Rail, Strip, spread
from jambwright.paper.lettering import CAPITAL, advance_mm
from jambwright.paper.scene import Item, Line, Point, Words, rectangle
from jambwright.paper.symbols import SIGN_MM, Held, fixing
from jambwright.record import Side

FIGURE_MM = 3.5
"""Lettering of the figures a fitter works by: 9.9 point."""
ROW_MM = 4.2
"""From one row of them to the next."""
ELBOW_MM = 2.4
"""Room for leaders between the wall and the marks."""
SIGN_CLEAR_MM = 0.8
"""Between a fixing sign and its figure."""
PAD_MM = 0.7
"""Between a packer stack and the box round it."""
STAGGERED = 0.6
"""Share of a row between marks that stand nearer and further out by turns: a leader passes between two."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeMark:
    """One place on an edge: from the frame's bottom or left corner, its packers, and what holds there."""

    side: Side
    at_mm: float
    figure: str
    packers: str = ""
    held: Held = "none"


def marks_strip(rail: Rail, marks: Sequence[EdgeMark], *, out_mm: float, room_mm: float) -> Strip:
    """All marks of one edge, each on a leader from its place, none over another.

    Along head and sill they are turned upright where ``room_mm`` of paper is too short for them, and stand nearer
    and further out by turns where it still is.
    """
    ordered = sorted(marks, key=lambda mark: mark.at_mm)
    if not ordered:
        return Strip(items=(), reach_mm=out_mm)
    lying = [_width(mark) + CLEAR_MM for mark in ordered]
    beside = rail.upright or sum(lying) > room_mm
    by_turns = beside and not rail.upright and len(ordered) * ROW_MM > room_mm
    widths = [ROW_MM * (STAGGERED if by_turns else 1.0)] * len(ordered) if beside else lying
    placed = spread([mark.at_mm / rail.scale for mark in ordered], widths, 0.0)
    elbow = out_mm + ELBOW_MM
    further = _column_mm(ordered) + CLEAR_MM if by_turns else 0.0
    items: list[Item] = []
    reach = elbow
    for n, (mark, along) in enumerate(zip(ordered, placed, strict=True)):
        here, start = along * rail.scale, elbow + n % 2 * further
        leader = [(mark.at_mm, out_mm), (mark.at_mm, out_mm + 0.8), (here, elbow - 0.4)]
        if start > elbow:
            leader.append((here, start - 0.4))
        items.append(rail.line(*leader, ink="leader"))
        drawn, out = (_beside if beside else _stacked)(rail, mark, here, start, ordered)
        items += drawn
        reach = max(reach, out)
    return Strip(items=tuple(items), reach_mm=reach)


def _beside(
    rail: Rail, mark: EdgeMark, along_mm: float, elbow: float, column: Sequence[EdgeMark]
) -> tuple[list[Item], float]:
    """Sign, figure and packers in columns going outwards: for a jamb, and turned for a crowded head or sill."""
    turn = 0.0 if rail.upright else 90.0
    out = elbow
    items: list[Item] = []
    if any(m.held != "none" for m in column):
        items += _sign(rail, mark, along_mm, out + SIGN_MM / 2)
        out += SIGN_MM + SIGN_CLEAR_MM
    figures = _figures_mm(column)
    items.append(_words(rail, mark.figure, along_mm, out + figures / 2, turn))
    out += figures + 1.0
    if mark.packers:
        # boxes start in line, whatever they hold
        at = rail.at(along_mm, out + _box_width(mark.packers) / 2)
        items += boxed(at, mark.packers, rail.scale, turned=turn > 0)
    return items, elbow + _column_mm(column)


def _column_mm(column: Sequence[EdgeMark]) -> float:
    """How far marks in columns reach out."""
    sign = SIGN_MM + SIGN_CLEAR_MM if any(m.held != "none" for m in column) else 0.0
    return sign + _figures_mm(column) + 1.0 + max(_box_width(m.packers) for m in column)


def _figures_mm(column: Sequence[EdgeMark]) -> float:
    return max(advance_mm(m.figure, FIGURE_MM) for m in column)


def _stacked(
    rail: Rail, mark: EdgeMark, along_mm: float, elbow: float, column: Sequence[EdgeMark]
) -> tuple[list[Item], float]:
    """Sign and figure over the packers: for head and sill."""
    row = elbow + FIGURE_MM / 2
    figure = advance_mm(mark.figure, FIGURE_MM)
    lead = SIGN_MM + SIGN_CLEAR_MM if mark.held != "none" else 0.0
    start = along_mm - rail.scale * (lead + figure) / 2
    items: list[Item] = [_words(rail, mark.figure, start + rail.scale * (lead + figure / 2), row)]
    items += _sign(rail, mark, start + rail.scale * SIGN_MM / 2, row)
    if mark.packers:
        items += boxed(rail.at(along_mm, row + ROW_MM), mark.packers, rail.scale)
    more = ROW_MM if any(m.packers for m in column) else 0.0
    return items, row + more + FIGURE_MM / 2 + PAD_MM / 2


def _width(mark: EdgeMark) -> float:
    lead = SIGN_MM + SIGN_CLEAR_MM if mark.held != "none" else 0.0
    return max(lead + advance_mm(mark.figure, FIGURE_MM), _box_width(mark.packers))


def _box_width(packers: str) -> float:
    return advance_mm(packers, FIGURE_MM, bold=True) + 2 * PAD_MM if packers else 0.0


def _sign(rail: Rail, mark: EdgeMark, along_mm: float, out_mm: float) -> tuple[Item, ...]:
    return () if mark.held == "none" else fixing(rail.at(along_mm, out_mm), rail.scale, mark.held)


def _words(rail: Rail, text: str, along_mm: float, out_mm: float, turn_deg: float = 0.0) -> Words:
    at = rail.at(along_mm, out_mm)
    return Words(at=at, text=text, size_mm=FIGURE_MM, turn_deg=turn_deg, ink="dimension")


def boxed(at: Point, packers: str, scale: float, *, turned: bool = False) -> tuple[Item, ...]:
    """A stack of packers in figures, in the box that marks them."""
    x, y = at
    width = _box_width(packers) * scale
    height = (CAPITAL * FIGURE_MM + 2 * PAD_MM * 0.7) * scale
    if turned:
        width, height = height, width
    box = rectangle(x - width / 2, y - height / 2, width, height)
    turn = 90.0 if turned else 0.0
    words = Words(at=at, text=packers, size_mm=FIGURE_MM, bold=True, turn_deg=turn, ink="packer")
    return (Line(points=box, ink="packer", closed=True), words)
