"""What the check of one make-up comes to in one light: it holds, wants advice, or does not hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from jambwright.basis import Clause, Working, table
from jambwright.checks.glass.cases import CLIMATE_ALONE, DECIDES, Factors, LoadCase, note_factors, wind_alone
from jambwright.checks.glass.check import UnitCheck, check_unit
from jambwright.checks.glass.pane import PaneSize
from jambwright.checks.glass.strength import design_strength_n_mm2
from jambwright.checks.rests import by_sources
from jambwright.checks.verdict import PartOfOpening, Rest, Verdict, Word, capped, settled
from jambwright.frame import GlazingUnit

RULE = "glass.strength"
TWO_SETS = "By the milder set of factors it holds: have the glass maker confirm it, or order it toughened."


@dataclass(frozen=True, slots=True, kw_only=True)
class DeclaredGlass:
    """The wind on a pane, and the wind that its maker declares it to bear."""

    wind_pa: float
    bears_pa: float
    by: str
    rest: Rest

    def verdict(self, modelled: Verdict) -> Verdict:
        """The declared value rules; the modelled one stands beside it."""
        holds = self.wind_pa <= self.bears_pa
        why = f"Wind of {self.wind_pa:.0f} Pa, declared for {self.bears_pa:.0f} Pa"
        why += f"; modelled {modelled.found:.0%} of what the glass bears."
        return settled(
            rule=modelled.rule, word="meets" if holds else "fails", found=self.wind_pa, limit=self.bears_pa,
            unit="Pa", why=why if holds else f"{why} Order stronger glass.", part=modelled.part,
            source=Clause(self.by, "", self.rest.how), rests_on=(self.rest,), working=modelled.working,
        )  # fmt: skip


def _by_recall(unit: GlazingUnit, factors: Factors) -> Rest:
    """Factors of the standard, and of a sealed unit the climate it swells in."""
    loads = table("glass_load_factors")
    names = ("glass_factors", "glass_actions", *(("glass_climate",) if unit.cavities else ()))
    sources = [rows.source(row) for rows in map(table, names) for row in rows]
    sources += [loads.source(row) for row in loads if row["factors"] == factors]
    return by_sources(
        "recalled factors of the standard",
        *sources,
        ask="ask the glass maker for his calculation of this pane",
    )


def glass_verdict(
    unit: GlazingUnit,
    *,
    width_mm: float,
    height_mm: float,
    cases: Sequence[LoadCase],
    milder: Sequence[LoadCase] = (),
    factors: Factors = DECIDES,
    patterned: bool = False,
    light: str | None = None,
    works: str = "",
    declared: DeclaredGlass | None = None,
) -> Verdict:
    """Does this make-up hold in a light, under ``cases`` of the set ``factors``, or by what is declared of it.

    ``milder`` are the cases of the other set: glass that falls under its climate alone, and by one set only, is
    advised. ``works`` says what was taken for the altitude of the works.
    """
    size = PaneSize(width_mm=width_mm, height_mm=height_mm)
    work = Working()
    note_factors(work, factors)
    check = check_unit(
        unit, width_mm=width_mm, height_mm=height_mm, cases=cases, patterned=patterned, work=work
    )
    found = judged(
        check, unit, size, milder=milder, factors=factors, patterned=patterned, light=light, works=works
    )
    found = replace(found, working=work)
    if declared:
        return declared.verdict(found)
    by = _by_recall(unit, factors)
    word, why = capped(found.word, found.why, (by,))
    return replace(found, word=word, why=why, rests_on=(by,))


def judged(
    check: UnitCheck,
    unit: GlazingUnit,
    size: PaneSize,
    *,
    milder: Sequence[LoadCase] = (),
    factors: Factors = DECIDES,
    patterned: bool = False,
    light: str | None = None,
    works: str = "",
) -> Verdict:
    """What the check of a make-up in one light comes to by sums alone, whatever its factors rest on.

    A unit narrower than the table ``glass_narrow`` that holds in the wind and falls under its climate alone is
    advised, not failed: hardly any narrow unit comes out by sums. So is one on which the two sets disagree.
    """
    word: Word = "meets" if check.passes else "fails"
    narrow = size.short_mm < narrow_mm(unit)
    climate = word == "fails" and _climate_decides(check, unit, size, patterned)
    if climate and (narrow or (milder and _holds(unit, size, milder, patterned))):
        word = "advise"
    of = f"{unit} of {size.width_mm:.0f} x {size.height_mm:.0f} mm"
    taken = [
        check.governing.says,
        *_cavity(check, unit, works),
        *(["every pane patterned"] if patterned else []),
    ]
    case = f"({check.governing.name}: {', '.join(taken)}; factors '{factors}', {_source_of(factors)})"
    return Verdict(
        rule=RULE,
        word=word,
        why=f"{of} {_said(word, check, unit, case, narrow=narrow)}",
        found=float(check.utilisation),
        limit=1.0,
        source=design_strength_n_mm2.source,
        part=PartOfOpening("light", light) if light else None,
    )


def narrow_mm(unit: GlazingUnit) -> float:
    """Short edge below which climate may break a sealed unit; 0 for single glass."""
    edges = [row["short_edge_mm"] for row in table("glass_narrow") if row["panes"] <= len(unit.panes)]
    return max(edges, default=0.0)


def _climate_decides(check: UnitCheck, unit: GlazingUnit, size: PaneSize, patterned: bool) -> bool:
    """Whether the glass is only too weak, most of all under climate without wind, and holds in wind alone."""
    if not check.firm or check.governing.name not in CLIMATE_ALONE:
        return False
    return _holds(unit, size, wind_alone(check.cases), patterned)


def _holds(unit: GlazingUnit, size: PaneSize, cases: Sequence[LoadCase], patterned: bool) -> bool:
    check = check_unit(
        unit, width_mm=size.width_mm, height_mm=size.height_mm, cases=cases, patterned=patterned
    )
    return bool(check.passes)


def _said(word: Word, check: UnitCheck, unit: GlazingUnit, case: str, *, narrow: bool) -> str:
    used = f"{float(check.utilisation):.0%} of what the glass bears {case}"
    if word == "meets":
        return f"holds: at most {used}."
    if word == "advise":
        what = _narrow_advice(check, unit) if narrow else TWO_SETS
        return f"holds in the wind, but climate alone comes to {used}. {what}"
    return f"does not hold: {'; '.join(check.faults())} {case}."


def _narrow_advice(check: UnitCheck, unit: GlazingUnit) -> str:
    """What to do about a narrow unit that falls under its climate."""
    weak = unit.panes[check.worst_pane].kind == "annealed"
    order = "order it toughened or with a narrower cavity" if weak else "order it with a narrower cavity"
    under = f"Sums come out so for most units with an edge under {narrow_mm(unit):g} mm"
    return f"{under}: {order}, or have the glass maker confirm it."


def _cavity(check: UnitCheck, unit: GlazingUnit, works: str) -> list[str]:
    """What the governing case took for the cavity: open to question, so it is told."""
    if not unit.cavities:
        return []
    climate, altitude = check.governing.climate_pa / 1e3, check.governing.altitude_pa / 1e3
    return [f"climate {climate:+.1f} kPa", f"altitude {altitude:+.1f} kPa{works}"]


def _source_of(factors: Factors) -> str:
    rows = table("glass_load_factors")
    source = rows.source(rows.find(factors=factors, factor="variable"))
    return f"{source.document}, {source.how}" if source.how == "from memory, low" else source.document
