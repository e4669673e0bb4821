from dataclasses import replace

import numpy as np
import pytest

from jambwright.basis import BadInput
from jambwright.calc import answer, working
from jambwright.plan.cutting import (
    Cut,
    CuttingJob,
    Piece,
    Stock,
    less_done,
    plan_cuts,
    plan_plainly,
    recount,
    useful,
)  # fmt: skip
from jambwright.plan.cutting.knapsack import Filler, most_by_length
from jambwright.plan.cutting.runs import Run, ways
from jambwright.plan.cutting.search import FINEST

SILLS = CuttingJob(
    stock=(Stock(length_mm=5000),),
    pieces=(
        Piece(length_mm=2123, count=2, label="W1, W2 sill"),
        Piece(length_mm=1891, count=2, label="W3, W4 sill"),
        Piece(length_mm=1743, count=4, label="W5 to W8 sill"),
        Piece(length_mm=752, count=3, label="W9 to W11 sill"),
    ),
    kerf_mm=3,
    trim_mm=5,
)


def test_the_last_piece_may_end_at_the_bars_end() -> None:
    exact = CuttingJob(stock=(Stock(length_mm=3000),), pieces=(Piece(length_mm=998, count=3),), kerf_mm=3)
    assert len(plan_cuts(exact).bars) == 1
    assert len(plan_cuts(replace(exact, pieces=(Piece(length_mm=999, count=3),))).bars) == 2


def test_the_end_trim_is_lost_at_both_ends() -> None:
    job = CuttingJob(
        stock=(Stock(length_mm=3010),), pieces=(Piece(length_mm=998, count=3),), kerf_mm=3, trim_mm=5
    )
    assert len(plan_cuts(job).bars) == 1
    assert len(plan_cuts(replace(job, trim_mm=5.5)).bars) == 2


def test_tenths_of_a_millimetre_are_exact() -> None:
    job = CuttingJob(stock=(Stock(length_mm=1000),), pieces=(Piece(length_mm=333.3, count=3),), kerf_mm=0.05)
    assert len(plan_cuts(job).bars) == 1
    assert len(plan_cuts(replace(job, kerf_mm=0.06)).bars) == 2


def test_an_offcut_in_the_van_is_used_before_a_new_bar() -> None:
    job = CuttingJob(
        stock=(Stock(length_mm=5000, cost=24.60), Stock(length_mm=1300, cost=0, limit=1)),
        pieces=(Piece(length_mm=1200), Piece(length_mm=3900)),
    )
    plan = plan_cuts(job)
    assert sorted(bar.stock.length_mm for bar in plan.bars) == [1300, 5000]
    assert (plan.cost, plan.lower_bound, plan.objective) == (24.60, 24.60, "cost")


def test_without_costs_several_lengths_are_bought_for_the_least_total_length() -> None:
    job = CuttingJob(
        stock=(Stock(length_mm=5000), Stock(length_mm=6000)),
        pieces=(Piece(length_mm=2500, count=2), Piece(length_mm=3000, count=2)),
    )
    plan = plan_cuts(job)
    assert (plan.objective, plan.cost, plan.lower_bound) == ("length", 11000, 11000)


def test_limited_stock_leaves_the_rest_uncut_and_says_so() -> None:
    job = replace(SILLS, stock=(Stock(length_mm=5000, limit=2),))
    plan = plan_cuts(job)
    assert recount(job, plan) == []
    assert len(plan.bars) == 2
    assert plan.uncut
    with pytest.raises(BadInput, match=r"can't hold all pieces.*Raise a limit"):
        answer(
            "stock-cutting",
            {"stock_mm": [{"length": 1000, "limit": 1}], "pieces": [{"length_mm": 600, "count": 2}]},
        )


