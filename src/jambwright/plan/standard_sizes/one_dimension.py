"""Standard lengths: exact, by dynamic programming over the sorted openings.

Some best choice groups neighbours and orders the smallest of each group. The loss of a group is Monge, so the best
start of the last group never moves back: every level of halving needs one pass over the openings (divide and conquer
on a monotone argmin; textbook theory, from memory, high). Openings of one length count once, with their number.
"""

from __future__ import annotations

import numpy as np

from jambwright.plan.standard_sizes.assortment import HAIR, Assortment, Floats, Ints


def fewest_lengths(lengths: Floats, largest_loss: float) -> int:
    """How few lengths serve all: from the smallest on, a new one where the last loses too much. Exact.

    >>> fewest_lengths(np.array([898.0, 906, 913, 1179, 1192]), 12.0)
    4
    """
    return len(_greedy(np.unique(lengths), largest_loss))


def _greedy(distinct: Floats, largest_loss: float) -> list[int]:
    """Where each group begins."""
    starts, n = [], 0
    while n < len(distinct):
        starts.append(n)
        n = int(np.searchsorted(distinct, distinct[n] + largest_loss + HAIR, side="right"))
    return starts


def best_lengths(lengths: Floats, largest_loss: float, most: int | None = None) -> Assortment:
    """The lengths, at most so many, that lose least; the fewest where ``most`` is left out.

    ``ValueError`` when ``most`` is not enough (``fewest_lengths``).
    """
    distinct, where, counts = np.unique(lengths, return_inverse=True, return_counts=True)
    n = len(distinct)
    fewest = len(_greedy(distinct, largest_loss))
    allowed = fewest if most is None else most
    if allowed < fewest:
        raise ValueError(f"{allowed} lengths can't serve all; {fewest} at the least")
    ends = _ends_of_groups(distinct, counts, largest_loss, min(allowed, n))
    starts = np.array([0, *(end + 1 for end in ends[:-1])])
    of = np.searchsorted(starts, np.arange(n), side="right") - 1
    loss = float(np.sum(counts * (distinct - distinct[starts][of])))
    return Assortment(
        sizes=distinct[starts][:, None],
        of=of[where.ravel()],
        total_loss=loss,
        lower_bound=loss,
        sizes_bound=fewest,
        most=allowed,
        fewest_asked=most is None,
    )


def _ends_of_groups(distinct: Floats, counts: Ints, largest_loss: float, most: int) -> list[int]:
    """Last opening of each group of the best choice of ``most`` groups."""
    n = len(distinct)
    number = np.concatenate([[0], np.cumsum(counts)])
    length = np.concatenate([[0.0], np.cumsum(counts * distinct)])
    first = np.searchsorted(distinct, distinct - largest_loss - HAIR, side="left")
    least = np.where(first == 0, length[1:] - distinct[0] * number[1:], np.inf)
    begins: list[Ints] = [np.zeros(n, np.int64)]
    for groups in range(1, most):
        least, begin = _one_more(distinct, number, length, first, least, groups)
        begins.append(begin)
    ends, end = [], n - 1
    for begin in reversed(begins):
        ends.append(end)
        end = int(begin[end]) - 1
    return ends[::-1]


def _one_more(
    distinct: Floats, number: Ints, length: Floats, first: Ints, least: Floats, groups: int
) -> tuple[Floats, Ints]:
    """Least loss up to each opening with one group more than ``groups``, and where the last group begins.

    Rows are halved level by level; the ranges of all rows of one level are looked through at once.
    """
    n = len(distinct)
    reach = int(np.flatnonzero(np.isfinite(least))[-1])
    last = int(np.flatnonzero(first <= reach + 1)[-1])
    found, begin = np.full(n, np.inf), np.zeros(n, np.int64)
    # blocks of rows still to do, and between which openings their last group may begin
    low, high = np.array([groups]), np.array([last])
    left, right = np.array([groups]), np.array([reach + 1])
    while len(low):
        rows = (low + high) // 2
        start = np.maximum(left, first[rows])
        spans = np.minimum(right, rows) - start + 1
        block = np.repeat(np.arange(len(rows)), spans)
        offsets = np.cumsum(spans) - spans
        at = np.arange(len(block)) - offsets[block] + start[block]
        row = rows[block]
        loss = least[at - 1] + length[row + 1] - length[at] - distinct[at] * (number[row + 1] - number[at])
        found[rows] = np.minimum.reduceat(loss, offsets)
        hits = np.flatnonzero(loss <= found[row])
        begin[rows] = at[hits[np.searchsorted(block[hits], np.arange(len(rows)))]]
        low, high = np.concatenate([low, rows + 1]), np.concatenate([rows - 1, high])
        left, right = np.concatenate([left, begin[rows]]), np.concatenate([begin[rows], right])
        kept = low <= high
        low, high, left, right = low[kept], high[kept], left[kept], right[kept]
    return found, begin
