"""Published jobs and projects with known optima, as the calculations take them.

data/cutting_stock.json: OR-Library/Falkenauer, Scholl, Schwerin, Waescher-Gau, Hard28, Delorme et al.;
item data from mdelorme2/BPPLIB, optima from rafaelmartinelli/BPPLib.jl (lower = upper bound there).
data/cutting_stock_kerf.json: made-up jobs with kerf and several lengths, solved by two models.
data/rcpsp.json: PSPLIB j30 (Kolisch and Sprecher), optima from ptal/kobe-scheduling.
"""

import json
from pathlib import Path

from jambwright.plan.cutting import CuttingJob, Piece, Stock

DATA = Path(__file__).parent / "data"


def _by_name(file):
    return {i["name"]: i for i in json.loads((DATA / file).read_text())["instances"]}


CUTTING = _by_name("cutting_stock.json")
CUTTING_WITH_KERF = _by_name("cutting_stock_kerf.json")
PROJECTS = _by_name("rcpsp.json")


def cutting_job(instance):
    """A published job; without kerf."""
    return CuttingJob(
        stock=(Stock(length_mm=instance["capacity"]),),
        pieces=tuple(Piece(length_mm=mm, count=n) for mm, n in instance["items"]),
    )


def crew_asked(project, seconds):
    """A published project as the crew's plan is asked for by name."""
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
        "seconds": seconds,
    }
