"""Fixing positions and screw bending by name."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Annotated

import numpy as np
from pydantic import Field

from jambwright.basis import Problem, Working, table
from jambwright.basis.border import NotNegative, Positive, Strict
from jambwright.basis.problems import raise_if_any
from jambwright.calc.calculation import Answer, Calculation, ProblemLine
from jambwright.checks.fixings import Edges, grid, screw
from jambwright.checks.fixings.beam import THREE_MOMENTS
from jambwright.checks.fixings.pane_loads import SHED
from jambwright.plan import HeldFrame, Rules, fixing_layout, held_frame, house_rules, strengthened
from jambwright.plan.fixing_layout import NHBC, FixingLayout, Head


class RulesInput(Strict):
    """Rules of position; the house's where left out."""

    edge: Annotated[float, Field(ge=10, le=1000)] | None = None
    """Corner to the first fixing, mm."""
    centres: Annotated[float, Field(ge=50, le=3000)] | None = None
    """Farthest apart, mm."""
    clear: Annotated[float, Field(ge=0, le=1000)] | None = None
    """From the centre line of a mullion or transom, mm."""
    minimum: Annotated[int, Field(ge=1, le=50)] | None = None
    """Fixings a side at least; when given it replaces the house's figures on every side."""


class LayoutInput(Strict):
    """A frame to be fixed."""

    width_mm: Annotated[float, Field(gt=0, le=20_000)]
    height_mm: Annotated[float, Field(gt=0, le=20_000)]
    mullions_mm: Annotated[list[Positive], Field(max_length=40)] = []
    """Centre lines from the left; mullions run through, transoms stand between them."""
    transoms_mm: Annotated[list[Positive], Field(max_length=40)] = []
    """Centre lines from the bottom."""
    rules: RulesInput = RulesInput()
    head: Head = "drilled"
    """`drilled` by the common rule; where the lintel may not be drilled and the width asks, `straps` into the side
    reveals or `by_width` lugs that its maker allows; `none`."""
    wind_pa: NotNegative | None = None
    """Size of the net pressure; in and out load the fixings alike."""
    fixing_resistance_n: Positive | None = None


class Reactions(Answer):
    """Wind on each fixing, in the order of the positions."""

    left: list[float]
    right: list[float]
    head: list[float]
    sill: list[float]


class LayoutAnswer(Answer):
    """Positions: jambs up from the bottom of the frame, head and sill from the left."""

    left_mm: list[float]
    right_mm: list[float]
    head_mm: list[float]
    sill_mm: list[float]
    held_by: dict[str, str]
    fixed_to: dict[str, str]
    """`wall`, `lintel`, `side reveals` or `nothing`."""
    ask_lintel_maker_mm: list[float]
    """Where the width asks for a fixing in a lintel that only its maker can allow."""
    reactions_n: Reactions | None = None
    """With `wind_pa` only."""
    largest_reaction_n: float | None = None
    problems: list[ProblemLine]


def _rules(given: RulesInput) -> Rules:
    rules = house_rules()
    edge = given.edge or rules.edge_mm
    rules = replace(
        rules, edge_mm=edge, edge_most_mm=max(edge, rules.edge_most_mm),
        centres_mm=given.centres or rules.centres_mm,
        clear_mm=rules.clear_mm if given.clear is None else given.clear,
    )  # fmt: skip
    if given.minimum is None:
        return rules
    n = given.minimum
    return replace(rules, jamb_minimum=n, sill_minimum=n, head_minimum=n, jamb_habit=n)


def _check_layout(given: LayoutInput) -> None:
    problems = []
    for name, bars, length in (
        ("mullions_mm", given.mullions_mm, given.width_mm),
        ("transoms_mm", given.transoms_mm, given.height_mm),
    ):
        problems += [
            Problem(name, f"{name}: {x:g} is not inside the frame of {length:g} mm; measure it from the "
                    f"{'left' if name == 'mullions_mm' else 'bottom'}.")
            for x in bars if x >= length
        ]  # fmt: skip
        if len(set(bars)) < len(bars):
            problems.append(Problem(name, f"{name}: two bars stand in one place; remove one."))
    if given.fixing_resistance_n is not None and given.wind_pa is None:
        problems.append(
            Problem("wind_pa", "wind_pa: is missing; a resistance alone says nothing. Give the design wind.")
        )
    raise_if_any(problems)


def _edges(given: LayoutInput) -> Edges:
    x = [0.0, *sorted(given.mullions_mm), given.width_mm]
    y = [0.0, *sorted(given.transoms_mm), given.height_mm]
    return grid(widths_mm=np.diff(x).tolist(), heights_mm=np.diff(y).tolist(), pressure_pa=given.wind_pa)


def _held(given: LayoutInput) -> FixingLayout | HeldFrame:
    _check_layout(given)
    rules = _rules(given.rules)

    lay = partial(
        fixing_layout, width_mm=given.width_mm, height_mm=given.height_mm, mullions_mm=given.mullions_mm,
        transoms_mm=given.transoms_mm, rules=rules, head=given.head,
    )  # fmt: skip
    if given.wind_pa is None:
        return lay()
    edges = _edges(given)
    held = held_frame(lay(), edges)
    if given.fixing_resistance_n is None:
        return held
    return strengthened(
        held, lay, edges=edges, resistance_n=given.fixing_resistance_n, closest_mm=rules.closest_mm
    )


