"""Dates with their chance: against closed forms, every path of the weather laid out, and worked rows.

Hours: mean (a + 4 m + b) / 6 and spread (b - a) / 6 of three-point estimating (Malcolm and others 1959; from memory,
high). Weather: a two-state chain (Gabriel and Neumann 1962; from memory, high). Rows were calculated apart.
"""

import datetime
import itertools
import math

import numpy as np
import pytest
from scipy import stats

from jambwright import calc
from jambwright.basis.problems import BadInput
from jambwright.plan.finish import Hours, WetDays, days_needed, done_by

CASEMENT_SMALL, CASEMENT, LARGE = (1, 1.75, 3), (1.5, 2.5, 4.5), (2.5, 4, 7)
BAY, SASH, DOOR, SLIDER = (8, 14, 24), (12, 16, 20), (2, 4, 8), (4, 6, 10)
ALL_WEEK = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]


def task(three, count=1, up=False):
    low, usual, high = (hours * (1.2 if up else 1.0) for hours in three)
    return {"low": low, "usual": usual, "high": high, "count": count}


def asked(tasks, **calendar):
    return {"tasks": tasks, "calendar": {"start": "2027-03-01", "working_days": ALL_WEEK, **calendar}}


def exactly(days):
    needed = np.zeros(days + 1)
    needed[days] = 1.0
    return needed


@pytest.mark.parametrize(
    ("tasks", "mean", "sd", "p80", "usual_days", "safe_days"),
    [
        ([task(CASEMENT, 2), task(CASEMENT, 2, True), task(CASEMENT_SMALL), task(CASEMENT_SMALL, 1, True)],
         15.77, 1.221, 16.79, 3, 4),
        ([task(CASEMENT, 3), task(CASEMENT, 3, True), task(BAY), task(DOOR)], 36.60, 3.153, 39.25, 7, 8),
        ([task(SLIDER), task(LARGE), task(LARGE, 1, True)], 15.68, 1.540, 16.98, 3, 4),
        ([task(SASH, 2), task(SASH, 1, True)], 51.20, 2.473, 53.28, 10, 10),
    ],
    ids=["six casements", "bay and door", "slider", "box sashes"],
)  # fmt: skip
def test_houses_worked_by_hand(tasks, mean, sd, p80, usual_days, safe_days):
    found = calc.answer("finish-date", asked(tasks))
    hours = found["hours"]
    assert [hours["mean"], hours["sd"], hours["p80"]] == pytest.approx([mean, sd, p80], rel=5e-4)
    assert (math.ceil(hours["mean"] / 5.5), math.ceil(hours["p80"] / 5.5)) == (usual_days, safe_days)
    first = datetime.date(2027, 2, 28)
    day = {
        name: (datetime.date.fromisoformat(found[name]) - first).days for name in ("likely", "one_in_five")
    }
    assert day == {"likely": usual_days, "one_in_five": safe_days}


@pytest.mark.parametrize(
    ("after_dry", "after_wet", "days", "mean", "sd", "quantiles", "by"),
    [
        (0.25, 0.6, 10, 16.586538, 4.680382, (16, 20, 23, 25), {10: 0.046206, 15: 0.47775}),
        (0.35, 0.65, 20, 40.428571, 8.675558, (40, 47, 52, 56), {25: 0.017093}),
    ],
)
def test_dry_days_out_of_a_wet_season(after_dry, after_wet, days, mean, sd, quantiles, by):
    chance = done_by(exactly(days), np.ones(400, bool), WetDays(after_dry=after_dry, after_wet=after_wet))
    late = 1 - np.concatenate([[0.0], chance])
    found = late.sum()
    assert found == pytest.approx(mean, rel=1e-6)
    assert math.sqrt((2 * np.arange(401) * late).sum() + found - found**2) == pytest.approx(sd, rel=1e-5)
    at = tuple(int(np.flatnonzero(chance >= q)[0]) + 1 for q in (0.5, 0.8, 0.9, 0.95))
    assert at == quantiles
    assert {day: pytest.approx(chance[day - 1], rel=5e-4) for day in by} == by


def test_houses_of_lognormal_hours_in_wet_weather():
    """Six houses, mean 12 h, coefficient of variation 0.3, 7 h a dry day: two million draws made apart."""
    rng = np.random.default_rng(5)
    sigma = math.sqrt(math.log1p(0.09))
    hours = rng.lognormal(math.log(12) - sigma**2 / 2, sigma, (400_000, 6)).sum(1)
    needed = np.bincount(np.ceil(hours / 7).astype(int)) / 400_000
    chance = done_by(needed, np.ones(200, bool), WetDays(after_dry=0.25, after_wet=0.6))
    late = 1 - np.concatenate([[0.0], chance])
    assert needed @ np.arange(len(needed)) == pytest.approx(10.7875, abs=0.01)
    assert late.sum() == pytest.approx(17.8663, abs=0.02)
    assert [chance[day - 1] for day in (20, 25, 30)] == pytest.approx([0.7305, 0.9119, 0.9762], abs=3e-3)


