"""How a thing is bought: its pack, the waste added before rounding up, and the work it is for."""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass

from jambwright.basis.clause import Clause
from jambwright.basis.tables import table


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """One pack; amounts are in ``unit``, millimetres for what is cut from lengths."""

    name: str
    size: float
    unit: str
    waste: float
    """Share of the true quantity."""
    kerf_mm: float | None
    """The saw's cut, for what is cut from lengths; ``None`` for what is not."""
    ends_mm: float
    work: str
    source: Clause

    def holding(self, amount: float) -> int:
        """Packs that hold this much and no waste."""
        # a hair over a whole number of packs is rounding, not a further pack
        return math.ceil(amount / self.size - 1e-9)

    def with_waste(self, amount: float) -> float:
        """True quantity and waste."""
        return amount * (1 + self.waste)

    def count(self, amount: float) -> int:
        """Packs to buy: for this much and its waste."""
        return self.holding(self.with_waste(amount))


@functools.cache
def pack_of(item: str, size: str = "") -> Pack:
    """The pack of a size, or of every size where it has none of its own. ``BadInput`` for an unknown item.

    >>> pack_of("packer", "10 mm").name, pack_of("packer", "3 mm").name
    ('bag of 100', 'bag of 200')
    """
    packs = table("packs")
    row = next((row for row in packs if (row["item"], row["size"]) == (item, size)), None)
    row = row or packs.find(item=item, size="")
    return Pack(
        name=row["pack"],
        size=row["pack_size"],
        unit=row["unit"],
        waste=row["waste"],
        kerf_mm=row["kerf_mm"],
        ends_mm=row["ends_mm"] or 0.0,
        work=row["work"],
        source=packs.source(row),
    )


@functools.cache
def item_order() -> tuple[str, ...]:
    """Everything that is bought, in the order of the buying list."""
    return tuple(dict.fromkeys(table("packs").column("item")))
