"""What to measure: which misreads a set of readings would show, and which set shows the ones that matter.

Source: Baarda's internal and external reliability (textbook theory, from memory, high); a misread counts as
named when no other single reading, wrong by any amount, would explain it as well.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jambwright.basis.problems import BadInput
from jambwright.opening.least_squares import UNCHECKED
from jambwright.opening.net import Net, plan_net, sigmas_at
from jambwright.opening.outline import DETECTION
from jambwright.opening.rectangle import RECTANGLE
from jambwright.opening.shape import Floats, Place, Shape
from jambwright.readings import USUAL, Trust

NAMING = 2.486
"""Normal quantiles for telling two readings apart 80 times in 100 at 1 mistake in 20: 1.645 + 0.842."""

MOST_READINGS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """One reading of a planned set."""

    kind: str
    at: str
    redundancy: float
    smallest_detectable_mm: float | None
    """None when nothing checks it."""
    smallest_nameable_mm: float | None
    """Smallest misread that no other reading would explain as well; none when another always does."""
    tied_with: tuple[Place, ...]
    """Readings it can't be told from, whatever the misread."""


def reliability(
    places: Sequence[Place],
    *,
    width_mm: float,
    height_mm: float,
    trust: Trust = USUAL,
    shape: Shape = RECTANGLE,
) -> list[Planned]:
    """What a set of readings would show in a true opening of this size. Repeat a place to read it again."""
    net, p = _net(places, width_mm, height_mm, trust, shape)
    maker = net.made_linear(np.zeros(len(places)), p).maker
    maker = maker[: len(places), : len(places)]
    seen = np.diagonal(maker)
    sigma = net.sigmas[: len(places)]
    detectable = _smallest(DETECTION, sigma, seen)
    apart = _apart(maker)
    nameable = np.maximum(detectable, _smallest(NAMING, sigma, np.min(apart, axis=1, initial=np.inf)))
    return [
        Planned(
            kind=kind,
            at=at,
            redundancy=float(seen[n]),
            smallest_detectable_mm=_finite(detectable[n]),
            smallest_nameable_mm=_finite(nameable[n]),
            tied_with=tuple(
                place
                for place, share, other in zip(places, apart[n], seen, strict=True)
                if share < UNCHECKED < min(other, seen[n])
            ),
        )
        for n, (kind, at) in enumerate(places)
    ]


def what_to_measure(
    misread_mm: float, *, width_mm: float, height_mm: float, trust: Trust = USUAL, shape: Shape = RECTANGLE
) -> list[Place]:
    """A short set of readings that makes a misread of this size in any length shown and named.

    All lengths, levels and plumbs first (they also tell how the opening stands); then, one at a time,
    whichever reading (new, or one taken again) brings the lengths nearest to it. ``BadInput`` when even 40
    readings can't.
    """

    def short(places: Sequence[Place]) -> float:
        planned = reliability(places, width_mm=width_mm, height_mm=height_mm, trust=trust, shape=shape)
        lengths = [r for r in planned if (r.kind, r.at) in shape.lengths]
        return sum(
            _short_of(r.smallest_detectable_mm, misread_mm) + _short_of(r.smallest_nameable_mm, misread_mm)
            for r in lengths
        ) / len(lengths)

    places = [*shape.lengths, *shape.upright]
    candidates = [*shape.upright, *shape.bows, *shape.lengths]
    while short(places) > 0:
        if len(places) >= MOST_READINGS:
            raise BadInput.one(
                "misread_mm",
                f"misread_mm: {misread_mm:g} mm is too fine to find with this tape, however often it is "
                "read; use a better one.",
            )
        places.append(min(candidates, key=lambda c: short([*places, c])))
    return places


def _short_of(smallest_mm: float | None, wanted_mm: float) -> float:
    """How far a figure is from the wanted one: 0 when reached, 1 when it can't be had at all."""
    return 1.0 if smallest_mm is None else max(1.0 - (wanted_mm / smallest_mm) ** 2, 0.0)


def counted(places: Sequence[Place]) -> dict[Place, int]:
    """How often each place is to be read."""
    return dict(Counter(places))


def _net(
    places: Sequence[Place], width: float, height: float, trust: Trust, shape: Shape
) -> tuple[Net, Floats]:
    p = shape.start([("width", "bottom"), ("height", "left")], np.array([width, height]))
    along, up = shape.edges_mm(p)
    return plan_net(places, sigmas_at(shape, places, p, trust), along, up, trust, shape), p


def _apart(maker: Floats) -> Floats:
    """Share of each reading's error that still shows when another reading may be wrong by any amount."""
    seen = np.diagonal(maker)
    safe = np.where(seen > UNCHECKED, seen, np.inf)
    apart = seen[:, None] - maker**2 / safe[None, :]
    np.fill_diagonal(apart, np.inf)
    return np.asarray(apart)


def _smallest(noncentrality: float, sigma: Floats, seen: Floats) -> Floats:
    shown = seen > UNCHECKED
    return np.where(shown, noncentrality * sigma / np.sqrt(np.where(shown, seen, 1.0)), np.inf)


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
