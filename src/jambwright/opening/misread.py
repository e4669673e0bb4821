"""The search for misreads: what most likely went wrong, what else could have, and what would tell.

The explanations of ``opening.explain`` are weighed where the model is made linear at the outline that the
best of them leaves, so that a gross misread does not bend the model it is judged by.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jambwright.basis.tables import table
from jambwright.opening.explain import Ways, Weights, rows_of_best, ways_for, weigh
from jambwright.opening.explain_together import (
    ARCHED,
    BULGED,
    LEAST_SHAPE_MM,
    RAKED,
    STEPPED,
    OddShape,
    Wholes,
    wholes_for,
)
from jambwright.opening.least_squares import Fit
from jambwright.opening.net import Net, net_of
from jambwright.opening.outline import Outline
from jambwright.opening.quartered import shape_for
from jambwright.opening.said import as_read, said, share, whole
from jambwright.opening.scales import SCALES, Scales, chances
from jambwright.opening.shape import Floats, Place
from jambwright.opening.stepped import step_words, steps
from jambwright.readings import Reading, Trust, reading_name

ALARM = -0.7
"""Logarithm of the odds of "something is wrong" at which the readings are doubted. Calibrated by
``benchmarks/misreads.py``: under 1 false alarm in 100 clean openings with a full set."""

CROOKED = 2.0
"""Lean allowed before it counts against an explanation, times the usual: keeps false alarms under 1 in 100 in
houses twice as crooked as most (``benchmarks/misreads.py``)."""

SET_ASIDE = 1e4
"""A reading set aside keeps its row with its sigma made larger by this."""

ROUNDS = 3
"""So often the explanations are weighed, each time where the best of them leaves the outline."""

WORTH_TELLING = 0.05
"""Explanations and suspects below this chance are left out."""

NEGLIGIBLE = 1e-4

REFER = {
    ARCHED: "give span, rise and springing, and have the frame's head settled with the maker before it is ordered.",
    RAKED: "settle with the maker whether the frame's head is raked too, or the gap is made good.",
    BULGED: "look whether it is a curve, a step or a lump that can be cut back; read the width there too.",
    STEPPED: "lay a straight-edge along both jambs to see which, and whether it can be cut back or packed.",
}
"""What to do about an odd shape, in plain words."""

CERTAIN_ENOUGH = 0.9
"""Below this chance of the best explanation, the others are told too and what would part them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """One reading as it was read and as it likely was."""

    kind: str
    at: str
    read_mm: float
    likely_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """One way in which the readings may have gone wrong, or the opening may be other than it is taken for."""

    changes: tuple[Correction, ...]
    """Readings to put right; none where the opening's shape explains them as they stand."""
    cause: str
    chance: float
    """Among all explanations, given that something is wrong."""
    rows: tuple[int, ...]
    """Places of the changed readings in the list, repeats counted singly."""
    shape: OddShape | None = None
    """What is odd about the opening's shape; none where readings are wrong."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """One reading that is likely wrong."""

    kind: str
    at: str
    read_mm: float
    likely_mm: float
    w: float
    chance: float
    cause: str

    @property
    def say(self) -> str:
        """What to tell the fitter."""
        return said(
            "suspect", reading=reading_name(self.kind, self.at), read=as_read(self.read_mm),
            likely=whole(self.likely_mm), cause=self.cause, chance=share(self.chance),
        )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Findings:
    """What the search found."""

    doubted: bool
    odds: float
    """Odds that something is wrong."""
    suspects: tuple[Suspect, ...]
    """Best first; empty when the readings agree."""
    explanations: tuple[Explanation, ...]
    """Best first; more than one when the readings can't tell which."""
    left: tuple[Fit, ...]
    """The fit that each explanation leaves."""
    remarks: tuple[str, ...] = ()
    """What was read and is odd, though the readings agree: an arched head, edges that may be stepped."""
    steps: tuple[tuple[Place, float], ...] = ()
    """Quarter widths that no smooth jambs would leave, with by how much they are off, mm."""

    @property
    def told_apart(self) -> bool:
        """Whether the best explanation stands alone."""
        return not self.explanations or self.explanations[0].chance >= CERTAIN_ENOUGH


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """Explanations of the readings of many openings alike, with their odds."""

    ways: Ways
    wholes: Wholes
    weights: Weights
    log_evidence: Floats
    """What the readings say for each scale, whatever is wrong with them, (N, k)."""
    worse: Floats
    """How many times what was said the readings scatter, as far as they tell, (N,)."""


