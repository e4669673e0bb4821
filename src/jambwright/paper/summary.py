"""The plan of a house in plain text: what the terminal prints and `summary.txt` holds."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from operator import attrgetter
from textwrap import wrap

from jambwright.basis.units import show_mm
from jambwright.paper.estimate import estimate_words, missing_words
from jambwright.paper.fit_words import behind_nibs
from jambwright.paper.gate_words import ON_DOUBTED, state, stops
from jambwright.paper.rule_words import short
from jambwright.record import GRAVITY, Band, OpeningRecord, PlanRecord, Verdict

WIDTH = 100


def summary(record: PlanRecord) -> str:
    """What stops the work; then one block an opening: size to order, sill, fixings, heaviest lift, what to mind."""
    lines = [record.site.label, record.site.note, f"Plan {record.plan_id}", "", *_stops(record)]
    for each in record.issued:
        lines.append(
            f"{each.id} {each.room}: {show_mm(each.width_mm)} x {show_mm(each.height_mm)} {each.kind}"
        )
    for opening in record.openings:
        lines += [*_opening(opening), *_rules(opening), ""]
    lines += ["The house and the work", *_found(record.rules), ""]
    heat = record.heat
    for remark in record.remarks:
        lines += _wrapped(f"Look again: {remark.say}", "")
    if heat:
        lines.append(
            f"Whole house: U {heat.u_w_m2k:.2f} W/m2K"
            + ("" if heat.index_kwh_m2 is None else f", energy index of the windows {heat.index_kwh_m2:+.0f}")
            + ", weighted by area."
        )
    lines.append("Sizes are viewed from outside, millimetres, frame without sill unless said.")
    money = estimate_words(record.estimate) if record.estimate else missing_words(record.price_missing)
    for line in (*money, *(f"No days: {problem.say}" for problem in record.days_missing)):
        lines += wrap(line, WIDTH, subsequent_indent="  ")
    return "\n".join(line for line in lines if line is not None) + "\n"


def _stops(record: PlanRecord) -> Iterator[str]:
    """The gates that are shut, house first; that none is, where that is so."""
    said = [*stops(record, "ordering"), *stops(record, "work")]
    for heading, why in said:
        yield from _wrapped(f"{heading} {why}", "! ")
    if not said:
        yield "Nothing stops the order or the work."
    yield ""


def band_words(band: Band) -> str:
    """The band, and the one it may turn to when the index is rounded."""
    return band.band if band.sure else f"{band.band} ({band.or_else} when rounded)"


def _rules(opening: OpeningRecord) -> Iterator[str]:
    """What is found against the order or not known, and how the order can be changed."""
    yield from _found(opening.rules)
    for number, proposal in enumerate(opening.proposed, 1):
        yield from _wrapped(
            f"{'Order instead' if number == 1 else 'or'}, proposal {number}: {proposal.say}", "    "
        )
    if opening.proposed and not opening.readings.agree:
        yield from _wrapped(ON_DOUBTED, "    ")


def _found(verdicts: Sequence[Verdict]) -> Iterator[str]:
    """One line a finding that does not meet its rule; advice is only counted."""
    yield from _not_quiet(verdicts, short)
    advised = sum(verdict.word == "advise" for verdict in verdicts)
    if advised:
        yield f"  advise: {advised} more in findings.pdf"


def _not_quiet(verdicts: Sequence[Verdict], say: Callable[[Verdict], str]) -> Iterator[str]:
    for word in reversed(GRAVITY[2:]):
        for said in dict.fromkeys(say(v) for v in verdicts if v.word == word):
            yield from _wrapped(f"{word}: {said}")


def _wrapped(text: str, indent: str = "  ") -> list[str]:
    return wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ")


def _opening(opening: OpeningRecord) -> Iterator[str]:
    frame, fitting, order = opening.frame, opening.fitting, opening.order
    yield f"{opening.name}: {state(opening)}"
    size = f"  {show_mm(order.width.value)} x {show_mm(order.height.value)} {frame.chosen.kind}"
    size += f", {frame.chosen.profile.title}, {frame.chosen.colour}"
    if order.sill_length and order.sill_depth:
        size += f"; sill {show_mm(order.sill_length.value)} long, {show_mm(order.sill_depth.value)} deep"
    yield size
    if opening.lapped:
        yield from _wrapped(f"{behind_nibs(opening)}.")
    heaviest = fitting.lifts.heaviest
    who = f"{heaviest.people} people" if heaviest.people else "lifting aid"
    yield (
        f"  {fitting.fixings.count} fixings, {len(fitting.packers)} packing points; "
        f"heaviest lift {heaviest.lift.mass_kg:.1f} kg, {heaviest.name}: {who}"
    )
    unit = opening.heat.unit
    yield (
        f"  U {unit.real.u_w_m2k:.2f} W/m2K ({unit.reference.u_w_m2k:.2f} at the reference size)"
        + (f", energy index {unit.index_kwh_m2:+.0f}, band {band_words(unit.band)}" if unit.band else "")
    )
    yield from _not_quiet(opening.checks, attrgetter("sentence"))
    for say in (*opening.readings.weakened, *(remark.say for remark in opening.remarks)):
        yield from wrap(say, WIDTH, initial_indent="  ! ", subsequent_indent="    ")
    yield from wrap(
        "Mind: " + ", ".join(caution.key.replace("_", " ") for caution in opening.cautions),
        WIDTH,
        initial_indent="  ",
        subsequent_indent="    ",
    )
