"""Standard sizes: instances with proven answers, brute force on small ones, honest bounds, what is refused.

The instances are invented; their least losses were proved apart from this code by dynamic programming and by an
integer programme with no gap left (calculated).
"""

import itertools
import json
import math
import time
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jambwright import calc
from jambwright.basis.problems import BadInput
from jambwright.plan.solving import Clock
from jambwright.plan.standard_sizes import Assortment, Miscounted, recount, standard_lengths, standard_sizes
from jambwright.plan.standard_sizes.pairs import MOST_PAIRS, _served_in_all, pairs_of
from jambwright.plan.standard_sizes.search import bound_by_prices, improved, served_by, worth_keeping

ROWS = json.loads((Path(__file__).parents[1] / "data" / "standard_sizes.json").read_text())["assortment"]
ONE = [row for row in ROWS if row["kind"] == "1d"]
TWO = [row for row in ROWS if row["kind"] == "2d"]


def asked(row, **more):
    if row["kind"] == "1d":
        return {"lengths_mm": row["max_size_mm"], "largest_loss_mm": row["loss_limit_mm"], **more}
    openings = [{"width_mm": width, "height_mm": height} for width, height in row["max_w_h_mm"]]
    return {"openings": openings, "largest_loss_mm": row["loss_limit_w_mm"], **more}


def answer(row, **more):
    return calc.answer("standard-sizes", asked(row, **more))


@pytest.mark.parametrize("row", ONE, ids=lambda row: row["id"])
def test_lengths_lose_the_least_that_is_proven(row):
    for count, least in row["least_total_loss_by_k"].items():
        found = answer(row, sizes=int(count))
        assert (found["total_loss_mm"], found["lower_bound"], found["proven_optimal"]) == (least, least, True)
        assert len(found["sizes"]) <= int(count)


@pytest.mark.parametrize("row", TWO, ids=lambda row: row["id"])
def test_sizes_lose_the_least_that_is_proven(row):
    # some of the curve; the rest is as quick, and the large ones take a second each
    for count in [*row["least_total_loss_by_k"]][: 3 if row["n"] < 100 else 1]:
        found = answer(row, sizes=int(count), seconds=30)
        least = row["least_total_loss_by_k"][count]
        assert (found["total_loss_mm"], found["lower_bound"], found["proven_optimal"]) == (least, least, True)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_the_fewest_sizes_are_found_and_then_the_least_loss(row):
    found, fewest = answer(row), row["smallest_feasible_k"]
    assert (len(found["sizes"]), found["fewest_sizes_bound"], found["proven_optimal"]) == (
        fewest,
        fewest,
        True,
    )
    assert found["total_loss_mm"] == row["least_total_loss_by_k"][str(fewest)]
    if fewest > 1:
        with pytest.raises(BadInput, match=f"{fewest - 1} can't serve all .* it takes {fewest} at the least"):
            answer(row, sizes=fewest - 1)


def test_the_price_of_a_size_against_the_gap_it_saves():
    """Least of loss plus so much a size, over the curve of 120 openings: 22, 16 and 11 sizes."""
    row = next(row for row in ROWS if row["id"] == "S1-120")
    curve = {k: answer(row, sizes=k)["total_loss_mm"] for k in range(10, 31)}
    for price, (count, cost) in {15: (22, 559), 40: (16, 1036), 70: (11, 1472)}.items():
        best = min(curve, key=lambda k: curve[k] + price * k)
        assert (best, curve[best] + price * best) == (count, cost)


def brute_force(openings, largest, count):
    """Every choice of so many among all crossings of widths and heights; none where none serves."""
    grid = [*itertools.product(*(sorted({o[d] for o in openings}) for d in range(len(openings[0]))))]

    def loss(opening, sizes):
        fits = [
            sum(opening) - sum(size)
            for size in sizes
            if all(0 <= space - mm <= largest for space, mm in zip(opening, size, strict=True))
        ]
        return min(fits, default=math.inf)

    return min(
        sum(loss(o, sizes) for o in openings) for sizes in itertools.combinations(grid, min(count, len(grid)))
    )


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.integers(1, 9), st.integers(1, 4)), min_size=1, max_size=6),
    st.integers(0, 6), st.integers(1, 3),
)  # fmt: skip
def test_small_houses_by_brute_force(openings, largest, count):
    least = brute_force(openings, largest, count)
    if math.isinf(least):
        with pytest.raises(BadInput, match="can't serve all"):
            standard_sizes(openings, largest_loss=largest, most=count, seconds=5)
        return
    found = standard_sizes(openings, largest_loss=largest, most=count, seconds=5)
    assert (found.total_loss, found.lower_bound, found.proven_optimal) == (least, least, True)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(1, 30), min_size=1, max_size=9), st.integers(0, 12), st.integers(1, 4))
def test_small_rows_of_lengths_by_brute_force(lengths, largest, count):
    least = brute_force([(length,) for length in lengths], largest, count)
    if math.isinf(least):
        with pytest.raises(BadInput, match="can't serve all"):
            standard_lengths(lengths, largest_loss=largest, most=count)
        return
    assert standard_lengths(lengths, largest_loss=largest, most=count).total_loss == least


def test_lengths_with_decimals_and_many_alike():
    lengths = [1000.1, 1000.1, 1000.3, 1000.7] * 50
    found = standard_lengths(lengths, largest_loss=0.2, most=2)
    assert found.sizes[:, 0] == pytest.approx([1000.1, 1000.7])
    assert found.total_loss == pytest.approx(50 * 0.2)


