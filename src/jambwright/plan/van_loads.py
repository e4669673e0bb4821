"""What goes into the van for each journey: the frames of the day by weight, and packs so that none runs short."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jambwright.basis.tables import table
from jambwright.checks.access import Kit, kit_of
from jambwright.plan.house import OpeningPlan
from jambwright.plan.materials import Material, When


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """So many packs of one material."""

    material: Material
    packs: int
    openings: tuple[str, ...]
    """Marks it is for on this journey."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VanLoad:
    """One journey."""

    when: When | None
    """``None`` where the crew's day is not known."""
    number: int
    """Counted through all days."""
    openings: tuple[str, ...]
    """Marks of the openings it serves, in the order of the readings file."""
    units_kg: float
    """Frames, glass and sills; the rest is light."""
    picks: tuple[Pick, ...]
    bring: tuple[Kit, ...]
    """For access at these openings: cups, platform or tower, lifting aid."""


def van_loads(plans: Sequence[OpeningPlan], materials: Sequence[Material]) -> tuple[VanLoad, ...]:
    """Loads in order, day by day as the crew wants them; what has no day comes last. Together they hold all packs.

    A day's frames are split by weight. Each load takes the packs its openings need beyond what is left of the
    loads before; stock lengths all go with the first load that cuts them.
    """
    served: list[set[str]] = [set() for _ in materials]
    loads: list[VanLoad] = []
    for when in sorted({_when(m, mark) for m in materials for mark in m.by_opening}, key=_in_time):
        for group, units_kg in _groups(plans, materials, when):
            picks = []
            for material, marks in zip(materials, served, strict=True):
                before = _packs_for(material, marks)
                now_for = [m for m in material.by_opening if m in group and _when(material, m) == when]
                marks.update(now_for)
                now = _packs_for(material, marks)
                if now > before:
                    picks.append(Pick(material=material, packs=now - before, openings=tuple(now_for)))
            if picks or units_kg:
                load = VanLoad(
                    when=when,
                    number=len(loads) + 1,
                    openings=group,
                    units_kg=units_kg,
                    picks=tuple(picks),
                    bring=kit_of(note for plan in plans if plan.opening.id in group for note in plan.access),
                )
                loads.append(load)
    return tuple(loads)


def payload_kg() -> float:
    """Mass of units one load may have."""
    return table("van").value(name="units_payload")


def _when(material: Material, mark: str) -> When | None:
    return material.wanted.get(mark)


def _in_time(when: When | None) -> tuple[bool, When | None]:
    return when is None, when


def _groups(
    plans: Sequence[OpeningPlan], materials: Sequence[Material], when: When | None
) -> Iterator[tuple[tuple[str, ...], float]]:
    """Openings served at one time and the mass of their units; neighbours in the readings file travel together."""
    items: dict[str, set[str]] = defaultdict(set)
    for material in materials:
        for mark in material.by_opening:
            if _when(material, mark) == when:
                items[mark].add(material.item)
    group: list[str] = []
    kg = 0.0
    for plan in plans:
        mark = plan.opening.id
        if mark not in items:
            continue
        unit_kg = sum(piece.mass_kg for piece in plan.frame.pieces) if "frame" in items[mark] else 0.0
        if group and kg + unit_kg > payload_kg():
            yield tuple(group), kg
            group, kg = [], 0.0
        group.append(mark)
        kg += unit_kg
    yield tuple(group), kg


def _packs_for(material: Material, openings: set[str]) -> int:
    """Packs that serve these openings."""
    wanted = [amount for mark, amount in material.by_opening.items() if mark in openings]
    if len(wanted) == len(material.by_opening) or (wanted and material.pack.kerf_mm is not None):
        return material.packs
    return min(material.packs, material.pack.count(sum(wanted)))
