"""Cutting-stock instances with known optima, read from published sets (``published_sets`` says which).

A few of each kind that are settled in a second or so; ``benchmarks/bench_cutting.py`` runs all of them.
"""

import pytest

from jambwright.calc import answer
from jambwright.plan.cutting import plan_cuts, recount
from published_sets import CUTTING, CUTTING_WITH_KERF, cutting_job

QUICK = [
    "Falkenauer_u120_00", "Falkenauer_u250_02", "Falkenauer_u500_05", "Falkenauer_t60_05", "N1C1W1_A",
    "N1C2W2_G", "N4C3W1_B", "N2W3B3R2", "Schwerin1_BPP40", "Schwerin2_BPP10", "Waescher_TEST0049",
    "Waescher_TEST0068", "BPP_50_100_0.1_0.7_3", "BPP_100_1000_0.2_0.8_2", "CSP13_5600",
]  # fmt: skip


@pytest.mark.parametrize("name", QUICK)
def test_a_published_instance_is_cut_from_the_known_least_number_of_bars_and_proven(name: str) -> None:
    job = cutting_job(CUTTING[name])
    plan = plan_cuts(job, seconds=60)
    assert recount(job, plan) == []
    assert (len(plan.bars), plan.lower_bound, plan.proven_optimal) == (CUTTING[name]["best_known"],) * 2 + (
        True,
    )


def test_an_instance_whose_bound_is_one_short_is_settled_by_listing_the_fills() -> None:
    # Hard28_BPP119: the relaxation gives 76.0, the optimum is 77
    job = cutting_job(CUTTING["Hard28_BPP119"])
    plan = plan_cuts(job, seconds=60)
    assert (len(plan.bars), plan.lower_bound, plan.proof.listed) == (77, 77, True)
    assert plan.proof.total_worth == pytest.approx(76, abs=0.001)


@pytest.mark.parametrize("name", CUTTING_WITH_KERF)
def test_a_job_with_kerf_costs_the_known_least_and_is_proven(name: str) -> None:
    given = CUTTING_WITH_KERF[name]
    result = answer(
        "stock-cutting",
        {
            "stock_mm": [{"length": s["length"], "cost": s["cost"]} for s in given["stock"]],
            "kerf_mm": given["kerf"],
            "pieces": [{"length_mm": mm, "count": n} for mm, n in given["items"]],
            "seconds": 60,
        },
    )
    assert result["cost"] == result["lower_bound"] == given["optimal_cost"]
    assert result["proven_optimal"]
    for bar in result["bars"]:
        used = sum(bar["pieces_mm"]) + (len(bar["pieces_mm"]) - 1) * given["kerf"]
        assert used + bar["offcut_mm"] == bar["stock_mm"]
        assert bar["offcut_mm"] >= 0
    cut = sorted(mm for bar in result["bars"] for mm in bar["pieces_mm"])
    assert cut == sorted(mm for mm, n in given["items"] for _ in range(n))
