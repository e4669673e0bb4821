"""A plan as plain values for the screens: every figure with its unit and with why it is what it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from jambwright.basis.clause import Clause
from jambwright.basis.units import show_mm
from jambwright.basis.working import Step
from jambwright.checks.rules_on_house import OpeningRules
from jambwright.checks.verdict import GRAVITY, Verdict, gravest
from jambwright.paper.before_ordering import hold
from jambwright.paper.figures import show_figure, show_input, show_unit
from jambwright.plan.buying import plan_buying
from jambwright.plan.crew.days import CrewDays
from jambwright.plan.cutting_list import CuttingList
from jambwright.plan.house import HousePlan, OpeningPlan
from jambwright.plan.materials import Material
from jambwright.plan.prices import Prices
from jambwright.web.price_view import price_view

Plain = dict[str, Any]

LARGEST = Clause("Largest true rectangle in the adjusted outline", "", "calculated")
HEAT = Clause("EN ISO 10077-1", "", "from memory, high")
INDEX = Clause("Window energy index, published UK formula", "", "from memory, high")
MASSES = Clause("Sum of the pieces", "", "calculated")
CUTTING = Clause("Least stock, with a bound on every other plan", "", "calculated")
PLACED = Clause("Rules of corner and centre distances, and the wind", "", "calculated")


def plan_view(plan: HousePlan, prices: Prices | None = None, days: CrewDays | None = None) -> Plain:
    """The whole plan, with an estimate where there are prices; materials by the crew's days where they are known."""
    buying = plan_buying(plan.openings, days.calls() if days else None)
    return {
        "house": {
            "label": plan.survey.site.label,
            "figures": [
                _figure(
                    "u",
                    plan.heat.u_w_m2k,
                    "W/m²K",
                    2,
                    HEAT,
                    "area-weighted mean of the units",
                    _unit_us(plan),
                ),
                _figure(
                    "index", plan.heat.index_kwh_m2, "kWh/m²", 0, INDEX, "area-weighted mean of the units", {}
                ),
                _figure("band", plan.heat.band.band, "", 0, INDEX, "band the index falls in", {}),
            ],
        },
        "openings": [_opening(each, plan.rules_on(each)) for each in plan.openings],
        "verdicts": [verdict_view(v) for v in _worst_first(plan.rules.house)],
        "materials": [_material(each) for each in buying.to_buy],
        "cutting": [_cutting(each) for each in buying.cuts],
        "price": price_view(plan, buying.whole, prices) if prices else None,
    }


def _unit_us(plan: HousePlan) -> Plain:
    return {each.opening.id: round(each.heat.unit.real.u_w_m2k, 2) for each in plan.openings}


def _opening(plan: OpeningPlan, rules: OpeningRules) -> Plain:
    frame = plan.frame
    verdicts = [*plan.verdicts, *rules.verdicts]
    return {
        "id": plan.opening.id,
        "room": plan.opening.room,
        "elevation": plan.opening.elevation,
        "to_order": plan.to_order,
        "hold": hold(plan, rules),
        "word": gravest(verdicts),
        "kind": frame.chosen.kind,
        "profile": frame.chosen.profile.name,
        "colour": frame.chosen.colour,
        "glass": frame.chosen.glass,
        "figures": [*_sizes(plan), *_fitting(plan), *_heat(plan)],
        "gaps": {
            side: {at: show_mm(mm) for at, mm in gaps.items()} for side, gaps in frame.size.gaps_mm.items()
        },
        "lights": [_light(plan, mark) for mark in frame.glazing],
        "pieces": [{"name": p.name, "kg": round(p.mass_kg, 1)} for p in frame.pieces],
        "verdicts": [verdict_view(v) for v in _worst_first(verdicts)],
        "remedies": [choice.say for choice in rules.remedies.choices],
        "remarks": [*(p.say for p in plan.remarks), *plan.advice.say],
        "cautions": [caution.text for caution in plan.cautions],
        "steps": [step.text for step in plan.fitting.steps],
    }


def _sizes(plan: OpeningPlan) -> Iterable[Plain]:
    frame, size = plan.frame, plan.frame.size
    read = {
        f"{r.kind} {r.at}": f"{show_mm(r.mm)} read, {r.adjusted_mm:.1f} adjusted"
        for r in plan.outline.readings
    }
    given = {"governs": size.governs, "chance that it goes in": f"{size.probability_fits:.1%}", **read}
    yield _figure(
        "order_width", frame.width_mm, "mm", 0, LARGEST, "largest width with the gaps, rounded down", given
    )
    yield _figure(
        "order_height", frame.height_mm, "mm", 0, LARGEST, "largest height with the gaps less the sill", given
    )
    yield _figure(
        "overall_height", size.overall_height_mm, "mm", 0, LARGEST, "order height + sill height",
        {"order height": show_mm(frame.height_mm), "sill height": show_mm(size.sill_height_mm)},
    )  # fmt: skip
    if frame.sill:
        sill = frame.sill
        given = {"ends": sill.ends, "between the reveals": show_mm(sill.reveal_length_mm)}
        yield _figure(
            "sill_length", sill.length_mm, "mm", 0, LARGEST, "between the reveals and the horns", given
        )
        yield _figure(
            "sill_depth", sill.depth_mm, "mm", 0, LARGEST, "from stock, the drip clear of the wall", {}
        )


