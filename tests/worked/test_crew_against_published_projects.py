"""Resource-constrained projects with known shortest makespans (``published_sets`` says whose).

Those that are settled in a second or so; ``benchmarks/bench_scheduling.py`` runs all of them.
"""

import pytest

from jambwright import calc
from published_sets import PROJECTS, crew_asked

QUICK = ["j301_1", "j302_6", "j308_7", "j309_3", "j3017_9", "j3025_8", "j3030_3", "j3033_5", "j3048_1"]


@pytest.mark.parametrize("name", QUICK)
def test_the_known_shortest_time_is_found_and_proven(name):
    answer = calc.answer("crew-plan", crew_asked(PROJECTS[name], seconds=60))
    assert answer["makespan"] == PROJECTS[name]["optimal_makespan"]
    assert answer["lower_bound"] == PROJECTS[name]["optimal_makespan"]
    assert answer["proven_optimal"] is True
