"""A plan's record in the words and figures of the screens: looked up and formatted, never worked out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from jambwright.basis.units import show_mm
from jambwright.basis.working import Step
from jambwright.paper.figures import show_figure, show_input, show_unit
from jambwright.paper.gate_words import (
    HOUSE,
    SHUT,
    hold,
    instead,
    order_state,
    own_reasons,
    state,
    work_state,
)
from jambwright.paper.summary import band_words
from jambwright.readings import places
from jambwright.readings.asked import place_words
from jambwright.record import (
    GRAVITY,
    CuttingList,
    Estimate,
    Figure,
    Material,
    OpeningRecord,
    Part,
    PlanRecord,
    Reason,
    Unread,
    Verdict,
    gravest,
)
from jambwright.web.delivery_view import delivery_view

Plain = dict[str, Any]

GATES = ("ordering", "work")
PLACES = {"W/m²K": 2, "kg": 1}
"""Decimals by unit; none for the others."""


def plan_view(record: PlanRecord) -> Plain:
    """The whole plan as the screens show it."""
    buying = record.buying
    return {
        "plan_id": record.plan_id,
        "house": {
            "label": record.site.label,
            "figures": [figure_view(key, figure) for key, figure in record.figures.items()],
        },
        "stops": {name: list(_stopped(record, name)) for name in GATES},
        "openings": [_opening(each) for each in record.openings],
        "unread": [_unread(each) for each in record.unread],
        "wants": [want.say for want in record.wants],
        "remarks": [remark.say for remark in record.remarks],
        "verdicts": [verdict_view(v) for v in worst_first(record.rules)],
        "materials": [_material(each) for each in buying.to_buy] if buying else [],
        "cutting": [_cutting(each) for each in buying.cuts] if buying else [],
        "price": _price(record),
        "no_days": [problem.say for problem in record.days_missing],
    }


def _stopped(record: PlanRecord, name: str) -> Iterator[Plain]:
    """Whom a gate is shut for, for reasons of their own: the house first, then opening by opening."""
    if house := getattr(record.gates, name).reasons:
        reasons = [_with_figures(r, record.rules) for r in house]
        yield {"id": "", "name": HOUSE, "reasons": reasons, "instead": [], "missing": []}
    for each in record.every_opening:
        if own := own_reasons(each.gates, name):
            verdicts = each.verdicts if isinstance(each, OpeningRecord) else ()
            yield {
                "id": each.id,
                "name": each.name,
                "reasons": [_with_figures(reason, verdicts) for reason in own],
                "instead": _instead(each) if name == "ordering" else [],
                "missing": list(each.missing) if isinstance(each, Unread) else [],
            }


def stops_view(view: Plain) -> Plain:
    """Of a plan as the screens show it, only what stops the house and each of its openings."""
    said = ("word", "say", "opens", "whose", "places")
    house = {
        name: [
            {part: reason[part] for part in said}
            for each in view["stops"][name] if not each["id"]
            for reason in each["reasons"]
        ]
        for name in GATES
    }  # fmt: skip
    told = ("state", "stops", "instead", "ordered", "delivery")
    of_openings = {
        each["id"]: {part: each[part] for part in told} for each in (*view["openings"], *view["unread"])
    }
    return {"house": house, "openings": of_openings}


def reason_view(reason: Reason) -> Plain:
    """One reason that shuts a gate: whose it is, the finding, and what opens the gate."""
    fields = {"word": reason.word, "say": reason.say, "opens": reason.opens}
    return fields | {"whose": HOUSE if reason.house else "", "places": places_view(reason.places)}


def _with_figures(reason: Reason, verdicts: Iterable[Verdict]) -> Plain:
    """A reason with what its finding asks, found and limit, so that it can be told in a line."""
    of = (v for v in verdicts if v.rule == reason.rule and v.sentence == reason.say)
    verdict = next(of, None)
    told = {"asks": verdict.asks or verdict.rule, **_figures(verdict)} if verdict else {"asks": ""}
    return reason_view(reason) | told


def _figures(verdict: Verdict) -> Plain:
    """What was found against which limit, each with its unit, and how the limit binds."""
    unit = show_unit(verdict.unit)
    shown = ["" if value is None else show_figure(value) for value in (verdict.found, verdict.limit)]
    if shown[0] == shown[1] and isinstance(verdict.found, float) and verdict.found != verdict.limit:
        shown[0] = (
            f"{verdict.found:.7g}"  # as close as 1.4002 to 1.4: both alike would not tell what is broken
        )
    found, limit = (f"{text} {unit}".rstrip() if text else "" for text in shown)
    return {"found": found, "relation": verdict.relation, "limit": limit}


def places_view(paths: Iterable[str]) -> list[Plain]:
    """Fields of the readings file that mend a finding, with their words."""
    return [{"path": path, "words": place_words(places.parse(path))} for path in paths]


def _instead(opening: OpeningRecord | Unread) -> list[str]:
    return list(instead(opening)) if isinstance(opening, OpeningRecord) else []


def _gates(opening: OpeningRecord | Unread) -> Plain:
    """Both gates of an opening: what each says, and every reason, the house's too."""
    gates = opening.gates
    ordering = order_state(opening) if isinstance(opening, OpeningRecord) else SHUT["ordering"]
    return {
        "state": {"ordering": ordering, "work": work_state(gates)},
        "stops": {name: [reason_view(r) for r in getattr(gates, name).reasons] for name in GATES},
        "instead": _instead(opening),
        "ordered": isinstance(opening, OpeningRecord) and opening.ordered and not opening.remake,
    }


