"""Filling one bar: the fill of most worth, and every fill worth at least so much.

Dynamic programming over the bar's length in whole units; worths are whole numbers, so that a bound
resting on them is exact.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Amounts = tuple[int, ...]
"""How many pieces of each length are in a bar."""

LARGEST_TABLE = 30_000_000
"""Cells of the table behind ``fills_worth``; beyond it the listing is given up."""

LARGEST_FILLER = 200_000_000
"""Cells of a ``Filler``, a byte each; beyond it no bar is filled to the last unit."""

CELL_SECONDS = 5e-9
"""To price one of them; generous (measured)."""


class Filler:
    """Best fills of bars up to a room, for changing worths of the same pieces."""

    def __init__(self, lengths: Sequence[int], demands: Sequence[int], room: int) -> None:
        self._kinds = len(lengths)
        self._room = room
        self._lots = _lots(lengths, demands, room)
        self._taken = np.zeros((len(self._lots), self._room + 1), dtype=bool)
        self._sums = np.zeros(self._room + 1, dtype=np.int64)

    @property
    def seconds(self) -> float:
        """What pricing once takes, about."""
        return self._taken.size * CELL_SECONDS

    def price(self, worths: Ints) -> Ints:
        """Best worth for every room from 0 up; ``fill`` then tells the pieces behind it."""
        best = np.zeros(self._room + 1, dtype=np.int64)
        for row, (kind, pieces, length) in enumerate(self._lots):
            taken, best_from = self._taken[row, length:], best[length:]
            worth = pieces * int(worths[kind])
            if worth > 0:
                better = np.add(best[:-length], worth, out=self._sums[length:])
                np.greater(better, best_from, out=taken)
                np.maximum(best_from, better, out=best_from)
            else:
                taken[:] = False
        return best

    def fill(self, room: int) -> Amounts:
        """The pieces of the best fill of a room under the worths last priced."""
        amounts = [0] * self._kinds
        for row in range(len(self._lots) - 1, -1, -1):
            if self._taken[row, room]:
                kind, pieces, length = self._lots[row]
                amounts[kind] += pieces
                room -= length
        return tuple(amounts)


def filler_seconds(lengths: Sequence[int], demands: Sequence[int], room: int) -> float:
    """What pricing with such a ``Filler`` takes, about; endless where its table would be too large."""
    cells = len(_lots(lengths, demands, room)) * (room + 1)
    return cells * CELL_SECONDS if cells <= LARGEST_FILLER else math.inf


def most_by_length(lengths: Sequence[int], worths: Ints, room: int) -> int:
    """No fill of a room is worth more: all of it at the dearest worth for its length."""
    return max(room * int(worth) // length for length, worth in zip(lengths, worths, strict=True))


class Lister:
    """Lists fills by their worth; built once for one set of worths."""

    def __init__(self, lengths: Sequence[int], demands: Sequence[int], worths: Ints, room: int) -> None:
        self._lengths = np.asarray(lengths, dtype=np.int64)
        self._demands = np.asarray(demands, dtype=np.int64)
        self._worths = worths
        # best worth of the pieces from a kind on, for every room
        self._from = np.zeros((len(lengths) + 1, room + 1), dtype=np.int64)
        for kind in range(len(lengths) - 1, -1, -1):
            best = self._from[kind]
            best[:] = self._from[kind + 1]
            for _, pieces, length in _lots([lengths[kind]], [demands[kind]], room):
                better = best[:-length] + pieces * int(worths[kind])
                np.maximum(best[length:], better, out=best[length:])

    def fills_worth(self, least: int, room: int, most: int) -> NDArray[np.int16] | None:
        """All fills of a room worth at least ``least`` that leave no space for a piece still wanted.

        One row a fill; ``None`` when there are more than ``most`` of them. Every step keeps only what can
        still reach ``least``, so the work grows with the number listed.
        """
        used = np.zeros(1, dtype=np.int64)
        worth = np.zeros(1, dtype=np.int64)
        steps: list[tuple[Ints, NDArray[np.int16]]] = []
        for kind, length in enumerate(self._lengths):
            repeat = min(int(self._demands[kind]), room // int(length)) + 1
            if len(used) * repeat > 20 * most:
                return None
            amount = np.repeat(np.arange(repeat, dtype=np.int64), len(used))
            parent = np.tile(np.arange(len(used), dtype=np.int64), repeat)
            now_used = used[parent] + amount * length
            now_worth = worth[parent] + amount * self._worths[kind]
            inside = now_used <= room
            still = self._from[kind + 1, np.where(inside, room - now_used, 0)]
            keep = inside & (now_worth + still >= least)
            used, worth = now_used[keep], now_worth[keep]
            steps.append((parent[keep], amount[keep].astype(np.int16)))
            if len(used) > most:
                return None
        return self._full_only(self._rows(steps, len(used)), room)

    def _rows(self, steps: list[tuple[Ints, NDArray[np.int16]]], count: int) -> NDArray[np.int16]:
        rows = np.zeros((count, len(self._lengths)), dtype=np.int16)
        at = np.arange(count)
        for kind in range(len(self._lengths) - 1, -1, -1):
            parent, amount = steps[kind]
            rows[:, kind] = amount[at]
            at = parent[at]
        return rows

    def _full_only(self, rows: NDArray[np.int16], room: int) -> NDArray[np.int16]:
        spare = room - rows.astype(np.int64) @ self._lengths
        fits = (rows < self._demands) & (self._lengths[None, :] <= spare[:, None])
        return rows[~fits.any(axis=1)]


def lister_fits(kinds: int, room: int) -> bool:
    """Whether the table behind a ``Lister`` is of a sensible size."""
    return (kinds + 1) * (room + 1) <= LARGEST_TABLE


def _lots(lengths: Sequence[int], demands: Sequence[int], room: int) -> list[tuple[int, int, int]]:
    """Each kind in lots of 1, 2, 4, ... pieces that together make up any number in demand."""
    lots = []
    for kind, (length, demand) in enumerate(zip(lengths, demands, strict=True)):
        left, lot = min(demand, room // length), 1
        while left > 0:
            pieces = min(lot, left)
            lots.append((kind, pieces, pieces * length))
            left -= pieces
            lot *= 2
    return lots
