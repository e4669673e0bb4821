"""Sill ends at full size: notch and horn to lay on the sill and cut by, over several pages where they are larger."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from jambwright.basis.units import show_mm
from jambwright.paper.dimension import CLEAR_MM, Rail, levels
from jambwright.paper.fit_views import sill_view
from jambwright.paper.fit_words import where
from jambwright.paper.gate_words import state
from jambwright.paper.hatching import hatched, kept_off
from jambwright.paper.pdf import typeset
from jambwright.paper.render import svg
from jambwright.paper.scene import Box, Item, Line, Point, Scene, Words, rectangle
from jambwright.paper.sill_drawing import SillView
from jambwright.record import OpeningRecord, PlanRecord

Part = dict[str, Any]
End = Literal["left", "right"]

PAGE = Box(width_mm=186, height_mm=200)
"""Room on a page under its heading and the check line."""
APART_MM = 6.0
"""Between the two ends on one page."""
OVERLAP_MM = 10.0
"""Of two tiles."""
EDGE_MM = 0.5
"""Paper round a drawing, so that no line at its edge is cut off."""
REACH_MM = 24.0
"""Sill drawn beyond the shoulder of its notch."""
LETTERING_MM = 3.9
"""11 point."""


@dataclass(frozen=True, slots=True)
class Tile:
    """A piece of a drawing that fits a page: its left and top edge from those of the drawing, and its size."""

    left_mm: float
    top_mm: float
    box: Box


def templates(record: PlanRecord) -> Iterator[tuple[OpeningRecord, SillView]]:
    """Openings whose sill has notches to cut; square ends need no template."""
    for plan in record.openings:
        view = sill_view(plan)
        if view is not None and view.sill.notch_along_mm:
            yield plan, view


def templates_pdf(record: PlanRecord) -> bytes:
    """The ends of every sill that is notched, at 1:1, as PDF."""
    cut = list(templates(record))
    marks = {plan.id for plan, _ in cut}
    data = {
        "items": [_item(plan, view) for plan, view in cut],
        "square": [each.name for each in record.openings if each.frame.sill and each.id not in marks],
        "overlap": OVERLAP_MM,
    }
    return typeset("templates.typ", record, data)


def _item(plan: OpeningRecord, view: SillView) -> Part:
    sill = view.sill
    ends = [_drawn(view, "left"), _drawn(view, "right")]
    abreast = sum(end["width"] for end in ends) + APART_MM
    together = abreast <= PAGE.width_mm and max(end["height"] for end in ends) <= PAGE.height_mm
    return {
        "mark": plan.id,
        "name": plan.name,
        "where": where(plan),
        "state": state(plan),
        "size": f"{show_mm(sill.notch_along_mm)} × {show_mm(sill.notch_back_mm)}",
        "sill": f"{show_mm(sill.length_mm)} long, {show_mm(sill.depth_mm)} deep",
        "reveal": show_mm(sill.reveal_length_mm),
        "pages": [ends] if together else [[end] for end in ends],
        "apart": APART_MM,
    }


def _drawn(view: SillView, end: End) -> Part:
    scene = sill_end(view, end)
    needs = scene.paper_size()
    paper = Box(width_mm=needs.width_mm + 2 * EDGE_MM, height_mm=needs.height_mm + 2 * EDGE_MM)
    return {
        "svg": svg(scene, paper),
        "alt": scene.title,
        "end": f"{end.capitalize()} end, seen from above",
        "width": paper.width_mm,
        "height": paper.height_mm,
        "tiles": [
            {"left": t.left_mm, "top": t.top_mm, "width": t.box.width_mm, "height": t.box.height_mm}
            for t in tiles(paper)
        ],
    }


def tiles(drawing: Box) -> list[Tile]:
    """The pages that a drawing needs, row by row from the top left, each overlapping the next.

    >>> [(t.left_mm, t.box.width_mm) for t in tiles(Box(width_mm=250, height_mm=100))]
    [(0.0, 186), (176.0, 74.0)]
    """
    across, down = (
        _cuts(drawing.width_mm, PAGE.width_mm),
        _cuts(drawing.height_mm, PAGE.height_mm),
    )
    return [
        Tile(left, top, Box(width_mm=width, height_mm=height))
        for top, height in down
        for left, width in across
    ]


def _cuts(whole_mm: float, page_mm: float) -> list[tuple[float, float]]:
    step = page_mm - OVERLAP_MM
    count = max(1, math.ceil((whole_mm - OVERLAP_MM) / step))
    return [(n * step, min(page_mm, whole_mm - n * step)) for n in range(count)]


def sill_end(view: SillView, end: End) -> Scene:
    """One end of the sill from above in its true size, nose at the bottom: what stays, and what is cut away."""
    sill, wall, seat = view.sill, view.wall_mm, view.seat_mm
    along, depth = sill.notch_along_mm, sill.depth_mm
    inner = along + REACH_MM

    def placed(*points: Point) -> tuple[Point, ...]:
        """From the end of the sill inwards."""
        return points if end == "left" else tuple((-x, y) for x, y in points)

    outline = placed((inner, 0), (0, 0), (0, wall), (along, wall), (along, depth), (inner, depth))
    waste = placed(*rectangle(0, wall, along, depth - wall))
    words = [
        _words(
            placed((along / 2, (wall + depth) / 2))[0], "cut away", bold=True, turned=along < depth - wall
        ),
        _words(placed((along / 2, wall / 2))[0], "horn"),
        _words(placed((inner / 2, -1.0))[0], "nose, outside", top=True),
        _words(placed(((along + inner) / 2, (seat + depth) / 2))[0], "under the frame", turned=True),
    ]
    items: list[Item] = [
        *hatched(waste, scale=1),
        Line(points=waste, ink="hidden", closed=True),
        Line(points=placed((along, seat), (inner, seat)), ink="hidden"),
        Line(points=outline, ink="frame"),
    ]
    side: Literal["left", "right"] = end
    beside = levels(Rail(side=side, base_mm=0, scale=1), (0, wall, depth), out_mm=CLEAR_MM)
    over = levels(
        Rail(side="head", base_mm=depth, scale=1),
        sorted(x for x, _ in placed((0, 0), (along, 0))),
        out_mm=CLEAR_MM,
    )
    return Scene(
        title=f"{view.title} {end} end of the sill from above, 1:1",
        items=(*kept_off(items, words, scale=1), *beside, *over, *words),
        scale=1,
    )


def _words(at: Point, text: str, *, bold: bool = False, turned: bool = False, top: bool = False) -> Words:
    return Words(
        at=at, text=text, size_mm=LETTERING_MM, bold=bold, turn_deg=90 if turned else 0,
        seat="top" if top else "middle",
    )  # fmt: skip
