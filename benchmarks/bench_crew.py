"""How long the crew's plan of 200 openings takes and how good it is, beside a plain alternative.

The plain alternative is serial list scheduling by a priority rule: opening after opening, each task at the
earliest time it goes (``first_answer``). Figures go to ``results/crew_200.json`` and ``results/crew_200.md``.
"""

import json
import time
from datetime import date
from pathlib import Path

import pytest

from jambwright import job
from jambwright.plan.crew import broken
from jambwright.plan.crew.days import plan_days
from jambwright.plan.crew.first_answer import first_answer
from jambwright.plan.crew.measure import effort
from jambwright.plan.crew.work import Crew
from jambwright.readings.survey_file import survey_from_tree
from made_up_houses import house_of_many

OPENINGS = 200
GROUP = f"crew plan of {OPENINGS} openings"
CREW = Crew(first_day=date(2026, 3, 2))
RESULTS = Path(__file__).parent / "results"


@pytest.fixture(scope="module")
def house():
    return job.plan_house(survey_from_tree(house_of_many(OPENINGS)))


@pytest.fixture(scope="module")
def planned():
    return {}


def test_crew_plan(benchmark, house, planned):
    benchmark.group = GROUP

    def plan():
        started = time.perf_counter()
        days = plan_days(house, CREW)
        planned.update(days=days, seconds=time.perf_counter() - started)
        return days

    days = benchmark.pedantic(plan, rounds=1)
    assert broken(days.project, days.plan.tasks) == []


def test_plain_list_schedule(benchmark, planned):
    benchmark.group = GROUP
    days = planned["days"]
    started = time.perf_counter()
    starts = benchmark.pedantic(first_answer, (days.project,), rounds=1)
    _write(days, planned["seconds"], effort(days.project, starts), time.perf_counter() - started)


def _write(days, seconds, plain, plain_seconds):
    plan = days.plan
    figures = {
        "openings": OPENINGS,
        "tasks": len(days.project.tasks),
        "seconds": round(seconds, 1),
        "visits": plan.visits,
        "least_visits": 1,
        "days": plan.days,
        "least_days": plan.least_days,
        "room_days": plan.room_days,
        "open_hours": round(plan.open_minutes / 60),
        "limits_broken": len(broken(days.project, plan.tasks)),
        "plain_seconds": round(plain_seconds, 1),
        "plain_days": plain.days,
        "plain_room_days": plain.room_days,
        "days_over_plain": round(plan.days / plain.days, 3),
    }
    (RESULTS / "crew_200.json").write_text(json.dumps(figures, indent=2) + "\n")
    (RESULTS / "crew_200.md").write_text(
        f"# The crew's plan of {OPENINGS} openings\n\n"
        f"{figures['tasks']} tasks of two fitters and one tower, some rooms with quiet hours, no rain, "
        f"days as many as the work wants. In {figures['seconds']} s: {plan.visits} visit (none takes fewer), "
        f"{plan.days} days where no plan takes fewer than {plan.least_days}, {plan.room_days} room days; "
        f"{figures['limits_broken']} hard limits broken on a recount. Serial list scheduling by opening, each "
        f"task as early as it goes, takes {figures['plain_seconds']} s and {plain.days} days, "
        f"{plain.room_days} room days. The days depend a little on how fast the machine is.\n"
    )
