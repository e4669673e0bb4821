"""Any shape adjusted to its readings, tested, and what disagrees named.

A reading stands out when its normalised residual passes 3.29, or all of them together pass their 95 % limit; suspects
are those that no other reading can tell apart from the worst. Source: Baarda's data snooping and reliability (from
memory, high).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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
SET_ASIDE = 1e4
"""A reading set aside keeps its row with its sigma made larger by this."""
SLIP_MM = 60.0
"""So far a single slip may carry a reading and be named; what can't be even then is refused. House default."""
SHAPE_MM = 15.0
"""So far an adjusted shape may stand off one that can be. House default."""
FAR_OUT = 15.0
"""Normalised residual beyond which the start of the fit may have been wrong."""
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
    raise_if_any([*figure.faults(means, SLIP_MM)])
    fit = _from(figure, readings, np.array([begin[name] for name in figure.parameters]))
    alone: tuple[SuspectReading, ...] = ()
    if fit is None or _worst(fit) > FAR_OUT:
        fit, alone = _begun_again(figure, readings, fit)
    said, _ = figure.observe(figure.places, fit.parameters)
    made = dict(zip(figure.places, map(float, np.round(said, 1)), strict=True))
    raise_if_any(
        Problem("readings", f"adjusted together, {p.say}", of="readings")
        for p in figure.faults(made, SHAPE_MM)
    )
    w, smallest = normalised(fit)
    dof, total = len(readings) - int(fit.rank), float(fit.weighted_square_sum)
    form, level = _measured(figure, fit)
    return Shaped(
        figure=figure,
        readings=tuple(readings),
        fit=fit,
        adjusted=np.array([r.value for r in readings]) + fit.residuals,
        w=w,
        smallest_detectable=smallest,
        square_sum=total,
        degrees_of_freedom=dof,
        suspects=alone or (_suspects(readings, fit, w) if _doubted(w, total, dof) else ()),
        form_measured=form,
        level_measured=level,
    )


def _worst(fit: Fit) -> float:
    return float(np.nanmax(np.abs(normalised(fit)[0]), initial=0.0))


def _begun_again(
    figure: Figure, readings: Sequence[Read], fit: Fit | None
) -> tuple[Fit, tuple[SuspectReading, ...]]:
    """A gross slip spoils start and model: the fit begun from where the others come to without one reading.

    With it the readings without which all others agree, each with what it would be. ``BadInput`` where there is no
    fit even so.
    """
    alone: list[tuple[float, SuspectReading]] = []
    least, nearest = np.inf, None
    for r, other in _each_set_aside(figure, readings):
        total, dof = float(other.weighted_square_sum), len(readings) - 1 - int(other.rank)
        if total < least:
            least, nearest = total, other.parameters
        if (chance_of(total, dof) or 0.0) > TOGETHER:
            likely = float(figure.observe([r.place], other.parameters)[0][0])
            alone.append((total, SuspectReading(name=r.name, read=r.value, likely=likely)))
    alone.sort(key=lambda each: each[0])
    nearer = None if nearest is None else _from(figure, readings, nearest)
    if nearer and (fit is None or nearer.weighted_square_sum < fit.weighted_square_sum):
        fit = nearer
    if fit is None:
        known = " or ".join(f"{s.name} (likely about {s.likely:.0f})" for _, s in alone)
        do = f"Measure {known} again" if known else "Look for a slip of the pen, or choose another kind"
        say = f"readings: no {figure.kind} opening comes near these. {do}."
        raise BadInput.one("readings", say)
    return fit, tuple(s for _, s in alone)


def _each_set_aside(figure: Figure, readings: Sequence[Read]) -> Iterator[tuple[Read, Fit]]:
    """Each reading with the fit of the others: all at once, its own sigma made very large."""
    places, observed, sigmas = _rows(figure, readings)
    n = len(readings)
    starts = [_start(figure, [r for r in readings if r is not one]) for one in readings]
    common = _start(figure, readings)
    begin = np.array([common if start is None else start for start in starts])
    aside = sigmas * np.where(np.eye(n) > 0, SET_ASIDE, 1.0)
    try:
        with np.errstate(all="ignore"):
            fits = fit_shape(figure, places, np.tile(observed, (n, 1)), aside, begin)
    except np.linalg.LinAlgError:
        return
    for row, r in enumerate(readings):
        fit = fits.one(row)
        if _is_one(figure, fit):
            yield r, fit


def _start(figure: Figure, readings: Sequence[Read]) -> Floats | None:
    try:
        begin = figure.start(mean_by_place(readings))
    except BadInput:
        return None
    return np.array([begin[name] for name in figure.parameters])


def _rows(figure: Figure, readings: Sequence[Read]) -> tuple[list[str], Floats, Floats]:
    """Places, values and sigmas."""
    sigmas = [r.sd if r.sd is not None else figure.sd(r.place) for r in readings]
    return [r.place for r in readings], np.array([r.value for r in readings]), np.array(sigmas)


def _from(figure: Figure, readings: Sequence[Read], begin: Floats) -> Fit | None:
    """The fit from there; none where it runs off to what is no opening."""
    try:
        with np.errstate(all="ignore"):
            fit = fit_shape(figure, *_rows(figure, readings), begin)
    except np.linalg.LinAlgError:
        return None
    return fit if _is_one(figure, fit) else None


def _is_one(figure: Figure, fit: Fit) -> bool:
    """Whether a fit came to an opening."""
    with np.errstate(all="ignore"):
        said, _ = figure.observe(figure.places, fit.parameters)
        known = np.isfinite([*fit.parameters, *fit.residuals, *said, *fit.covariance.ravel()]).all()
    made = dict(zip(figure.parameters, map(float, fit.parameters), strict=True))
    return bool(known) and figure.stands(made)


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
