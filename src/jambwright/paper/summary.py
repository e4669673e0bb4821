"""The plan of a house in plain text: what the terminal prints and `summary.txt` holds."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from jambwright.basis.units import show_mm
from jambwright.plan.house import HousePlan, OpeningPlan

WIDTH = 100


def summary(house: HousePlan) -> str:
    """One block an opening: size to order, sill, fixings, heaviest lift, and what to mind."""
    lines = [house.survey.site.label, house.survey.note, ""]
    for plan in house.openings:
        lines += [*_opening(plan), ""]
    lines.append("Sizes are viewed from outside, millimetres, frame without sill unless said.")
    return "\n".join(line for line in lines if line is not None) + "\n"


def _opening(plan: OpeningPlan) -> Iterator[str]:
    frame, fitting = plan.frame, plan.fitting
    yield f"{plan.name}"
    size = f"  order {show_mm(frame.width_mm)} x {show_mm(frame.height_mm)} {frame.chosen.kind}"
    size += f", {frame.chosen.profile.name}, {frame.chosen.colour}"
    if frame.sill:
        size += f"; sill {show_mm(frame.sill.length_mm)} long, {show_mm(frame.sill.depth_mm)} deep"
    yield size
    heaviest = fitting.lifts.heaviest
    who = f"{heaviest.people} people" if heaviest.people else "lifting aid"
    yield (
        f"  {fitting.fixings.count} fixings, {len(fitting.packers)} packing points; "
        f"heaviest lift {heaviest.lift.mass_kg:.1f} kg, {heaviest.name}: {who}"
    )
    for remark in plan.remarks:
        yield from wrap(remark.say, WIDTH, initial_indent="  ! ", subsequent_indent="    ")
    yield from wrap(
        "Mind: " + ", ".join(caution.key.replace("_", " ") for caution in plan.cautions),
        WIDTH,
        initial_indent="  ",
        subsequent_indent="    ",
    )
