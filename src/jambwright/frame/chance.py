"""The chance that a frame goes in: gaps as linear functions of the adjusted outline, drawn jointly.

The outline's parameters are jointly normal; every place a frame could touch moves linearly with them. The
joint probability is taken over low-discrepancy draws (Sobol points), the same for every call, so that a size
searched for and the probability told for it agree.
"""

from __future__ import annotations

import functools
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy import special

from jambwright.opening import Belief, Gaps, Hole, Prefer, Rectangle, Space
from jambwright.opening.contacts import INWARD, Contact, contacts, space_slopes
from jambwright.opening.largest import TIE
from jambwright.opening.shape import Floats, Side

DRAWS_LOG2 = 14
FINE_DRAWS_LOG2 = 17
ROUGH_DRAWS_LOG2 = 12
FINE_ABOVE = 0.995
"""A wanted chance above this takes the finer draws."""

CURVED = 0.4
"""Chance that an edge with a bow is a curve, else bent at its middle: no reading tells. House value; with it the
stated chance is about true for curves and on the safe side for bends (``benchmarks/real_walls.py``)."""

ENDS_AND_MIDDLE = 3
"""Contacts of a side that is known at its ends and its middle."""

MOST_SIZES = 48
"""Candidate sizes tried each way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MakerTolerance:
    """How far a delivered frame may be off, each as plus or minus two standard deviations.

    Common practice, no published source.
    """

    size_mm: float = 2.0
    diagonal_mm: float = 2.0
    """Difference of the two diagonals."""


MAKER = MakerTolerance()


@dataclass(frozen=True, slots=True, kw_only=True)
class Draws:
    """For each draw the greatest and least size that goes in, with what bound it."""

    width_most: Floats
    width_least: Floats
    height_most: Floats
    height_least: Floats
    width_pairs: Floats
    """Which pair of contacts bound the width: left contact * many + right contact."""
    height_pairs: Floats
    touching: Mapping[Side, list[Contact]]

    def probability(self, width: float, height: float) -> float:
        """Share of the draws in which a frame of this size goes in."""
        fits = (self.width_most >= width) & (self.width_least <= width)
        fits &= (self.height_most >= height) & (self.height_least <= height)
        return float(np.mean(fits))


def draw(
    hole: Hole,
    space: Space,
    gaps: Gaps,
    frame: Rectangle,
    *,
    widest: Gaps | None = None,
    maker: MakerTolerance = MAKER,
    common_mm: float = 0.5,
    belief: Belief | None = None,
    draws_log2: int = DRAWS_LOG2,
) -> Draws:
    """Draw holes and delivered frames; ``frame`` is about where and how large the frame will be.

    ``widest`` holds the greatest gap the joint allows; ``common_mm`` is the error all lengths share.
    ``belief`` is what is believed of the hole's parameters; what the readings and likely lean and bow say when
    left out. A side that bulges between its ends is bent in some of the draws, curved in the others.
    """
    found = contacts(space, gaps, frame)
    slopes = space_slopes(hole.bends(), found)
    believed = belief or hole.belief()
    normal = _normal_draws(believed.means.shape[1] + 6, draws_log2)
    moves = _moved(believed, normal[:, -1], normal[:, 4:-2]) - hole.parameters
    at = {
        side: np.array([c.limit for c in listed]) + moves @ slopes[side].T for side, listed in found.items()
    }
    racked = normal[:, 3] * _rack_mm(frame, maker)
    for side in ("left", "right"):
        at[side] = at[side] - racked[:, None] * np.array([_height_share(c) for c in found[side]])
    curved = special.ndtr(normal[:, -2]) < CURVED
    for side, listed in at.items():
        listed[curved] = _curved(side, listed[curved])
    size = maker.size_mm / 2
    shared = common_mm * normal[:, 0]
    extra = (shared - size * normal[:, 1], shared - size * normal[:, 2])
    w_most, w_pair = _most(at["left"], at["right"], extra[0])
    h_most, h_pair = _most(at["bottom"], at["head"], extra[1])
    w_least = _least(at["left"], at["right"], extra[0], _slack(gaps, widest, "left", "right"))
    h_least = _least(at["bottom"], at["head"], extra[1], _slack(gaps, widest, "bottom", "head"))
    return Draws(
        width_most=w_most,
        width_least=w_least,
        height_most=h_most,
        height_least=h_least,
        width_pairs=w_pair,
        height_pairs=h_pair,
        touching=found,
    )


@functools.cache
def _normal_draws(dimensions: int, log2: int) -> Floats:
    from scipy.stats import qmc  # slow to import

    points = qmc.Sobol(dimensions, scramble=True, rng=np.random.default_rng(20240229)).random_base2(log2)
    return np.asarray(special.ndtri(np.clip(points, 1e-12, 1 - 1e-12)))


def _moved(belief: Belief, pick: Floats, normal: Floats) -> Floats:
    """Parameters drawn from a belief, (draws, u); ``pick`` says which of its distributions each draw is from."""
    which = np.searchsorted(np.cumsum(belief.chance)[:-1], special.ndtr(pick))
    moved = np.empty_like(normal)
    for n, (mean, spread) in enumerate(zip(belief.means, belief.spreads, strict=True)):
        moved[which == n] = normal[which == n] @ _root(spread) + mean
    return moved


def _curved(side: Side, at: Floats) -> Floats:
    """Limits of a side's contacts (draws, 2 ends and what lies between) with those of a curve beside them.

    A parabola through the ends and one point half way between, b in from their chord, stands furthest in at
    b + d²/(16 b) from the chord's middle, where d is what the ends differ by; half an edge away at most, else at
    an end. Calculated.
    """
    if at.shape[1] != ENDS_AND_MIDDLE:
        return at
    first, last, middle = (INWARD[side] * at.T)[:, :]
    bow, apart = middle - (first + last) / 2, np.abs(last - first)
    peaks = (bow > 0) & (apart < 4 * bow)
    safe = np.where(peaks, bow, 1.0)
    furthest = np.where(peaks, middle + apart**2 / (16 * safe), middle)
    return np.column_stack([at[:, :2], INWARD[side] * furthest])


def _root(covariance: Floats) -> Floats:
    """The symmetric root of a covariance, which may be singular; it moves smoothly with the covariance."""
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray((vectors * np.sqrt(np.maximum(values, 0.0))) @ vectors.T)


def _rack_mm(frame: Rectangle, maker: MakerTolerance) -> float:
    """Standard deviation of the shift of a frame's head against its bottom: e = Δ D / (2 W)."""
    diagonal = float(np.hypot(frame.width, frame.height))
    return maker.diagonal_mm / 2 * diagonal / (2 * frame.width)


