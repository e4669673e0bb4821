"""The openings of an estate and the sizes ordered for them, and a recount that shares nothing with the search."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
HAIR = 1e-6
"""Of a millimetre: figures written with decimals still meet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assortment:
    """Which sizes, and which of them each opening gets. Loss is what fits less what is ordered, over all edges."""

    sizes: Floats
    """(k, d), sorted; d is 1 or 2."""
    of: Ints
    """(n,): the size of each opening."""
    total_loss: float
    lower_bound: float
    """No choice of so many sizes loses less."""
    sizes_bound: int
    """No fewer sizes do, under the largest loss."""
    most: int
    """So many sizes were allowed: as asked, or the fewest found."""
    fewest_asked: bool

    @property
    def proven_optimal(self) -> bool:
        """The bound meets the loss, and no fewer sizes do where the fewest were asked for."""
        fewest = not self.fewest_asked or self.most <= self.sizes_bound
        return fewest and self.lower_bound >= self.total_loss - HAIR * max(1.0, self.total_loss)


class Miscounted(RuntimeError):
    """A search gave sizes that do not serve what it says: a fault of the program, never shown as a plan."""


def recount(openings: Sequence[Sequence[float]], found: Assortment, largest_loss: float) -> None:
    """Every opening gets a size that fits and loses no more than allowed, the losses add up, no size too many."""
    total = 0.0
    for opening, index in zip(openings, found.of, strict=True):
        losses = [fits - size for fits, size in zip(opening, found.sizes[index], strict=True)]
        if min(losses) < -HAIR or max(losses) > largest_loss + HAIR:
            raise Miscounted(f"opening {opening} can't take size {found.sizes[index]}")
        total += sum(losses)
    if abs(total - found.total_loss) > HAIR * max(1.0, total) or len(found.sizes) > found.most:
        raise Miscounted(f"loss {total} told as {found.total_loss} with {len(found.sizes)} sizes")
    if found.lower_bound > total + HAIR * max(1.0, total):
        raise Miscounted(f"bound {found.lower_bound} over the loss {total}")
