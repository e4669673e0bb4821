"""Any shape adjusted to its readings, tested, and what disagrees named.

A reading stands out when its normalised residual passes 3.29, or all of them together pass their 95 % limit; suspects
are those that no other reading can tell apart from the worst. Source: Baarda's data snooping and reliability (from
memory, high).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Literal

import numpy as np
from scipy import special

from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.opening.least_squares import UNCHECKED, Fit, Prior, solve
from jambwright.opening.outline import DETECTION
from jambwright.opening.shape import Floats
from jambwright.opening.shaped.figure import Figure, Read, mean_by_place

Verdict = Literal["agree", "measure again", "too few readings to tell"]

LEAST_SEEN = 0.005
"""A direction that moves the readings less than this, mm a mm, counts as not measured."""
STANDS_OUT = 3.2905
"""Normal quantile of a two-sided test at 0.001."""
TOGETHER = 0.05
"""Chance of larger residuals in all, below which readings are doubted."""
NEARLY_AS_MUCH = 0.5
TIED = 0.9
"""Correlation of two residuals beyond which their readings can't be told apart."""
WORTH_SEEING_MM = 20.0
"""A misread of a length this large must be noticed, or the readings are too few. House default."""
LEANS_MM = 10.0
"""Usual lean or fall of an opening where none was read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspectReading:
    """A reading that is likely wrong, and what it likely was if it alone is."""

    name: str
    read: float
    likely: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Shaped:
    """The shape as adjusted. Arrays are in the order of the readings, or of the figure's parameters."""

    figure: Figure
    readings: tuple[Read, ...]
    fit: Fit
    adjusted: Floats
    w: Floats
    """Normalised residuals, positive when the reading is too long; nan where nothing checks it."""
    smallest_detectable: Floats
    """Smallest misread found 80 times in 100 at one false alarm in 1000; infinite where nothing checks it."""
    square_sum: float
    degrees_of_freedom: int
    suspects: tuple[SuspectReading, ...]
    form_measured: bool
    """False when the readings leave the form open: how far it leans."""
    level_measured: bool
    """False when no level or plumb ties it to gravity."""

    @property
    def estimate(self) -> dict[str, float]:
        """Parameters by name."""
        return dict(zip(self.figure.parameters, map(float, self.fit.parameters), strict=True))

    @property
    def sd(self) -> dict[str, float]:
        """Of the parameters, by name."""
        deviations = np.sqrt(np.diag(self.fit.covariance))
        return dict(zip(self.figure.parameters, map(float, deviations), strict=True))

    @property
    def p_value(self) -> float | None:
        """Chance of residuals at least this large from honest readings."""
        return chance_of(self.square_sum, self.degrees_of_freedom)

    @property
    def unseen(self) -> tuple[str, ...]:
        """Lengths of which a slip worth seeing would not be noticed."""
        lengths = set(self.figure.places) - self.figure.bevels - set(self.figure.upright)
        return tuple(
            r.name
            for r, least in zip(self.readings, self.smallest_detectable, strict=True)
            if r.place in lengths and least > WORTH_SEEING_MM
        )

    @property
    def verdict(self) -> Verdict:
        """Whether the readings agree, and are enough to say so."""
        if self.suspects:
            return "measure again"
        few = self.degrees_of_freedom == 0 or not self.form_measured or self.unseen
        return "too few readings to tell" if few else "agree"


def chance_of(square_sum: float, degrees_of_freedom: int) -> float | None:
    """Chance of a larger weighted square sum; none without redundancy."""
    return float(special.chdtrc(degrees_of_freedom, square_sum)) if degrees_of_freedom else None


def adjust_shape(figure: Figure, readings: Sequence[Read]) -> Shaped:
    """Adjust the readings of one shape.

    ``BadInput`` names readings that the kind does not have, that are given twice, that lack, or that no such shape
    can have.
    """
    raise_if_any(_refused(figure, readings))
    means = mean_by_place(readings)
    begin = figure.start(means)
    raise_if_any([*figure.faults(means)])
    places = [r.place for r in readings]
    observed = np.array([r.value for r in readings])
    sigmas = np.array([r.sd if r.sd is not None else figure.sd(r.place) for r in readings])
    fit = fit_shape(figure, places, observed, sigmas, np.array([begin[name] for name in figure.parameters]))
    if not np.all(np.isfinite(fit.parameters)) or not np.all(np.isfinite(fit.residuals)):
        raise BadInput.one(
            "readings",
            f"readings: no {figure.kind} shape comes near these. Measure again, or choose another kind.",
        )
    w, smallest = normalised(fit)
    dof = len(readings) - int(fit.rank)
    total = float(fit.weighted_square_sum)
    form, level = _measured(figure, fit)
    return Shaped(
        figure=figure,
        readings=tuple(readings),
        fit=fit,
        adjusted=observed + fit.residuals,
        w=w,
        smallest_detectable=smallest,
        square_sum=total,
        degrees_of_freedom=dof,
        suspects=_suspects(readings, fit, w) if _doubted(w, total, dof) else (),
        form_measured=form,
        level_measured=level,
    )


