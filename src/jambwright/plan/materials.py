"""Materials over a whole house: true quantities, waste, packs, what may be left over, and the visit.

Packs are rounded up over the house, never an opening at a time. What is cut from lengths is counted by the
lengths it takes, cut first-fit with the saw's allowances unless a cutting plan says how many.
"""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from jambwright.basis.tables import table
from jambwright.plan.house import OpeningPlan
from jambwright.plan.packs import Pack, item_order, pack_of
from jambwright.plan.quantities import Quantity, quantities

Key = tuple[str, str]
"""Item and size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One thing to buy for the whole house."""

    item: str
    size: str
    visit: int
    pack: Pack
    packs: int
    needed: float
    """True quantity, no waste, in ``pack.unit``."""
    used: float
    """With waste, or with the saw's cuts and trimmed ends for what is cut from lengths."""
    by_opening: Mapping[str, float]
    """True quantity by opening id, in the order of the readings file."""

    @property
    def left_over(self) -> float:
        """What may be left of the packs when the stated waste is used up."""
        return max(0.0, self.packs * self.pack.size - self.used)

    @property
    def name(self) -> str:
        """Item and size."""
        return f"{self.item} {self.size}".rstrip()


def house_materials(
    plans: Sequence[OpeningPlan], lengths: Mapping[Key, int] | None = None
) -> tuple[Material, ...]:
    """Everything to buy for these openings, in the order of the buying list.

    ``lengths`` is how many stock lengths a cutting plan takes, by item and size.
    """
    return materials_of([part for plan in plans for part in quantities(plan)], lengths)


def materials_of(parts: Iterable[Quantity], lengths: Mapping[Key, int] | None = None) -> tuple[Material, ...]:
    """Materials of any quantities added up."""
    by_key: dict[Key, list[Quantity]] = defaultdict(list)
    for part in parts:
        by_key[part.item, part.size].append(part)
    foamed = any(item == "foam" for item, _ in by_key)
    keys = sorted(by_key, key=_place)
    return tuple(_material(key, by_key[key], foamed, (lengths or {}).get(key)) for key in keys)


def _material(key: Key, parts: Sequence[Quantity], foamed: bool, lengths: int | None) -> Material:
    item, size = key
    pack = pack_of(item, size)
    needed = math.fsum(part.amount for part in parts)
    if pack.kerf_mm is None:
        packs, used = pack.count(needed), pack.with_waste(needed)
    else:
        packs = lengths if lengths is not None else len(bars([part.amount for part in parts], pack))
        # the last cut of a bar filled to the end is never made, so the allowance is at most the bars
        used = min(needed + pack.kerf_mm * len(parts) + pack.ends_mm * packs, packs * pack.size)
    by_opening: dict[str, float] = defaultdict(float)
    for part in parts:
        by_opening[part.opening_id] += part.amount
    return Material(
        item=item,
        size=size,
        visit=_visit(pack.work, foamed),
        pack=pack,
        packs=packs,
        needed=needed,
        used=used,
        by_opening=dict(by_opening),
    )


def bars(pieces_mm: Iterable[float], pack: Pack) -> list[float]:
    """Room left on each stock length when the pieces are cut longest first from the first that has room.

    A piece longer than a length is joined from whole lengths and a rest.
    """
    room, kerf = pack.size - pack.ends_mm, pack.kerf_mm or 0.0
    left: list[float] = []
    for piece in sorted(_no_longer_than(room, pieces_mm), reverse=True):
        # a piece that just ends the length needs no cut behind it
        place = next((n for n, free in enumerate(left) if free >= piece - 1e-9), None)
        if place is None:
            left.append(room - piece - kerf)
        else:
            left[place] -= piece + kerf
    return [max(0.0, free) for free in left]


def _no_longer_than(room: float, pieces_mm: Iterable[float]) -> Iterable[float]:
    for piece in pieces_mm:
        whole, rest = divmod(piece, room)
        yield from [room] * int(whole)
        if rest:
            yield rest


def _place(key: Key) -> tuple[int, list[float]]:
    """By item, then by the figures in the size; what is made to size keeps the order of the openings."""
    item, size = key
    made = pack_of(item, size).work == "order"
    figures = [] if made else [float(figure) for figure in re.findall(r"\d+(?:\.\d+)?", size)]
    return item_order().index(item), figures


def _visit(work: str, foamed: bool) -> int:
    row = table("works").find(work=work)
    return int(row["visit"]) + (foamed and row["after_foam"] == "yes")