def _fitting(plan: OpeningPlan) -> Iterable[Plain]:
    fitting, frame = plan.fitting, plan.frame
    masses = {piece.name: f"{piece.mass_kg:.1f} kg" for piece in frame.pieces}
    heaviest = fitting.lifts.heaviest
    yield _figure("whole_kg", frame.whole_kg, "kg", 1, MASSES, "frame, sashes and glass", masses)
    yield _figure(
        "heaviest_kg", heaviest.lift.mass_kg, "kg", 1, MASSES, f"heaviest lift: {heaviest.name}", {}
    )
    sides = {str(side.side): ", ".join(show_mm(at) for at in side.positions_mm) for side in fitting.fixings}
    yield _figure(
        "fixings", fitting.fixings.count, "", 0, PLACED, "positions from the bottom or left end, mm", sides
    )
    yield _figure("packing_points", len(fitting.packers), "", 0, PLACED, "under fixings and at corners", {})


def _heat(plan: OpeningPlan) -> Iterable[Plain]:
    unit = plan.heat.unit
    areas = {"glass": f"{unit.real.glass_m2:.3f} m²", "frame": f"{unit.real.frame_m2:.3f} m²",
             "panels": f"{unit.real.panels_m2:.3f} m²"}  # fmt: skip
    yield _figure(
        "u", unit.real.u_w_m2k, "W/m²K", 2, HEAT, "areas × U + edges × ψ, over the whole area", areas
    )
    yield _figure(
        "index", unit.index_kwh_m2, "kWh/m²", 0, INDEX, "gain by the sun less loss, at the reference size", {}
    )
    yield _figure("band", unit.band.band, "", 0, INDEX, "band the index falls in", {})


def _cutting(cuts: CuttingList) -> Plain:
    plan = cuts.plan
    given = {"pieces": sum(piece.count for piece in cuts.job.pieces), "kerf": f"{cuts.job.kerf_mm:g} mm",
             "trim at each end": f"{cuts.job.trim_mm:g} mm", "longest first would take": cuts.plainly,
             "no plan takes fewer than": f"{plan.lower_bound:g}"}  # fmt: skip
    formula = "fewest bars that hold all pieces" + (
        ", proven" if plan.proven_optimal else ", best found in the time"
    )
    return {
        "name": f"{cuts.item} {cuts.size}".rstrip(),
        "count": _figure("bars", len(plan.bars), "", 0, CUTTING, formula, given),
        "waste": _figure(
            "waste", 100 * plan.waste_share, "%", 0, CUTTING, "length in no piece, over length bought", given
        ),
        "joined": list(cuts.joined),
        "bars": [
            {
                "stock_mm": bar.stock.length_mm,
                "offcut": show_mm(bar.offcut_mm),
                "cuts": [
                    {"label": cut.label, "mm": cut.length_mm, "text": show_mm(cut.length_mm)}
                    for cut in bar.cuts
                ],
            }
            for bar in plan.bars
        ],
    }


def _material(material: Material) -> Plain:
    where = {mark: f"{amount:.4g} {material.pack.unit}" for mark, amount in material.by_opening.items()}
    return {
        "name": material.name,
        "visit": material.visit,
        "pack": f"{material.pack.name}, {material.pack.size:g} {material.pack.unit}",
        "packs": _figure(
            "packs", material.packs, "", 0, material.pack.source,
            f"{material.needed:.4g} needed, {material.used:.4g} with waste, in whole packs", where,
        ),
        "left_over": f"{material.left_over:.3g} {material.pack.unit}",
    }  # fmt: skip


def _light(plan: OpeningPlan, mark: str) -> Plain:
    light = next(each for each in plan.frame.layout.lights if each.mark == mark)
    unit = plan.frame.glazing[mark]
    return {
        "mark": mark,
        "opens": light.wanted.opens,
        "glass": f"{show_mm(light.glass.width_mm)} × {show_mm(light.glass.height_mm)}",
        "glazing": str(unit) if unit else "",
    }


def verdict_view(verdict: Verdict) -> Plain:
    """One verdict with its working."""
    return {
        "rule": verdict.rule,
        "word": verdict.word,
        "why": verdict.sentence,
        "found": "" if verdict.found is None else show_figure(verdict.found),
        "limit": "" if verdict.limit is None else show_figure(verdict.limit),
        "unit": show_unit(verdict.unit),
        "source": str(verdict.source or ""),
        "how": verdict.source.how if verdict.source else "",
        "steps": [_step(step) for step in verdict.working],
    }


def _step(step: Step) -> Plain:
    return {
        "text": f"{step.symbol} = {show_figure(step.value)} {show_unit(step.unit)}".rstrip(),
        "formula": step.formula,
        "inputs": ", ".join(show_input(name, value) for name, value in step.inputs.items()),
        "source": str(step.source),
    }


def _worst_first(verdicts: Iterable[Verdict]) -> list[Verdict]:
    return sorted(verdicts, key=lambda v: -GRAVITY.index(v.word))


def _figure(
    key: str, value: Any, unit: str, places: int, source: Clause, formula: str, inputs: Mapping[str, Any]
) -> Plain:
    text = value if isinstance(value, str) else f"{value:.{places}f}"
    why = {
        "formula": formula,
        "inputs": {k: str(v) for k, v in inputs.items()},
        "source": str(source),
        "how": source.how,
    }
    return {"key": key, "text": text, "unit": unit, "why": why}
