"""One light that its system does not take as it was asked for, with what bears on how else it may be made."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from jambwright.checks.order_tree import Tree
from jambwright.checks.system_fit import kind_of
from jambwright.frame.frame import Frame
from jambwright.frame.layout import PlacedLight
from jambwright.readings.system_sheet import SashOnSheet, SystemSheet


@dataclass(frozen=True, slots=True)
class Case:
    """One light as asked for; of several leaves the one at which is told what they have once."""

    node: Tree
    light: PlacedLight
    frame: Frame
    sheet: SystemSheet

    @property
    def limits(self) -> SashOnSheet | None:
        """What the sheet says of its kind."""
        return self.sheet.sash(kind_of(self.light))

    def without(self, names: Sequence[str]) -> Tree:
        """Its fields but some."""
        return {name: value for name, value in self.node.items() if name not in names}

    def along_mm(self, *, wide: bool) -> float:
        """Width or height of its sash."""
        assert self.light.sash is not None
        return self.light.sash.width_mm if wide else self.light.sash.height_mm

    def leaves_along(self, *, wide: bool) -> int:
        """Sashes side by side, or one above another, that share the size of its part."""
        beside, above = ("pair", "slider", "bi_fold"), ("vertical_sash",)
        shared = self.light.made in (beside if wide else above)
        return len(self.frame.layout.leaves_at(self.light.path)) if shared else 1


OtherWay = Callable[[Case], Iterable[tuple[str, Tree]]]
"""Other ways to make one light: in words, and as a part of the layout."""