def _layout(given: LayoutInput, work: Working) -> LayoutAnswer:
    found = _held(given)
    layout = found.layout if isinstance(found, HeldFrame) else found
    _note_layout(work, given, found, layout)
    wind = (
        {
            "reactions_n": {s: list(r) for s, r in found.reactions_n.items()},
            "largest_reaction_n": found.largest_n,
        }
        if isinstance(found, HeldFrame)
        else {}
    )
    return LayoutAnswer.model_validate(
        {f"{side.side}_mm": list(side.positions_mm) for side in layout}
        | {"held_by": {side.side: side.held_by for side in layout}}
        | {"fixed_to": {side.side: side.fixed_to for side in layout}}
        | {"ask_lintel_maker_mm": list(layout.head.ask_maker_mm)}
        | wind
        | {"problems": [ProblemLine.of(p) for p in found.problems]}
    )


def _note_layout(
    work: Working, given: LayoutInput, found: FixingLayout | HeldFrame, layout: FixingLayout
) -> None:
    """The rules, the places they lead to, and what the wind does there."""
    rules, rows = _rules(given.rules), table("fixing_rules")
    for name, value in (
        ("edge_mm", rules.edge_mm),
        ("centres_mm", rules.centres_mm),
        ("clear_mm", rules.clear_mm),
    ):
        row = rows.find(name=name)
        work.note(name.removesuffix("_mm"), "", value, "mm", rows.source(row), house=row["house"],
                  published_most=row["published_most"], published_least=row["published_least"])  # fmt: skip
    for side in layout:
        work.note(side.side, "fewest that keep the rules, evenly spread", list(side.positions_mm), "mm", NHBC)
    if isinstance(found, HeldFrame):
        area = given.width_mm * given.height_mm / 1e6
        work.note("W", "p A", given.wind_pa * area, "N", SHED, wind_pa=given.wind_pa, area_m2=area)  # type: ignore[operator]  # held frames have wind
        for name, reactions in found.reactions_n.items():
            work.note(
                f"R_{name}",
                "the side as a continuous beam over its fixings",
                list(reactions),
                "N",
                THREE_MOMENTS,
            )
        total = sum(sum(r) for r in found.reactions_n.values())
        work.note("ΣR", "must equal W", total, "N", THREE_MOMENTS)


class ScrewInput(Strict):
    """A screw that stands across the gap between wall and frame."""

    root_diameter_mm: Positive
    shear_n: NotNegative
    lever_mm: NotNegative
    """From half the diameter inside the wall to the middle of the grip in the frame."""
    head: screw.ScrewHead
    """`held` only where the frame is proven to keep the head square."""
    fu_n_mm2: Positive
    e_n_mm2: Positive = 210_000.0


class ScrewAnswer(Answer):
    """The bent screw."""

    moment_n_mm: float
    stress_n_mm2: float
    deflection_mm: float
    characteristic_moment_n_mm: float


def _screw(given: ScrewInput, work: Working) -> ScrewAnswer:
    modulus = work.step("W", screw.section_modulus_mm3, root_diameter_mm=given.root_diameter_mm)
    second = work.step("I", screw.second_moment_mm4, root_diameter_mm=given.root_diameter_mm)
    moment = work.step(
        "M", screw.bending_moment_n_mm, shear_n=given.shear_n, lever_mm=given.lever_mm, head=given.head
    )
    stress = work.step("σ", screw.bending_stress_n_mm2, moment_n_mm=moment, modulus_mm3=modulus)
    sag = work.step(
        "w", screw.deflection_mm, shear_n=given.shear_n, lever_mm=given.lever_mm, e_n_mm2=given.e_n_mm2,
        second_moment_mm4=second, head=given.head,
    )  # fmt: skip
    limit = work.step("M0_Rk", screw.characteristic_moment_n_mm, modulus_mm3=modulus, fu_n_mm2=given.fu_n_mm2)
    return ScrewAnswer(
        moment_n_mm=moment, stress_n_mm2=stress, deflection_mm=sag, characteristic_moment_n_mm=limit
    )


CALCULATIONS: tuple[Calculation[LayoutInput] | Calculation[ScrewInput], ...] = (
    Calculation(
        name="fixing-layout",
        summary="Where the fixings of a frame go, and the wind on each.",
        asks=LayoutInput,
        answers=LayoutAnswer,
        run=_layout,
        example={"width_mm": 800, "height_mm": 1200, "wind_pa": 1200},
    ),
    Calculation(
        name="screw-bending",
        summary="The screw across the packed gap: moment, stress, deflection.",
        asks=ScrewInput,
        answers=ScrewAnswer,
        run=_screw,
        example={"root_diameter_mm": 5.3, "shear_n": 300, "lever_mm": 20, "head": "free", "fu_n_mm2": 800},
    ),
)