def search(outline: Outline, readings: Sequence[Reading], trust: Trust, likely: Scales = SCALES) -> Findings:
    """Look for misreads among the readings behind an outline.

    ``likely`` is how crooked the house is and how good its readings are, as far as that is known.
    """
    measured = [r for r in readings if r.how == "measured"]
    net, read = net_of(measured, trust, outline.shape, singly=True)
    weighed = weigh_readings(net, read[None], likely)
    wholes, weights = weighed.wholes, weighed.weights
    odds = float(np.exp(np.minimum(weights.total[0], 700.0)))
    stepped = tuple(steps(measured, trust, float(weighed.worse[0])))
    remarks = (*_known_shapes(wholes, weights), *step_words(stepped))
    if weights.total[0] <= ALARM:
        return Findings(
            doubted=False, odds=odds, suspects=(), explanations=(), left=(), remarks=remarks, steps=stepped
        )
    groups = _groups(weighed, read)
    listed = [g for g in groups if g.chance >= WORTH_TELLING] or groups[:1]
    left = tuple(_left_by(net, read, g) for g in listed)
    explanations = tuple(_explanation(net, read, g, fit) for g, fit in zip(listed, left, strict=True))
    w = {(a.kind, a.at): a.w for a in outline.readings}
    return Findings(
        doubted=True,
        odds=odds,
        suspects=_suspects(explanations, groups, w),
        explanations=explanations,
        left=left,
        remarks=remarks,
        steps=stepped,
    )


def weigh_readings(net: Net, read: Floats, likely: Scales = SCALES, rounds: int = ROUNDS) -> Weighed:
    """Odds of every explanation for readings ``(N, n)`` of many openings alike, or of one."""
    ways = ways_for(net.places)
    expecting = net.expecting(lean=CROOKED)
    wholes = wholes_for(net.places, expecting.stand_ins)
    scales, which = likely.only(expecting)
    scaled = expecting.scaled(scales.factors(expecting))
    observed, p = net.all_rows(read), net.shape.start(net.places, read)
    aside = np.zeros(read.shape, bool)
    for turn in range(rounds):
        at = scaled.made_linear(read[:, None, :], p[:, None, :])
        each = weigh(ways, wholes, read[:, None, :], at.residuals, at.maker, scaled.sigmas)
        weights = each.over(chances(at.log_evidence + scales.log_chance))
        best = rows_of_best(ways, wholes, weights)
        if turn and np.array_equal(best, aside):
            break
        aside = best
        sigmas = np.broadcast_to(net.sigmas, observed.shape).copy()
        sigmas[..., : read.shape[-1]] *= np.where(aside, SET_ASIDE, 1.0)
        p = net.fit(observed, p, sigmas).parameters
    evidence = at.log_evidence + np.logaddexp(each.together.log_well, each.total + each.together.log_well)
    weight = np.exp(chances(evidence + scales.log_chance))
    return Weighed(
        ways=ways,
        wholes=wholes,
        weights=weights,
        log_evidence=evidence[..., which],
        worse=np.sqrt(weight @ scales.tools**2),
    )