def _height_share(contact: Contact) -> float:
    """Share of the rack that a contact sees: none at the bottom, all at the head."""
    return {"bottom": 0.0, "lower quarter": 0.25, "middle": 0.5, "upper quarter": 0.75, "top": 1.0}[
        contact.at
    ]


def _most(low: Floats, high: Floats, extra: Floats) -> tuple[Floats, Floats]:
    """The greatest size between two sides and which pair of contacts bounds it."""
    size = np.min(high, 1) - np.max(low, 1) + extra
    return size, np.argmax(low, 1) * high.shape[1] + np.argmin(high, 1)


def _slack(gaps: Gaps, widest: Gaps | None, low: Side, high: Side) -> tuple[float, float] | None:
    if widest is None:
        return None
    return widest.of(low) - gaps.of(low), widest.of(high) - gaps.of(high)


def _least(low: Floats, high: Floats, extra: Floats, slack: tuple[float, float] | None) -> Floats:
    """The least size that leaves no gap too wide; infinite where the sides are too crooked for any."""
    if slack is None:
        return np.full(len(low), -np.inf)
    least = (np.max(high, 1) - slack[1]) - (np.min(low, 1) + slack[0]) + extra
    crooked = (np.ptp(low, axis=1) > slack[0]) | (np.ptp(high, axis=1) > slack[1])
    return np.where(crooked, np.inf, least)