def _unread(opening: Unread) -> Plain:
    return {
        "id": opening.id,
        "room": opening.room,
        "missing": list(opening.missing),
        **_gates(opening),
        "delivery": None,
    }


def _opening(opening: OpeningRecord) -> Plain:
    frame = opening.frame
    return {
        "id": opening.id,
        "room": opening.room,
        "elevation": opening.elevation,
        **_gates(opening),
        "delivery": delivery_view(opening.delivery),
        "said": state(opening),
        "hold": hold(opening),
        "word": gravest(list(opening.verdicts)),
        "kind": frame.chosen.kind,
        "profile": frame.chosen.profile.title,
        "colour": frame.chosen.colour,
        "glass": frame.chosen.glass,
        "figures": [figure_view(key, figure) for key, figure in opening.figures.items()],
        "band": band_words(opening.heat.unit.band) if opening.heat.unit.band else "",
        "gaps": {
            side: {at: show_mm(mm) for at, mm in gaps.items()} for side, gaps in frame.size.gaps_mm.items()
        },
        "lights": [
            {
                "mark": light.mark,
                "opens": light.wanted.opens,
                "glass": f"{show_mm(glass.width.value)} × {show_mm(glass.height.value)}",
                "glazing": glass.make_up or "",
            }
            for light in frame.layout.lights
            if (glass := opening.glass[light.mark])
        ],
        "pieces": [{"name": p.name, "kg": round(p.mass_kg, 1)} for p in frame.pieces],
        "verdicts": [verdict_view(v) for v in worst_first(opening.verdicts)],
        "remedies": [proposal.say for proposal in opening.proposed],
        "remarks": [
            *(remark.say for remark in opening.remarks),
            *opening.readings.say,
            *opening.readings.weakened,
        ],
        "cautions": [caution.text for caution in opening.cautions],
        "steps": [step.text for step in opening.fitting.steps],
    }


def _material(material: Material) -> Plain:
    where = {mark: f"{amount:.4g} {material.pack.unit}" for mark, amount in material.by_opening.items()}
    why = f"{material.needed:.4g} needed, {material.used:.4g} with waste, in whole packs"
    return {
        "name": material.name,
        "visit": material.visit,
        "pack": f"{material.pack.name}, {material.pack.size:g} {material.pack.unit}",
        "packs": {
            "key": "packs", "text": f"{material.packs}", "unit": "",
            "steps": [_said(why, where, material.pack.source)],
        },
        "left_over": f"{material.left_over:.3g} {material.pack.unit}",
    }  # fmt: skip


