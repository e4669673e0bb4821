"""What a house takes, what of it is still to be carried there, and what of that is still to be bought."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jambwright.basis.tables import table
from jambwright.checks.delivered import remake_of
from jambwright.plan.cutting_list import CuttingList, bars_taken, cutting_lists
from jambwright.plan.house import OpeningPlan
from jambwright.plan.materials import Calls, Material, materials_of
from jambwright.plan.packs import pack_of
from jambwright.plan.quantities import Quantity, quantities
from jambwright.readings.survey import Opening


@dataclass(frozen=True, slots=True, kw_only=True)
class Buying:
    """Materials of a house as far as its openings are done."""

    whole: tuple[Material, ...]
    """Of the whole house, whatever is done: the price does not change as the work goes on."""
    to_carry: tuple[Material, ...]
    """Not yet used up at its opening."""
    to_buy: tuple[Material, ...]
    """Neither used up nor ordered."""
    cuts: tuple[CuttingList, ...]
    """Still to be cut."""


def plan_buying(plans: Sequence[OpeningPlan], calls: Calls | None = None) -> Buying:
    """Everything the openings take. ``calls``: the crew's days, where they are known."""
    parts = [(plan.opening, part) for plan in plans for part in quantities(plan)]
    left = [(opening, part) for opening, part in parts if not _used(opening, part)]
    cuts = cutting_lists(part for _, part in left)
    bars = bars_taken(cuts)
    every = bars if len(left) == len(parts) else bars_taken(cutting_lists(part for _, part in parts))
    return Buying(
        whole=materials_of((part for _, part in parts), every, calls),
        to_carry=materials_of((part for _, part in left), bars, calls),
        to_buy=materials_of((part for opening, part in left if not _ordered(opening, part)), bars, calls),
        cuts=cuts,
    )


def _used(opening: Opening, part: Quantity) -> bool:
    """Built in, or cut from its length; what is cut is carried by the piece and told by nobody's pack."""
    pack = pack_of(part.item, part.size)
    if pack.kerf_mm is not None and opening.is_done("cut"):
        return True
    step = table("works").find(work=pack.work)["step"]
    return opening.is_done(table("crew_tasks").find(step=step)["done"])


def _ordered(opening: Opening, part: Quantity) -> bool:
    """Whether it is on order; what is made again is ordered again."""
    done = table("works").find(work=pack_of(part.item, part.size).work)["done"]
    return opening.is_done(done) and not (done == "ordered" and remake_of(opening))
