"""Intervals, scores and effects against published figures and an independent calculation of them.

Data: dyestuff yields, Davies and Goldsmith, Statistical Methods in Research and Production (1972), table 6.4, as
published with its variance components (1764.05 and 2451.25; from memory, high); binomial intervals, Newcombe,
Statistics in Medicine 17 (1998) 857-872 (from memory, high); a precipitation table of a verification text with its
Brier score 0.0735 (copy read). TAPE24 is invented; its least squares were calculated apart from this code.
"""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from jambwright.lessons.effects import fit_effects
from jambwright.lessons.statistics import brier, exact_share, joined_dof, sd_interval, student

DATA = json.loads((Path(__file__).parents[1] / "data" / "learning_tools.json").read_text())
ROWS = {row["id"]: row for row in DATA["rows"]}
NEAR = {"rel": 5e-4}


@pytest.mark.parametrize(("id", "variance", "n"), [("A6", 1.44, 10), ("A7", 1.0, 20)])
def test_chi_square_interval_of_a_variance(id, variance, n):
    low, high = sd_interval(sd=variance**0.5, dof=n - 1)
    assert [low**2, high**2] == pytest.approx(ROWS[id]["expect"]["var_ci95"], **NEAR)
    assert low**2 == pytest.approx(variance * (n - 1) / stats.chi2(n - 1).ppf(0.975))


def test_variance_of_batches_has_satterthwaites_degrees_of_freedom():
    expect, squares = ROWS["A8"]["expect"], ROWS["A1"]["expect"]
    between, within = squares["ms_between"], squares["ms_within"]
    dof = joined_dof(np.array([between / 5, -within / 5]), np.array([5.0, 24.0]))
    assert float(dof) == pytest.approx(expect["df"], **NEAR)
    batch = squares["var_batch_reml"]
    assert (between - within) / 5 == pytest.approx(batch)
    assert [end**2 for end in sd_interval(sd=batch**0.5, dof=dof)] == pytest.approx(expect["ci95"], **NEAR)
    total = joined_dof(np.array([between / 5, within * 4 / 5]), np.array([5.0, 24.0]))
    assert float(total) == pytest.approx(expect["total_df"], **NEAR)


def test_dyestuff_mean_and_both_mean_squares_by_least_squares():
    """Six batches of five: one column a batch gives the mean square within; their means that between."""
    expect = ROWS["A1"]["expect"]
    y = np.array(DATA["datasets"]["dyestuff"]["y"], float)
    batch = np.repeat(np.arange(6), 5)
    fit = fit_effects(y, np.eye(6)[batch], np.zeros(30, int))
    assert fit.variance[0] == pytest.approx(expect["ms_within"])
    means = fit_effects(y.reshape(6, 5).mean(1), np.ones((6, 1)), np.zeros(6, int))
    assert 5 * means.variance[0] == pytest.approx(expect["ms_between"])
    mean = means.combined(np.ones((1, 1)))
    assert float(mean.value[0]) == pytest.approx(expect["mean"])
    assert float(mean.error[0]) == pytest.approx(expect["se_mean_reml"], **NEAR)


@pytest.mark.parametrize("share", ROWS["A18"]["expect"])
def test_intervals_of_a_share(share):
    good, of = map(int, share.split("/"))
    expect = ROWS["A18"]["expect"][share]
    assert exact_share(good=good, of=of) == pytest.approx(expect["cp"], abs=1e-6)
    ours = stats.binomtest(good, of).proportion_ci(method="exact")
    assert exact_share(good=good, of=of) == pytest.approx((ours.low, ours.high), abs=1e-9)


def test_intervals_take_arrays():
    good, of = np.array([0, 3, 10]), np.array([10, 10, 10])
    low, high = exact_share(good=good, of=of)
    assert [(low[n], high[n]) for n in range(3)] == [exact_share(good=k, of=10) for k in good]


