"""The words and tables of a fit sheet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from jambwright.basis.tables import table
from jambwright.basis.units import show_mm
from jambwright.paper.blocks_drawing import BlocksView, figured, said_of
from jambwright.paper.elevation import glass_size
from jambwright.paper.gate_words import hold, state, work_hold
from jambwright.record import (
    AGAINST,
    COOL_C,
    EDGES,
    EVERY_PLACE,
    BarPlan,
    Carry,
    Face,
    OpeningRecord,
    Quantity,
    Sill,
    WorkStep,
    restrictor,
)

BY_COUNT = {"frame screw": "frame screws", "lug": "lugs", "sill screw": "sill screws", "end cap": "end caps"}
BY_SIZE = {"packer": "packers", "glazing block": "glazing blocks", "backing rod": "backing rod"}
FLOORS = ("ground floor", "first floor", "second floor", "third floor")
QUIET = ("meets", "advise")
"""Verdicts that do not have to be looked at before the work."""
SHOWN_MM = 0.5
"""A reading that the adjustment moved by less is not worth a figure."""


def words(plan: OpeningRecord) -> dict[str, Any]:
    """Everything on the sheet that is read rather than looked at."""
    chosen, order = plan.frame.chosen, plan.order
    sill = f"; {show_mm(order.overall_height.value)} high with its sill" if plan.frame.sill else ""
    return {
        "mark": plan.id,
        "name": plan.name,
        "order": state(plan),
        "ready": not plan.gates.shut,
        "where": where(plan),
        "note": plan.note,
        "made_of": f"{chosen.profile.title}, {chosen.colour}{_threshold(plan)}",
        "size": f"{show_mm(order.width.value)} × {show_mm(order.height.value)}",
        "size_means": f"frame, width × height in mm, viewed from outside{sill}",
        "behind": behind_nibs(plan),
        "laps": _laps(plan),
        "lights": _lights(plan),
        "carry": [*_carry(plan), *(note.short for note in plan.access if note.on == "carrying")],
        "fix": list(_fix(plan)),
        "hardware": list(_hardware(plan)),
        "take": _take(plan.quantities),
        "read": _read(plan),
        "why": " ".join(_why(plan)),
        "remarks": _remarks(plan),
        "steps": [
            {"short": step.short, "wait": _wait(step), "remember": step.remember}
            for step in plan.fitting.steps
        ],
        "planned": list(_planned(plan)),
        "cautions": list(_cautions(plan)),
    }


def where(plan: OpeningRecord) -> str:
    """Room and floor of an opening."""
    return f"{plan.room}, {floor(plan.storey)}"


def floor(storey: int) -> str:
    """A floor in words, 0 the ground.

    >>> floor(1), floor(7)
    ('first floor', 'floor 7')
    """
    return FLOORS[storey] if storey < len(FLOORS) else f"floor {storey}"


def _cautions(plan: OpeningRecord) -> Iterator[str]:
    """The cautions, those that an access note says with figures by that note."""
    standing = [note for note in plan.access if note.on == "standing"]
    told = {note.instead_of: note.short for note in standing if note.instead_of}
    yield from (told.get(caution.key, caution.short) for caution in plan.cautions)
    yield from (note.short for note in standing if not note.instead_of)


def _lights(plan: OpeningRecord) -> list[list[str]]:
    """Way of opening, make-up, glass size, mass and handle height, one row for all lights alike."""
    marks: dict[tuple[str, ...], list[str]] = {}
    for light in plan.frame.layout.lights:
        wanted, ordered = light.wanted, plan.glass[light.mark]
        opens = light.moves.short
        if light.swings:
            opens += f", {light.swings}"
        kept = restrictor(wanted.restrictor)
        opens += f", {kept}" if kept else ""
        glass = ordered.make_up or "panel"
        glass += ", obscure" if ordered.obscure else ""
        size = glass_size(ordered.width.value, ordered.height.value)
        handle = show_mm(wanted.handle_height_mm) if light.opens and wanted.handle_height_mm else "–"
        marks.setdefault((opens, glass, size, f"{ordered.mass_kg:.0f}", handle), []).append(light.mark)
    return [[", ".join(alike), *row] for row, alike in marks.items()]


def threshold(plan: OpeningRecord) -> str:
    """Which threshold a door has; nothing for a window."""
    return plan.asked.threshold if plan.frame.chosen.kind == "door" else ""


def _threshold(plan: OpeningRecord) -> str:
    return f", {threshold(plan)} threshold" if threshold(plan) else ""


def _carry(plan: OpeningRecord) -> list[str]:
    """What is carried, its mass and by how many; pieces alike are told once."""
    alike: dict[tuple[str, str], list[str]] = {}
    for carried in plan.fitting.lifts.carried:
        said = (
            f"{', ' + carried.state if carried.state else ''} {carried.lift.mass_kg:.0f} kg, {_who(carried)}"
        )
        marks = alike.setdefault((carried.called, said), [])
        marks += [carried.light] if carried.light else []
    return [" ".join([called, ", ".join(marks)]).strip() + said for (called, said), marks in alike.items()]


def _who(carried: Carry) -> str:
    return f"{carried.people} people" if carried.people else "lifting aid"


def _fix(plan: OpeningRecord) -> Iterator[str]:
    """Kind and length of the fixings, the hole they want, how deep they sit, and how the head is held."""
    strength = plan.fitting.fixing_plan
    if strength is None or strength.fixing is None:
        if plan.fitting.fixings.left.held_by == "lug":
            yield "Lugs."
    else:
        wall = strength.fixing
        kind = table("fixing_kinds").find(fixing=wall.fixing)
        yield f"{kind['words'].capitalize()} in {wall.substrate.replace('_', ' ')}, {_lengths(strength.lengths_mm)}."
        yield f"Drill: {show_mm(kind['drill_mm'])} mm, {wall.drill}; {show_mm(wall.embedment_mm)} mm in the wall."
        if wall.warning:
            yield f"Mind: {wall.warning}."
    if head := _head(plan):
        yield head


def _lengths(lengths_mm: Mapping[Any, float]) -> str:
    sides: dict[float, list[str]] = {}
    for side, mm in lengths_mm.items():
        sides.setdefault(mm, []).append(side)
    return ", ".join(
        f"{show_mm(mm)} mm long" + (f" ({', '.join(marks)})" if len(sides) > 1 else "")
        for mm, marks in sides.items()
    )


def _hardware(plan: OpeningRecord) -> Iterator[str]:
    """Hinges, stays and vents by light, what sashes hang on, and where steel goes in."""
    sheet = plan.by_sheet
    yield from (f"{mark}: {hinge}" for mark, hinge in sheet.hinges.items())
    yield from (f"{mark} vent: {vent}" for mark, vent in sheet.vents.items())
    yield from (f"{each.light} hangs on {each}" for each in plan.frame.balances)
    if sheet.steel_in:
        yield f"Steel in: {', '.join(sheet.steel_in)}"


def _head(plan: OpeningRecord) -> str:
    """How the head is held where the lintel is not drilled."""
    head = plan.fitting.fixings.head
    if head.fixed_to == "side reveals":
        return f"Head: {len(head.positions_mm)} straps bent back into the side reveals, lintel not drilled."
    return "Head: not fixed, lintel not drilled." if head.fixed_to == "nothing" else ""


def _take(needed: Iterable[Quantity]) -> list[str]:
    """What to carry to the opening beside frame, glass and sill."""
    total: dict[tuple[str, str, str], float] = defaultdict(float)
    for q in needed:
        total[q.item, q.size, q.unit] += q.amount
    shown: dict[str, list[str]] = {}
    for (item, size, unit), amount in total.items():
        if item in BY_COUNT:
            shown.setdefault(BY_COUNT[item], []).append(f"{amount:.0f}")
        elif item in BY_SIZE:
            much = f"{amount:.1f} m" if unit == "m" else f"{amount:.0f}"
            shown.setdefault(BY_SIZE[item], []).append(f"{much} × {size}")
        elif unit in ("ml", "l"):
            shown.setdefault(item, []).append(f"{amount:.0f} ml" if unit == "ml" else f"{amount:.1f} l")
    return [f"{name} {', '.join(parts)}" for name, parts in shown.items()]


def _read(plan: OpeningRecord) -> list[str]:
    """The readings the sheet rests on, in the order they are taken, with what the adjustment moved each by."""
    lines = list(_face(plan.readings.outside))
    if plan.readings.inside:
        inside = list(_face(plan.readings.inside))
        lines += [f"inside {inside[0]}", *inside[1:]]
    read = [f"{name} {show_mm(mm)}" for name, mm in plan.readings.nibs_mm.items()]
    return [*lines, f"nibs {', '.join(read)}"] if read else lines


def _face(face: Face) -> Iterator[str]:
    by_place = {(r.kind, r.at): r for r in face.readings}
    for kind, places in EVERY_PLACE.items():
        taken = [
            f"{at.replace('_', ' ')} {show_mm(r.mm)}{_moved(r.residual_mm)}"
            for at in places
            if (r := by_place.get((kind, at)))
        ]
        if taken:
            yield f"{kind} {', '.join(taken)}"


def behind_nibs(plan: OpeningRecord) -> str:
    """How a frame in a rebated reveal goes in, and by how much it is larger than the hole outside."""
    sill = ", sill counted," if plan.frame.sill else ""
    if plan.lapped is None:
        return ""
    return f"In from inside, behind the nibs: {plan.lapped.larger}{sill} than the hole seen from outside"


def _laps(plan: OpeningRecord) -> str:
    """How far each nib stands over the frame."""
    laps = plan.lapped.laps_mm if plan.lapped else {}
    return ", ".join(f"{EDGES[side]} {_range(mm)}" for side, mm in laps.items())


def _range(mm: Sequence[float]) -> str:
    low, high = round(min(mm)), round(max(mm))
    return f"{low}" if low == high else f"{low} to {high}"


def _moved(residual_mm: float) -> str:
    return f" ({residual_mm:+.1f})" if abs(residual_mm) >= SHOWN_MM else ""


def gaps_in_words(plan: OpeningRecord) -> list[str]:
    """The true gaps, for a frame too narrow to figure them in the drawing."""
    return [
        f"{side} {', '.join(f'{place} {show_mm(mm)}' for place, mm in gaps.items())}"
        for side, gaps in plan.frame.size.gaps_mm.items()
    ]


def _why(plan: OpeningRecord) -> Iterator[str]:
    """The chance of going in, what the wind asks and how it is held, and the heat of the unit."""
    size = plan.frame.size
    if plan.readings.held:
        yield "The chance of going in is not known before the reveal is measured."
    else:
        yield f"Chance of going in {size.probability_fits:.1%}; tightest {size.governs}."
    if plan.wind:
        yield f"Wind {plan.wind.in_pa:.0f} Pa in, {-plan.wind.out_pa:.0f} Pa out."
    used = [v.found / v.limit for v in plan.checks if v.rule == "glass.strength" and v.limit]
    if used:
        yield f"Glass at {max(used):.0%} of its strength."
    yield from dict.fromkeys(_bar(bar) for bar in plan.fitting.bars)
    fixings = plan.fitting.fixing_plan
    if fixings and fixings.verdict.limit:
        yield f"Most loaded fixing {fixings.verdict.found:.0f} N (limit {fixings.verdict.limit:.0f} N)."
    unit = plan.heat.unit
    band = f", band {unit.band.band}" if unit.band else ""
    yield f"U {unit.real.u_w_m2k:.1f} W/m²K{band}."


def _bar(bar: BarPlan) -> str:
    """A bar and the steel that goes into it, or that none of those in the table makes it stiff enough."""
    if bar.reinforcement:
        return f"{bar.name}: {bar.reinforcement.section}."
    weak = bar.verdict.word in AGAINST
    return f"{bar.name}: {'no section that fits carries the wind' if weak else 'no reinforcement'}."


def _remarks(plan: OpeningRecord) -> list[str]:
    """What must be looked at before the work: what stops the order or the work, checks not met, the plan's remarks.

    Of what stops the whole house it tells what to do.
    """
    stops = (None if plan.ordered else hold(plan, brief=True), work_hold(plan, brief=True))
    return [*(stop for stop in stops if stop), *_looks(plan)]


def _looks(plan: OpeningRecord) -> Iterator[str]:
    yield from (v.sentence for v in plan.checks if v.word not in QUIET and not v.stops)
    yield from (remark.say for remark in plan.remarks)


def _wait(step: WorkStep) -> str:
    """The least wait after a step, and that in the cool where it is longer."""
    if not step.wait_minutes:
        return ""
    cool = f", {_time(step.cool_minutes)} at {COOL_C:.0f} °C" if step.cool_minutes > step.wait_minutes else ""
    return f"wait {_time(step.wait_minutes)}{cool}"


def _time(minutes: float) -> str:
    return f"{minutes:.0f} min" if minutes < 120 else f"{minutes / 60:.0f} h"


def _planned(plan: OpeningRecord) -> Iterator[tuple[str, str]]:
    """The gaps at both ends of every side as planned, to be measured again once it is fitted."""
    for side, gaps in plan.frame.size.gaps_mm.items():
        first, *_, last = gaps
        for place in (first, last):
            yield f"{side}, {place}", show_mm(gaps[place])


def block_note(view: BlocksView) -> str:
    """Where the blocks stand, and by light those that stand elsewhere."""
    said = [f"Blocks {view.usual_mm:.0f} mm from the corners"]
    for light in view.lights:
        places = sorted({f"{b.from_corner_mm:.0f}" for b in view.blocks[light.mark] if figured(view, b)})
        said += [f"{light.mark} also {' and '.join(places)}"] if places else []
        thick = [said_of(view, light.mark, b) for b in view.blocks[light.mark]]
        said += [f"{light.mark} toe {text}" for text in thick if "thick" in text]
    return "; ".join(said) + "."


def sill_note(sill: Sill) -> str:
    """How to cut and fix the sill, in a line."""
    cut = f"notch {show_mm(sill.notch_along_mm)} × {show_mm(sill.notch_back_mm)} at both ends"
    return (
        f"Cut {show_mm(sill.length_mm)} from {show_mm(sill.depth_mm)} deep stock; "
        f"{cut if sill.notch_along_mm else 'ends square'}; screws from the left shoulder; "
        "caps bonded, bead at both ends."
    )
