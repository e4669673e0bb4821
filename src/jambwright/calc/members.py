"""Bars by name."""

from __future__ import annotations

from jambwright.basis import BadInput, Clause, Working
from jambwright.basis.border import NotNegative, Positive, Strict
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks.members import bar, bar_between, e_n_mm2, strictest_limit_mm


class BarInput(Strict):
    """A bar between two panes."""

    span_mm: Positive
    """Clear span between its supports."""
    load_widths_mm: tuple[NotNegative, NotNegative]
    """Full width of the pane on the left and on the right, 0 for none."""
    wind_pa: NotNegative
    """Size of the net pressure; in and out bend the bar alike."""
    limit: Positive
    """200 means span/200."""
    limit_mm: Positive | None = None
    """Absolute limit; the stricter of the two governs."""
    ei_n_mm2: Positive | None = None
    """Stiffness of the bar, where known."""


class BarAnswer(Answer):
    """The bar under wind."""

    reaction_n: float
    """At each end, both panes together."""
    moment_n_mm: float
    allowed_mm: float
    """The stricter limit."""
    ei_required_n_mm2: float
    i_required_steel_cm4: float
    deflection_mm: float | None = None
    """With `ei_n_mm2` only."""
    passes: bool | None = None


def _allowed_mm(given: BarInput) -> float:
    if not any(given.load_widths_mm):
        raise BadInput.one(
            "load_widths_mm", "load_widths_mm: no pane bears on the bar; give at least one width."
        )
    return float(strictest_limit_mm(span_mm=given.span_mm, span_over=given.limit, cap_mm=given.limit_mm))


def _bar(given: BarInput, work: Working) -> BarAnswer:
    allowed = _allowed_mm(given)
    work.note(
        "w_lim", "min(L / limit, limit_mm)", allowed, "mm", Clause("As asked", "", "calculated"),
        span_mm=given.span_mm, limit=given.limit, limit_mm=given.limit_mm,
    )  # fmt: skip
    found = bar_between(
        span_mm=given.span_mm, pane_widths_mm=given.load_widths_mm, wind_pa=given.wind_pa, limit_mm=allowed,
        work=work,
    )  # fmt: skip
    ei = float(found.ei_required_n_mm2)
    steel = work.step("I_steel", bar.i_steel_cm4, ei_n_mm2=ei, e_steel_n_mm2=e_n_mm2("steel"))
    answer = BarAnswer(
        reaction_n=float(found.reaction_n), moment_n_mm=float(found.moment_n_mm), allowed_mm=allowed,
        ei_required_n_mm2=ei, i_required_steel_cm4=steel,
    )  # fmt: skip
    if given.ei_n_mm2 is not None:
        sag = float(found.sag_times_ei_n_mm3)
        answer.deflection_mm = work.step(
            "w", bar.deflection_mm, sag_times_ei_n_mm3=sag, ei_n_mm2=given.ei_n_mm2
        )
        answer.passes = answer.deflection_mm <= allowed * (1 + 1e-9)
    return answer


CALCULATIONS = (
    Calculation(
        name="bar-deflection",
        summary="A mullion or transom under the wind of its panes: stiffness wanted, deflection.",
        asks=BarInput,
        answers=BarAnswer,
        run=_bar,
        example={"span_mm": 1350, "load_widths_mm": [850, 850], "wind_pa": 1200, "limit": 200},
    ),
)
