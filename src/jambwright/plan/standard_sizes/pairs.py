"""Which sizes could be ordered in two dimensions, and which openings each could serve at what loss."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jambwright.plan.standard_sizes.assortment import HAIR, Floats, Ints

MOST_PAIRS = 1_000_000
"""Of sizes and openings they could serve; beyond it not every size is looked at, and nothing is proven by them."""
AT_ONCE = 5_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairs:
    """Sizes by the openings they could serve, in the order of the sizes."""

    openings: Floats
    """(n, 2), all different."""
    counts: Ints
    """(n,): how many there are of each."""
    sizes: Floats
    """(c, 2)"""
    size: Ints
    """(p,)"""
    opening: Ints
    """(p,)"""
    loss: Floats
    """(p,), of all openings alike."""
    complete: bool
    """Whether some best choice is among the sizes."""

    def only(self, kept: Ints) -> Pairs:
        """The same with some of the sizes alone."""
        new = np.full(len(self.sizes), -1)
        new[kept] = np.arange(len(kept))
        mine = new[self.size] >= 0
        return Pairs(
            openings=self.openings, counts=self.counts, sizes=self.sizes[kept], size=new[self.size[mine]],
            opening=self.opening[mine], loss=self.loss[mine], complete=self.complete,
        )  # fmt: skip

    def apart(self) -> list[Ints]:
        """Sizes in groups that serve no opening in common."""
        from scipy.sparse import coo_array
        from scipy.sparse.csgraph import connected_components

        c, n = len(self.sizes), len(self.openings)
        links = coo_array((np.ones(len(self.size)), (self.size, c + self.opening)), shape=(c + n, c + n))
        count, group = connected_components(links, directed=False)
        return [np.flatnonzero(group[:c] == one) for one in range(count)]


def pairs_of(openings: Floats, counts: Ints, largest_loss: float) -> Pairs:
    """Every size worth ordering: the least width and the least height among some openings it could serve."""
    sizes = _corners(openings, largest_loss)
    serves = [*_served(sizes, openings, largest_loss)]
    complete = True
    if sum(len(size) for size, _ in serves) > MOST_PAIRS:
        # as many as can be looked at, those that serve most openings first, and each opening's own size
        served = np.bincount(np.concatenate([size for size, _ in serves]), minlength=len(sizes))
        order = np.argsort(-served, kind="stable")
        kept = order[np.cumsum(served[order]) <= MOST_PAIRS - len(openings)]
        sizes = np.unique(np.vstack([sizes[kept], openings]), axis=0)
        serves, complete = [*_served(sizes, openings, largest_loss)], False
    size, opening = (np.concatenate(part) for part in zip(*serves, strict=True))
    loss = (openings[opening] - sizes[size]).sum(1) * counts[opening]
    return Pairs(
        openings=openings, counts=counts, sizes=sizes, size=size, opening=opening, loss=loss, complete=complete
    )  # fmt: skip


def _corners(openings: Floats, largest_loss: float) -> Floats:
    """Least width and least height of every two openings that one size could serve."""
    found = [openings]
    step = max(1, AT_ONCE // len(openings))
    for start in range(0, len(openings), step):
        some = openings[start : start + step, None, :]
        near = np.all(np.abs(some - openings[None]) <= largest_loss + HAIR, axis=-1)
        one, other = np.nonzero(near)
        found.append(np.unique(np.minimum(openings[start + one], openings[other]), axis=0))
    return np.unique(np.vstack(found), axis=0)


def _served(sizes: Floats, openings: Floats, largest_loss: float) -> Iterator[tuple[Ints, Ints]]:
    step = max(1, AT_ONCE // len(openings))
    for start in range(0, len(sizes), step):
        spare = openings[None] - sizes[start : start + step, None, :]
        one, other = np.nonzero(np.all((spare >= -HAIR) & (spare <= largest_loss + HAIR), axis=-1))
        yield one + start, other
