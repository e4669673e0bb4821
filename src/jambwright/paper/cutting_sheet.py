"""The cutting sheet: bars to scale, pieces marked by opening, in the order they are cut."""

from __future__ import annotations

from collections.abc import Sequence

from jambwright.basis.units import show_mm
from jambwright.paper.lettering import advance_mm
from jambwright.paper.pdf import typeset
from jambwright.paper.render import svg
from jambwright.paper.scene import Area, Box, Item, Line, Scene, Words, rectangle
from jambwright.record import Bar, CuttingList, PlanRecord

PAPER_MM = 184.0
BAR_MM = 6.0
ROW_MM = 12.0
SIZE_MM = 2.85


def cutting_pdf(record: PlanRecord, lists: Sequence[CuttingList]) -> bytes:
    """All cutting plans of a house as PDF."""
    return typeset(
        "cutting.typ",
        record,
        {
            "lists": [
                {
                    "title": f"{each.item}, {each.size}" if each.size else each.item,
                    "says": quality_words(each),
                    "joined": ", ".join(each.joined),
                    "height": len(each.plan.bars) * ROW_MM,
                    "svg": svg(
                        bars_drawing(each), Box(width_mm=PAPER_MM, height_mm=len(each.plan.bars) * ROW_MM)
                    ),
                }
                for each in lists
            ],
        },
        gate="ordering",
    )


def quality_words(each: CuttingList) -> str:
    """Bars, waste, and how sure it is that fewer will not do."""
    plan = each.plan
    sure = "fewer will not do" if plan.proven_optimal else f"at least {plan.lower_bound:g} are needed"
    return (
        f"{len(plan.bars)} x {show_mm(each.job.stock[0].length_mm)} mm, {plan.waste_share:.0%} left over; {sure}. "
        f"Longest first from the first bar with room takes {each.plainly}. Saw {show_mm(each.job.kerf_mm)} mm a cut, "
        f"{show_mm(each.job.trim_mm)} mm trimmed off each end first."
    )


def bars_drawing(each: CuttingList) -> Scene:
    """The bars one under another, to one scale."""
    scale = each.job.stock[0].length_mm / (PAPER_MM - 4.0)
    items: list[Item] = []
    for row, bar in enumerate(each.plan.bars):
        items += _bar(each, bar, -row * ROW_MM * scale, scale)
    return Scene(title="Cuts from the left, in this order", items=tuple(items), scale=scale)


def _bar(each: CuttingList, bar: Bar, top: float, scale: float) -> list[Item]:
    high = BAR_MM * scale
    items: list[Item] = [
        Line(points=rectangle(0.0, top - high, bar.stock.length_mm, high), ink="glass", closed=True)
    ]
    x = each.job.trim_mm
    for cut in bar.cuts:
        items.append(Area(points=rectangle(x, top - high, cut.length_mm, high), ink="frame", fill="blank"))
        middle = x + cut.length_mm / 2
        items.append(Words(at=(middle, top - high / 2), text=cut.label, size_mm=SIZE_MM, bold=True))
        figure = show_mm(cut.length_mm)
        if advance_mm(figure, SIZE_MM) * scale < cut.length_mm:
            items.append(Words(at=(middle, top - high - 2.2 * scale), text=figure, size_mm=SIZE_MM))
        x += cut.length_mm + each.job.kerf_mm
    return items
