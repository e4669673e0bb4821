"""Continuous beam by name."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated

import numpy as np
from pydantic import Field

from jambwright.basis import Problem, Working
from jambwright.basis.border import NotNegative, Positive, Strict
from jambwright.basis.problems import raise_if_any
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks.fixings import Load, continuous_beam, line_load
from jambwright.checks.fixings.beam import THREE_MOMENTS


class BeamInput(Strict):
    """A beam of one stiffness on rigid supports."""

    supports_mm: Annotated[list[NotNegative], Field(min_length=2, max_length=200)]
    """Positions from one end, rising."""
    length_mm: Positive
    load_n_mm: float | Annotated[list[tuple[float, float]], Field(min_length=2, max_length=1000)]
    """Uniform load; or pairs of position and load, linear between them and none outside."""


class BeamAnswer(Answer):
    """What the supports carry."""

    reactions_n: list[float]
    support_moments_n_mm: list[float]
    """Hogging moments are negative."""


def _beam_load(given: BeamInput) -> Load:
    if isinstance(given.load_n_mm, list):
        at, size = zip(*given.load_n_mm, strict=True)
        return line_load(at, size)
    return line_load([0.0, given.length_mm], [given.load_n_mm] * 2)


def _check_beam(given: BeamInput) -> None:
    problems = []
    off = [x for x in given.supports_mm if x > given.length_mm]
    if off:
        problems.append(
            Problem("supports_mm", f"supports_mm: {off[0]:g} lies past the end of the beam at "
                    f"{given.length_mm:g} mm; correct it or the length.")
        )  # fmt: skip
    if any(b <= a for a, b in zip(given.supports_mm, given.supports_mm[1:], strict=False)):
        problems.append(
            Problem(
                "supports_mm",
                "supports_mm: must rise from one end with no two in one place; put them in order.",
            )
        )
    if isinstance(given.load_n_mm, list):
        at = [x for x, _ in given.load_n_mm]
        if any(b < a for a, b in pairwise(at)) or at[0] < 0 or at[-1] > given.length_mm:
            problems.append(
                Problem(
                    "load_n_mm", "load_n_mm: positions must rise and stay on the beam; put them in order."
                )
            )
    raise_if_any(problems)


def _beam(given: BeamInput, work: Working) -> BeamAnswer:
    _check_beam(given)
    load = _beam_load(given)
    found = continuous_beam(supports_mm=given.supports_mm, load=load)
    reactions, moments = found.reactions_n.tolist(), found.support_moments_n_mm.tolist()
    work.note("W", "∫ q dx", float(load.total_n()), "N", THREE_MOMENTS, load_n_mm=given.load_n_mm)
    work.note("M", "M₍ᵢ₋₁₎ hᵢ + 2 Mᵢ (hᵢ + h₍ᵢ₊₁₎) + M₍ᵢ₊₁₎ h₍ᵢ₊₁₎ = −Σ P a (h² − a²)/h − Σ P b (h² − b²)/h",
              moments, "N mm", THREE_MOMENTS, supports_mm=given.supports_mm)  # fmt: skip
    work.note("R", "shears either side of each support", reactions, "N", THREE_MOMENTS)
    work.note("ΣR", "must equal W", float(np.sum(reactions)), "N", THREE_MOMENTS)
    return BeamAnswer(reactions_n=reactions, support_moments_n_mm=moments)


CALCULATIONS = (
    Calculation(
        name="continuous-beam",
        summary="Reactions and support moments of a beam over any supports, with overhangs.",
        asks=BeamInput,
        answers=BeamAnswer,
        run=_beam,
        example={"supports_mm": [150, 600, 1050], "length_mm": 1200, "load_n_mm": 0.6},
    ),
)
