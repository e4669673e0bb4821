"""The search for misreads: what most likely went wrong, what else could have, and what would tell.

The explanations of ``opening.explain`` are weighed where the model is made linear at the outline that the
best of them leaves, so that a gross misread does not bend the model it is judged by.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jambwright.basis.tables import table
from jambwright.opening.explain import Ways, Weights, rows_of_best, ways_for, weigh
from jambwright.opening.least_squares import Fit
from jambwright.opening.net import Net, net_of
from jambwright.opening.outline import Outline
from jambwright.opening.shape import Floats, Place
from jambwright.readings import Reading, Trust, reading_name

ALARM = -0.4
"""Logarithm of the odds of "something is wrong" at which the readings are doubted. Calibrated by
``benchmarks/misreads.py``: under 1 false alarm in 100 clean openings with a full set."""

CROOKED = 2.0
"""Lean allowed before it counts against an explanation, times the usual: keeps false alarms under 1 in 100 in
houses twice as crooked as most (``benchmarks/misreads.py``)."""

SET_ASIDE = 1e4
"""A reading set aside keeps its row with its sigma made larger by this."""

WORTH_TELLING = 0.05
"""Explanations and suspects below this chance are left out."""

NEGLIGIBLE = 1e-4

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
    """One way the readings may have gone wrong."""

    changes: tuple[Correction, ...]
    cause: str
    chance: float
    """Among all explanations, given that something is wrong."""
    rows: tuple[int, ...]
    """Places of the changed readings in the list, repeats counted singly."""


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
        return (
            f"{reading_name(self.kind, self.at)} {self.read_mm:g} mm is likely {self.likely_mm:.0f} mm "
            f"({self.cause}; {self.chance:.0%}). Measure it again."
        )


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

    @property
    def told_apart(self) -> bool:
        """Whether the best explanation stands alone."""
        return not self.explanations or self.explanations[0].chance >= CERTAIN_ENOUGH


def search(outline: Outline, readings: Sequence[Reading], trust: Trust) -> Findings:
    """Look for misreads among the readings behind an outline."""
    measured = [r for r in readings if r.how == "measured"]
    net, read = net_of(measured, trust, outline.shape, singly=True)
    ways, weights = weigh_readings(net, read[None])
    odds = float(np.exp(np.minimum(weights.total[0], 700.0)))
    if weights.total[0] <= ALARM:
        return Findings(doubted=False, odds=odds, suspects=(), explanations=(), left=())
    groups = _groups(ways, weights, read)
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
    )


def weigh_readings(net: Net, read: Floats, rounds: int = 3) -> tuple[Ways, Weights]:
    """Odds of every explanation for readings ``(N, n)`` of many openings alike, or of one."""
    ways = ways_for(net.places)
    expecting = net.expecting(lean=CROOKED)
    observed, p = net.all_rows(read), net.shape.start(net.places, read)
    aside = np.zeros(read.shape, bool)
    for turn in range(rounds):
        maker, z = expecting.residuals(read, p)
        weights = weigh(ways, read, z, maker, np.broadcast_to(expecting.sigmas, z.shape))
        best = rows_of_best(ways, weights)
        if turn and np.array_equal(best, aside):
            break
        aside = best
        sigmas = np.broadcast_to(net.sigmas, observed.shape).copy()
        sigmas[..., : read.shape[-1]] *= np.where(aside, SET_ASIDE, 1.0)
        p = net.fit(observed, p, sigmas).parameters
    return ways, weights


@dataclass(frozen=True, slots=True)
class _Group:
    """All explanations that change the same readings; the figures are exact where a named way leads."""

    rows: tuple[int, ...]
    chance: float
    cause: str
    exact_mm: tuple[float, ...] | None


def _groups(ways: Ways, weights: Weights, read: Floats) -> list[_Group]:
    say = {row["slip"]: row["say"] for row in table("slips")}
    found: dict[tuple[int, ...], list[tuple[float, str, tuple[float, ...] | None]]] = defaultdict(list)
    for i in range(len(read)):
        found[(i,)].append((weights.free[0, i], say["any"], None))
        for k, slip in enumerate(ways.slips[i]):
            found[(i,)].append((weights.named[0, i, k], slip.say, (float(weights.meant_mm[0, i, k]),)))
    for q, (i, j) in enumerate(ways.exchanges):
        found[i, j].append((weights.exchanged[0, q], say["exchanged"], (float(read[j]), float(read[i]))))
    for q, pair in enumerate(ways.pairs):
        found[pair].append((weights.pairs[0, q], "two readings wrong", None))
    total = float(weights.total[0])
    groups = [_group(rows, several, total) for rows, several in found.items()]
    return sorted((g for g in groups if g.chance > NEGLIGIBLE), key=lambda g: -g.chance)


def _group(
    rows: tuple[int, ...], several: list[tuple[float, str, tuple[float, ...] | None]], total: float
) -> _Group:
    chance = math.exp(float(np.logaddexp.reduce([log_odds for log_odds, _, _ in several])) - total)
    log_odds, cause, exact = max(several, key=lambda e: e[0])
    if exact is not None and math.exp(log_odds - total) < chance / 2:
        return _Group(rows, chance, next(c for _, c, e in several if e is None), None)
    return _Group(rows, chance, cause, exact)


def _left_by(net: Net, read: Floats, group: _Group) -> Fit:
    """The fit that an explanation leaves: readings put right where it says how, else set aside."""
    put_right, sigmas = read.copy(), net.sigmas.copy()
    rows = list(group.rows)
    if group.exact_mm is None:
        sigmas[rows] *= SET_ASIDE
    else:
        put_right[rows] = group.exact_mm
    return net.fit(net.all_rows(put_right), net.shape.start(net.places, read), sigmas)


def _explanation(net: Net, read: Floats, group: _Group, fit: Fit) -> Explanation:
    expected = net.shape.observe(net.places, fit.parameters)[0]
    likely = group.exact_mm or [float(expected[i]) for i in group.rows]
    changes = tuple(
        Correction(kind=net.places[i][0], at=net.places[i][1], read_mm=float(read[i]), likely_mm=mm)
        for i, mm in zip(group.rows, likely, strict=True)
    )
    return Explanation(changes=changes, cause=group.cause, chance=group.chance, rows=group.rows)


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
