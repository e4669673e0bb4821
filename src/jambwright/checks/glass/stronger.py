"""Stronger make-ups that keep every property asked for: only panes grow thicker or are toughened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

from jambwright.basis import table
from jambwright.checks.heat import sound_rw_db
from jambwright.checks.regulations.safety_glass import impact_class, usual_class
from jambwright.frame import GlazingUnit, Pane, PaneKind

_AS_GOOD: dict[PaneKind, tuple[PaneKind, ...]] = {
    "annealed": ("annealed", "toughened"),
    "heat_strengthened": ("heat_strengthened",),
    "toughened": ("toughened",),
    "laminated": ("laminated",),
}
"""What may stand where a kind of glass was asked for: it breaks no worse."""


def stronger_make_ups(asked: GlazingUnit) -> tuple[GlazingUnit, ...]:
    """Make-ups of the panes of table ``glass_panes`` that could stand in for the one asked, lightest first.

    Number of panes, cavities, gas and coatings stay. No pane is thinner, less safe or of another way of breaking,
    laminated keeps its interlayer, and the unit stops as much sound.
    """
    choices = [_choices(pane) for pane in asked.panes]
    units = (replace(asked, panes=panes) for panes in product(*choices) if panes != asked.panes)
    quiet = [unit for unit in units if _as_quiet(unit, asked)]
    return tuple(sorted(quiet, key=lambda unit: (unit.mass_kg_m2, _changed(unit, asked))))


def _choices(asked: Pane) -> Sequence[Pane]:
    """The pane asked for and the stock panes that lose nothing against it."""
    stock = (Pane(thickness_mm=row["thickness_mm"], kind=row["kind"]) for row in table("glass_panes"))
    return [asked, *(pane for pane in stock if pane != asked and _keeps(pane, asked))]


def _keeps(pane: Pane, asked: Pane) -> bool:
    if pane.kind not in _AS_GOOD[asked.kind] or pane.thickness_mm < asked.thickness_mm:
        return False
    plies, layer = pane.layers_mm
    wanted, wanted_layer = asked.layers_mm
    thick = min(plies) >= min(wanted) and max(plies) >= max(wanted) and layer >= wanted_layer
    return thick and _as_safe(pane, asked)


def _as_safe(pane: Pane, asked: Pane) -> bool:
    """Whether it has the impact class that the pane asked for usually has."""
    wanted, found = usual_class(asked.kind, asked.thickness_mm), usual_class(pane.kind, pane.thickness_mm)
    if wanted is None:
        return True
    needed = impact_class(wanted).height
    return found is not None and needed is not None and impact_class(found).at_least(needed)


def _as_quiet(unit: GlazingUnit, asked: GlazingUnit) -> bool:
    """Whether panes differ as much in thickness, and the listed sound reduction, where both are listed, is no less."""
    found, wanted = sound_rw_db(unit), sound_rw_db(asked)
    if found and wanted and found[0] < wanted[0]:
        return False
    return _unlike_mm(unit) >= _unlike_mm(asked) - 1e-9


def _unlike_mm(unit: GlazingUnit) -> float:
    """How much outer and inner pane differ: unlike panes do not sound at one pitch."""
    return abs(unit.panes[0].thickness_mm - unit.panes[-1].thickness_mm)


def _changed(unit: GlazingUnit, asked: GlazingUnit) -> int:
    return sum(pane != was for pane, was in zip(unit.panes, asked.panes, strict=True))
