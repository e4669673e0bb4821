"""The same house is planned the same beside a busy machine, and a search that the clock ends says so."""

import subprocess
import sys
from contextlib import contextmanager
from datetime import date

from demo_house import house, record
from jambwright import job
from jambwright.paper.crew_papers import quality_words
from jambwright.plan.crew.days import plan_days
from jambwright.plan.crew.work import Crew
from jambwright.plan.solving import Clock, Grant
from jambwright.readings.survey_file import survey_from_tree
from jambwright.record.make_house import days_record
from made_up_houses import house_of_many

CREW = Crew(first_day=date(2026, 12, 7))
BUSY = "import time\nend = time.monotonic() + 120\nwhile time.monotonic() < end: pass"


@contextmanager
def two_busy_neighbours():
    """Two other processes that want a core each."""
    neighbours = [subprocess.Popen([sys.executable, "-c", BUSY]) for _ in range(2)]
    try:
        yield
    finally:
        for each in neighbours:
            each.kill()
            each.wait()


def planned(grant):
    return plan_days(house(), CREW, grant=grant)


def test_a_house_is_planned_the_same_beside_a_busy_machine():
    """Cut short on purpose: where the search ends must not depend on how fast it went."""
    alone = planned(Grant(units=0.3))
    with two_busy_neighbours():
        beside = planned(Grant(units=0.3))
    assert not alone.plan.proven_optimal
    assert alone.plan == beside.plan
    assert not alone.plan.stopped_by_clock


def test_a_search_that_the_clock_ends_says_so_on_paper():
    many = job.plan_house(survey_from_tree(house_of_many(18, seed=27)))
    found = plan_days(many, CREW, grant=Grant(units=1000.0, clock=Clock(0.0)))
    assert found.plan.stopped_by_clock
    said = quality_words(days_record(found, record().rules))
    assert "stopped by the clock: other days may come out next time" in said