def _cutting(cuts: CuttingList) -> Plain:
    plan = cuts.plan
    given = {"pieces": f"{sum(piece.count for piece in cuts.job.pieces)}", "kerf": f"{cuts.job.kerf_mm:g} mm",
             "trim at each end": f"{cuts.job.trim_mm:g} mm", "longest first would take": f"{cuts.plainly}",
             "no plan takes fewer than": f"{plan.lower_bound:g}"}  # fmt: skip
    sure = ", proven" if plan.proven_optimal else ", best found in the time"
    least = _said(
        "fewest bars that hold all pieces" + sure, given, "Least stock, with a bound on every other plan"
    )
    lost = _said(
        "length in no piece, over length bought", given, "Least stock, with a bound on every other plan"
    )
    return {
        "name": f"{cuts.item} {cuts.size}".rstrip(),
        "count": {"key": "bars", "text": f"{len(plan.bars)}", "unit": "", "steps": [least]},
        "waste": {"key": "waste", "text": f"{100 * plan.waste_share:.0f}", "unit": "%", "steps": [lost]},
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


def _price(record: PlanRecord) -> Plain | None:
    if record.price_missing:
        return {"missing": [problem.say for problem in record.price_missing]}
    return _estimate(record.estimate) if record.estimate else None


def _estimate(estimate: Estimate) -> Plain:
    sums = ("cost", "earned", "net", "vat", "total")
    return {
        "missing": [],
        "sign": estimate.prices.sign,
        "parts": [_part(part) for part in estimate.parts],
        "sums": {name: str(getattr(estimate, name)) for name in sums},
        "valid_until": estimate.valid_until.isoformat(),
        "wrong_sizes": [{"name": each.name, "cost": str(each.cost)} for each in estimate.wrong_sizes],
        "wait": list(estimate.unsettled),
    }


def _part(part: Part) -> Plain:
    fields = ("kind", "what", "quantity", "unit", "each", "amount")
    return {
        "name": part.name,
        "detail": part.detail,
        "cost": str(part.cost),
        "price": str(part.price),
        "lines": [{name: str(getattr(line, name)) for name in fields} for line in part.lines],
    }


def bare_verdict(verdict: Verdict) -> Plain:
    """One verdict in a sentence."""
    return {
        "rule": verdict.rule,
        "asks": verdict.asks or verdict.rule,
        "word": verdict.word,
        "why": verdict.sentence,
        "places": places_view(verdict.places),
    }


def verdict_view(verdict: Verdict) -> Plain:
    """One verdict with its working and what it stops."""
    return bare_verdict(verdict) | {
        "stops": list(verdict.stops),
        "opens": verdict.opens,
        "cleared": verdict.cleared,
        **_figures(verdict),
        "source": str(verdict.source or ""),
        "how": verdict.source.how if verdict.source else "",
        "steps": [_step(step) for step in verdict.working],
    }


def figure_view(key: str, figure: Figure) -> Plain:
    """One figure with the steps that lead to it."""
    unit = show_unit(figure.unit)
    return {
        "key": key,
        "text": f"{figure.value:.{PLACES.get(unit, 0)}f}",
        "unit": unit,
        "steps": [_step(step) for step in figure.steps],
    }


def _step(step: Step) -> Plain:
    return {
        "text": f"{step.symbol} = {show_figure(step.value)} {show_unit(step.unit)}".rstrip(),
        "formula": step.formula,
        "inputs": ", ".join(show_input(name, value) for name, value in step.inputs.items()),
        "source": str(step.source),
        "how": step.source.how,
    }


def _said(formula: str, given: dict[str, str], source: Any) -> Plain:
    inputs = ", ".join(f"{name} {value}" for name, value in given.items())
    return {"text": "", "formula": formula, "inputs": inputs, "source": str(source), "how": ""}


def worst_first(verdicts: Iterable[Verdict]) -> Iterator[Verdict]:
    """The gravest first."""
    yield from sorted(verdicts, key=lambda v: -GRAVITY.index(v.word))
