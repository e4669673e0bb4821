"""`shaped-outline`: what the readings of an arched, raked or bayed opening say."""

from __future__ import annotations

from typing import Annotated, Literal

import numpy as np
from pydantic import Field

from jambwright.basis.border import Strict
from jambwright.basis.problems import BadInput
from jambwright.basis.working import Working
from jambwright.calc.calculation import Answer, Calculation
from jambwright.opening.outline_steps import LEAST_SQUARES
from jambwright.opening.shaped import (
    ARCHED,
    RAKED,
    Figure,
    Read,
    adjust_shape,
    bay,
    curves_that_fit,
    next_reading,
    shape_words,
)
from jambwright.opening.shaped.bays import LEAST_FACETS, MOST_FACETS

ShapeKind = Literal[
    "segmental", "semicircular", "semicircle", "two_centred", "three_centred", "ellipse", "raked", "bay3", "bay5", "bow"
]  # fmt: skip
OTHER_NAMES = {"semicircle": "semicircular"}
MOST_READINGS = 80


class ReadGiven(Strict):
    """One reading."""

    name: Annotated[str, Field(min_length=1, max_length=10)]
    """As the kind names it; a second reading of `rc` is `rc#2`."""
    value: Annotated[float, Field(ge=-20_000, le=20_000)]
    """Millimetres; an angle in degrees."""
    sd: Annotated[float, Field(ge=1e-4, le=100)] | None = None
    """Standard deviation: 1.5 mm by tape, 1 mm by level, 0.5 degrees by bevel when left out."""


class ShapedOutlineInput(Strict):
    """Readings of one opening by name."""

    kind: ShapeKind
    facets: Annotated[int, Field(ge=LEAST_FACETS, le=MOST_FACETS)] | None = None
    """Of a bow; told by its readings when left out."""
    readings: Annotated[list[ReadGiven], Field(min_length=1, max_length=MOST_READINGS)]

    def read(self) -> list[Read]:
        """The readings."""
        return [Read(name=r.name, value=r.value, sd=r.sd) for r in self.readings]

    def figure(self) -> Figure:
        """The kind of shape."""
        kind = OTHER_NAMES.get(self.kind, self.kind)
        if kind in ARCHED or kind == RAKED.kind:
            if self.facets is not None:
                raise BadInput.one("facets", f"facets: a {self.kind} opening has none; leave it out.")
            return ARCHED[kind].figure if kind in ARCHED else RAKED
        return bay(kind, self._facets(kind))

    def _facets(self, kind: str) -> int:
        told = int(kind.removeprefix("bay")) if kind != "bow" else None
        if told is not None and self.facets not in (None, told):
            raise BadInput.one("facets", f"facets: a {kind} has {told}, not {self.facets}; use kind bow.")
        if count := told or self.facets:
            return count
        named = [r.name[1:].split("#")[0] for r in self.readings if r.name[0] == "f"]
        numbers = [int(number) for number in named if number.isdecimal()]
        count = max(numbers, default=0)
        if not LEAST_FACETS <= count <= MOST_FACETS:
            raise BadInput.one(
                "readings",
                f"readings: a bow is told by its facets f1, f2 and so on, {LEAST_FACETS} to {MOST_FACETS} of them.",
            )
        return count


class SuspectLine(Answer):
    """A reading that is likely wrong."""

    name: str
    read: float
    likely: float
    """If it alone is wrong."""


class ShapedOutlineAnswer(Answer):
    """The adjusted shape and what its readings are worth. `null` where nothing checks a reading."""

    estimate: dict[str, float]
    sd: dict[str, float]
    derived: dict[str, float]
    """Radius, span, angles, facets."""
    adjusted: dict[str, float]
    w: dict[str, float | None]
    """Positive when the reading is too long."""
    smallest_detectable: dict[str, float | None]
    degrees_of_freedom: int
    square_sum: float
    p_value: float | None
    suspects: list[SuspectLine]
    verdict: Literal["agree", "measure again", "too few readings to tell"]
    other_kinds: list[ShapeKind]
    """Heads that suit the readings where no single slip explains them."""
    measure_next: str | None
    form_measured: bool
    level_measured: bool
    say: list[str]


def _run(given: ShapedOutlineInput, work: Working) -> ShapedOutlineAnswer:
    found = adjust_shape(given.figure(), given.read())
    names = [r.name for r in found.readings]
    for n, r in enumerate(found.readings):
        work.note(
            r.name, "adjusted = read + residual", float(found.adjusted[n]), "", LEAST_SQUARES,
            read=r.value, sigma=float(found.fit.sigmas[n]), redundancy=float(found.fit.redundancy[n]),
            w=_or_none(found.w[n]),
        )  # fmt: skip
    work.note(
        "T", "sum of squared residuals over sigmas", found.square_sum, "", LEAST_SQUARES,
        degrees_of_freedom=found.degrees_of_freedom, p_value=found.p_value,
    )  # fmt: skip
    others = curves_that_fit(found)
    nearest = next_reading(found) if found.verdict == "too few readings to tell" else None
    return ShapedOutlineAnswer.model_validate(
        {
            "estimate": found.estimate,
            "sd": found.sd,
            "derived": dict(found.figure.derived(found.estimate)),
            "adjusted": dict(zip(names, map(float, found.adjusted), strict=True)),
            "w": dict(zip(names, map(_or_none, found.w), strict=True)),
            "smallest_detectable": dict(zip(names, map(_or_none, found.smallest_detectable), strict=True)),
            "degrees_of_freedom": found.degrees_of_freedom,
            "square_sum": found.square_sum,
            "p_value": found.p_value,
            "suspects": [SuspectLine(name=s.name, read=s.read, likely=s.likely) for s in found.suspects],
            "verdict": found.verdict,
            "other_kinds": list(others),
            "measure_next": nearest,
            "form_measured": found.form_measured,
            "level_measured": found.level_measured,
            "say": list(shape_words(found, others, nearest)),
        }
    )


def _or_none(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


EXAMPLE = {
    "Wb": 1199, "Wm": 1197, "Ws": 1196, "Hl": 901, "Hr": 901, "rc": 201, "Hc": 1103, "q1": 155, "q3": 155,
    "D1": 1500, "D2": 1495, "Ls": 3, "Lp": 1, "Pl": 3, "Pr": -2,
}  # fmt: skip

CALCULATIONS = (
    Calculation(
        name="shaped-outline",
        summary="Adjust the readings of an arched, raked or bayed opening and find the ones that disagree.",
        asks=ShapedOutlineInput,
        answers=ShapedOutlineAnswer,
        run=_run,
        example={
            "kind": "segmental",
            "readings": [{"name": name, "value": value} for name, value in EXAMPLE.items()],
        },
    ),
)