def test_every_path_of_the_weather_over_a_broken_week():
    worked = np.array([True, True, False, False, True, False, True, True])
    wet = WetDays(after_dry=0.3, after_wet=0.55)
    needed = np.array([0.1, 0.2, 0.5, 0.2])
    share = 0.3 / 0.75
    expected = np.zeros(len(worked))
    for path in itertools.product([0, 1], repeat=len(worked) + 1):
        chance = share if path[0] else 1 - share
        for before, now in itertools.pairwise(path):
            rain = wet.after_wet if before else wet.after_dry
            chance *= rain if now else 1 - rain
        done = np.cumsum(worked & (np.array(path[1:]) == 0))
        expected += chance * np.cumsum(needed)[np.minimum(done, 3)]
    assert done_by(needed, worked, wet) == pytest.approx(expected)


def test_wet_days_that_know_nothing_of_each_other_are_binomial():
    chance = done_by(exactly(5), np.ones(30, bool), WetDays(after_dry=0.3, after_wet=0.3))
    assert chance == pytest.approx(stats.binom(np.arange(1, 31), 0.7).sf(4))


def test_the_day_before_matters():
    by = {
        day: done_by(exactly(3), np.ones(5, bool), WetDays(after_dry=0.2, after_wet=0.8, day_before=day))[2]
        for day in ("dry", "wet", None)
    }
    assert by == {"dry": pytest.approx(0.8**3), "wet": pytest.approx(0.2 * 0.8**2), None: pytest.approx(0.32)}


def test_drawn_hours_have_mean_and_spread_of_three_points():
    """One hour a day: the days are the hours rounded up, half an hour more and a twelfth more variance."""
    (needed, _) = days_needed([Hours(name="x", low=100, usual=140, high=260)], 1.0)
    n = np.arange(len(needed))
    mean = needed @ n - 0.5
    assert mean == pytest.approx((100 + 560 + 260) / 6, abs=0.2)
    assert math.sqrt(needed @ (n - 0.5) ** 2 - mean**2 - 1 / 12) == pytest.approx(160 / 6, rel=0.01)


def test_a_sum_of_even_hours_is_near_its_closed_form():
    """Days that hold a sum of twenty units, beside the normal distribution of the sum."""
    (needed, _) = days_needed([Hours(name="x", low=2, usual=3, high=4, count=20)], 6.0)
    sd = math.sqrt(20) / 3
    normal = stats.norm(60, sd).cdf(6 * np.arange(len(needed)))
    assert np.cumsum(needed) == pytest.approx(normal, abs=4e-3)


def test_an_opening_that_may_not_stand_open_begins_the_next_day():
    whole = Hours(name="x", low=4, usual=4, high=4, count=3, in_one_day=True)
    assert days_needed([whole], 6.0)[0] == pytest.approx(exactly(3))
    assert days_needed([Hours(name="x", low=4, usual=4, high=4, count=3)], 6.0)[0] == pytest.approx(
        exactly(2)
    )


def test_what_no_day_is_long_enough_for_is_said():
    found = calc.answer("finish-date", asked([{**task(DOOR), "name": "front door", "in_one_day": True}]))
    assert any(line.startswith("front door: ") and "stand open overnight" in line for line in found["say"])


def test_only_working_days_count_and_holidays_are_off():
    calendar = {"working_days": ALL_WEEK[:5], "hours_per_day": 5, "holidays": ["2027-03-26", "2027-03-29"]}
    given = asked([task((5, 5, 5), 4)], **calendar) | {"shared_spread": 0.0}
    given["calendar"]["start"] = "2027-03-24"
    found = calc.answer("finish-date", given)
    assert found["days"] == [{"date": "2027-03-31", "chance": 1.0}]
    assert found["likely"] == found["one_in_ten"] == "2027-03-31"


def test_wet_days_and_a_shared_cause_make_it_later():
    plain = asked([task(CASEMENT, 6)])
    dates = [
        calc.answer("finish-date", plain | more)["one_in_ten"]
        for more in ({}, {"shared_spread": 0.5}, {"wet_day": {"after_dry": 0.25, "after_wet": 0.6}})
    ]
    assert dates == sorted(set(dates))


def test_hours_of_the_house_and_the_same_answer_each_time():
    given = {"house_hours": {"low": 8, "usual": 12, "high": 20}, "calendar": {"start": "2027-03-01"}}
    found = calc.answer("finish-date", given)
    assert found == calc.answer("finish-date", given)
    assert found["hours"]["mean"] == pytest.approx(76 / 6)
    chances = [day["chance"] for day in found["days"]]
    assert chances == sorted(chances)
    assert chances[-1] > 0.999


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"tasks": None}, "give tasks or house_hours"),
        ({"house_hours": {"low": 1, "usual": 2, "high": 3}}, "one of the two"),
        ({"tasks": [{"low": 3, "usual": 2, "high": 4}]}, "out of order"),
        ({"tasks": [{"low": 900, "usual": 900, "high": 900, "count": 2000}]}, "years of work"),
        ({"tasks": [{"low": 1, "usual": 1, "high": 1, "count": 1500}] * 2}, "3,000 are too many"),
        ({"wet_day": {"after_dry": 0.2, "after_wet": 1}}, "never dries"),
        ({"wet_day": {"after_dry": 1.2, "after_wet": 0.5}}, "at most 1"),
        ({"calendar": {"start": "2027-13-01"}}, "calendar.start"),
        ({"calendar": {"start": "2027-03-01", "working_days": ["funday"]}}, "is not one of"),
    ],
)
def test_what_can_not_be_is_refused_in_words(change, words):
    with pytest.raises(BadInput, match=words):
        calc.answer("finish-date", asked([task(CASEMENT)]) | change)
