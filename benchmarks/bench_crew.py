"""The crew's days of 30 made-up houses of 4 to 20 openings and one of 200, beside a plain hand rule.

The hand rule does one opening after the other: open it, wait for the foam, close it, go to the next; what does not
fit in the day is begun the next morning. Every plan is counted again by the tests' own recount, which shares no code
with the planner. Figures go to ``results/crew_days.json`` and ``results/crew_days.md``.
"""

import json
import time
from datetime import date
from pathlib import Path
from statistics import fmean

import pytest

from day_recount import changes, hard_breaks
from jambwright import job
from jambwright.plan.crew.days import plan_days
from jambwright.plan.crew.jobs import jobs_of
from jambwright.plan.crew.work import Crew
from jambwright.readings.survey_file import survey_from_tree
from made_up_houses import house_of_many

HOUSES, MANY, MOST_ROOMS = 30, 200, 40
CREW = Crew(first_day=date(2026, 3, 2))
RESULTS = Path(__file__).parent / "results"


def planned(count, seed):
    """One house planned, and what is counted of it."""
    tree = house_of_many(count, seed)
    rooms = tree["house"]["rooms"] = tree["house"]["rooms"][:MOST_ROOMS]
    for n, opening in enumerate(tree["openings"]):
        opening["room"] = rooms[n * len(rooms) // count]["name"]
    house = job.plan_house(survey_from_tree(tree))
    started = time.perf_counter()
    days = plan_days(house, CREW)
    seconds = time.perf_counter() - started
    quiet = {o.opening.id: house.survey.room(o.opening.room).disturb for o in house.openings}
    out = {problem.opening for problem in days.left_out}
    by_hand = one_after_the_other([j for j in jobs_of(house, CREW) if j.mark not in out], CREW.hours(0))
    terms = {term.name: term for term in days.plan.terms}
    return {
        "openings": count,
        "left_out": len(out),
        "seconds": round(seconds, 1),
        "days": days.plan.days,
        "least_days": terms["days"].bound,
        "changes_a_day": round(changes(days.plan.tasks) / len(CREW.teams[0]) / days.plan.days, 2),
        "hard_breaks": len(hard_breaks(days.plan.tasks, quiet=quiet)),
        "by_hand_days": len(by_hand),
        "by_hand_changes_a_day": round(fmean(n - 1 for n in by_hand), 2),
    }


def one_after_the_other(jobs, hours):
    """How many openings each day takes by the hand rule; quiet hours are not looked at."""
    days, left = [], 0
    for each in jobs:
        takes = each.minutes + each.cure
        if takes > left:
            days.append(0)
            left = hours.minutes
        left -= takes
        days[-1] += 1
    return days


@pytest.mark.benchmark(group="crew's days")
def test_crew_days(benchmark):
    houses = benchmark.pedantic(
        lambda: [planned(4 + n * 16 // (HOUSES - 1), n + 1) for n in range(HOUSES)], rounds=1
    )
    many = planned(MANY, 1)
    assert not any(each["hard_breaks"] for each in (*houses, many))
    proven = sum(each["days"] == each["least_days"] and each["seconds"] <= 10 for each in houses)
    mean = {
        key: round(fmean(each[key] for each in houses), 2)
        for key in ("changes_a_day", "by_hand_changes_a_day")
    }
    days = {key: sum(each[key] for each in houses) for key in ("days", "by_hand_days")}
    (RESULTS / "crew_days.json").write_text(json.dumps({"houses": houses, "many": many}, indent=2) + "\n")
    (RESULTS / "crew_days.md").write_text(
        f"# The crew's days\n\n"
        f"{HOUSES} made-up houses of 4 to 20 openings, two fitters, one tower, some rooms with quiet hours: fewest "
        f"days proven within 10 s in {proven}; {days['days']} days in all, {days['by_hand_days']} by doing one "
        f"opening after the other. A fitter goes to another opening {mean['changes_a_day']} times a day, by the hand "
        f"rule, which waits for every foam, {mean['by_hand_changes_a_day']} times. Hard rules broken on a recount "
        f"that shares no code with the planner: none.\n\n"
        f"One of {MANY} openings: {many['seconds']} s, {many['days']} days where none can do with fewer than "
        f"{many['least_days']}; by the hand rule {many['by_hand_days']}.\n"
    )
