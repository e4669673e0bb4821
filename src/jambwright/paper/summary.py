"""The plan of a house in plain text: what the terminal prints and `summary.txt` holds."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from operator import attrgetter
from textwrap import wrap

from jambwright.basis.units import show_mm
from jambwright.checks.heat import Band
from jambwright.checks.rule_needs import ON_DOUBTED
from jambwright.checks.rules_on_house import OpeningRules
from jambwright.checks.verdict import GRAVITY, Verdict
from jambwright.paper.fit_words import behind_nibs
from jambwright.paper.rule_words import short
from jambwright.plan.house import HousePlan, OpeningPlan

WIDTH = 100


def summary(house: HousePlan, money: Sequence[str] = ()) -> str:
    """One block an opening: size to order, sill, fixings, heaviest lift, and what to mind.

    ``money`` is what is said of the estimate; it stands at the end.
    """
    lines = [house.survey.site.label, house.survey.note, ""]
    for plan in house.openings:
        lines += [*_opening(plan), *_rules(house.rules_on(plan), doubted=not plan.to_order), ""]
    lines += ["The house and the work", *_found(house.rules.house), ""]
    heat = house.heat
    lines.append(
        f"Whole house: U {heat.u_w_m2k:.2f} W/m2K, energy index {heat.index_kwh_m2:+.0f}, band "
        f"{band_words(heat.band)}, weighted by area."
    )
    lines.append("Sizes are viewed from outside, millimetres, frame without sill unless said.")
    for line in money:
        lines += wrap(line, WIDTH, subsequent_indent="  ")
    return "\n".join(line for line in lines if line is not None) + "\n"


def band_words(band: Band) -> str:
    """The band, and the one it may turn to when the index is rounded."""
    return band.band if band.sure else f"{band.band} ({band.or_else} when rounded)"


def _rules(rules: OpeningRules, *, doubted: bool) -> Iterator[str]:
    """What is found against the order or not known, and how the order can be changed."""
    yield from _found(rules.verdicts)
    for number, choice in enumerate(rules.remedies.choices):
        yield from _wrapped(f"{'or' if number else 'Order instead'}: {choice.say}", "    ")
    if doubted and rules.remedies.choices:
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


def _opening(plan: OpeningPlan) -> Iterator[str]:
    frame, fitting = plan.frame, plan.fitting
    yield f"{plan.name}"
    if not plan.to_order:
        disagree = plan.advice.word == "measure again"
        yield f"  DO NOT ORDER: {'the readings disagree' if disagree else 'measure first'}."
        for say in plan.doubts:
            yield from wrap(say, WIDTH, initial_indent="  ! ", subsequent_indent="    ")
    verb = "order" if plan.to_order else "would be"
    size = f"  {verb} {show_mm(frame.width_mm)} x {show_mm(frame.height_mm)} {frame.chosen.kind}"
    size += f", {frame.chosen.profile.name}, {frame.chosen.colour}"
    if frame.sill:
        size += f"; sill {show_mm(frame.sill.length_mm)} long, {show_mm(frame.sill.depth_mm)} deep"
    yield size
    if plan.lapped:
        yield from _wrapped(f"{behind_nibs(plan)}.")
    heaviest = fitting.lifts.heaviest
    who = f"{heaviest.people} people" if heaviest.people else "lifting aid"
    yield (
        f"  {fitting.fixings.count} fixings, {len(fitting.packers)} packing points; "
        f"heaviest lift {heaviest.lift.mass_kg:.1f} kg, {heaviest.name}: {who}"
    )
    unit = plan.heat.unit
    yield (
        f"  U {unit.real.u_w_m2k:.2f} W/m2K ({unit.reference.u_w_m2k:.2f} at the reference size), "
        f"energy index {unit.index_kwh_m2:+.0f}, band {band_words(unit.band)}"
    )
    yield from _not_quiet(plan.verdicts, attrgetter("sentence"))
    for remark in plan.remarks:
        yield from wrap(remark.say, WIDTH, initial_indent="  ! ", subsequent_indent="    ")
    yield from wrap(
        "Mind: " + ", ".join(caution.key.replace("_", " ") for caution in plan.cautions),
        WIDTH,
        initial_indent="  ",
        subsequent_indent="    ",
    )
