"""What goes into the van for each journey of each visit: frames by weight, and packs so that none runs short."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jambwright.basis.tables import table
from jambwright.plan.house import OpeningPlan
from jambwright.plan.materials import Material


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """So many packs of one material."""

    material: Material
    packs: int


@dataclass(frozen=True, slots=True, kw_only=True)
class VanLoad:
    """One journey."""

    visit: int
    number: int
    """Counted through all visits."""
    openings: tuple[str, ...]
    """Marks, in the order of the readings file."""
    units_kg: float
    """Frames, glass and sills; the rest is light."""
    picks: tuple[Pick, ...]


def van_loads(plans: Sequence[OpeningPlan], materials: Sequence[Material]) -> tuple[VanLoad, ...]:
    """Loads in order. All loads together hold exactly the packs of the buying list.

    Only the visit of the frames is split by weight. Each load takes the packs its openings need beyond what
    is left of the loads before; stock lengths all go with the first load that cuts them.
    """
    made_visit = min((m.visit for m in materials if m.pack.work == "order"), default=1)
    loads: list[VanLoad] = []
    for visit in sorted({material.visit for material in materials}):
        groups = list(_by_weight(plans)) if visit == made_visit else [tuple(plans)]
        picks = _picks([m for m in materials if m.visit == visit], groups)
        for group, picked in zip(groups, picks, strict=True):
            loads.append(
                VanLoad(
                    visit=visit,
                    number=len(loads) + 1,
                    openings=tuple(plan.opening.id for plan in group),
                    units_kg=sum(map(_unit_kg, group)) if visit == made_visit else 0.0,
                    picks=tuple(picked),
                )
            )
    return tuple(loads)


def payload_kg() -> float:
    """Mass of units one load may have."""
    return float(table("van").find(name="units_payload")["value"])


def _by_weight(plans: Sequence[OpeningPlan]) -> Iterator[tuple[OpeningPlan, ...]]:
    """Neighbours in the readings file travel together while they are light enough."""
    group: list[OpeningPlan] = []
    for plan in plans:
        if group and sum(map(_unit_kg, [*group, plan])) > payload_kg():
            yield tuple(group)
            group = []
        group.append(plan)
    yield tuple(group)


def _unit_kg(plan: OpeningPlan) -> float:
    return sum(piece.mass_kg for piece in plan.frame.pieces)


def _picks(materials: Sequence[Material], groups: Sequence[tuple[OpeningPlan, ...]]) -> Iterator[list[Pick]]:
    taken = [0] * len(materials)
    served: set[str] = set()
    for group in groups:
        served |= {plan.opening.id for plan in group}
        upto = [_packs_for(material, served) for material in materials]
        yield [
            Pick(material=material, packs=now - before)
            for material, now, before in zip(materials, upto, taken, strict=True)
            if now > before
        ]
        taken = upto


def _packs_for(material: Material, openings: set[str]) -> int:
    """Packs that serve these openings."""
    wanted = [amount for mark, amount in material.by_opening.items() if mark in openings]
    if len(wanted) == len(material.by_opening) or (wanted and material.pack.kerf_mm is not None):
        return material.packs
    return min(material.packs, material.pack.count(sum(wanted)))