def made(n, seed=1):
    rng = np.random.default_rng(seed)
    types = np.array([[600, 900], [900, 1050], [1200, 1050], [1200, 1200], [1800, 1200], [900, 2100]])
    return np.round(types[rng.integers(0, len(types), n)] + rng.normal(0, 6, (n, 2)))


def test_a_hundred_thousand_lengths_take_seconds():
    lengths = made(100_000)[:, 0].tolist()
    started = time.perf_counter()
    found = standard_lengths(lengths, largest_loss=15, most=25)
    assert time.perf_counter() - started < 5
    assert found.proven_optimal


def test_prices_bound_what_any_choice_loses():
    row = next(row for row in ROWS if row["id"] == "S2-80")
    pairs = pairs_of(np.array(row["max_w_h_mm"], float), np.ones(80, int), 20)
    for count, least in row["least_total_loss_by_k"].items():
        bound = bound_by_prices(pairs, int(count), least * 1.05, Clock(5))
        assert 0.97 * least < bound.value <= least + 1e-6
        kept = worth_keeping(bound, int(count), least + 1)
        best = standard_sizes(row["max_w_h_mm"], largest_loss=20, most=int(count), seconds=20)
        held = {tuple(size) for size in pairs.sizes[kept].tolist()}
        # what the prices leave out is in no choice that loses as little
        assert {tuple(size) for size in best.sizes.tolist()} <= held


def test_exchanges_never_lose_more():
    pairs = pairs_of(made(60), np.ones(60, int), 15)
    rough = np.unique(pairs.size[np.unique(pairs.opening, return_index=True)[1]])
    better = improved(pairs, rough, len(rough), Clock(5))
    assert len(better) == len(rough)
    assert served_by(pairs, better)[0].sum() <= served_by(pairs, rough)[0].sum()


def test_many_openings_in_little_time_have_an_honest_bound():
    openings = [tuple(o) for o in made(500).tolist()]
    found = standard_sizes(openings, largest_loss=20, most=30, seconds=1.5)
    assert 0 < found.lower_bound <= found.total_loss
    assert found.proven_optimal is (found.lower_bound == found.total_loss)
    assert found.lower_bound > 0.85 * found.total_loss


def test_more_than_can_be_looked_at_is_served_by_crossings_and_never_called_proven():
    openings = np.unique(made(700), axis=0)
    counts = np.ones(len(openings), int)
    pairs = pairs_of(openings, counts, math.inf)
    assert pairs.complete is False
    assert len(pairs.size) <= MOST_PAIRS
    found = standard_sizes([tuple(o) for o in openings.tolist()], largest_loss=math.inf, most=12, seconds=2)
    assert 0 < found.lower_bound < found.total_loss
    assert found.proven_optimal is False
    # six kinds of opening, two sizes each: no worse than the least of each kind
    kinds = np.round(openings / 150)
    plain = sum(
        (openings[np.all(kinds == k, 1)] - openings[np.all(kinds == k, 1)].min(0)).sum()
        for k in np.unique(kinds, axis=0)
    )
    assert found.total_loss < plain


@pytest.mark.parametrize("largest", [0.0, 7.0, 15.0, 400.0])
def test_how_many_a_set_of_sizes_could_serve_is_counted_without_laying_it_out(largest):
    openings = made(80)
    pairs = pairs_of(openings, np.ones(80, int), largest)
    assert _served_in_all(pairs.sizes, openings, largest) == len(pairs.size)


def test_any_loss_may_be_allowed():
    openings = [{"width_mm": 600 + n, "height_mm": 900} for n in range(5)]
    found = calc.answer("standard-sizes", {"openings": openings, "largest_loss_mm": None, "sizes": 1})
    assert (found["sizes"], found["total_loss_mm"], found["worst_loss_mm"]) == ([[600, 900]], 10, 4)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"of": np.array([0, 0])}, "can't take size"),
        ({"total_loss": 7.0}, "told as 7"),
        ({"lower_bound": 9.0}, "bound 9"),
        ({"most": 1}, "with 2 sizes"),
    ],
)
def test_a_recount_catches_what_is_wrong(change, words):
    right = {
        "sizes": np.array([[900.0], [1200.0]]), "of": np.array([0, 1]), "total_loss": 5.0, "lower_bound": 5.0,
        "sizes_bound": 2, "most": 2, "fewest_asked": False,
    }  # fmt: skip
    recount([(902.0,), (1203.0,)], Assortment(**right), 10.0)
    with pytest.raises(Miscounted, match=words):
        recount([(902.0,), (1203.0,)], Assortment(**right | change), 10.0)


@pytest.mark.parametrize(
    ("asks", "words"),
    [
        ({"largest_loss_mm": 5}, "give openings or lengths_mm"),
        ({"lengths_mm": [900], "openings": [{"width_mm": 1, "height_mm": 1}], "largest_loss_mm": 5}, "one of the two"),
        ({"lengths_mm": [900]}, "largest_loss_mm: is missing"),
        ({"lengths_mm": [900, -2], "largest_loss_mm": 5}, "more than 0"),
        ({"lengths_mm": [900], "largest_loss_mm": -5}, "at least 0"),
        ({"lengths_mm": [900, 1200], "largest_loss_mm": 5, "sizes": 1}, "takes 2 at the least"),
    ],
)  # fmt: skip
def test_what_can_not_be_is_refused_in_words(asks, words):
    with pytest.raises(BadInput, match=words):
        calc.answer("standard-sizes", asks)