def fit_shape(figure: Figure, places: Sequence[str], observed: Floats, sigmas: Floats, begin: Floats) -> Fit:
    """Readings ``(..., n)`` of one opening or many, adjusted from ``begin`` ``(..., u)``."""
    prior = None
    if figure.upright:
        count = len(figure.upright)
        prior = Prior(
            observe=partial(figure.observe, figure.upright),
            values=np.zeros(count),
            sigmas=np.full(count, LEANS_MM),
        )
    return solve(partial(figure.observe, places), observed, sigmas, begin, tolerance=LEAST_SEEN, prior=prior)


def normalised(fit: Fit) -> tuple[Floats, Floats]:
    """Normalised residuals and smallest detectable misreads, (..., n)."""
    redundancy = fit.redundancy
    checked = redundancy > UNCHECKED
    root = np.sqrt(np.where(checked, redundancy, 1.0))
    w = np.where(checked, -fit.residuals / (fit.sigmas * root), np.nan)
    return w, np.where(checked, DETECTION * fit.sigmas / root, np.inf)


def _doubted(w: Floats, total: float, dof: int) -> bool:
    chance = chance_of(total, dof)
    return chance is not None and (chance < TOGETHER or bool(np.nanmax(np.abs(w), initial=0.0) > STANDS_OUT))


def _suspects(readings: Sequence[Read], fit: Fit, w: Floats) -> tuple[SuspectReading, ...]:
    """The worst and those that can't be told from it, worst first."""
    size = np.where(np.isnan(w), 0.0, np.abs(w))
    worst = int(np.argmax(size))
    redundancy = np.where(np.isnan(w), 1.0, fit.redundancy)
    tied = fit.whitened_maker[worst] / np.sqrt(redundancy * redundancy[worst])
    named = (size >= size[worst] - NEARLY_AS_MUCH) | (np.abs(tied) > TIED)
    return tuple(
        SuspectReading(
            name=readings[n].name,
            read=readings[n].value,
            likely=float(readings[n].value + fit.residuals[n] / redundancy[n]),
        )
        for n in np.argsort(-size, kind="stable")
        if named[n] and size[n] > 0
    )


def _measured(figure: Figure, fit: Fit) -> tuple[bool, bool]:
    """Whether form, and stand to gravity, are determined: a direction that moves no length only turns the shape."""
    lengths = [place for place in figure.places if place not in figure.upright]
    _, slopes = figure.observe(lengths, fit.parameters)
    directions = fit.open_directions[:, np.any(fit.open_directions != 0, axis=0)]
    if not directions.size:
        return True, True
    in_form = int(np.linalg.matrix_rank(slopes @ directions, tol=0.02))
    return in_form == 0, in_form == directions.shape[1]


def _refused(figure: Figure, readings: Sequence[Read]) -> list[Problem]:
    found: list[Problem] = []
    seen: set[str] = set()
    for n, r in enumerate(readings):
        field = f"readings.{n}"
        if r.place not in figure.places:
            known = ", ".join(figure.places)
            say = f"`{r.name}` is no reading of a {figure.kind} opening; known are {known}."
            found.append(Problem(f"{field}.name", say, of=f"{field}.name"))
        elif r.name in seen:
            say = f"`{r.name}` is given twice; name a second reading of it `{r.place}#2`."
            found.append(Problem(f"{field}.name", say, of=f"{field}.name"))
        elif r.place not in figure.upright and r.value < 0 and r.place[0] != "t" and r.place != "rc":
            say = f"`{r.name}` of {r.value:g} can't be; it is a length or an angle. Measure it again."
            found.append(Problem(f"{field}.value", say, of=f"{field}.value"))
        seen.add(r.name)
    return found