def test_pieces_longer_than_any_bar_are_all_named_with_the_remedy() -> None:
    with pytest.raises(BadInput) as caught:
        answer(
            "stock-cutting",
            {
                "stock_mm": [{"length": 5000}],
                "trim_mm": 5,
                "pieces": [
                    {"length_mm": 4991, "count": 1, "label": "W3 sill"},
                    {"length_mm": 800, "count": 1},
                    {"length_mm": 6100, "count": 1},
                ],
            },
        )
    assert [p.field for p in caught.value.problems] == ["pieces.0.length_mm", "pieces.2.length_mm"]
    assert "W3 sill: piece of 4991 mm is longer than any bar gives (4990 mm" in caught.value.problems[0].say
    assert "allow a joint" in caught.value.problems[0].say


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"stock_mm": [], "pieces": [{"length_mm": 1, "count": 1}]}, "stock_mm"),
        ({"stock_mm": [{"length": 5}], "pieces": [{"length_mm": 1}]}, "pieces.0.count"),
        ({"stock_mm": [{"length": 5}], "pieces": [{"length_mm": 1, "count": 0}]}, "pieces.0.count"),
        ({"stock_mm": [{"length": 5}], "pieces": [{"length_mm": -1, "count": 1}]}, "pieces.0.length_mm"),
        ({"stock_mm": [{"length": 5}], "kerf": 3, "pieces": [{"length_mm": 1, "count": 1}]}, "kerf"),
        (
            {"stock_mm": [{"length": 5, "cost": 1}, {"length": 6}], "pieces": [{"length_mm": 1, "count": 1}]},
            "stock_mm",
        ),
        (
            {"stock_mm": [{"length": 5, "cost": 1.2345}], "pieces": [{"length_mm": 1, "count": 1}]},
            "stock_mm.0.cost",
        ),
    ],
)
def test_bad_input_is_refused_by_field(given: dict[str, object], field: str) -> None:
    with pytest.raises(BadInput) as caught:
        answer("stock-cutting", given)
    assert caught.value.problems[0].field == field


def test_long_pieces_are_cut_first() -> None:
    plan = plan_cuts(SILLS)
    for bar in plan.bars:
        lengths = [cut.length_mm for cut in bar.cuts]
        assert lengths == sorted(lengths, reverse=True)
    firsts = [bar.cuts[0].length_mm for bar in plan.bars]
    assert firsts == sorted(firsts, reverse=True)


def test_among_equal_plans_the_one_with_useful_offcuts_is_taken() -> None:
    job = replace(SILLS, useful_offcut_mm=1000)
    kept = sum(bar.offcut_mm for bar in plan_cuts(job).bars if useful(job, bar))
    plain = sum(bar.offcut_mm for bar in plan_cuts(SILLS).bars if useful(job, bar))
    assert kept >= plain
    assert plan_cuts(job).cost == plan_cuts(SILLS).cost


def test_the_recount_finds_a_plan_that_lies() -> None:
    plan = plan_cuts(SILLS)
    bar = plan.bars[0]
    short = replace(plan, bars=plan.bars[1:])
    assert any("wanted" in fault for fault in recount(SILLS, short))
    assert any("cost" in fault for fault in recount(SILLS, short))
    over = replace(bar, cuts=(*bar.cuts, Cut(length_mm=4000)))
    assert any("is over by" in fault for fault in recount(SILLS, replace(plan, bars=(over, *plan.bars[1:]))))
    stretched = replace(bar, offcut_mm=bar.offcut_mm + 1)
    assert any("offcut" in fault for fault in recount(SILLS, replace(plan, bars=(stretched, *plan.bars[1:]))))
    assert any(
        "called optimal" in fault for fault in recount(SILLS, replace(plan, lower_bound=plan.cost - 1))
    )
    other = replace(bar, stock=Stock(length_mm=5001))
    assert any("no stock" in fault for fault in recount(SILLS, replace(plan, bars=(other, *plan.bars[1:]))))
    limited = replace(SILLS, stock=(Stock(length_mm=5000, limit=1),))
    taken = tuple(replace(b, stock=limited.stock[0]) for b in plan.bars)
    assert any("bars of 5000 mm taken" in fault for fault in recount(limited, replace(plan, bars=taken)))


