"""What is cut from stock lengths over the whole house, bar by bar with the least waste."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from jambwright.plan.cutting import CutPlan, CuttingJob, Piece, Stock, plan_cuts, plan_plainly
from jambwright.plan.cutting.runs import Run, ways
from jambwright.plan.house import OpeningPlan
from jambwright.plan.packs import pack_of
from jambwright.plan.quantities import quantities

Key = tuple[str, str]
"""Item and size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingList:
    """All bars of one item and size."""

    item: str
    size: str
    job: CuttingJob
    plan: CutPlan
    plainly: int
    """Bars that cutting longest first from the first with room would take."""
    joined: tuple[str, ...]
    """Openings whose run is longer than a length and is butted, with an expansion gap in the joint."""


def cutting_lists(plans: Sequence[OpeningPlan], *, seconds: float = 2.0) -> tuple[CuttingList, ...]:
    """Cutting plans of everything that comes in lengths. What is marked cut or fitted is not cut again."""
    wanted: dict[Key, list[tuple[str, float]]] = defaultdict(list)
    for plan in plans:
        if not {"cut", "fitted"} & set(plan.opening.done):
            for part in quantities(plan):
                if pack_of(part.item, part.size).kerf_mm is not None:
                    wanted[part.item, part.size].append((part.opening_id, part.amount))
    return tuple(_listed(key, pieces, seconds) for key, pieces in wanted.items())


def bars_taken(lists: Sequence[CuttingList]) -> Mapping[Key, int]:
    """Stock lengths to buy, by item and size."""
    return {(each.item, each.size): len(each.plan.bars) for each in lists}


def _listed(key: Key, wanted: Sequence[tuple[str, float]], seconds: float) -> CuttingList:
    pack = pack_of(*key)
    # the last way to joint a run makes all its parts alike
    parts = [ways(Run(length_mm=length, label=mark), pack.size - pack.ends_mm)[-1] for mark, length in wanted]
    job = CuttingJob(
        stock=(Stock(length_mm=pack.size),),
        pieces=tuple(
            Piece(length_mm=round(lengths[0], 1), count=len(lengths), label=mark)
            for (mark, _), lengths in zip(wanted, parts, strict=True)
        ),
        kerf_mm=pack.kerf_mm or 0.0,
        trim_mm=pack.ends_mm / 2,
    )
    return CuttingList(
        item=key[0],
        size=key[1],
        job=job,
        plan=plan_cuts(job, seconds=seconds),
        plainly=len(plan_plainly(job).bars),
        joined=tuple(mark for (mark, _), lengths in zip(wanted, parts, strict=True) if len(lengths) > 1),
    )
