"""Check figures of an order: what the maker works out again from what was typed, and what must come out.

A size typed wrong moves perimeter and area; width and height exchanged move the two sums of sides; a wrong or
missing glass moves the count. Each figure is rounded once, here, so that the sums are those of the printed figures.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jambwright.basis.clause import clause

CHECKED = "Check figures of an order"


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemCheck:
    """What is summed up of one item."""

    width_mm: float
    height_mm: float
    perimeter_m: float
    area_m2: float
    mass_kg: float
    glass: tuple[tuple[str, bool], ...]
    """Make-up of each light, empty for a panel, and whether it is obscure."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassCount:
    """How often one glass is ordered."""

    make_up: str
    """Empty for panels."""
    obscure: bool
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderCheck:
    """Check figures of several items together."""

    items: int
    widths_mm: float
    heights_mm: float
    perimeter_m: float
    area_m2: float
    mass_kg: float
    glass: tuple[GlassCount, ...]


@clause(CHECKED, unit="m", formula="P = 2 × (W + H)", how="calculated")
def perimeter_m(*, width_mm: float, height_mm: float) -> float:
    """Once round a frame without its sill, m, to the millimetre.

    >>> perimeter_m(width_mm=1195.0, height_mm=1032.0)
    4.454
    """
    return round(2e-3 * (width_mm + height_mm), 3)


@clause(CHECKED, unit="m2", formula="A = W × H", how="calculated")
def area_m2(*, width_mm: float, height_mm: float) -> float:
    """Of a frame without its sill, m², to three places.

    >>> area_m2(width_mm=1195.0, height_mm=1032.0)
    1.233
    """
    return round(1e-6 * width_mm * height_mm, 3)


@clause(CHECKED, unit="kg", formula="m to 0.1 kg", how="calculated")
def mass_kg(*, whole_kg: float) -> float:
    """Of frame, sashes and glass, kg, to one place.

    >>> mass_kg(whole_kg=31.249)
    31.2
    """
    return round(whole_kg, 1)


def order_check(items: Sequence[ItemCheck]) -> OrderCheck:
    """The items together; glass in the order it is first met.

    >>> pane = (("4", False),)
    >>> one = ItemCheck(width_mm=1e3, height_mm=500.0, perimeter_m=3.0, area_m2=0.5, mass_kg=20.5, glass=pane)
    >>> two = order_check([one, one])
    >>> two.items, two.widths_mm, two.heights_mm, two.mass_kg, two.glass[0].count
    (2, 2000.0, 1000.0, 41.0, 2)
    """
    panes = [pane for item in items for pane in item.glass]
    return OrderCheck(
        items=len(items),
        widths_mm=sum((item.width_mm for item in items), start=0.0),
        heights_mm=sum((item.height_mm for item in items), start=0.0),
        perimeter_m=round(sum((item.perimeter_m for item in items), start=0.0), 3),
        area_m2=round(sum((item.area_m2 for item in items), start=0.0), 3),
        mass_kg=round(sum((item.mass_kg for item in items), start=0.0), 1),
        glass=tuple(
            GlassCount(make_up=make_up, obscure=obscure, count=panes.count((make_up, obscure)))
            for make_up, obscure in dict.fromkeys(panes)
        ),
    )
