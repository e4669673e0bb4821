"""The whole check of one make-up on many panes: stress, deflection and panes that touch, in every load case."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jambwright.basis.problems import raise_if_any
from jambwright.checks.figures import Figures, Floats, one_or_all
from jambwright.checks.glass.cases import LoadCase
from jambwright.checks.glass.pane import PaneSize, deflection_limit_mm
from jambwright.checks.glass.strength import effective_thicknesses_mm, strength_of
from jambwright.checks.glass.unit import UnitLoads, swollen, unit_factor_of, unit_loads
from jambwright.frame import GlazingUnit, Pane


@dataclass(frozen=True, slots=True, kw_only=True)
class PaneCheck:
    """One pane in its worst case. Stress and deflection are magnitudes."""

    load_pa: Figures
    """Net design load, + into the room."""
    stress_n_mm2: Figures
    """Largest anywhere on the pane."""
    centre_stress_n_mm2: Figures
    design_strength_n_mm2: Figures
    utilisation: Figures
    """Stress over design strength."""
    governing: Figures
    """Which load case, by its place in the list."""
    bending_load_pa: Figures
    """Net load of the case that bends it most, load factors left out, + into the room."""
    deflection_mm: Figures
    """Largest over the cases, load factors left out."""
    deflection_limit_mm: Figures
    bends_too_far: Figures
    """Whether it bends further than the method goes: it is far too thin."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitCheck:
    """A make-up on one or many panes of glass."""

    panes: tuple[PaneCheck, ...]
    unit_factor: Figures
    """Share of the isochoric pressure that stays in the cavity that keeps most; 1 for single glass."""
    cavity_left_mm: Figures
    """Least width left at the centre of any cavity; infinite for single glass."""

    @property
    def bends_too_far(self) -> Figures:
        """Whether any pane bends further than the method goes."""
        return np.any([pane.bends_too_far for pane in self.panes], axis=0)

    @property
    def utilisation(self) -> Figures:
        """Of the pane that is worst off."""
        return np.max([pane.utilisation for pane in self.panes], axis=0)

    @property
    def deflection_share(self) -> Figures:
        """Deflection over its limit, of the pane that is worst off."""
        return np.max([pane.deflection_mm / pane.deflection_limit_mm for pane in self.panes], axis=0)

    @property
    def passes(self) -> Figures:
        """Strong and stiff enough, and no panes touch."""
        firm = (self.utilisation <= 1) & (self.deflection_share <= 1)
        return firm & (self.cavity_left_mm > 0) & np.logical_not(self.bends_too_far)

    def faults(self, at: int | tuple[()] = ()) -> list[str]:
        """What it fails on, in words, for the pane at a place of the arrays; empty when it passes."""
        stress, bent = (np.asarray(share)[at] for share in (self.utilisation, self.deflection_share))
        found = {
            f"stress is {stress:.0%} of what the glass bears": stress > 1,
            f"it bends to {bent:.0%} of the limit": bent > 1,
            "the panes touch": np.asarray(self.cavity_left_mm)[at] <= 0,
            "it is far too thin for the method": np.asarray(self.bends_too_far)[at],
        }
        return [fault for fault, is_so in found.items() if is_so]


