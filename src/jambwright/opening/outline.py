"""From readings to the adjusted outline, with the trust of every figure in it."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from jambwright.basis.problems import BadInput, Problem, raise_if_any
from jambwright.opening.belief import Belief, believed, bow_and_lean_evidence
from jambwright.opening.least_squares import UNCHECKED, Fit
from jambwright.opening.net import LEAST_SEEN, Net, net_of
from jambwright.opening.quartered import shape_for
from jambwright.opening.scales import BETS, Scales
from jambwright.opening.shape import Floats, Place, Shape
from jambwright.opening.space import Point, Space
from jambwright.readings import EVERY_PLACE, USUAL, Reading, Trust
from jambwright.readings.reading import LENGTHS

LONGEST_MM = 100_000.0
"""No reading of an opening is longer, however written."""

DETECTION = 4.132
"""Normal quantiles for a test at 0.001 (two-sided) with power 0.80, added: 3.2905 + 0.8416."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjusted:
    """One reading after the adjustment."""

    kind: str
    at: str
    mm: float
    """As read, the mean of repeats, with what is corrected for its tool."""
    sigma_mm: float
    adjusted_mm: float
    residual_mm: float
    """Adjusted minus read."""
    redundancy: float
    """Share of an error of this reading that shows in its residual; 0 when nothing checks it."""
    w: float
    """Normalised residual, positive when the reading is too long; 0 when nothing checks it."""
    smallest_detectable_mm: float | None
    """Smallest misread found 80 times in 100 at one false alarm in 1000; none when nothing checks it."""
    corrected_mm: float = 0.0
    """What `mm` holds beside what was read: the accepted correction of the tool."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Outline:
    """The opening as adjusted: bottom left at the origin, x right, y up, seen from outside.

    One is told from another by itself, not by its figures, so that what follows from it is worked out once.
    """

    shape: Shape
    parameters: Floats
    covariance: Floats
    corners_mm: dict[str, tuple[float, float]]
    mid_edges_mm: dict[str, tuple[float, float]]
    readings: tuple[Adjusted, ...]
    degrees_of_freedom: int
    variance_factor: float | None
    """Weighted square sum over degrees of freedom; none when nothing is checked."""
    p_value: float | None
    """Chance of residuals at least this large from honest readings."""
    square_measured: bool
    """False when the readings leave open how far the outline is out of square."""
    level_measured: bool
    """False when no level or plumb ties the outline to gravity."""
    fit: Fit
    net: Net
    likely: Scales = BETS
    """How crooked the house is, as far as that is known."""

    def boundary(self) -> list[Point]:
        """Vertices anticlockwise from the bottom left."""
        return [(float(x), float(y)) for x, y in self.shape.boundary(self.parameters)[0]]

    def belief(self) -> Belief:
        """What is believed of the parameters: the readings, and what is known of any opening where none was taken.

        The outline itself takes every reading as it stands; a bet on it does better with this counted in.
        """
        return believed(self.net, self._read(), self.parameters, self.likely)

    def bow_and_lean_evidence(self) -> Floats:
        """What these readings say of how crooked the house is, for other openings of it, (k,)."""
        return bow_and_lean_evidence(self.net, self._read(), self.parameters)

    def _read(self) -> Floats:
        """The readings, as the net takes them."""
        adjusted = self.net.shape.observe(self.net.places, self.parameters)[0]
        return np.asarray(adjusted - self.fit.residuals[: len(adjusted)])

    @property
    def crosses_itself(self) -> bool:
        """Whether misreads bend the outline so far that its edges cross."""
        return self._space.crosses_itself

    def bends(self) -> Floats:
        """Gradients of the boundary by the parameters, (m, 2, u)."""
        return self.shape.boundary(self.parameters)[1]

    def space(self) -> Space:
        """The outline as a space for a frame; ``BadInput`` when its edges cross."""
        if self.crosses_itself:
            raise BadInput.one(
                "readings", "The readings make no opening: its edges cross. Look at the misreads first."
            )
        return self._space

    @functools.cached_property
    def _space(self) -> Space:
        return Space(points=tuple(self.boundary()), sides=self.shape.sides)


def adjust(readings: Sequence[Reading], *, trust: Trust = USUAL, shape: Shape | None = None) -> Outline:
    """Adjust all readings of one face of an opening together, to ``shape`` or to the one they call for.

    ``BadInput`` names readings that cannot be (unknown places, repeated places, lengths not over 0) and
    what lacks. Source: weighted least squares with Baarda's reliability measures (textbook theory,
    from memory, high).
    """
    raise_if_any(faults(readings))
    measured = [r for r in readings if r.how == "measured"]
    net, read = net_of(measured, trust, shape or shape_for(measured))
    return outline_of(net.adjust(read), net, measured)


def outline_of(fit: Fit, net: Net, readings: Sequence[Reading]) -> Outline:
    """The outline that a fit of one opening amounts to."""
    shape = net.shape
    dof = round(len(fit.sigmas) - float(fit.rank))
    square_sum = float(fit.weighted_square_sum)
    square, level = _measured(shape, fit)
    return Outline(
        shape=shape,
        parameters=fit.parameters,
        covariance=fit.covariance,
        corners_mm={k: (float(v[0]), float(v[1])) for k, v in shape.corners(fit.parameters).items()},
        mid_edges_mm={k: (float(v[0]), float(v[1])) for k, v in shape.mid_edges(fit.parameters).items()},
        readings=tuple(
            _adjusted(*each)
            for each in zip(readings, fit.redundancy, fit.sigmas, fit.residuals, strict=False)
        ),
        degrees_of_freedom=dof,
        variance_factor=square_sum / dof if dof else None,
        p_value=float(special.chdtrc(dof, square_sum)) if dof else None,
        square_measured=square,
        level_measured=level,
        fit=fit,
        net=net,
    )


def faults(readings: Sequence[Reading]) -> list[Problem]:
    """Readings that cannot be: each with its place, what was given and what to do."""
    found: list[Problem] = []
    seen: set[Place] = set()
    for n, r in enumerate(readings):
        field = f"readings.{n}"
        if r.at not in EVERY_PLACE.get(r.kind, ()):
            wanted = ", ".join(EVERY_PLACE.get(r.kind, EVERY_PLACE))
            found.append(
                Problem(f"{field}.at", f"{field}.at: a {r.kind} is not read at `{r.at}`; use {wanted}.")
            )
            continue
        if (r.kind, r.at) in seen:
            say = f"{field}: the {r.name} is given twice; give repeats as one list."
            found.append(Problem(field, say))
        seen.add((r.kind, r.at))
        if max(map(abs, r.values_mm)) > LONGEST_MM:
            say = f"{field}.mm: the {r.name} is over {LONGEST_MM / 1000:g} m, longer than any opening."
            found.append(Problem(f"{field}.mm", f"{say} Give millimetres; measure it again."))
        if r.kind in LENGTHS and min(r.values_mm) <= 0:
            given = f"the {r.name} of {min(r.values_mm):g} mm can't be"
            say = f"{field}.mm: {given}; a {r.kind} is over 0. Measure it again."
            found.append(Problem(f"{field}.mm", say))
    return found


def _adjusted(reading: Reading, redundancy: float, sigma: float, residual: float) -> Adjusted:
    redundancy, sigma, residual = float(redundancy), float(sigma), float(residual)
    checked = redundancy > UNCHECKED
    root = redundancy**0.5
    return Adjusted(
        kind=reading.kind,
        at=reading.at,
        mm=reading.mm,
        sigma_mm=sigma,
        adjusted_mm=reading.mm + residual,
        residual_mm=residual,
        redundancy=redundancy,
        w=-residual / (sigma * root) if checked else 0.0,
        smallest_detectable_mm=DETECTION * sigma / root if checked else None,
        corrected_mm=reading.corrected_mm,
    )


def _measured(shape: Shape, fit: Fit) -> tuple[bool, bool]:
    """Whether the readings determine the outline's form, and how it stands to gravity.

    An open direction that changes no length between the shape's points only turns the outline.
    """
    _, slopes = shape.observe(shape.lengths, fit.parameters)
    directions = fit.open_directions[:, np.any(fit.open_directions != 0, axis=0)]
    in_form = int(np.linalg.matrix_rank(slopes @ directions, tol=LEAST_SEEN)) if directions.size else 0
    return in_form == 0, in_form == directions.shape[1]
