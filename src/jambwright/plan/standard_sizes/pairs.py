"""Which sizes could be ordered in two dimensions, and which openings each could serve at what loss."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jambwright.plan.standard_sizes.assortment import HAIR, Floats, Ints
from jambwright.plan.standard_sizes.one_dimension import best_lengths, fewest_lengths

MOST_PAIRS = 500_000
"""Of sizes and openings they could serve; beyond it not every size is looked at, and nothing is proven by them."""
AT_ONCE = 2_000_000


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
    """Every size worth ordering: the least width and the least height among some openings it could serve.

    Where these serve more than can be looked at, the crossings of good widths and good heights stand in for them.
    """
    sizes = _corners(openings, largest_loss)
    complete = _served_in_all(sizes, openings, largest_loss) <= MOST_PAIRS
    if not complete:
        sizes = _crossings(openings, counts, largest_loss)
    size, opening = (
        np.concatenate(part) for part in zip(*_served(sizes, openings, largest_loss), strict=True)
    )
    loss = (openings[opening] - sizes[size]).sum(1) * counts[opening]
    return Pairs(
        openings=openings, counts=counts, sizes=sizes, size=size, opening=opening, loss=loss, complete=complete
    )  # fmt: skip


def _corners(openings: Floats, largest_loss: float) -> Floats:
    """Least width and least height of every two openings that one size could serve."""
    (widths, across), (heights, up) = (np.unique(edge, return_inverse=True) for edge in openings.T)
    found = np.zeros((len(widths), len(heights)), bool)
    step = max(1, AT_ONCE // len(openings))
    for start in range(0, len(openings), step):
        some = slice(start, start + step)
        near = np.all(np.abs(openings[some, None] - openings[None]) <= largest_loss + HAIR, axis=-1)
        one, other = np.nonzero(near)
        found[np.minimum(across[some][one], across[other]), np.minimum(up[some][one], up[other])] = True
    wide, high = np.nonzero(found)
    return np.stack([widths[wide], heights[high]], -1)


def _served_in_all(sizes: Floats, openings: Floats, largest_loss: float) -> int:
    """How many openings the sizes could serve, each counted for each size."""
    widths, heights = (np.unique(edge) for edge in openings.T)
    there = np.zeros((len(widths) + 1, len(heights) + 1), np.int64)
    at = [np.searchsorted(edge, openings[:, d]) + 1 for d, edge in enumerate((widths, heights))]
    np.add.at(there, tuple(at), 1)
    up_to = there.cumsum(0).cumsum(1)
    (low_w, high_w), (low_h, high_h) = (
        (np.searchsorted(edge, sizes[:, d] - HAIR), np.searchsorted(edge, sizes[:, d] + largest_loss + HAIR, "right"))
        for d, edge in enumerate((widths, heights))
    )  # fmt: skip
    inside = up_to[high_w, high_h] - up_to[low_w, high_h] - up_to[high_w, low_h] + up_to[low_w, low_h]
    return int(inside.sum())


def _crossings(openings: Floats, counts: Ints, largest_loss: float) -> Floats:
    """Good widths by good heights, as many as can be looked at, and each opening's own size."""
    many = 128
    while True:
        edges = []
        for edge in openings.T:
            lengths = np.repeat(edge, counts)
            most = max(many, fewest_lengths(lengths, largest_loss))
            edges.append(best_lengths(lengths, largest_loss, most).sizes[:, 0])
        crossed = np.stack(np.meshgrid(*edges, indexing="ij"), -1).reshape(-1, 2)
        sizes = np.unique(np.vstack([crossed, openings]), axis=0)
        if many <= 1 or _served_in_all(sizes, openings, largest_loss) <= MOST_PAIRS:
            return sizes
        many //= 2


def _served(sizes: Floats, openings: Floats, largest_loss: float) -> Iterator[tuple[Ints, Ints]]:
    step = max(1, AT_ONCE // len(openings))
    for start in range(0, len(sizes), step):
        spare = openings[None] - sizes[start : start + step, None, :]
        one, other = np.nonzero(np.all((spare >= -HAIR) & (spare <= largest_loss + HAIR), axis=-1))
        yield one + start, other