def check_unit(
    unit: GlazingUnit, *, width_mm: Figures, height_mm: Figures, cases: Sequence[LoadCase]
) -> UnitCheck:
    """Check a make-up on panes of ``width`` by ``height`` held on four edges, for all cases (EN 16612).

    Sizes and the figures of a case are one value, or arrays with one a pane of glass.

    Raises ``BadInput`` for sizes that glass is not made in.

    >>> from jambwright.checks.glass.cases import order_cases
    >>> from jambwright.frame import parse_glazing
    >>> found = check_unit(parse_glazing("4-16Ar-4"), width_mm=1000.0, height_mm=1500.0,
    ...     cases=order_cases(in_pa=863.0, out_pa=-700.0))
    >>> bool(found.passes), round(float(found.utilisation), 2)
    (True, 0.65)
    """
    size = PaneSize(width_mm=np.asarray(width_mm, dtype=float), height_mm=np.asarray(height_mm, dtype=float))
    raise_if_any(size.problems())
    figures = [figure for case in cases for figure in (case.wind_pa, case.isochoric_pa)]
    shape = np.broadcast_shapes(size.area_mm2.shape, *(np.shape(figure) for figure in figures))
    climate = swollen(unit, size)
    service, design = _pane_loads(unit, size, climate, cases, shape)
    bent_mm = [
        size.deflection_mm(effective_thicknesses_mm(pane)[0], load)
        for pane, load in zip(unit.panes, service, strict=True)
    ]
    kmods = np.reshape([case.kmod for case in cases], (-1, *(1 for _ in shape)))
    panes = tuple(
        _pane_check(pane, size, (load, bending), kmods, bent)
        for pane, load, bending, bent in zip(unit.panes, design, service, bent_mm, strict=True)
    )
    return UnitCheck(
        panes=panes,
        unit_factor=one_or_all(np.broadcast_to(unit_factor_of(climate), shape)),
        cavity_left_mm=_cavity_left_mm(unit, bent_mm),
    )


def _cavity_left_mm(unit: GlazingUnit, bent_mm: list[Floats]) -> Figures:
    """Least width left of any cavity in any case, from the deflections (cases, openings) of the panes."""
    left = [np.full(bent_mm[0].shape, np.inf)]
    for cavity, outer, inner in zip(unit.cavities, bent_mm, bent_mm[1:], strict=False):
        left.append(cavity.gap_mm - (outer - inner))
    return one_or_all(np.min(left, axis=(0, 1)))


def _pane_loads(
    unit: GlazingUnit, size: PaneSize, swelled: UnitLoads, cases: Sequence[LoadCase], shape: tuple[int, ...]
) -> tuple[list[Floats], list[Floats]]:
    """Loads as they occur and design loads, one array (cases, openings) a pane. The problem is linear."""

    def stacked(figures: list[Figures]) -> Floats:
        return np.stack([np.broadcast_to(figure, shape) for figure in figures])

    by_wind = unit_loads(unit, size, wind_pa=1.0, isochoric_pa=0.0).pane_pa
    by_climate = swelled.pane_pa
    wind = stacked([case.wind_pa for case in cases]), stacked([c.wind_factor * c.wind_pa for c in cases])
    climate = (
        stacked([case.isochoric_pa for case in cases]),
        stacked([case.climate_factor * case.isochoric_pa for case in cases]),
    )
    service, design = (
        [by_wind[..., i] * blow + by_climate[..., i] * swell for i in range(len(unit.panes))]
        for blow, swell in zip(wind, climate, strict=True)
    )
    return service, design


def _pane_check(
    pane: Pane, size: PaneSize, loads: tuple[Floats, Floats], kmods: Floats, bent_mm: Floats
) -> PaneCheck:
    load, bending = loads
    thickness = effective_thicknesses_mm(pane)[1]
    stress = size.stress_n_mm2(thickness, load)
    strength = np.broadcast_to(strength_of(pane.kind, kmods), load.shape)
    worst = (stress.most / strength).argmax(axis=0)

    def at(place: Figures, figures: Floats) -> Figures:
        return one_or_all(np.take_along_axis(figures, place[np.newaxis], axis=0)[0])

    def there(figures: Floats) -> Figures:
        return at(worst, figures)

    return PaneCheck(
        load_pa=there(load),
        stress_n_mm2=there(stress.most),
        centre_stress_n_mm2=there(stress.centre),
        design_strength_n_mm2=there(strength),
        utilisation=there(stress.most / strength),
        governing=one_or_all(worst),
        bending_load_pa=at(np.abs(bending).argmax(axis=0), bending),
        deflection_mm=one_or_all(np.abs(bent_mm).max(axis=0)),
        deflection_limit_mm=one_or_all(
            np.broadcast_to(deflection_limit_mm(short_side_mm=size.short_mm), worst.shape)
        ),
        bends_too_far=one_or_all(size.bends_too_far(thickness, load).any(axis=0)),
    )