def best_size(
    draws: Draws, confidence: float, step: float, sill: float, prefer: Prefer
) -> tuple[float, float, float]:
    """Width, height (sill included) and chance of the largest rounded size whose chance is wanted.

    ``prefer`` decides between equal sums; of equal sums the nearest to square has the largest area.
    Where no size reaches the wanted chance (a joint that may be neither too tight nor too wide), the
    likeliest size.
    """
    # a joint that may not be too wide either can want a frame as large as the likeliest
    boldest = 1 - confidence if np.all(np.isneginf(draws.width_least)) else 0.7
    widths = _candidates(draws.width_most, ((1 - confidence) / 20, boldest), step, 0.0)
    heights = _candidates(draws.height_most, ((1 - confidence) / 20, boldest), step, sill)
    fits_w = (draws.width_most >= widths[:, None]) & (draws.width_least <= widths[:, None])
    fits_h = (draws.height_most >= heights[:, None]) & (draws.height_least <= heights[:, None])
    chance = (fits_w.astype(np.float32) @ fits_h.astype(np.float32).T) / len(draws.width_most)
    w, h = np.meshgrid(widths, heights, indexing="ij")
    size = w + h + TIE * {"width": w, "height": h, "area": np.minimum(w, h)}[prefer]
    good = chance >= confidence
    score = np.where(good, size, -np.inf) if good.any() else np.asarray(chance, float)
    i, j = np.unravel_index(int(np.argmax(score)), score.shape)
    return float(widths[i]), float(heights[j]), draws.probability(float(widths[i]), float(heights[j]))


def most_size(draws: Draws, confidence: float) -> float:
    """Greatest width + height, not rounded, with the wanted chance."""
    needed = int(np.ceil(confidence * len(draws.width_most)))
    best = -np.inf
    for width in np.quantile(draws.width_most, np.linspace(0.02, 0.98, 25) * (1 - confidence)):
        heights = np.sort(draws.height_most[draws.width_most >= width])
        if len(heights) >= needed:
            best = max(best, float(width + heights[len(heights) - needed]))
    return float(best)


def _candidates(most: Floats, shares: tuple[float, float], step: float, start: float) -> Floats:
    """Sizes from too safe to too bold, on the steps the order is rounded to."""
    low, high = np.quantile(most, shares)
    if (high - low) / step > MOST_SIZES:
        sizes = np.linspace(low, high, MOST_SIZES)
    else:
        sizes = np.arange(low, high + step, step)
    # a hair is added so that a size on a step stays there, as in round_down_mm
    return np.unique(np.floor((sizes - start) / step + 1e-6) * step + start)


def governing(draws: Draws, width: float, height: float) -> str:
    """Which pair of contacts most often bars the frame when it does not go in."""
    tight: Counter[str] = Counter()
    for most, pairs, size, low, high in (
        (draws.width_most, draws.width_pairs, width, "left", "right"),
        (draws.height_most, draws.height_pairs, height, "bottom", "head"),
    ):
        barred = pairs[most < size]
        first, second = draws.touching[low], draws.touching[high]  # type: ignore[index]  # they are sides
        for pair, times in Counter(barred.tolist()).items():
            a, b = first[pair // len(second)], second[pair % len(second)]
            tight[f"{a.at} of the {_edge(a.side)} against {b.at} of the {_edge(b.side)}"] += times
    return tight.most_common(1)[0][0] if tight else "none"


def _edge(side: Side) -> str:
    return f"{side} jamb" if side in ("left", "right") else {"bottom": "sill", "head": "head"}[side]
