"""The steps behind the check of one make-up in one opening, and its verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jambwright.basis import Clause, Working, table
from jambwright.checks.glass.cases import LoadCase
from jambwright.checks.glass.check import UnitCheck, check_unit
from jambwright.checks.glass.pane import (
    PaneSize,
    deflection_limit_mm,
    plate_deflection_mm,
    plate_stress_n_mm2,
)
from jambwright.checks.glass.plate import TABLE, deflection_factor, plate_load, stress_factors
from jambwright.checks.glass.strength import (
    EN_GLASS,
    characteristic_of,
    design_strength_n_mm2,
    effective_thicknesses_mm,
)
from jambwright.checks.glass.unit import unit_factor
from jambwright.checks.rests import by_sources
from jambwright.checks.verdict import Rest, Verdict, settled
from jambwright.frame import GlazingUnit

ANNEX_C = Clause(EN_GLASS, "Annex C", "from memory, high")


def unit_working(
    work: Working, unit: GlazingUnit, *, width_mm: float, height_mm: float, cases: Sequence[LoadCase]
) -> UnitCheck:
    """Note the steps for every pane in the case that governs it, figures only; gives the check itself."""
    check = check_unit(unit, width_mm=width_mm, height_mm=height_mm, cases=cases)
    size = PaneSize(width_mm=width_mm, height_mm=height_mm)
    if len(unit.cavities) == 1:
        bulge = sum(size.bulge_mm3_pa(effective_thicknesses_mm(pane)[0]) for pane in unit.panes)
        volume = size.area_mm2 * unit.cavities[0].gap_mm
        work.step("φ", unit_factor, bulge_mm3_pa=bulge, volume_mm3=volume)
    for number, _ in enumerate(unit.panes, start=1):
        _pane_steps(work, unit, size, check, cases, number)
    if unit.cavities:
        work.note("cavity", "least width left at the centre", check.cavity_left_mm, "mm", ANNEX_C)
    return check


def _pane_steps(
    work: Working, unit: GlazingUnit, size: PaneSize, check: UnitCheck, cases: Sequence[LoadCase], number: int
) -> None:
    pane, found = unit.panes[number - 1], check.panes[number - 1]
    case = cases[int(found.governing)]
    thin, strong = effective_thicknesses_mm(pane)
    area = size.area_mm2

    def name(symbol: str) -> str:
        return f"{symbol}_{number}"

    work.note(
        name("q"), "exact sharing by the gas of the cavities", found.load_pa, "Pa", ANNEX_C, case=case.name,
        wind_pa=case.wind_pa, wind_factor=case.wind_factor, isochoric_pa=case.isochoric_pa,
        climate_factor=case.climate_factor,
    )  # fmt: skip
    load = work.step(
        name("p*"), plate_load, area_mm2=area, thickness_mm=strong, load_n_mm2=abs(found.load_pa) / 1e6
    )
    factors = stress_factors(aspect=size.aspect, plate_load=load)
    source = table(TABLE).pedigree.source
    work.note(
        name("k_1"),
        "off the table, with the exact linear plate",
        factors.most,
        "-",
        source,
        aspect=size.aspect,
    )
    work.step(
        name("σ"),
        plate_stress_n_mm2,
        k1=factors.most,
        area_mm2=area,
        thickness_mm=strong,
        load_pa=found.load_pa,
    )
    work.step(
        name("f_g,d"),
        design_strength_n_mm2,
        characteristic_n_mm2=characteristic_of(pane.kind),
        kmod=case.kmod,
    )
    work.note(name("σ/f"), "σ / f_g,d", found.utilisation, "-", design_strength_n_mm2.source)
    bent = found.bending_load_pa
    load = work.step(name("p*,w"), plate_load, area_mm2=area, thickness_mm=thin, load_n_mm2=abs(bent) / 1e6)
    k4 = deflection_factor(aspect=size.aspect, plate_load=load)
    work.note(name("k_4"), "off the table, with the exact linear plate", k4, "-", source, aspect=size.aspect)
    work.step(name("w"), plate_deflection_mm, k4=k4, area_mm2=area, thickness_mm=thin, load_pa=bent)
    work.step(name("w_lim"), deflection_limit_mm, short_side_mm=size.short_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class DeclaredGlass:
    """The wind on a pane, and the wind that its maker declares it to bear."""

    wind_pa: float
    bears_pa: float
    by: str
    rest: Rest

    def verdict(self, modelled: Verdict, opening: str) -> Verdict:
        """The declared value rules; the modelled one stands beside it."""
        holds = self.wind_pa <= self.bears_pa
        why = f"{opening}: wind of {self.wind_pa:.0f} Pa, declared for {self.bears_pa:.0f} Pa"
        why += f"; modelled {modelled.found:.0%} of what the glass bears."
        return settled(
            rule=modelled.rule, word="meets" if holds else "fails", found=self.wind_pa, limit=self.bears_pa,
            unit="Pa", why=why if holds else f"{why} Order stronger glass.", source=Clause(self.by, "", self.rest.how),
            rests_on=(self.rest,), working=modelled.working,
        )  # fmt: skip


def _by_recall(unit: GlazingUnit) -> Rest:
    """Factors of the standard, and of a sealed unit the climate it swells in."""
    names = ("glass_factors", "glass_actions", *(("glass_climate",) if unit.cavities else ()))
    tables = [table(name) for name in names]
    return by_sources(
        "recalled factors of the standard",
        *(rows.source(row) for rows in tables for row in rows),
        ask="ask the glass maker for his calculation of this pane",
    )


def glass_verdict(
    opening: str,
    unit: GlazingUnit,
    *,
    width_mm: float,
    height_mm: float,
    cases: Sequence[LoadCase],
    declared: DeclaredGlass | None = None,
) -> Verdict:
    """Does this make-up hold in this opening: ``opening`` is its name as the fitter knows it."""
    work = Working()
    check = unit_working(work, unit, width_mm=width_mm, height_mm=height_mm, cases=cases)
    worst = max(check.panes, key=lambda pane: float(pane.utilisation))
    found = float(check.utilisation)
    case = cases[int(worst.governing)].name
    size = f"{width_mm:.0f} x {height_mm:.0f} mm"
    if check.passes:
        why = f"{opening}: {unit} of {size} holds; at most {found:.0%} of what the glass bears ({case})."
    else:
        faults = "; ".join(check.faults())
        why = f"{opening}: {unit} of {size} does not hold: {faults} ({case}). Order stronger glass."
    modelled = settled(
        rule="glass.strength", word="meets" if check.passes else "fails", why=why, found=found, limit=1.0,
        source=design_strength_n_mm2.source, rests_on=(_by_recall(unit),), working=work,
    )  # fmt: skip
    return declared.verdict(modelled, opening) if declared else modelled