def test_the_worths_shown_prove_the_bound_by_hand() -> None:
    plan = plan_cuts(SILLS)
    worth = dict(plan.proof.worths)
    total = sum(worth[p.length_mm] * p.count for p in SILLS.pieces)
    assert total == pytest.approx(plan.proof.total_worth)
    assert total > plan.lower_bound - 1
    best = [0.0] * (4990 + 3 + 1)  # most worth by length used, no piece more often than it is wanted
    for piece in SILLS.pieces:
        taken = int(piece.length_mm) + 3
        for _ in range(piece.count):
            for used in range(len(best) - 1, taken - 1, -1):
                best[used] = max(best[used], best[used - taken] + worth[piece.length_mm])
    assert max(best) <= 1 + 1e-6


def test_a_long_run_is_jointed_and_the_gap_comes_off() -> None:
    run = Run(length_mm=7000, label="bay sill", gap_mm=8)
    for lengths in ways(run, 5990):
        assert sum(lengths) + 8 == pytest.approx(7000)
        assert max(lengths) <= 5990


def test_joints_fall_only_where_they_may() -> None:
    run = Run(length_mm=9000, joints_at_mm=(2000, 4400, 7000), gap_mm=10)
    assert ways(run, 5000) == [(4395, 4595)]
    with pytest.raises(BadInput, match=r"no permitted joint.*nearer the middle"):
        ways(Run(length_mm=9000, joints_at_mm=(1000,), gap_mm=10), 5000)


def test_a_bar_already_cut_stays_and_its_offcut_is_stock() -> None:
    job = replace(SILLS, useful_offcut_mm=500)
    plan = plan_cuts(job)
    rest = less_done(job, plan.bars[:1])
    assert sum(p.count for p in rest.pieces) == 11 - len(plan.bars[0].cuts)
    again = plan_cuts(rest)
    assert recount(rest, again) == []
    assert again.cost <= plan.cost - 1


def test_first_fit_stands_beside_the_plan() -> None:
    assert len(plan_cuts(SILLS).bars) <= len(plan_plainly(SILLS).bars)


def test_the_working_shows_room_worths_and_bound() -> None:
    steps = working(
        "stock-cutting",
        {"stock_mm": [{"length": 3000}], "kerf_mm": 3, "pieces": [{"length_mm": 999, "count": 3}]},
    )
    by_symbol = {step["symbol"]: step["value"] for step in steps}
    assert by_symbol["room"] == 3000
    assert by_symbol["lower bound"] == by_symbol["cost"] == 2
    assert 1 < by_symbol["total worth"] <= 2


def test_without_time_to_fill_bars_to_the_last_unit_none_is_and_the_bound_is_that_of_length(monkeypatch):
    """Hundredths of a millimetre and a hundred lengths: to price them once took longer than all that was granted."""
    priced = []
    price = Filler.price
    monkeypatch.setattr(
        Filler, "price", lambda self, worths: priced.append(self._room) or price(self, worths)
    )
    pieces = tuple(Piece(length_mm=601.7 + 17.31 * n, count=5) for n in range(100))
    job = CuttingJob(stock=(Stock(length_mm=6000), Stock(length_mm=6500)), pieces=pieces)
    plan = plan_cuts(job, seconds=0.2)
    assert max(priced, default=0) <= FINEST
    assert sum(len(bar.cuts) for bar in plan.bars) == 500
    least = sum(piece.length_mm * piece.count for piece in pieces)
    assert least * 0.999999 <= plan.lower_bound <= plan.cost
    assert plan.lower_bound < least + 6500
    assert not plan.proven_optimal


def test_no_fill_is_worth_more_than_its_length_at_the_dearest():
    lengths, demands, worths = [7, 11, 13], [9, 9, 9], np.array([70, 115, 128])
    best = Filler(lengths, demands, 60).price(worths)
    assert all(int(best[room]) <= most_by_length(lengths, worths, room) for room in range(61))
    assert most_by_length(lengths, worths, 11) == int(best[11]) == 115