def evidence(readings: Sequence[Reading], trust: Trust) -> Floats:
    """Logarithm of what the readings of one face say for each of ``SCALES``, misreads allowed for, (k,)."""
    measured = [r for r in readings if r.how == "measured"]
    net, read = net_of(measured, trust, shape_for(measured), singly=True)
    return np.asarray(weigh_readings(net, read[None]).log_evidence[0])


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to change some readings: its odds and, where it says so, what they should be."""

    log_odds: float
    cause: str
    exact_mm: tuple[float, ...] | None = None


@dataclass(frozen=True, slots=True)
class _Group:
    """All explanations that change the same readings; the figures are exact where a named way leads."""

    rows: tuple[int, ...]
    chance: float
    cause: str
    exact_mm: tuple[float, ...] | None
    shape: OddShape | None = None


def _groups(weighed: Weighed, read: Floats) -> list[_Group]:
    ways, wholes, weights = weighed.ways, weighed.wholes, weighed.weights
    say = {row["slip"]: row["say"] for row in table("slips")}
    found: dict[tuple[int, ...], list[_Way]] = defaultdict(list)
    for i in range(len(read)):
        found[(i,)].append(_Way(weights.free[0, i], say["any"]))
        for k, slip in enumerate(ways.slips[i]):
            meant = (float(weights.meant_mm[0, i, k]),)
            found[(i,)].append(_Way(weights.named[0, i, k], slip.say, meant))
    for q, (i, j) in enumerate(ways.exchanges):
        swapped = (float(read[j]), float(read[i]))
        found[i, j].append(_Way(weights.exchanged[0, q], say["exchanged"], swapped))
    for q, pair in enumerate(ways.pairs):
        found[pair].append(_Way(weights.pairs[0, q], said("two_wrong")))
    for q, rows in enumerate(wholes.alike):
        off = float(weights.together.alike_mm[0, q])
        put_right = tuple(float(read[n]) - off for n in rows)
        found[rows].append(_Way(weights.together.alike[0, q], said("alike"), put_right))
    for q, rows in enumerate(wholes.turned):
        put_right = tuple(-float(read[n]) for n in rows)
        found[rows].append(_Way(weights.together.turned[0, q], said("turned"), put_right))
    total = float(weights.total[0] + weights.together.log_well[0])
    groups = [_group(rows, several, total) for rows, several in found.items()]
    for shape, log_odds, off in _shapes(wholes, weights):
        if not shape.read:
            chance = math.exp(log_odds - total)
            groups.append(_Group((), chance, looks_like(shape, off), None, shape))
    return sorted((g for g in groups if g.chance > NEGLIGIBLE), key=lambda g: -g.chance)


def _group(rows: tuple[int, ...], several: list[_Way], total: float) -> _Group:
    chance = math.exp(float(np.logaddexp.reduce([way.log_odds for way in several])) - total)
    best = max(several, key=lambda way: way.log_odds)
    if best.exact_mm is not None and math.exp(best.log_odds - total) < chance / 2:
        free = next((way.cause for way in several if way.exact_mm is None), None)
        if free is not None:
            return _Group(rows, chance, free, None)
    return _Group(rows, chance, best.cause, best.exact_mm)


def _shapes(wholes: Wholes, weights: Weights) -> Iterator[tuple[OddShape, float, float]]:
    together = weights.together
    for shape, log_odds, off in zip(wholes.shapes, together.shapes[0], together.shapes_mm[0], strict=True):
        yield shape, float(log_odds), float(off)


def _known_shapes(wholes: Wholes, weights: Weights) -> Iterator[str]:
    """Odd shapes that were read as such and stand out: no doubt, but worth a second look."""
    for shape, log_odds, off in _shapes(wholes, weights):
        # a bulge that was read is never a surprise, but a step or a lump may hide in it
        if shape.read and (log_odds > 0 or shape.kind == BULGED) and abs(off) >= LEAST_SHAPE_MM:
            yield said("known_shape", cause=looks_like(shape, off), refer=REFER[shape.kind])


def looks_like(shape: OddShape, off_mm: float) -> str:
    """What an odd shape looks like; ``off_mm`` is how far the edge stands out, or the right end low."""
    size = whole(abs(off_mm))
    if shape.kind == RAKED:
        return said("raked", end="left" if off_mm > 0 else "right", size=size)
    if shape.kind == STEPPED:
        return said("stepped", way="out" if off_mm > 0 else "in", size=size, edge=shape.edge)
    if shape.kind == ARCHED and off_mm > 0:
        return said("arched", size=size)
    edge = said("jamb", edge=shape.edge) if shape.edge in ("left", "right") else shape.edge
    return said("bulged", edge=edge, way="out" if off_mm > 0 else "in", size=size)


def _left_by(net: Net, read: Floats, group: _Group) -> Fit:
    """The fit that an explanation leaves: readings put right where it says how, else set aside."""
    put_right, sigmas = read.copy(), net.sigmas.copy()
    rows = list(group.rows)
    if group.exact_mm is not None:
        put_right[rows] = group.exact_mm
    else:
        sigmas[rows] *= SET_ASIDE
    if group.shape is not None and group.shape.row < len(sigmas):
        # the stand-in that says "straight" is what is wrong
        sigmas[group.shape.row] *= SET_ASIDE
    return net.fit(net.all_rows(put_right), net.shape.start(net.places, read), sigmas)


def _explanation(net: Net, read: Floats, group: _Group, fit: Fit) -> Explanation:
    expected = net.shape.observe(net.places, fit.parameters)[0]
    likely = group.exact_mm or [float(expected[i]) for i in group.rows]
    changes = tuple(
        Correction(kind=net.places[i][0], at=net.places[i][1], read_mm=float(read[i]), likely_mm=mm)
        for i, mm in zip(group.rows, likely, strict=True)
    )
    return Explanation(
        changes=changes, cause=group.cause, chance=group.chance, rows=group.rows, shape=group.shape
    )


def _suspects(
    explanations: Sequence[Explanation], groups: Sequence[_Group], w: Mapping[Place, float]
) -> tuple[Suspect, ...]:
    """Every reading that a told explanation changes, by the chance over all explanations."""
    chance: dict[int, float] = defaultdict(float)
    for group in groups:
        for row in group.rows:
            chance[row] += group.chance
    found: dict[int, Suspect] = {}
    for explanation in explanations:
        for row, change in zip(explanation.rows, explanation.changes, strict=True):
            if row not in found:
                found[row] = Suspect(
                    kind=change.kind,
                    at=change.at,
                    read_mm=change.read_mm,
                    likely_mm=change.likely_mm,
                    w=w[change.kind, change.at],
                    chance=chance[row],
                    cause=explanation.cause,
                )
    return tuple(sorted(found.values(), key=lambda s: -s.chance))