def test_brier_score_of_a_published_table_of_rain_forecasts():
    table, expect = DATA["datasets"]["precip_table"], ROWS["A19"]["expect"]
    counts = np.round(np.array(table["share"]) * 10_000).astype(int)
    p, came = [], []
    for stated, share, n in zip(table["p"], table["o"], counts, strict=True):
        good = round(share * n)
        p += [stated] * n
        came += [1.0] * good + [0.0] * (n - good)
    found = brier(np.array(p), np.array(came), np.array([round(100 * x) for x in p]))
    # whole forecasts out of 10,000 stand for the printed shares
    assert found.score == pytest.approx(expect["BS"], abs=2e-4)
    assert found.uncertainty == pytest.approx(expect["UNC"], abs=2e-4)
    assert found.resolution == pytest.approx(expect["RES"], abs=2e-4)
    assert found.reliability == pytest.approx(expect["REL"], abs=2e-5)
    assert found.within == pytest.approx(0.0, abs=1e-12)


def test_brier_score_of_stated_chances_to_fit():
    given, expect = ROWS["A20"]["inputs"], ROWS["A20"]["expect"]
    p = np.repeat(given["p"], given["n"])
    came = np.concatenate(
        [np.r_[np.ones(k), np.zeros(n - k)] for k, n in zip(given["k"], given["n"], strict=True)]
    )
    found = brier(p, came, np.repeat(np.arange(6), given["n"]))
    assert (
        found.score,
        found.reliability,
        found.resolution,
        found.uncertainty,
    ) == pytest.approx(tuple(expect[name] for name in ("BS", "REL", "RES", "UNC")), **NEAR)
    low, high = exact_share(good=given["k"], of=given["n"])
    assert all(a <= p <= b for p, a, b in zip(given["p"], low, high, strict=True))


def test_tools_people_and_scales_of_the_tape_set():
    """A tool each, a scale each, people that sum to 0; one scatter for all, as the example has it."""
    expect = ROWS["A26"]["expect"]["ols"]
    rows = np.array(DATA["datasets"]["TAPE24"]["rows"], float)
    tool, person = rows[:, 1].astype(int), rows[:, 2].astype(int)
    true = rows[:, 4] + rows[:, 5] + rows[:, 6]
    about = (true - 1171.4167) / 1000
    coded = np.vstack([np.eye(2), [-1.0, -1.0]])[person]
    design = np.hstack([np.eye(2)[tool], coded, np.eye(2)[tool] * about[:, None]])
    fit = fit_effects(rows[:, 3] - true, design, np.zeros(24, int))
    weights = np.zeros((7, 6))
    weights[range(6), [0, 1, 4, 5, 2, 3]] = 1.0
    weights[6, 2:4] = -1.0
    found = fit.combined(weights)
    assert found.value == pytest.approx([*expect["b"], *expect["c"], *expect["h"]], abs=6e-4)
    assert found.error[:4] == pytest.approx([*expect["se_b"], *expect["se_c"]], **NEAR)
    assert fit.variance[0] ** 0.5 == pytest.approx(expect["s"], **NEAR)
    assert list(found.dof) == pytest.approx([18.0] * 7)


def test_students_t():
    assert student(dof=np.array([3.0, 18.0])) == pytest.approx(stats.t([3, 18]).ppf(0.975))


def test_intervals_hold_where_one_tool_scatters_more_than_the_other():
    rng = np.random.default_rng(20261129)
    group = np.repeat([0, 1], 20)
    noise = rng.normal(size=(4000, 40)) * np.where(group == 0, 0.7, 2.5)
    fit = fit_effects(noise, np.eye(2)[group], group)
    low, high = fit.combined(np.array([[1.0, 0], [0, 1], [1, -1]])).interval
    held = np.mean((low <= 0) & (high >= 0), axis=0)
    assert held == pytest.approx([0.95] * 3, abs=0.012)
