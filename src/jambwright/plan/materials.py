"""Materials over a whole house: true quantities, waste, packs, what may be left over, and when they are wanted.

Packs are rounded up over the house, never an opening at a time. What is cut from lengths is counted by the
lengths its cutting plan takes.
"""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from jambwright.basis.tables import table
from jambwright.plan.packs import Pack, item_order, pack_of
from jambwright.plan.quantities import Quantity

Key = tuple[str, str]
"""Item and size."""


@dataclass(frozen=True, slots=True, order=True)
class When:
    """When something is wanted: the day, and the visit it falls in."""

    on: date
    visit: int


Calls = Mapping[tuple[str, str], When]
"""When the crew does what, by opening id and step of ``crew_tasks``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One thing to buy for the whole house."""

    item: str
    size: str
    pack: Pack
    packs: int
    needed: float
    """True quantity, no waste, in ``pack.unit``."""
    used: float
    """With waste, or with the saw's cuts and trimmed ends for what is cut from lengths."""
    by_opening: Mapping[str, float]
    """True quantity by opening id, in the order of the readings file."""
    wanted: Mapping[str, When]
    """When it is wanted, by opening id; those for which there is no day yet are left out."""

    @property
    def first(self) -> When | None:
        """When it is wanted first; ``None`` while no day is known."""
        return min(self.wanted.values(), default=None)

    @property
    def visit(self) -> int:
        """Visit it is wanted first on; all is one visit while the crew's days are not known."""
        return self.first.visit if self.first else 1

    @property
    def left_over(self) -> float:
        """What may be left of the packs when the stated waste is used up."""
        return max(0.0, self.packs * self.pack.size - self.used)

    @property
    def name(self) -> str:
        """Item and size."""
        return f"{self.item} {self.size}".rstrip()


def materials_of(
    parts: Iterable[Quantity], lengths: Mapping[Key, int], calls: Calls | None = None
) -> tuple[Material, ...]:
    """Quantities added up, in the order of the buying list.

    ``lengths``: how many stock lengths the cutting plan takes, by item and size. ``calls``: the crew's days.
    """
    by_key: dict[Key, list[Quantity]] = defaultdict(list)
    for part in parts:
        by_key[part.item, part.size].append(part)
    return tuple(
        _material(key, by_key[key], lengths.get(key, 0), calls or {}) for key in sorted(by_key, key=_place)
    )


def _material(key: Key, parts: Sequence[Quantity], lengths: int, calls: Calls) -> Material:
    item, size = key
    pack = pack_of(item, size)
    needed = math.fsum(part.amount for part in parts)
    if pack.kerf_mm is None:
        packs, used = pack.count(needed), pack.with_waste(needed)
    else:
        # the last cut of a bar filled to the end is never made, so the allowance is at most the bars
        packs = lengths
        used = min(needed + pack.kerf_mm * len(parts) + pack.ends_mm * packs, packs * pack.size)
    by_opening: dict[str, float] = defaultdict(float)
    for part in parts:
        by_opening[part.opening_id] += part.amount
    step = str(table("works").find(work=pack.work)["step"])
    return Material(
        item=item,
        size=size,
        pack=pack,
        packs=packs,
        needed=needed,
        used=used,
        by_opening=dict(by_opening),
        wanted={mark: calls[mark, step] for mark in by_opening if (mark, step) in calls},
    )


def _place(key: Key) -> tuple[int, list[float]]:
    """By item, then by the figures in the size; what is made to size keeps the order of the openings."""
    item, size = key
    made = pack_of(item, size).work == "order"
    figures = [] if made else [float(figure) for figure in re.findall(r"\d+(?:\.\d+)?", size)]
    return item_order().index(item), figures
