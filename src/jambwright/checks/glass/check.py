"""The whole check of one make-up on many panes: stress, deflection and panes that touch, in every load case."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jambwright.basis import Clause, Working
from jambwright.basis.problems import raise_if_any
from jambwright.checks.figures import Figures, Floats, one_or_all
from jambwright.checks.glass.cases import LoadCase
from jambwright.checks.glass.pane import PaneSize, deflection_limit_mm
from jambwright.checks.glass.strength import (
    EN_GLASS,
    characteristic_of,
    design_strength_n_mm2,
    effective_thicknesses_mm,
    strength_of,
    surface_factor,
)
from jambwright.checks.glass.unit import CAVITY, UnitLoads, swollen, unit_factor_of, unit_loads
from jambwright.frame import GlazingUnit, Pane

ANNEX_C = Clause(EN_GLASS, CAVITY, "from memory, high")


@dataclass(frozen=True, slots=True, kw_only=True)
class PaneInCase:
    """One pane in the worst of the cases of one name; figures, for a single pane of glass."""

    load_pa: float
    """Net design load, + into the room."""
    stress_n_mm2: float
    use: float
    """Stress over design strength."""


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
    deflection_mm: Figures
    """Largest over the cases, load factors left out."""
    deflection_limit_mm: Figures
    bends_too_far: Figures
    """Whether it bends further than the method goes: it is far too thin."""
    load_by_case_pa: Floats
    """(cases, openings), as the stress and use that follow."""
    stress_by_case_n_mm2: Floats
    use_by_case: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitCheck:
    """A make-up on one or many panes of glass."""

    panes: tuple[PaneCheck, ...]
    unit_factor: Figures
    """Share of the isochoric pressure that stays in the cavity that keeps most; 1 for single glass."""
    cavity_left_mm: Figures
    """Least width left at the centre of any cavity; infinite for single glass."""
    cases: tuple[LoadCase, ...]

    @property
    def worst_pane(self) -> int:
        """Place of the pane that is used most, where one pane of glass was checked."""
        return max(range(len(self.panes)), key=lambda i: float(self.panes[i].utilisation))

    @property
    def governing(self) -> LoadCase:
        """The case that uses that pane most."""
        return self.cases[int(self.panes[self.worst_pane].governing)]

    def in_case(self, name: str, pane: int) -> PaneInCase:
        """One pane in the worst case of that name, where one pane of glass was checked."""
        found, named = self.panes[pane], [i for i, case in enumerate(self.cases) if case.name == name]
        at = max(named, key=lambda i: float(found.use_by_case[i]))
        return PaneInCase(
            load_pa=float(found.load_by_case_pa[at]),
            stress_n_mm2=float(found.stress_by_case_n_mm2[at]),
            use=float(found.use_by_case[at]),
        )

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
    def firm(self) -> Figures:
        """Stiff enough, and no panes touch."""
        apart = (self.cavity_left_mm > 0) & np.logical_not(self.bends_too_far)
        return apart & (self.deflection_share <= 1)

    @property
    def passes(self) -> Figures:
        """Strong and stiff enough, and no panes touch."""
        return self.firm & (self.utilisation <= 1)

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
    unit: GlazingUnit,
    *,
    width_mm: Figures,
    height_mm: Figures,
    cases: Sequence[LoadCase],
    patterned: bool = False,
    work: Working | None = None,
) -> UnitCheck:
    """Check a make-up on panes of ``width`` by ``height`` held on four edges, for all cases (EN 16612).

    Sizes and the figures of a case are one value, or arrays with one a pane of glass. Which pane of an obscure unit
    is ``patterned`` is not known, so all of them count as weak. ``work`` takes the steps for every pane in the case
    that governs it, where one pane of glass is checked.

    Raises ``BadInput`` for sizes that glass is not made in.

    >>> from jambwright.checks.glass.cases import order_cases
    >>> from jambwright.frame import parse_glazing
    >>> found = check_unit(parse_glazing("4-16Ar-4"), width_mm=1000.0, height_mm=1500.0,
    ...     cases=order_cases(in_pa=863.0, out_pa=-700.0))
    >>> bool(found.passes), round(float(found.utilisation), 2)
    (True, 0.64)
    """
    size = PaneSize(width_mm=np.asarray(width_mm, dtype=float), height_mm=np.asarray(height_mm, dtype=float))
    raise_if_any(size.problems())
    figures = [figure for case in cases for figure in (*case.bending_pa, *case.design_pa)]
    shape = np.broadcast_shapes(size.area_mm2.shape, *(np.shape(figure) for figure in figures))
    climate = swollen(unit, size)
    by_wind = unit_loads(unit, size, wind_pa=1.0, isochoric_pa=0.0)
    bending = _pane_loads([case.bending_pa for case in cases], by_wind, climate, shape)
    design = _pane_loads([case.design_pa for case in cases], by_wind, climate, shape)
    bent_mm = [
        size.deflection_mm(effective_thicknesses_mm(pane)[0], load)
        for pane, load in zip(unit.panes, bending, strict=True)
    ]
    kmods = np.reshape([case.kmod for case in cases], (-1, *(1 for _ in shape)))
    panes = tuple(
        _pane_check(pane, size, load, kmods, bent, patterned)
        for pane, load, bent in zip(unit.panes, design, bent_mm, strict=True)
    )
    check = UnitCheck(
        panes=panes,
        unit_factor=one_or_all(np.broadcast_to(unit_factor_of(climate), shape)),
        cavity_left_mm=_cavity_left_mm(unit, bent_mm),
        cases=tuple(cases),
    )
    if work:
        _note_unit(work, unit, size, check)
        for number, load in enumerate(bending):
            _note_pane(work, unit.panes[number], number, size, check, load, patterned)
    return check


def _cavity_left_mm(unit: GlazingUnit, bent_mm: list[Floats]) -> Figures:
    """Least width left of any cavity in any case, from the deflections (cases, openings) of the panes."""
    left = [np.full(bent_mm[0].shape, np.inf)]
    for cavity, outer, inner in zip(unit.cavities, bent_mm, bent_mm[1:], strict=False):
        left.append(cavity.gap_mm - (outer - inner))
    return one_or_all(np.min(left, axis=(0, 1)))


def _pane_loads(
    cases: Sequence[tuple[Figures, Figures]], blown: UnitLoads, swelled: UnitLoads, shape: tuple[int, ...]
) -> list[Floats]:
    """Loads under winds and isochoric pressures, one array (cases, openings) a pane. The problem is linear."""
    wind, climate = (
        np.stack([np.broadcast_to(each, shape) for each in part]) for part in zip(*cases, strict=True)
    )
    return [
        blown.pane_pa[..., i] * wind + swelled.pane_pa[..., i] * climate
        for i in range(blown.pane_pa.shape[-1])
    ]


def _pane_check(
    pane: Pane, size: PaneSize, load: Floats, kmods: Floats, bent_mm: Floats, patterned: bool
) -> PaneCheck:
    thickness = effective_thicknesses_mm(pane)[1]
    stress = size.stress_n_mm2(thickness, load)
    strength = np.broadcast_to(strength_of(pane.kind, kmods, patterned=patterned), load.shape)
    use = stress.most / strength
    worst = use.argmax(axis=0)

    def there(figures: Floats) -> Figures:
        return one_or_all(np.take_along_axis(figures, worst[np.newaxis], axis=0)[0])

    return PaneCheck(
        load_pa=there(load),
        stress_n_mm2=there(stress.most),
        centre_stress_n_mm2=there(stress.centre),
        design_strength_n_mm2=there(strength),
        utilisation=there(use),
        governing=one_or_all(worst),
        deflection_mm=one_or_all(np.abs(bent_mm).max(axis=0)),
        deflection_limit_mm=one_or_all(
            np.broadcast_to(deflection_limit_mm(short_side_mm=size.short_mm), worst.shape)
        ),
        bends_too_far=one_or_all(size.bends_too_far(thickness, load).any(axis=0)),
        load_by_case_pa=load,
        stress_by_case_n_mm2=stress.most,
        use_by_case=use,
    )


def _note_unit(work: Working, unit: GlazingUnit, size: PaneSize, check: UnitCheck) -> None:
    """How the cavities share, and what is left of them."""
    if not unit.cavities:
        return
    bulges = [size.bulge_mm3_pa(effective_thicknesses_mm(pane)[0]) for pane in unit.panes]
    volumes = [size.area_mm2 * cavity.gap_mm for cavity in unit.cavities]
    formula = (
        "1 / (1 + p_a Σ v / V)" if len(volumes) == 1 else "of the cavity that keeps most, solved together"
    )
    work.note("φ", formula, check.unit_factor, "-", ANNEX_C, bulge_mm3_pa=bulges, volume_mm3=volumes)
    work.note("cavity", "least width left at the centre", check.cavity_left_mm, "mm", ANNEX_C)


def _note_pane(
    work: Working, pane: Pane, number: int, size: PaneSize, check: UnitCheck, bending: Floats, patterned: bool
) -> None:
    """One pane in its governing case, and in the one that bends it most."""
    found, of = check.panes[number], f"_{number + 1}"
    case = check.cases[int(found.governing)]
    thin, strong = effective_thicknesses_mm(pane)
    work.note(
        f"q{of}", "exact sharing by the gas of the cavities", found.load_pa, "Pa", ANNEX_C,
        case=f"{case.name} {case.says}".strip(), wind_pa=case.wind_pa, wind_factor=case.wind_factor,
        wind_share=case.wind_share, climate_pa=case.climate_pa, climate_factor=case.climate_factor,
        climate_share=case.climate_share, altitude_pa=case.altitude_pa, altitude_factor=case.altitude_factor,
    )  # fmt: skip
    size.stress_n_mm2(strong, found.load_pa, work, of)
    work.step(
        f"f_g,d{of}", design_strength_n_mm2, kmod=case.kmod, surface=surface_factor(patterned=patterned),
        characteristic_n_mm2=characteristic_of(pane.kind, patterned=patterned),
    )  # fmt: skip
    work.note(f"σ/f{of}", "σ / f_g,d", found.utilisation, "-", design_strength_n_mm2.source)
    size.deflection_mm(thin, bending[np.abs(bending).argmax()], work, of)
    work.step(f"w_lim{of}", deflection_limit_mm, short_side_mm=size.short_mm)
