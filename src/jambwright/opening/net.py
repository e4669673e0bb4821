"""The net of readings over an opening: which places were read, how far each is trusted, what stands in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from jambwright.opening.least_squares import Fit, Linear, Prior, made_linear, solve
from jambwright.opening.shape import Floats, Place, Shape
from jambwright.readings import Reading, Trust
from jambwright.readings.tools import unmeasured_mm

LEAST_SEEN = 0.02
"""A direction that moves the readings less than this, mm a mm, counts as not measured."""

LEAST_BOW_MM = 0.1
"""Standard deviation that stands in, at the least, for a bow that was read too roughly to count."""

STRAIGHT_MM = 1e-6
"""Standard deviation that holds an edge straight."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Net:
    """Rows of one adjustment: the readings, then what stands in for places that were not read."""

    shape: Shape
    places: tuple[Place, ...]
    """Of the readings."""
    sigmas: Floats
    """Of all rows, mm, (n,) or (..., n)."""
    upright_sigmas: Floats
    """Of the stand-ins for lean and level, (k,) or (..., k)."""
    bow_sigma: float
    """Of the stand-in for a bow."""

    stand_ins: tuple[Place, ...]
    """Places that no reading speaks for and that are held near 0 instead."""

    @property
    def rows(self) -> tuple[Place, ...]:
        """Places of all rows."""
        return (*self.places, *self.stand_ins)

    def all_rows(self, read: Floats) -> Floats:
        """Readings ``(..., n)`` with the stand-ins for unread bows put after them."""
        more = len(self.stand_ins)
        return np.concatenate([read, np.zeros((*read.shape[:-1], more))], -1)

    def fit(self, observed: Floats, start: Floats, sigmas: Floats | None = None) -> Fit:
        """Adjust all rows, of one opening or of many."""
        off_edges = (*self.shape.bows, *self.shape.steps)
        likely = (*self.shape.upright, *off_edges)
        bows = np.full((*self.upright_sigmas.shape[:-1], len(off_edges)), max(self.bow_sigma, LEAST_BOW_MM))
        prior = Prior(
            observe=partial(self.shape.observe, likely),
            values=np.zeros(len(likely)),
            sigmas=np.concatenate([self.upright_sigmas, bows], -1),
        )
        return solve(
            partial(self.shape.observe, self.rows),
            observed,
            self.sigmas if sigmas is None else sigmas,
            start,
            tolerance=LEAST_SEEN,
            prior=prior,
        )

    def made_linear(self, read: Floats, p: Floats) -> Linear:
        """The net's model at ``p``, for readings ``(..., n)``."""
        observed = self.all_rows(read)
        sigmas = np.broadcast_to(self.sigmas, np.broadcast_shapes(self.sigmas.shape, observed.shape))
        return made_linear(partial(self.shape.observe, self.rows), observed, sigmas, p, LEAST_SEEN)

    def scaled(self, factors: Floats) -> Net:
        """The net by several sets of sigmas, (..., k, rows), each the own ones times ``factors`` (k, rows).

        Readings and parameters then want an axis for k before their last.
        """
        return replace(self, sigmas=self.sigmas[..., None, :] * factors)

    def expecting(self, lean: float = 1.0) -> Net:
        """The same net with what is known of any opening beforehand: near upright, edges near straight.

        It weighs explanations of misreads and bets on sizes; the outline itself never leans on it. ``lean``
        allows so many times the usual lean.
        """
        bows = tuple(b for b in self.shape.bows if b in self.places and self.bow_sigma > STRAIGHT_MM)
        many = self.upright_sigmas.shape[:-1]
        known = np.concatenate([self.sigmas, np.full(len(bows), self.bow_sigma)])
        return replace(
            self,
            stand_ins=(*self.stand_ins, *bows, *self.shape.upright),
            sigmas=np.concatenate(
                [np.broadcast_to(known, (*many, len(known))), lean * self.upright_sigmas], -1
            ),
        )

    def near_upright(self, lean: float) -> Net:
        """The same net with what is known of lean and level beforehand; bows that were read stand as read."""
        return replace(
            self,
            stand_ins=(*self.stand_ins, *self.shape.upright),
            sigmas=np.concatenate([self.sigmas, lean * self.upright_sigmas], -1),
        )

    def adjust(self, read: Floats) -> Fit:
        """Adjust readings ``(..., n)`` of one opening or of many, in the order of ``places``."""
        return self.fit(self.all_rows(read), self.shape.start(self.places, read))


def net_of(
    readings: Sequence[Reading], trust: Trust, shape: Shape, *, singly: bool = False
) -> tuple[Net, Floats]:
    """The net of these readings and the figures read, repeats as their mean or singly."""
    rows = [(r, value) for r in readings for value in (r.values_mm if singly else [r.mm])]
    places = tuple((r.kind, r.at) for r, _ in rows)
    read = np.array([value for _, value in rows])
    along, up = shape.edges_mm(shape.start(places, read))
    once = [trust.once_mm(r, up if r.kind == "plumb" else along) for r, _ in rows]
    shrink = [1.0 if singly else len(r.values_mm) ** -0.5 for r, _ in rows]
    sigmas = np.array(once) * shrink
    return plan_net(places, sigmas, along, up, trust, shape), read


def sigmas_at(shape: Shape, places: Sequence[Place], p: Floats, trust: Trust) -> Floats:
    """Standard deviation of one reading at each place of an outline, (n,)."""
    expected, _ = shape.observe(places, p)
    along, up = shape.edges_mm(p)
    return np.array(
        [
            trust.once_mm(
                Reading(kind=kind, at=at, values_mm=(float(mm),)),  # type: ignore[arg-type]  # a shape's places
                up if kind == "plumb" else along,
            )
            for (kind, at), mm in zip(places, expected, strict=True)
        ]
    )


def plan_net(
    places: Sequence[Place],
    sigmas: Floats,
    along_mm: float | Floats,
    up_mm: float | Floats,
    trust: Trust,
    shape: Shape,
) -> Net:
    """A net by its places, before or after anything was read; edges ``(...)`` of one opening or of many."""
    # a step counts as little against the readings as a bow does
    unread = (*(place for place in shape.bows if place not in places), *shape.steps)
    bow = max(trust.bow_prior_mm, STRAIGHT_MM)
    return Net(
        shape=shape,
        places=tuple(places),
        stand_ins=unread,
        bow_sigma=bow,
        sigmas=np.concatenate([sigmas, np.full(len(unread), bow)]),
        upright_sigmas=np.stack(
            [unmeasured_mm(up_mm if kind == "plumb" else along_mm) for kind, _ in shape.upright], -1
        ),
    )
