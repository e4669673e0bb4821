"""An upright rectangle in frame coordinates: origin at the frame's bottom left outer corner, seen from outside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Rect:
    """An upright rectangle, mm."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float

    @property
    def right_mm(self) -> float:
        """x of the right edge."""
        return self.x_mm + self.width_mm

    @property
    def top_mm(self) -> float:
        """y of the top edge."""
        return self.y_mm + self.height_mm

    @property
    def area_m2(self) -> float:
        """Area in square metres."""
        return self.width_mm * self.height_mm * 1e-6

    @property
    def perimeter_m(self) -> float:
        """Length of the edges in metres."""
        return 2e-3 * (self.width_mm + self.height_mm)

    def grown(self, by_mm: float) -> Rect:
        """The rectangle with every edge moved outwards (inwards when negative)."""
        return self.inset(left_mm=-by_mm, right_mm=-by_mm, top_mm=-by_mm, bottom_mm=-by_mm)

    def inset(
        self, *, left_mm: float = 0.0, right_mm: float = 0.0, top_mm: float = 0.0, bottom_mm: float = 0.0
    ) -> Rect:
        """The rectangle with each edge moved inwards by its own (outwards when negative)."""
        return Rect(
            x_mm=self.x_mm + left_mm,
            y_mm=self.y_mm + bottom_mm,
            width_mm=self.width_mm - left_mm - right_mm,
            height_mm=self.height_mm - top_mm - bottom_mm,
        )


def round_all(rects: Sequence[Rect]) -> Rect:
    """The least rectangle that holds all of them."""
    x, y = min(each.x_mm for each in rects), min(each.y_mm for each in rects)
    right, top = max(each.right_mm for each in rects), max(each.top_mm for each in rects)
    return Rect(x_mm=x, y_mm=y, width_mm=right - x, height_mm=top - y)
