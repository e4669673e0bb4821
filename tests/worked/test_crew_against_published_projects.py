"""Resource-constrained projects of PSPLIB j30 (Kolisch and Sprecher) with known shortest makespans."""

import json
from pathlib import Path

import pytest

from jambwright import calc

PROJECTS = json.loads((Path(__file__).parents[1] / "data" / "rcpsp.json").read_text())["instances"]


def asked(project):
    before = {}
    for activity in project["activities"]:
        for successor in activity["successors"]:
            before.setdefault(successor, []).append({"id": str(activity["id"])})
    return {
        "tasks": [
            {
                "id": str(a["id"]),
                "minutes": a["duration"],
                "needs": {f"r{n}": amount for n, amount in enumerate(a["demand"]) if amount},
                "after": before.get(a["id"], []),
            }
            for a in project["activities"]
        ],
        "resources": {f"r{n}": have for n, have in enumerate(project["capacities"])},
        "seconds": 30,
    }


@pytest.mark.parametrize("project", PROJECTS, ids=lambda p: p["name"])
def test_the_known_shortest_time_is_found_and_proven(project):
    answer = calc.answer("crew-plan", asked(project))
    assert answer["makespan"] == project["optimal_makespan"]
    assert answer["lower_bound"] == project["optimal_makespan"]
    assert answer["proven_optimal"] is True
