"""How readings scatter and how tools differ, from surveys alone: repeats, residuals, and two tools on one house.

The readings of an opening check each other. What they are off by, beside what their tools are trusted with, tells how
far they scatter in truth; what one tool's readings want to be shifted by beside another's tells how the two differ.
Which of two tools is right no survey can tell: a known length or a fitted frame does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from jambwright.lessons.statistics import Floats, sd_interval, student
from jambwright.opening import Outline, adjust
from jambwright.readings import Reading, Survey, trust_of
from jambwright.readings.correction import with_tools
from jambwright.readings.reading import LENGTHS
from jambwright.readings.survey_file import unread

FALSE_ALARM = 0.001
LEAST_DOF = 8
"""Fewer never tell a scatter worth saying. House rule."""
LEVELS_DOF = 3.0
"""How far the trust in levels, plumbs and bows is believed beside what was found of them. House rule."""
MOST_ROUNDS = 60
SETTLED = 1e-4
LEAST_FACTOR = 1e-4
"""A group without any scatter is held here, so that it still can be weighed."""
CLOSE_PPM = 1500.0
"""A scale is told where its interval reaches no farther to each side. House rule."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One face of one opening with its readings adjusted, as they were written."""

    house: str
    opening: str
    readings: tuple[Reading, ...]
    outline: Outline

    @property
    def redundancy(self) -> Floats:
        """Of the readings, (n,)."""
        return np.asarray(self.outline.fit.redundancy[: len(self.readings)])

    @property
    def off(self) -> Floats:
        """Residuals over what the readings are trusted with, (n,): positive when read long."""
        n = len(self.readings)
        return np.asarray(-self.outline.fit.residuals[:n] / self.outline.fit.sigmas[:n])

    @property
    def lengths(self) -> NDArray[np.bool_]:
        """Which readings are lengths, (n,)."""
        return np.array([reading.kind in LENGTHS for reading in self.readings])


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """Scatter of one length as read, mm; ``None`` where too little was read."""

    name: str
    openings: int
    trusted_mm: float
    """What it is trusted with, on the average."""
    found_mm: float | None
    interval_mm: tuple[float, float] | None
    dof: float
    repeats_mm: float | None
    """Scatter of repeats at one place: less than the whole, since hand and spot are the same."""
    interval_repeats_mm: tuple[float, float] | None

    @property
    def differs(self) -> bool:
        """Whether what it is trusted with lies outside what was found."""
        return self.interval_mm is not None and not (
            self.interval_mm[0] <= self.trusted_mm <= self.interval_mm[1]
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """How much one tool reads beside another on the same openings."""

    tool: str
    beside: str
    house: str
    """Label of the one house; nothing where it is over all of them."""
    openings: int
    bias_mm: float
    """Positive when ``tool`` reads longer."""
    interval_mm: tuple[float, float]
    scale_ppm: float | None
    interval_ppm: tuple[float, float] | None

    @property
    def sure(self) -> bool:
        """Whether 0 lies outside."""
        return not self.interval_mm[0] <= 0 <= self.interval_mm[1]


def faces_of(survey: Survey) -> list[Face]:
    """The faces that were read enough to be adjusted, each reading as it was written."""
    plain = survey.model_copy(
        update={"tools": [tool.model_copy(update={"check": None, "learned": None}) for tool in survey.tools]}
    )
    found = []
    for opening in plain.openings:
        if unread(opening):
            continue
        read = [r for r in with_tools(opening.outside, plain.defaults.tape) if r.how == "measured"]
        outline = adjust(read, trust=trust_of(plain.tools))
        found.append(Face(house=plain.site.label, opening=opening.id, readings=tuple(read), outline=outline))
    return found


def scatter_of_all(faces: Sequence[Face]) -> Scatter | None:
    """Scatter by the pooled variance factor of all readings together; ``None`` where none is a length."""
    kept = [face for face, honest in zip(faces, honest_faces(faces), strict=True) if honest]
    own = [face.lengths for face in kept]
    if not any(each.any() for each in own):
        return None
    square, dof = (sum(values) for values in zip(*(_pooled(face) for face in kept), strict=True))
    return _scatter("", kept, own, square / max(dof, 1e-9), dof)


def _pooled(face: Face) -> tuple[float, float]:
    """Square sum over what the readings are trusted with, and degrees of freedom."""
    return float(np.sum(face.off**2)), float(np.sum(face.redundancy))


def scatter_by(faces: Sequence[Face], named: Callable[[Reading], str]) -> tuple[Scatter, ...]:
    """Scatter of the lengths by tool, by person, or by whatever ``named`` says of a reading."""
    kept = [face for face, honest in zip(faces, honest_faces(faces), strict=True) if honest]
    names = list(dict.fromkeys(named(r) for face in kept for r in face.readings if r.kind in LENGTHS))
    group = [
        np.array([names.index(named(r)) if r.kind in LENGTHS else len(names) for r in face.readings])
        for face in kept
    ]
    factors, dofs = _factors(kept, group, len(names))
    return tuple(
        _scatter(name, kept, [each == n for each in group], float(factors[n]), float(dofs[n]))
        for n, name in enumerate(names)
    )


def _factors(
    faces: Sequence[Face], group: Sequence[NDArray[np.int64]], lengths: int
) -> tuple[Floats, Floats]:
    """Variance of each group of readings over what it is trusted with, and its degrees of freedom, (lengths + 1,).

    The last group is that of levels, plumbs and bows. Each round weighs the readings by what the last one found, so
    that a group's own scatter does not show as another's. Where groups are hard to tell apart, there are few
    degrees of freedom. Source: variance components by Helmert's method, repeated (Grafarend 1985; from memory,
    medium). What levels are trusted with is believed as much as ``LEVELS_DOF`` readings of it would be.
    """
    many = lengths + 1
    factors, square, told = np.ones(many), np.zeros(many), np.zeros(many, bool)
    inverse: Floats = np.eye(many)
    spans = [_span(face.outline.fit.whitened_maker) for face in faces]
    for _ in range(MOST_ROUNDS):
        square, normal = np.zeros(many), np.zeros((many, many + 1))
        for face, of, span in zip(faces, group, spans, strict=True):
            scale = np.ones(len(span))
            scale[: len(of)] = np.sqrt(factors[of])
            basis = np.linalg.qr(span / scale[:, None])[0]
            maker = np.eye(len(span)) - basis @ basis.T
            off = maker @ (-face.outline.fit.residuals / face.outline.fit.sigmas / scale)
            member = np.zeros((len(span), many + 1))
            member[np.arange(len(span)), np.append(of, np.full(len(span) - len(of), many))] = 1.0
            square += off**2 @ member[:, :many]
            normal += (member.T @ maker**2 @ member)[:many]
        square[-1] += LEVELS_DOF / factors[-1]
        normal[-1, -2] += LEVELS_DOF
        told = np.diag(normal) >= 1.0
        inverse = np.asarray(np.linalg.pinv(normal[np.ix_(told, told)]))
        # what stands in for bows that were not read keeps its weight
        step = inverse @ (square - normal[:, many])[told]
        factors[told] = np.maximum(factors[told] * np.clip(step, 0.1, 10.0), LEAST_FACTOR)
        if np.all(np.abs(step - 1) < SETTLED):
            break
    dofs = np.zeros(many)
    dofs[told] = 1 / np.maximum(np.diag(inverse), 1e-9)
    return factors, dofs


def _span(maker: Floats) -> Floats:
    """A basis of what the outline explains of the readings, (n, rank): what the residual maker takes away."""
    values, vectors = np.linalg.eigh(np.eye(len(maker)) - maker)
    return np.asarray(vectors[:, values > 0.5])


def honest_faces(faces: Sequence[Face]) -> list[bool]:
    """Which faces agree as well as the others do; one with a misread would pass for scatter.

    They start from the median, which a few misreads don't move, and are judged by the scatter of those kept.
    """
    if not faces:
        return []
    sums, dofs = np.array([_pooled(face) for face in faces]).T
    checked = dofs > 0.5
    if not checked.any():
        return [True] * len(faces)
    factor = float(np.median(sums[checked] / special.chdtri(dofs[checked], 0.5)))
    kept = checked.copy()
    for _ in range(20):
        far = special.chdtrc(np.maximum(dofs, 1e-9), sums / max(factor, 1e-9)) < FALSE_ALARM
        now = checked & ~far
        factor = float(sums[now].sum() / dofs[now].sum()) if now.any() else factor
        if np.array_equal(now, kept):
            break
        kept = now
    return [bool(each) for each in kept | ~checked]


def _scatter(
    name: str, faces: Sequence[Face], own: Sequence[NDArray[np.bool_]], factor: float, dof: float
) -> Scatter:
    trusted: list[float] = []
    within, spare, openings = 0.0, 0, set()
    for face, which in zip(faces, own, strict=True):
        for n in np.flatnonzero(which):
            values = np.array(face.readings[n].values_mm)
            openings.add((face.house, face.opening))
            trusted.append(float(face.outline.fit.sigmas[n]) * len(values) ** 0.5)
            within += float(np.sum((values - values.mean()) ** 2))
            spare += len(values) - 1
    usual = float(np.sqrt(np.mean(np.square(trusted))))
    found = usual * factor**0.5 if dof >= LEAST_DOF else None
    repeats = (within / spare) ** 0.5 if spare >= LEAST_DOF else None
    return Scatter(
        name=name, openings=len(openings), trusted_mm=usual, found_mm=found, dof=dof, repeats_mm=repeats,
        interval_mm=_ends(found, dof), interval_repeats_mm=_ends(repeats, spare),
    )  # fmt: skip


def _ends(sd: float | None, dof: float) -> tuple[float, float] | None:
    if sd is None:
        return None
    low, high = sd_interval(sd=sd, dof=dof)
    return float(low), float(high)


def differences(faces: Sequence[Face], house: str = "") -> tuple[Difference, ...]:
    """How the tools differ that lengths of the same openings were read with, each beside the one used most.

    An offset of a tool is one more unknown of all its lengths: it is found from what the other readings of the
    openings leave of them. Source: partitioned least squares (Frisch and Waugh 1933; from memory, high).
    """
    kept = [face for face, honest in zip(faces, honest_faces(faces), strict=True) if honest]
    uses: dict[str, int] = {}
    for face in kept:
        for reading in face.readings:
            if reading.kind in LENGTHS and reading.tool:
                uses[reading.tool] = uses.get(reading.tool, 0) + 1
    most = max(uses, key=lambda tool: uses[tool], default="")
    found = (_difference(kept, tool, most, house) for tool in uses if tool != most)
    return tuple(each for each in found if each)


def _difference(faces: Iterable[Face], tool: str, beside: str, house: str) -> Difference | None:
    both = [face for face in faces if {tool, beside} <= {r.tool for r in face.readings if r.kind in LENGTHS}]
    if not both:
        return None
    offset, spread = _unknowns(both, (tool, beside), scale=False)
    if offset is None or spread is None:
        return None
    low, high = spread[0]
    scale, scales = _unknowns(both, (tool, beside), scale=True)
    told = scale is not None and scales is not None and scales[1][1] - scales[1][0] <= 2 * CLOSE_PPM
    return Difference(
        tool=tool, beside=beside, house=house, openings=len(both), bias_mm=offset[0], interval_mm=(low, high),
        scale_ppm=scale[1] if told and scale else None, interval_ppm=scales[1] if told and scales else None,
    )  # fmt: skip


def _unknowns(
    faces: Sequence[Face], tools: tuple[str, str], *, scale: bool
) -> tuple[list[float] | None, list[tuple[float, float]] | None]:
    """Offset between the two, mm, and on demand their scales', in millionths, each with its interval."""
    columns = 3 if scale else 2
    normal, right, square, dof = np.zeros((columns, columns)), np.zeros(columns), 0.0, -float(columns)
    for face in faces:
        fit, n = face.outline.fit, len(face.readings)
        design = np.zeros((len(fit.sigmas), columns))
        for row, reading in enumerate(face.readings):
            if reading.kind in LENGTHS and reading.tool in tools:
                design[row, tools.index(reading.tool)] = 1.0
                if scale and reading.tool == tools[0]:
                    design[row, 2] = reading.mm / 1e6
        design /= fit.sigmas[:, None]
        off = -fit.residuals / fit.sigmas
        normal += design.T @ fit.whitened_maker @ design
        right += design.T @ off
        square += float(np.sum(off[:n] ** 2))
        dof += float(np.sum(face.redundancy))
    if dof < LEAST_DOF or np.linalg.cond(normal) > 1e12:
        return None, None
    inverse = np.linalg.inv(normal)
    found = inverse @ right
    variance = max(square - float(found @ right), 0.0) / dof
    wanted = np.zeros((columns - 1, columns))
    wanted[0, :2] = 1.0, -1.0
    if scale:
        wanted[1, 2] = 1.0
    values = wanted @ found
    reach = student(dof=dof) * np.sqrt(np.diag(wanted @ inverse @ wanted.T) * variance)
    return values.tolist(), [(float(v - r), float(v + r)) for v, r in zip(values, reach, strict=True)]
